package service

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"recirc/calc/arrival"
	"recirc/calc/fault"
	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

// WaitTimesRequest asks how long somebody waits for hot water at each fixture.
type WaitTimesRequest struct {
	System       network.System
	PlugFlowOnly bool
	Usable       quantity.Temperature           // zero: by Rise, or the usual one
	Rise         quantity.TemperatureDifference // above the water that comes first
	Start        Start
	ShowCurves   bool
	ShowWorking  bool
	USGallon     bool // the request used a unit with the US gallon
}

// Start is what stands in the pipes when a fixture is opened.
type Start struct {
	State       string // surroundings, given or left_over; empty: surroundings
	Temperature quantity.Temperature
	Idle        quantity.Duration
}

// WaitTimesAnswer is one wait a fixture, in the order of the request.
type WaitTimesAnswer struct {
	Thermal  bool
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
	Thermal      *ThermalWait // nil with plug flow only

	flowSource source.ID
}

// WaitTotals is the whole building.
type WaitTotals struct {
	Fixtures    int
	ByClass     map[string]int
	Longest     *WaitTime
	VolumeDrawn quantity.Volume
	Wasted      quantity.Energy
}

// WaitTimes finds the wait at every fixture. It gives nil and adds to faults if
// the system is wrong.
func WaitTimes(req *WaitTimesRequest, faults *fault.List) *WaitTimesAnswer {
	a := &WaitTimesAnswer{Thermal: !req.PlugFlowOnly}
	a.noteGallon(req.USGallon)
	flows := a.hotFlows(&req.System, faults)
	checkWaitRequest(req, faults)
	g := build(&req.System, faults)
	if g == nil || !faults.Empty() || slices.ContainsFunc(flows, func(q hotFlow) bool { return q.flow == quantity.Flow{} }) {
		return nil // a flow that could not be read is told by who read it
	}
	q := waits{req: req, g: g, legs: g.DeadLegs(), flows: flows, a: a, work: working{wanted: req.ShowWorking}}
	aPipe, aFixture := 3, 6
	if a.Thermal {
		aPipe, aFixture = 6, 14
	}
	q.work.fits(g, q.legs, aPipe, aFixture, faults)
	if a.Thermal {
		q.prepareThermal(faults)
	}
	if !faults.Empty() {
		return nil
	}
	q.delay = a.startUpDelay(g, q.legs)
	q.answer(faults)
	if !faults.Empty() {
		return nil
	}
	return a
}

// checkWaitRequest refuses what contradicts itself.
func checkWaitRequest(req *WaitTimesRequest, faults *fault.List) {
	if req.Usable != (quantity.Temperature{}) && req.Rise != (quantity.TemperatureDifference{}) {
		faults.Add("/usable_rise", fault.UsableAmbiguous, "Give usable_temperature or usable_rise, not both.")
	}
	switch s := req.Start; {
	case s.State == "given" && s.Temperature == quantity.Temperature{}:
		faults.Add("/start/temperature", fault.StartIncomplete, "The start state given needs its temperature.")
	case s.State == "left_over" && s.Idle == quantity.Duration{}:
		faults.Add("/start/idle_time", fault.StartIncomplete, "The start state left_over needs idle_time, the time since the last draw.")
	}
}

// waits is one request on its way to an answer.
type waits struct {
	req   *WaitTimesRequest
	g     *network.Graph
	legs  []network.DeadLeg
	flows []hotFlow
	delay quantity.Duration
	a     *WaitTimesAnswer
	work  working
	path  []int32
	front thermal
}

