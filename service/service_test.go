package service_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"recirc/calc/fault"
	"recirc/calc/fixture"
	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/calc/rule"
	"recirc/service"
)

// mostRows is what the contract promises at most of verdicts, pipes and steps.
const mostRows = 200_000

// shower is a short way to a shower, invented.
func shower() network.System {
	return way(tap("shower", 2, "gal/min"), feet(10, typeL, "3/4"), feet(10, typeL, "1/2"))
}

// noDeadLeg keeps the water hot up to the tap.
func noDeadLeg() network.System {
	s := shower()
	back := feet(20, typeL, "1/2")
	back.ID, back.From, back.To, back.Role = "return", s.Fixtures[0].Node, "heater", network.Return
	s.Pipes = append(s.Pipes, back)
	return s
}

func TestTypesWithoutADefaultFlow(t *testing.T) {
	for _, kind := range fixture.Types() {
		s := shower()
		s.Fixtures = append(s.Fixtures, network.Fixture{ID: "no flow", Node: "a", Type: kind.ID})
		got := refusals(s)["waits"]
		if !kind.HasDefault {
			if len(got) != 1 || got[0].Code != fault.HotFlowMissing || got[0].Pointer != "/system/fixtures/1/hot_flow" {
				t.Errorf("%s: %v, want hot_flow_missing at the second fixture", kind.ID, got)
			}
		} else if len(got) != 0 {
			t.Errorf("%s: %v, though it has a default", kind.ID, got)
		}
		if got := refusals(s)["dead legs"]; len(got) != 0 {
			t.Errorf("%s: a dead leg needs no flow, but %v", kind.ID, got)
		}
	}
	if kind, ok := fixture.Find("clothes_washer"); !ok || kind.HasDefault {
		t.Error("no published table has a flow for a clothes washer")
	}
	s := shower()
	s.Fixtures[0] = network.Fixture{ID: "unreadable", Node: "b", Type: "clothes_washer", FlowUnreadable: true}
	if got := refusals(s)["waits"]; len(got) != 0 {
		t.Errorf("a flow that could not be read is told a second time: %v", got)
	}
}

// TestNoFixtureNoQuestion: both questions are about the way to fixtures.
func TestNoFixtureNoQuestion(t *testing.T) {
	s := noDeadLeg()
	s.Fixtures = nil
	for job, got := range refusals(s) {
		if len(got) != 1 || got[0].Code != fault.FixturesMissing || got[0].Pointer != "/system/fixtures" {
			t.Errorf("%s: %v, want fixtures_missing", job, got)
		}
	}
}

// TestEveryFaultAtOnce: a missing flow does not hide a wrong pipe.
func TestEveryFaultAtOnce(t *testing.T) {
	s := shower()
	s.Fixtures[0] = network.Fixture{ID: "washer", Node: "b", Type: "clothes_washer"}
	s.Pipes[1].Tube.Nominal = "7/16"
	var got []string
	for _, f := range refusals(s)["waits"] {
		got = append(got, f.Pointer+" "+string(f.Code))
	}
	want := []string{"/system/fixtures/0/hot_flow hot_flow_missing", "/system/pipes/1/tube/nominal tube_nominal_unknown"}
	if !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}

