package service

import (
	"fmt"

	"recirc/calc/fault"
	"recirc/calc/fixture"
	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/calc/rule"
	"recirc/calc/source"
)

// build checks a system that somebody draws from and links its graph; nil if
// anything is wrong.
func build(system *network.System, faults *fault.List) *network.Graph {
	if len(system.Fixtures) == 0 {
		faults.Add(systemPointer+"/fixtures", fault.FixturesMissing, "There is no fixture; the question is about the way to fixtures.")
	}
	return network.Build(system, systemPointer, faults)
}

// noteSystem adds what every answer about a system says: defaults that were
// used, and the sources of the tubes on the pipes given.
func (n *Notes) noteSystem(g *network.Graph, pipes []int32) {
	if len(g.DefaultSeries) > 0 {
		a := Assumption{
			Code:   "default_tube_series",
			Detail: fmt.Sprintf("Pipes that name no tube series and take the one of defaults.tube_series: %d.", len(g.DefaultSeries)),
			Value:  g.System.Defaults.TubeSeries,
		}
		for _, p := range g.DefaultSeries {
			a.Pointers = append(a.Pointers, pipePointer(p, "/tube"))
		}
		n.assume(a)
	}
	for _, p := range pipes {
		n.use(g.Tubes[p].Source)
	}
	for _, p := range g.TracesBehindDeadLegs() {
		n.warn("trace_behind_dead_leg", pipePointer(p, "/heat_trace"),
			fmt.Sprintf("Pipe %q is heat-traced but starts where the water is not kept hot: behind its warm water, cold water follows.", g.System.Pipes[p].ID))
	}
}

// noteGallon states which gallon was meant by a request that used one.
func (n *Notes) noteGallon(used bool) {
	if used {
		n.assume(Assumption{
			Code: "us_gallon", Detail: "gal, gal/min, gal/h and gal/ft are read as US liquid gallons; an imperial gallon is written gal_imp.",
			Value: "231 in3", Source: "nist_sp_811",
		})
	}
}

// scaldingFrom is the heater temperature from which the answer speaks of
// scalding: above 110 degF (43 degC) codes ask for a limiting device at public
// outlets (IPC 607.1.2). A heater that does not say counts as hot.
var scaldingFrom = quantity.Celsius(43.4)

func (n *Notes) cautionScalding(s *network.System) {
	outlet := s.Heater.OutletTemperature
	if outlet == (quantity.Temperature{}) {
		outlet = defaultOutlet
	}
	n.cautionScaldingAt(outlet)
}

func (n *Notes) cautionScaldingAt(hottest quantity.Temperature) {
	if hottest.Kelvin() >= scaldingFrom.Kelvin() {
		n.caution(Caution{
			Code:   "scalding",
			Detail: "Water of 140 degF (60 degC) burns skin in under 5 seconds, of 120 degF (49 degC) in about 5 minutes; short dead legs bring it to the tap sooner. Limit the temperature at the outlet with a mixing device as the local code asks.",
			Source: "burn_time_leaflet",
		})
	}
}

func (n *Notes) cautionStagnation() {
	n.caution(Caution{
		Code:   "stagnant_water",
		Detail: "Water that stands and cools in a dead leg is where Legionella grows (about 25 to 45 degC). Keep dead legs short and used; follow the local hygiene rules and licensed practice for store, supply and return temperatures.",
		Source: "hse_l8_hsg274_2",
	})
}

// hotFlow is the flow at which somebody waits at a fixture.
type hotFlow struct {
	flow  quantity.Flow
	basis string // rated, measured or default

	source source.ID
}

// hotFlows finds the flow of every fixture, the caller's or the default of its
// type, and notes what was assumed. A type without a default is a fault.
func (n *Notes) hotFlows(s *network.System, faults *fault.List) []hotFlow {
	flows := make([]hotFlow, len(s.Fixtures))
	defaulted := map[string][]string{}
	var unsaid []string
	for i := range s.Fixtures {
		f := &s.Fixtures[i]
		if f.HotFlow != (quantity.Flow{}) {
			flows[i] = hotFlow{f.HotFlow, f.HotFlowBasis, "common_practice"}
			if f.HotFlowBasis == "" {
				flows[i].basis = "rated"
				unsaid = append(unsaid, fixturePointer(i, "/hot_flow"))
			}
			continue
		}
		t, _ := fixture.Find(f.Type)
		if !t.HasDefault {
			if f.Type != "" && !f.FlowUnreadable {
				faults.Add(fixturePointer(i, "/hot_flow"), fault.HotFlowMissing, "Fixture %q is of type %s, which has no default flow; give hot_flow.", f.ID, f.Type)
			}
			continue
		}
		flows[i] = hotFlow{t.DefaultHotFlow, "default", t.Source}
		defaulted[f.Type] = append(defaulted[f.Type], fixturePointer(i, ""))
	}
	n.noteHotFlows(defaulted, unsaid)
	return flows
}

func (n *Notes) noteHotFlows(defaulted map[string][]string, unsaid []string) {
	for _, t := range fixture.Types() { // in the table's order, not the map's
		if at := defaulted[t.ID]; len(at) > 0 {
			n.assume(Assumption{
				Code:     "default_hot_flow",
				Detail:   fmt.Sprintf("Fixtures of type %s that give no hot flow and take the design flow of their type: %d.", t.ID, len(at)),
				Value:    t.PublishedFlow,
				Pointers: at,
				Source:   t.Source,
			})
		}
	}
	if len(unsaid) > 0 {
		n.assume(Assumption{
			Code:   "default_hot_flow_basis",
			Detail: fmt.Sprintf("Fixtures that do not say whether their flow is rated or measured: %d.", len(unsaid)),
			Value:  "rated", Pointers: unsaid, Source: source.ID("common_practice"),
		})
	}
}

// cautionCompliance is for whatever compares a design with published limits.
func (n *Notes) cautionCompliance() {
	n.caution(Caution{
		Code:   "limits_are_not_compliance",
		Detail: "Each limit is one published sentence, compared with one number. Local amendments, other clauses and the authority having jurisdiction decide whether a design complies.",
	})
}

// limitFacts is what the limits need to know of a dead leg.
func limitFacts(g *network.Graph, fixtureType string, leg network.DeadLeg) rule.DeadLeg {
	t, _ := fixture.Find(fixtureType)
	facts := rule.DeadLeg{
		PublicLavatory: t.PublicLavatory, Maintained: g.HotSourceAt(leg.Source).Kind != network.HotHeater,
		Length: leg.Length, Volume: leg.Volume, Insulated: leg.Insulated,
	}
	if !leg.SizeUnknown {
		facts.NominalInches = leg.NominalInches
	}
	if leg.Widest >= 0 && !leg.OutsideUnknown {
		facts.Outside = g.Tubes[leg.Widest].OutsideDiameter
	}
	return facts
}
