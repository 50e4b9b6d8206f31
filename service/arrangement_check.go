package service

import (
	"recirc/calc/control"
	"recirc/calc/fault"
)

// checkArrangement refuses what does not belong to a type, and asks for what it
// needs.
func checkArrangement(a *Arrangement, at string, faults *fault.List) {
	refuse := func(given bool, member string, wanted bool) {
		if given && !wanted {
			faults.Add(at+"/"+member, fault.ArrangementContradicts, "An arrangement of type %s has no %s; leave it out, or choose another type.", a.Type, member)
		}
	}
	require := func(given bool, member, why string) {
		if !given {
			faults.Add(at+"/"+member, fault.ArrangementIncomplete, "An arrangement of type %s needs %s, %s.", a.Type, member, why)
		}
	}
	throughCold := a.Type == ColdLineReturn || a.Type == OnDemandAtFixture
	refuse(a.Pump != nil, "pump", a.Type.Pumped())
	refuse(a.Control != nil, "control", a.Type.Pumped())
	refuse(a.Bypass != nil, "bypass_valve", a.Type == ColdLineReturn)
	refuse(a.ColdLine != nil, "cold_line", throughCold)
	refuse(a.Trace != nil, "heat_trace", a.Type == HeatTraced)
	refuse(a.Local != nil, "local_heater", a.Type == PointOfUseHeater)
	refuse(a.Fixtures != nil, "fixtures", a.Type != NoCirculation || a.Insulation != nil)
	if a.Type.Pumped() {
		require(a.Pump != nil, "pump", "its flow and its power")
	}
	switch a.Type {
	case HeatTraced:
		require(a.Trace != nil, "heat_trace", "the temperature that the cable holds")
	case PointOfUseHeater:
		require(a.Local != nil, "local_heater", "its content, temperature and power")
	case BetterInsulation:
		require(a.Insulation != nil, "insulation", "the one to compare with")
	}
	if a.Control != nil {
		checkControl(a.Control, at+"/control", faults)
		if a.Control.Kind == control.OnDemand && a.Type == ColdLineReturn {
			faults.Add(at+"/control/type", fault.ArrangementContradicts, "A valve to the cold line passes whenever it is cool, and is not started on demand; choose on_demand_at_fixture for a pump that is.")
		}
	}
	checkInstallCost(a, at, faults)
}

// checkInstallCost refuses a sum beside its parts.
func checkInstallCost(a *Arrangement, at string, faults *fault.List) {
	c := a.Install
	if c == nil {
		return
	}
	parts := c.Labour != nil || len(c.Materials) > 0
	switch {
	case c.Sum != nil && parts:
		faults.Add(at+"/install_cost/sum", fault.CostAmbiguous, "Give the sum, or labour and materials, not both.")
	case c.Sum == nil && !parts:
		faults.Add(at+"/install_cost", fault.CostAmbiguous, "An install cost has a sum, labour or materials; leave it out if it is not known.")
	}
}