// TestStartUpDelayOnlyFromTheHeater: behind a circulated or traced pipe the
// water is hot before anybody opens a tap.
func TestStartUpDelayOnlyFromTheHeater(t *testing.T) {
	const delay = 7.0
	s := circulated(way(tap("shower", 2, "gal/min"), feet(10, typeL, "3/4"), feet(10, typeL, "1/2")))
	traced, far, cold := feet(10, typeL, "1/2"), feet(10, typeL, "1/2"), feet(10, typeL, "1/2")
	traced.ID, traced.From, traced.To, traced.Role, traced.HeatTrace = "traced", "heater", "c", network.Supply, &network.HeatTrace{}
	far.ID, far.From, far.To, far.Role = "far", "c", "d", network.Supply
	cold.ID, cold.From, cold.To, cold.Role = "cold", "heater", "e", network.Supply
	s.Pipes = append(s.Pipes, traced, far, cold)
	for _, at := range []string{"d", "e"} {
		f := tap("shower", 2, "gal/min")
		f.ID, f.Node = at, at
		s.Fixtures = append(s.Fixtures, f)
	}
	without := waitTimes(t, service.WaitTimesRequest{PlugFlowOnly: true, System: s})
	given := quantity.Seconds(delay)
	s.Heater.StartUpDelay = &given
	with := waitTimes(t, service.WaitTimesRequest{PlugFlowOnly: true, System: s})
	for i, want := range []struct {
		kind  network.HotKind
		delay float64
	}{{network.HotCirculated, 0}, {network.HotTraced, 0}, {network.HotHeater, delay}} {
		w := with.Fixtures[i]
		more := w.PlugFlow.Seconds() - without.Fixtures[i].PlugFlow.Seconds()
		if w.HotSource.Kind != want.kind || w.StartUpDelay.Seconds() != want.delay || !near(more, want.delay, 1e-9) {
			t.Errorf("%s from %s: delay %v, wait %v s more; want %s and %v", w.Fixture, w.HotSource.Kind, w.StartUpDelay, more, want.kind, want.delay)
		}
	}
}

// TestHeaterThatStartsOnFlow: without its delay the answer is too short, and
// says so; a delay of 0 s is a statement.
func TestHeaterThatStartsOnFlow(t *testing.T) {
	zero, some := quantity.Seconds(0), quantity.Seconds(5)
	for _, c := range []struct {
		kind  network.HeaterType
		delay *quantity.Duration
		guess bool
	}{
		{network.Tankless, nil, true}, {network.PlateExchanger, nil, true}, {network.Tankless, &zero, false}, {network.Tankless, &some, false},
		{network.Storage, nil, false}, {network.HeatPump, nil, false}, {network.Indirect, nil, false},
	} {
		s := shower()
		s.Heater.Type, s.Heater.StartUpDelay = c.kind, c.delay
		got := codes(waitTimes(t, service.WaitTimesRequest{PlugFlowOnly: true, System: s}).Notes)
		assumed, warned := slices.Contains(got, "assumption default_start_up_delay"), slices.Contains(got, "warning start_up_delay_not_given")
		if assumed != c.guess || warned != c.guess {
			t.Errorf("%s with delay %v: assumed %v, warned %v, want %v", c.kind, c.delay, assumed, warned, c.guess)
		}
	}
}

// TestPlugFlowIsSaidToBeALowerBound: at every answer, since a measured wait is
// about twice as long or more. Source: common practice.
func TestPlugFlowIsSaidToBeALowerBound(t *testing.T) {
	if got := codes(waitTimes(t, service.WaitTimesRequest{PlugFlowOnly: true, System: noDeadLeg()}).Notes); !slices.Contains(got, "warning plug_flow_is_lower_bound") {
		t.Errorf("got %v", got)
	}
}

func TestCautionOfScalding(t *testing.T) {
	fahrenheit := func(f float64) quantity.Temperature {
		return quantity.Kelvin(si(quantity.TemperatureDimension, f, "degF"))
	}
	for _, c := range []struct {
		title   string
		outlet  quantity.Temperature
		caution bool
	}{
		{"not given", quantity.Temperature{}, true}, {"140 degF", fahrenheit(140), true}, {"120 degF", fahrenheit(120), true},
		{"60 degC", quantity.Celsius(60), true}, {"44 degC", quantity.Celsius(44), true},
		{"110 degF", fahrenheit(110), false}, {"40 degC", quantity.Celsius(40), false},
	} {
		s := shower()
		s.Heater.OutletTemperature = c.outlet
		for job, n := range map[string]service.Notes{
			"dead legs": deadLegs(t, service.DeadLegsRequest{System: s}).Notes, "waits": waitTimes(t, service.WaitTimesRequest{PlugFlowOnly: true, System: s}).Notes,
		} {
			if got := slices.Contains(codes(n), "caution scalding"); got != c.caution {
				t.Errorf("%s, outlet %s: caution %v, want %v", job, c.title, got, c.caution)
			}
		}
	}
}

