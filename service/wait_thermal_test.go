package service_test

import (
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/fault"
	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/calc/source"
	"recirc/service"
)

func name(kind string, i int) string { return kind + strconv.Itoa(i) }

// run is a heater at 140 degF and a way to one tap of a flow in gal/min.
func runTo(gpm float64, pipes ...network.Pipe) network.System {
	s := network.System{
		Heater:           network.Heater{Node: "n0", Type: network.Storage, OutletTemperature: degF(140)},
		Defaults:         network.Defaults{Surroundings: &network.Surroundings{Type: "still_air", Temperature: degF(68)}},
		MainsTemperature: degF(50),
	}
	for i, p := range pipes {
		p.ID, p.From, p.To, p.Role = name("p", i), name("n", i), name("n", i+1), network.Supply
		s.Pipes = append(s.Pipes, p)
	}
	s.Fixtures = []network.Fixture{{ID: "tap", Node: name("n", len(pipes)), Type: "shower", HotFlow: quantity.CubicMetresPerSecond(si(quantity.FlowDimension, gpm, "gal/min")), HotFlowBasis: "rated"}}
	return s
}

func thermal(t testing.TB, req *service.WaitTimesRequest) *service.WaitTimesAnswer {
	t.Helper()
	var faults fault.List
	a := service.WaitTimes(req, &faults)
	if a == nil {
		t.Fatal(faults.Err())
	}
	return a
}

// TestMeasuredWaits: a shower 40 ft of 3/4 in copper away waits well over plug
// flow (30 s at 2.0 gal/min), and measured waits lie at 1.2 to 2 times plug flow
// (common practice); the band must hold that.
func TestMeasuredWaits(t *testing.T) {
	w := thermal(t, &service.WaitTimesRequest{System: runTo(2.0, feet(40, "copper_type_l", "3/4"))}).Fixtures[0]
	plug := w.PlugFlow.Seconds()
	if math.Abs(plug-30.2) > 0.3 {
		t.Errorf("plug flow %v s", plug)
	}
	if r := w.Thermal.Expected.Seconds() / plug; r < 1.05 || r > 1.6 {
		t.Errorf("expected is %.2f times plug flow", r)
	}
	if w.Thermal.Expected.Seconds() > w.Thermal.High.Seconds() || w.Thermal.High.Seconds() < 1.2*plug {
		t.Errorf("band %v %v %v", plug, w.Thermal.Expected.Seconds(), w.Thermal.High.Seconds())
	}
}

// TestBand: from a cold start, expected lies between plug flow and high, for any
// way, and the units of a request do not matter because values are SI.
func TestBand(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		series := rapid.SampledFrom([]string{"copper_type_l", "pex_sdr9", "cpvc_cts_sdr11"}).Draw(rt, "series")
		nominal := rapid.SampledFrom([]string{"1/2", "3/4", "1"}).Draw(rt, "nominal")
		s := runTo(rapid.Float64Range(0.5, 5).Draw(rt, "gpm"), feet(rapid.Float64Range(3, 120).Draw(rt, "ft"), series, nominal), feet(10, "pex_sdr9", "1/2"))
		w := thermal(t, &service.WaitTimesRequest{System: s}).Fixtures[0]
		if !w.Thermal.Reached {
			return
		}
		plug, expected, high := w.PlugFlow.Seconds(), w.Thermal.Expected.Seconds(), w.Thermal.High.Seconds()
		if expected < plug*(1-1e-9) || high < expected {
			rt.Fatalf("plug flow %v, expected %v, high %v", plug, expected, high)
		}
	})
}

// TestNeverUsable: a trickle through a long bare pipe never gets hot.
func TestNeverUsable(t *testing.T) {
	a := thermal(t, &service.WaitTimesRequest{System: runTo(0.05, feet(300, "copper_type_l", "3/4"))})
	w := a.Fixtures[0]
	if w.Thermal.Reached || w.Class != "unacceptable" || a.Totals.ByClass["unacceptable"] != 1 {
		t.Errorf("reached %v, class %s", w.Thermal.Reached, w.Class)
	}
	if steady := w.Thermal.Steady.Celsius(); steady < 20 || steady >= 40 {
		t.Errorf("steady %v degC", steady)
	}
	if len(a.Warnings) == 0 || a.Warnings[0].Code != "never_usable" {
		t.Errorf("warnings %v", a.Warnings)
	}
}

// TestThresholds: 105 F takes longer than 40 degC, a rise of 10 F (the voluntary
// programme's test) less.
func TestThresholds(t *testing.T) {
	s := runTo(1.5, feet(50, "copper_type_l", "3/4"))
	wait := func(req *service.WaitTimesRequest) float64 {
		req.System = s
		return thermal(t, req).Fixtures[0].Thermal.Expected.Seconds()
	}
	forty := wait(&service.WaitTimesRequest{})
	hot := wait(&service.WaitTimesRequest{Usable: degF(105)})
	rise := wait(&service.WaitTimesRequest{Rise: quantity.KelvinDifference(10 / 1.8)})
	if !(rise < forty && forty < hot) {
		t.Errorf("10 F rise %v s, 40 degC %v s, 105 F %v s", rise, forty, hot)
	}
}

