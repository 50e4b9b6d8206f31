package service

import (
	"fmt"

	"recirc/calc/fault"
	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/calc/water"
	"recirc/calc/year"
)

// outlets gives the simulation the fixtures, in the order of the request, and the
// heater.
func (s *arranging) outlets(d *arranged) {
	place := make(map[string]int, len(d.g.System.Fixtures))
	for i := range d.g.System.Fixtures {
		place[d.g.System.Fixtures[i].ID] = i
	}
	for i := range s.system.Fixtures {
		id := s.system.Fixtures[i].ID
		f := place[id]
		p, _ := d.g.FedBy(d.g.FixtureNode(f))
		o := year.Outlet{ID: id, Pipe: d.supply[p], Cold: year.None}
		if d.served[f] && d.a.Local != nil {
			o.Local = localHeater(d.a.Local)
		}
		d.sys.Outlets = append(d.sys.Outlets, o)
	}
	h := &d.g.System.Heater
	d.sys.Heater = year.Heater{Outlet: d.outlet}
	if h.StartUpDelay != nil {
		d.sys.Heater.StartUpDelay = *h.StartUpDelay
	}
	if h.Type.OnFlow() {
		d.sys.Heater.Activation = h.ActivationFlow
	}
	w, err := water.At(quantity.Kelvin((d.outlet.Kelvin() + defaultAir.Kelvin()) / 2))
	if err != nil {
		s.faults.Add(d.at, fault.OutOfRange, "This arrangement cannot be calculated: %s.", reasonOf(err))
		return
	}
	d.sys.WaterHeat = w.VolumetricHeat()
}

// localHeater is a small heater in air of the usual temperature.
func localHeater(l *LocalHeater) *year.LocalHeater {
	out := &year.LocalHeater{Content: l.Volume, Power: l.Power, Set: l.Temperature, Ambient: airAmbient}
	if above := l.Temperature.Kelvin() - defaultAir.Kelvin(); l.Standby != nil && above > 0 {
		out.UA = l.Standby.Watts() / above
	}
	return out
}

// warm adds what brings hot water near: returns, cold lines and pumps.
func (s *arranging) warm(d *arranged) {
	switch d.a.Type {
	case DedicatedReturn:
		s.dedicatedReturn(d)
	case ColdLineReturn:
		s.coldLineReturn(d)
	case OnDemandAtFixture:
		s.onDemandAtFixture(d)
	}
	if d.a.Type != DedicatedReturn && hasReturns(d.g.System) {
		s.notes.assume(Assumption{Code: "returns_idle", Detail: fmt.Sprintf("The returns of the system carry nothing in arrangement %q.", d.a.ID), Value: "shut", Pointers: []string{d.at}, Source: "common_practice"})
	}
}

func hasReturns(s *network.System) bool {
	for i := range s.Pipes {
		if s.Pipes[i].Role == network.Return {
			return true
		}
	}
	return false
}

// circulation begins a circulation with the pump and its control.
func (s *arranging) circulation(d *arranged) year.Circulation {
	into := 0.5
	if d.a.Pump.ToWater != nil {
		into = *d.a.Pump.ToWater
	} else {
		s.notes.assume(Assumption{Code: "default_pump_heat", Detail: fmt.Sprintf("The pump of arrangement %q does not say which part of its power heats the water.", d.a.ID), Value: "0.5", Pointers: []string{d.at + "/pump"}, Source: "common_practice"})
	}
	at := d.at
	if d.a.Control != nil {
		at += "/control"
	}
	return year.Circulation{
		Control: s.notes.runnable(d.a.Control, d.a.Type, at, s.faults),
		Sensor:  year.None, Power: d.a.Pump.Power, IntoWater: into,
	}
}

// leastLoopFlow in m3/s: with less, water stands.
const leastLoopFlow = 1e-8

// add takes a circulation in.
func (s *arranging) add(d *arranged, c year.Circulation, fixture string) {
	for _, l := range c.Loops {
		if l.Flow.CubicMetresPerSecond() < leastLoopFlow {
			s.faults.Add(d.at+"/pump/flow", fault.OutOfRange, "The pump moves next to nothing through a loop: give at least 0.001 L/min for each.")
			return
		}
	}
	d.sys.Circulations = append(d.sys.Circulations, c)
	d.pumpAt = append(d.pumpAt, fixture)
}

// placeSensor puts the sensor of a control where the request has it, or at the
// usual place.
func (s *arranging) placeSensor(d *arranged, c *year.Circulation, usual int) {
	if !sensed(c.Control.Kind) {
		return
	}
	c.Sensor = usual
	if d.a.Control == nil || d.a.Control.Sensor == "" {
		return
	}
	at := d.at + "/control/sensor_node"
	node, ok := d.g.NodeCalled(d.a.Control.Sensor)
	switch {
	case !ok:
		s.faults.Add(at, fault.NodeUnknown, "The system has no node %q.", d.a.Control.Sensor)
		return
	case node == d.g.HeaterNode() && d.a.Type == DedicatedReturn:
		return // the end of the return, as usual
	}
	p, fed := d.g.FedBy(node)
	if !fed {
		s.faults.Add(at, fault.NodeUnreachable, "No hot pipe leads to node %q, so that its sensor would read nothing that the pump changes.", d.a.Control.Sensor)
		return
	}
	c.Sensor = d.supply[p]
}