func TestCautionsOfDeadLegs(t *testing.T) {
	for _, c := range []struct {
		title    string
		system   network.System
		standing bool
	}{{"a dead leg", shower(), true}, {"hot up to the tap", noDeadLeg(), false}} {
		got := codes(deadLegs(t, service.DeadLegsRequest{System: c.system}).Notes)
		if slices.Contains(got, "caution stagnant_water") != c.standing {
			t.Errorf("%s: %v, want a caution of standing water: %v", c.title, got, c.standing)
		}
		if !slices.Contains(got, "caution limits_are_not_compliance") {
			t.Errorf("%s: %v, want the caution that limits are not compliance", c.title, got)
		}
	}
}

// TestGallonIsNamed: the answer says which gallon was meant if one was used.
func TestGallonIsNamed(t *testing.T) {
	for _, used := range []bool{true, false} {
		for job, n := range map[string]service.Notes{
			"dead legs": deadLegs(t, service.DeadLegsRequest{System: shower(), USGallon: used}).Notes,
			"waits":     waitTimes(t, service.WaitTimesRequest{PlugFlowOnly: true, System: shower(), USGallon: used}).Notes,
		} {
			if got := slices.Contains(codes(n), "assumption us_gallon"); got != used {
				t.Errorf("%s, gallon used %v: assumption %v", job, used, got)
			}
		}
	}
}

// TestDefaultSeriesIsNamed: each pipe that took the series of the defaults, also
// the return that is in no dead leg.
func TestDefaultSeriesIsNamed(t *testing.T) {
	s := noDeadLeg()
	s.Defaults.TubeSeries = typeM
	s.Pipes[1].Tube.Series, s.Pipes[2].Tube.Series = "", ""
	a := deadLegs(t, service.DeadLegsRequest{System: s})
	if len(a.Assumptions) != 1 || a.Assumptions[0].Code != "default_tube_series" || a.Assumptions[0].Value != typeM ||
		!slices.Equal(a.Assumptions[0].Pointers, []string{"/system/pipes/1/tube", "/system/pipes/2/tube"}) {
		t.Errorf("got %+v", a.Assumptions)
	}
}

// TestTraceBehindADeadLegIsWarned: cold water follows behind its warm water.
func TestTraceBehindADeadLegIsWarned(t *testing.T) {
	s := shower()
	s.Pipes[1].HeatTrace = &network.HeatTrace{}
	a := deadLegs(t, service.DeadLegsRequest{System: s})
	if len(a.Warnings) != 1 || a.Warnings[0].Code != "trace_behind_dead_leg" || a.Warnings[0].Pointer != "/system/pipes/1/heat_trace" {
		t.Errorf("got %+v", a.Warnings)
	}
}

// TestLimitsByName: a limit that was asked for answers, if only with the reason
// why it says nothing; unasked it stays away.
func TestLimitsByName(t *testing.T) {
	const elsewhere = "nspc_10_15_2_maintained" // for pipe behind a circulated one
	a := deadLegs(t, service.DeadLegsRequest{System: shower(), Limits: []string{elsewhere, "ipc_607_2"}})
	var got []string
	for _, v := range a.Fixtures[0].Limits {
		got = append(got, v.Limit.ID+" "+string(v.Status))
	}
	if want := []string{"ipc_607_2 met", elsewhere + " not_assessed"}; !slices.Equal(got, want) {
		t.Fatalf("got %v, want %v in the published order", got, want)
	}
	if v := a.Fixtures[0].Limits[1]; v.Reason == "" || v.HasAllowed {
		t.Errorf("not assessed without a reason, or with a limit: %+v", v)
	}
	if c := a.Totals.Limits; len(c) != 2 || c[0].Met != 1 || c[1].NotAssessed != 1 || c[1].Met+c[1].NotMet != 0 {
		t.Errorf("counted %+v", c)
	}
	for _, v := range deadLegs(t, service.DeadLegsRequest{System: shower()}).Fixtures[0].Limits {
		if v.Limit.ID == elsewhere {
			t.Errorf("%s comes unasked", elsewhere)
		}
		if v.Status == rule.NotAssessed && v.Reason == "" {
			t.Errorf("%s: not assessed without a reason", v.Limit.ID)
		}
	}
}