func (q *waits) answer(faults *fault.List) {
	fixtures := q.req.System.Fixtures
	q.a.Fixtures = make([]WaitTime, len(fixtures))
	nodes := make([]int32, len(fixtures))
	for i := range fixtures {
		nodes[i] = q.g.FixtureNode(i)
		err := q.fixture(i, nodes[i])
		if errors.Is(err, errSpent) {
			faults.Add("/method", fault.AnswerTooLarge, "Following the hot front to all fixtures takes more computation than one request may; it was given up at fixture %d. Look at thick walls, small flows and long delays, send parts of the building, or ask for plug_flow.", i)
			break
		}
		if err != nil {
			faults.Add(fixturePointer(i, ""), fault.OutOfRange, "The wait at this fixture cannot be calculated: %s.", reasonOf(err))
		}
	}
	if !faults.Empty() {
		return
	}
	q.a.total()
	q.a.noteSystem(q.g, q.g.Union(nodes, q.legs))
	q.a.use("plug_flow", geometry, arrival.WaitClassSource)
	q.a.use(q.work.sources()...)
	if q.a.Thermal {
		q.noteThermal()
	} else {
		q.a.warn("plug_flow_is_lower_bound", systemPointer, "Plug flow is the shortest wait possible: heating the tube, and mixing on the way, make the real wait longer.")
	}
	q.a.cautionScalding(&q.req.System)
	q.a.Working = q.work.steps
}

var errEndless = errors.New("at this flow it is longer than a number can say")

func (q *waits) fixture(i int, node int32) error {
	leg := q.legs[node]
	w := &q.a.Fixtures[i]
	*w = plugFlow(q.req.System.Fixtures[i].ID, q.g.HotSourceAt(leg.Source), leg.Volume, q.flows[i], q.delay)
	if math.IsInf(w.PlugFlow.Seconds(), 1) {
		return errEndless
	}
	if q.work.wanted || q.a.Thermal {
		q.path = q.g.Path(node, leg, q.path[:0])
	}
	if q.work.wanted {
		q.work.showDeadLeg(q.g, w.Fixture, q.path, leg)
		q.work.showPlugFlow(w)
	}
	if !q.a.Thermal {
		return nil
	}
	return q.thermalWait(i, w, leg.Source)
}

func plugFlow(id string, hot network.HotSource, stored quantity.Volume, q hotFlow, delay quantity.Duration) WaitTime {
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
	drawn, wasted := 0.0, 0.0
	for i := range a.Fixtures {
		w := &a.Fixtures[i]
		t.ByClass[w.Class]++
		drawn += w.VolumeDrawn.CubicMetres()
		if w.Thermal != nil {
			wasted += w.Thermal.Drawn.Joules() + w.Thermal.LeftInPipe.Joules()
		}
		if t.Longest == nil || longer(w, t.Longest) {
			t.Longest = w
		}
	}
	t.VolumeDrawn, t.Wasted = quantity.CubicMetres(drawn), quantity.Joules(wasted)
}

// longer compares waits: one that never ends is the longest.
func longer(a, b *WaitTime) bool {
	if a.Thermal == nil {
		return a.PlugFlow.Seconds() > b.PlugFlow.Seconds()
	}
	if a.Thermal.Reached != b.Thermal.Reached {
		return b.Thermal.Reached
	}
	return a.Thermal.Expected.Seconds() > b.Thermal.Expected.Seconds()
}

func flowEquation(t *WaitTime) string {
	if t.HotFlowBasis == "default" {
		return "design flow of the fixture type"
	}
	return "given"
}

func (w *working) showPlugFlow(t *WaitTime) {
	subject := "fixture " + t.Fixture
	w.add(Step{subject, "q", "hot flow, " + t.HotFlowBasis, t.HotFlow.CubicMetresPerSecond(), quantity.FlowDimension, flowEquation(t), t.flowSource})
	w.add(Step{subject, "t_s", "start-up delay", t.StartUpDelay.Seconds(), quantity.DurationDimension, "of the heater; 0 where not given", "common_practice"})
	w.add(Step{subject, "t", "wait by plug flow", t.PlugFlow.Seconds(), quantity.DurationDimension, "t = V_d / q + t_s", "plug_flow"})
	w.add(Step{subject, "V_w", "volume drawn by plug flow", arrival.DrawnVolume(t.HotFlow, t.PlugFlow).CubicMetres(), quantity.VolumeDimension, "V_w = q t", "plug_flow"})
}