// TestStarts: the longer it stands after a draw, the longer the wait, up to that
// from the surroundings.
func TestStarts(t *testing.T) {
	s := runTo(1.5, feet(50, "copper_type_l", "3/4"))
	wait := func(start service.Start) float64 {
		return thermal(t, &service.WaitTimesRequest{System: s, Start: start}).Fixtures[0].Thermal.Expected.Seconds()
	}
	last := -1.0
	for _, minutes := range []float64{1, 30, 60, 240, 1440} {
		got := wait(service.Start{State: "left_over", Idle: quantity.Seconds(60 * minutes)})
		if got < last {
			t.Errorf("after %v min %v s, less than before", minutes, got)
		}
		last = got
	}
	if cold := wait(service.Start{}); math.Abs(cold-last) > 0.01*cold {
		t.Errorf("a day after %v s, from cold %v s", last, cold)
	}
	if hot := wait(service.Start{State: "given", Temperature: degF(120)}); hot != 0 {
		t.Errorf("from 120 F %v s", hot)
	}
}

// TestEnergyOnce: heat drawn and heat left are parts of what the heater gave
// above mains, and no more.
func TestEnergyOnce(t *testing.T) {
	a := thermal(t, &service.WaitTimesRequest{System: runTo(1.5, feet(50, "copper_type_l", "3/4"))})
	w := a.Fixtures[0]
	// Left: water and wall from about 140 F to 68 F: 1.257 gal of water (8.2 lb/gal
	// at 104 F) and 50 ft of tube of 0.455 lb/ft (ASTM B88), copper 0.092 Btu/(lb.F).
	want := (1.257*8.2*1.0 + 50*0.455*0.092) * 72 * 1055.056
	if got := w.Thermal.LeftInPipe.Joules(); math.Abs(got-want) > 0.03*want {
		t.Errorf("left in the pipe %v J, want about %v J", got, want)
	}
	// Drawn: less than all of it at 140 F, more than at 68 F, above mains at 50 F.
	litres := w.VolumeDrawn.CubicMetres() * 990 * 4180
	if got := w.Thermal.Drawn.Joules(); got < litres*10*0.98 || got > litres*50 {
		t.Errorf("drawn %v J", got)
	}
	if got := a.Totals.Wasted.Joules(); math.Abs(got-w.Thermal.Drawn.Joules()-w.Thermal.LeftInPipe.Joules()) > 1 {
		t.Errorf("total %v J", got)
	}
}

func TestStartUpDelayThermal(t *testing.T) {
	s := runTo(2, feet(20, "copper_type_l", "3/4"))
	s.Heater.Type = network.Tankless
	at := func(seconds float64) float64 {
		delay := quantity.Seconds(seconds)
		s.Heater.StartUpDelay = &delay
		return thermal(t, &service.WaitTimesRequest{System: s}).Fixtures[0].Thermal.Expected.Seconds()
	}
	if without, with := at(0), at(8); with < without+7 || with > without+11 {
		t.Errorf("%v s without, %v s with a delay of 8 s", without, with)
	}
}

func TestTracedSourceKeepsItsTemperature(t *testing.T) {
	s := runTo(1.5, feet(40, "copper_type_l", "3/4"), feet(10, "copper_type_l", "1/2"))
	s.Pipes[0].HeatTrace = &network.HeatTrace{MaintainedTemperature: degF(110)}
	w := thermal(t, &service.WaitTimesRequest{System: s}).Fixtures[0]
	if got := w.Thermal.Steady.Kelvin(); got > degF(110).Kelvin() || got < degF(108).Kelvin() {
		t.Errorf("steady %v K", got)
	}
}

func TestThermalNotes(t *testing.T) {
	a := thermal(t, &service.WaitTimesRequest{System: runTo(1.5, feet(40, "pex_sdr9", "3/4")), ShowWorking: true, ShowCurves: true})
	for _, code := range []string{"default_usable_temperature", "default_start", "default_emissivity"} {
		if !hasAssumption(a.Assumptions, code) {
			t.Errorf("%s is not among the assumptions", code)
		}
	}
	for _, id := range a.Sources() {
		if _, ok := source.Find(id); !ok {
			t.Errorf("source %q is not registered", id)
		}
	}
	found := map[string]float64{}
	for _, s := range a.Working {
		found[s.Symbol] = s.Value
	}
	w := a.Fixtures[0].Thermal
	if found["t_e"] != w.Expected.Seconds() || found["t_h"] != w.High.Seconds() || found["E_p"] != w.LeftInPipe.Joules() {
		t.Error("the working holds other numbers than the answer")
	}
	if len(w.Curve) < 100 || w.Curve[0].Time.Seconds() != 0 {
		t.Errorf("curve of %d points", len(w.Curve))
	}
}

func TestWaitRequestFaults(t *testing.T) {
	cases := []struct {
		name string
		req  service.WaitTimesRequest
		want string
	}{
		{"both thresholds", service.WaitTimesRequest{Usable: degF(105), Rise: quantity.KelvinDifference(5)}, "/usable_rise usable_ambiguous"},
		{"given without temperature", service.WaitTimesRequest{Start: service.Start{State: "given"}}, "/start/temperature start_incomplete"},
		{"left over without time", service.WaitTimesRequest{Start: service.Start{State: "left_over"}}, "/start/idle_time start_incomplete"},
	}
	for _, c := range cases {
		var faults fault.List
		c.req.System = runTo(1, feet(10, "copper_type_l", "1/2"))
		if a := service.WaitTimes(&c.req, &faults); a != nil || len(faults.Faults()) != 1 || faults.Faults()[0].Pointer+" "+string(faults.Faults()[0].Code) != c.want {
			t.Errorf("%s: %v", c.name, faults.Faults())
		}
	}
}

func BenchmarkThermalWait(b *testing.B) {
	s := runTo(1.5, feet(30, "copper_type_l", "1"), feet(20, "copper_type_l", "3/4"), feet(15, "pex_sdr9", "1/2"))
	b.ReportAllocs()
	for b.Loop() {
		thermal(b, &service.WaitTimesRequest{System: s})
	}
}