// crowd is a row of pipes with many fixtures at its end.
func crowd(pipes, fixtures int) network.System {
	s := network.System{Heater: network.Heater{Node: node(0), Type: network.Storage}}
	for i := range pipes {
		p := metres(1, typeL, "3/4")
		p.ID, p.From, p.To, p.Role = node(i+1), node(i), node(i+1), network.Supply
		s.Pipes = append(s.Pipes, p)
	}
	for i := range fixtures {
		s.Fixtures = append(s.Fixtures, network.Fixture{ID: fmt.Sprint(i), Node: node(pipes), Type: "shower"})
	}
	return s
}

// TestAnswersTooLarge: at the promised size an answer is given, above it is
// refused before it is made.
func TestAnswersTooLarge(t *testing.T) {
	four := []string{"ipc_607_2", "ipc_607_2_2009", "irc_p2905_3", "watersense_3_3_volume"}
	for _, c := range []struct {
		title string
		req   service.DeadLegsRequest
		want  string // pointers of the faults
	}{
		{"as many verdicts as promised", service.DeadLegsRequest{System: crowd(1, mostRows/4), Limits: four}, ""},
		{"more verdicts", service.DeadLegsRequest{System: crowd(1, mostRows/4+1), Limits: four}, "/limits"},
		{"more verdicts of all limits", service.DeadLegsRequest{System: crowd(1, mostRows/len(rule.Limits())+1)}, "/limits"},
		{"as many pipes as promised", service.DeadLegsRequest{System: crowd(1000, mostRows/1000), Limits: four}, ""},
		{"more pipes", service.DeadLegsRequest{System: crowd(1000, mostRows/1000+1), Limits: four}, "/detail"},
		{"more pipes, left out", service.DeadLegsRequest{System: crowd(1000, mostRows/1000+1), Limits: four, OmitPipes: true}, ""},
		{"much working", service.DeadLegsRequest{System: crowd(100, 600), Limits: four, ShowWorking: true}, ""},
		{"too much working", service.DeadLegsRequest{System: crowd(100, 670), Limits: four, ShowWorking: true}, "/show_working"},
		{"too much working without rows", service.DeadLegsRequest{System: crowd(100, 670), Limits: four, OmitPipes: true, ShowWorking: true}, "/show_working"},
		{"too much of all", service.DeadLegsRequest{System: crowd(10, 50_001), Limits: four, ShowWorking: true}, "/limits /detail /show_working"},
	} {
		var faults fault.List
		a := service.DeadLegs(&c.req, &faults)
		if got := tooLarge(t, &faults); got != c.want || (a == nil) != (c.want != "") {
			t.Errorf("%s: %q, answered %v, want %q", c.title, got, a != nil, c.want)
		}
		if a != nil && len(a.Working) > mostRows {
			t.Errorf("%s: %d steps", c.title, len(a.Working))
		}
	}
	for fixtures, want := range map[int]string{600: "", 670: "/show_working"} {
		var faults fault.List
		a := service.WaitTimes(&service.WaitTimesRequest{PlugFlowOnly: true, System: crowd(100, fixtures), ShowWorking: true}, &faults)
		if got := tooLarge(t, &faults); got != want || (a == nil) != (want != "") {
			t.Errorf("waits of %d fixtures: %q, answered %v, want %q", fixtures, got, a != nil, want)
		}
		if a != nil && len(a.Working) > mostRows {
			t.Errorf("waits of %d fixtures: %d steps", fixtures, len(a.Working))
		}
	}
	if a := waitTimes(t, service.WaitTimesRequest{PlugFlowOnly: true, System: crowd(100, 670)}); len(a.Fixtures) != 670 {
		t.Errorf("%d waits without working, want 670", len(a.Fixtures))
	}
}

// tooLarge gives the pointers of the faults, which must all be answer_too_large.
func tooLarge(t *testing.T, faults *fault.List) string {
	t.Helper()
	var at []string
	for _, f := range faults.Faults() {
		if f.Code != fault.AnswerTooLarge {
			t.Errorf("%v", f)
		}
		at = append(at, f.Pointer)
	}
	return strings.Join(at, " ")
}
