package service

import (
	"fmt"

	"recirc/calc/arrival"
	"recirc/calc/fault"
	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

// WaitTimesRequest asks how long somebody waits for hot water at each fixture.
type WaitTimesRequest struct {
	System      network.System
	ShowWorking bool
	USGallon    bool // the request used a unit with the US gallon
}

// WaitTimesAnswer is one wait a fixture, in the order of the request.
type WaitTimesAnswer struct {
	Fixtures []WaitTime
	Totals   WaitTotals
	Notes
	Working []Step
}

// WaitTime is the wait at one fixture from a cold start.
type WaitTime struct {
	Fixture      string
	HotSource    network.HotSource
	StoredVolume quantity.Volume
	HotFlow      quantity.Flow
	HotFlowBasis string // rated, measured or default
	StartUpDelay quantity.Duration
	PlugFlow     quantity.Duration // the delay included
	VolumeDrawn  quantity.Volume
	Class        string

	flowSource source.ID
}

// WaitTotals is the whole building.
type WaitTotals struct {
	Fixtures    int
	ByClass     map[string]int
	Longest     *WaitTime
	VolumeDrawn quantity.Volume
}

// WaitTimes finds the wait at every fixture by plug flow. It gives nil and adds
// to faults if the system is wrong.
func WaitTimes(req *WaitTimesRequest, faults *fault.List) *WaitTimesAnswer {
	a := &WaitTimesAnswer{}
	a.noteGallon(req.USGallon)
	flows := a.hotFlows(&req.System, faults)
	g := build(&req.System, faults)
	if g == nil {
		return nil
	}
	legs := g.DeadLegs()
	work := working{wanted: req.ShowWorking}
	if work.fits(g, legs, faults); !faults.Empty() {
		return nil
	}
	delay := a.startUpDelay(g, legs)
	a.Fixtures = make([]WaitTime, len(req.System.Fixtures))
	nodes := make([]int32, len(a.Fixtures))
	var path []int32
	for i := range a.Fixtures {
		nodes[i] = g.FixtureNode(i)
		leg := legs[nodes[i]]
		a.Fixtures[i] = waitAt(req.System.Fixtures[i].ID, g.HotSourceAt(leg.Source), leg.Volume, flows[i], delay)
		if work.wanted {
			path = g.Path(nodes[i], leg, path[:0])
			work.showDeadLeg(g, a.Fixtures[i].Fixture, path, leg)
			work.showWait(&a.Fixtures[i])
		}
	}
	a.total()
	a.noteSystem(g, g.Union(nodes, legs))
	a.use("plug_flow", geometry, arrival.WaitClassSource)
	a.use(work.sources()...)
	a.warn("plug_flow_is_lower_bound", systemPointer, "Plug flow is the shortest wait possible: heating the tube, and mixing on the way, make the real wait longer.")
	a.cautionScalding(&req.System)
	a.Working = work.steps
	return a
}

func waitAt(id string, hot network.HotSource, stored quantity.Volume, q hotFlow, delay quantity.Duration) WaitTime {
	w := WaitTime{Fixture: id, HotSource: hot, StoredVolume: stored, HotFlow: q.flow, HotFlowBasis: q.basis, flowSource: q.source}
	if hot.Kind == network.HotHeater {
		w.StartUpDelay = delay
	}
	w.PlugFlow = quantity.Seconds(arrival.PlugFlow(stored, q.flow).Seconds() + w.StartUpDelay.Seconds())
	w.VolumeDrawn = arrival.DrawnVolume(q.flow, w.PlugFlow)
	w.Class = arrival.Class(w.PlugFlow).Name
	return w
}

// startUpDelay is the heater's, zero if not given; for a heater that starts on
// flow that is a guess worth saying.
func (a *WaitTimesAnswer) startUpDelay(g *network.Graph, legs []network.DeadLeg) quantity.Duration {
	h := &g.System.Heater
	if h.StartUpDelay != nil {
		return *h.StartUpDelay
	}
	if h.Type.OnFlow() && servesDirectly(g, legs) {
		at := systemPointer + "/heater"
		a.assume(Assumption{
			Code: "default_start_up_delay", Detail: fmt.Sprintf("The %s heater gives no start-up delay.", h.Type),
			Value: "0 s", Pointers: []string{at}, Source: "common_practice",
		})
		a.warn("start_up_delay_not_given", at, "A heater that starts on flow needs some seconds before it gives hot water; without start_up_delay the waits are too short by that.")
	}
	return quantity.Seconds(0)
}

// servesDirectly reports that some fixture draws from the heater itself.
func servesDirectly(g *network.Graph, legs []network.DeadLeg) bool {
	for i := range g.System.Fixtures {
		if g.HotSourceAt(legs[g.FixtureNode(i)].Source).Kind == network.HotHeater {
			return true
		}
	}
	return false
}

func (a *WaitTimesAnswer) total() {
	t := &a.Totals
	t.Fixtures, t.ByClass = len(a.Fixtures), map[string]int{}
	drawn := 0.0
	for i := range a.Fixtures {
		w := &a.Fixtures[i]
		t.ByClass[w.Class]++
		drawn += w.VolumeDrawn.CubicMetres()
		if t.Longest == nil || w.PlugFlow.Seconds() > t.Longest.PlugFlow.Seconds() {
			t.Longest = w
		}
	}
	t.VolumeDrawn = quantity.CubicMetres(drawn)
}

func flowEquation(t *WaitTime) string {
	if t.HotFlowBasis == "default" {
		return "design flow of the fixture type"
	}
	return "given"
}

func (w *working) showWait(t *WaitTime) {
	subject := "fixture " + t.Fixture
	w.add(Step{subject, "q", "hot flow, " + t.HotFlowBasis, t.HotFlow.CubicMetresPerSecond(), quantity.FlowDimension, flowEquation(t), t.flowSource})
	w.add(Step{subject, "t_s", "start-up delay", t.StartUpDelay.Seconds(), quantity.DurationDimension, "of the heater; 0 where not given", "common_practice"})
	w.add(Step{subject, "t", "wait by plug flow", t.PlugFlow.Seconds(), quantity.DurationDimension, "t = V_d / q + t_s", "plug_flow"})
	w.add(Step{subject, "V_w", "volume drawn", t.VolumeDrawn.CubicMetres(), quantity.VolumeDimension, "V_w = q t", "plug_flow"})
}
