package service_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/fault"
	"recirc/calc/network"
	"recirc/calc/pump"
	"recirc/calc/quantity"
	"recirc/calc/water"
	"recirc/service"
)

// selectPumps answers a request that is right.
func selectPumps(t rapid.TB, req service.PumpSelectionRequest) *service.PumpSelectionAnswer {
	t.Helper()
	var faults fault.List
	a := service.PumpSelection(&req, &faults)
	if a == nil || !faults.Empty() {
		t.Fatal(faults.Err())
	}
	return a
}

// parabolic is an invented pump whose head falls with the square of the flow, from
// a shut-off head to none, in so many steps. It is approved for drinking water.
func parabolic(id string, shutOff quantity.Length, last quantity.Flow, steps int) service.PumpCandidate {
	c := service.PumpCandidate{ID: id, Approved: new(bool)}
	*c.Approved = true
	for i := range steps + 1 {
		x := float64(i) / float64(steps)
		c.Curve = append(c.Curve, pump.Point{Flow: quantity.CubicMetresPerSecond(x * last.CubicMetresPerSecond()), Head: quantity.Metres(shutOff.Metres() * (1 - x*x))})
	}
	return c
}

// of asks for pumps for the loop of a system.
func of(s network.System, least quantity.Flow, candidates ...service.PumpCandidate) service.PumpSelectionRequest {
	return service.PumpSelectionRequest{
		Duty: service.DutyRequest{Basis: service.DutyByHeatLoss}, HasSystem: true,
		Loop: service.LoopDesignRequest{System: s, Target: drop(5), LeastFlow: least}, Candidates: candidates,
	}
}

// TestNameplateAgainstOperatingPoint is case B01, as [TestLeakingReturn] has it: what
// an existing pump does in a return of 250 ft. At its nameplate's 16 gal/min the
// water would have 6.221 ft/s (2 %); it runs at 8.27 gal/min and 3.21 ft/s (15 %).
func TestNameplateAgainstOperatingPoint(t *testing.T) {
	s := house(
		supply("out", "heater", "far", length(125, "ft").Metres(), typeLTube("1")),
		back("back", "far", "heater", length(125, "ft").Metres(), typeLTube("1")))
	s.Heater.OutletTemperature = degF(128)
	req := of(s, gallonsPerMinute(3), parabolic("old", length(14, "ft"), gallonsPerMinute(16), 16))
	req.Limits.Velocity = quantity.MetresPerSecond(si(quantity.VelocityDimension, 3, "ft/s"))
	a := selectPumps(t, req)
	r := a.Pumps[0]
	if got, v := gpm(r.At.Flow), feetPerSecond(r.Velocity); !near(got, 8.27, 0.15) || !near(v, 3.21, 0.15) {
		t.Errorf("%.2f gal/min, %.2f ft/s, want 8.27 and 3.21", got, v)
	} else if nameplate := v * gpm(r.At.LargestOn) / got; !near(nameplate, 6.221024, 0.02) {
		t.Errorf("16 gal/min would be %.3f ft/s, want 6.221", nameplate)
	}
	if !warns(a.Notes, "nameplate_flow") || !hasCaution(a.Cautions, "erosion_corrosion") {
		t.Errorf("no word of the nameplate or of erosion: %v %v", warningCodes(a.Notes), a.Cautions)
	}
	if r.Accepted || len(r.Rejections) != 1 || r.Rejections[0].Code != service.VelocityLimit || a.Miss == nil || a.Miss.ID != "old" || len(a.Miss.Changes) != 1 {
		t.Errorf("with a limit of 3 ft/s: %+v, %+v", r.Rejections, a.Miss)
	}
}

// TestOnDemandPumpIsSizedByTime is case B07: 60 ft of 3/4 in PEX, of which the case
// has a bore of 0.681 in, in 30 s are 2.270569 gal/min at 2.0 ft/s.
func TestOnDemandPumpIsSizedByTime(t *testing.T) {
	s := way(basin(), boreFeet(60, 0.681))
	req := service.PumpSelectionRequest{
		Duty:      service.DutyRequest{Basis: service.DutyByFillTime, Time: quantity.Seconds(30), Fixture: "tap"},
		HasSystem: true, Loop: service.LoopDesignRequest{System: s},
		Candidates: []service.PumpCandidate{parabolic("any", length(20, "ft"), gallonsPerMinute(5), 10)},
	}
	a := selectPumps(t, req)
	if got := gpm(a.Duty.Flow); !near(got, 2.270569, 1e-5) {
		t.Errorf("%.6f gal/min, want 2.270569", got)
	}
	if got := feetPerSecond(a.Tightest.Velocity); !near(got, 2, 1e-3) {
		t.Errorf("%.3f ft/s, want 2", got)
	}
	if !warns(a.Notes, "sensor_threshold") || !hasAssumption(a.Assumptions, "cold_line_as_supply") || a.Circulation != nil {
		t.Errorf("%v, %v", warningCodes(a.Notes), a.Assumptions)
	}
	byVolume := service.PumpSelectionRequest{
		Duty:       service.DutyRequest{Basis: service.DutyByFillTime, Time: quantity.Seconds(30), Volume: a.Volume, Head: a.Duty.Head},
		Candidates: req.Candidates,
	}
	if b := selectPumps(t, byVolume); b.Duty.Flow != a.Duty.Flow || b.Tightest != nil {
		t.Errorf("by volume %v, by the way %v", b.Duty.Flow, a.Duty.Flow)
	}
}

// TestFillStopsWhereTheReturnStarts: a return in the middle of the way takes the
// water back from there, and its pipes count in place of a cold line.
func TestFillStopsWhereTheReturnStarts(t *testing.T) {
	s := house(
		supply("main", "heater", "tee", 12, copper("22x1")), supply("leg", "tee", "tap", 5, copper("15x1")),
		back("back", "tee", "heater", 12, copper("15x1")))
	s.Fixtures = []network.Fixture{{ID: "tap", Node: "tap", Type: "shower"}}
	req := service.PumpSelectionRequest{
		Duty:      service.DutyRequest{Basis: service.DutyByFillTime, Time: quantity.Seconds(30), Fixture: "tap"},
		HasSystem: true, Loop: service.LoopDesignRequest{System: s},
		Candidates: []service.PumpCandidate{parabolic("any", quantity.Metres(4), litresPerMinute(30), 10)},
	}
	a := selectPumps(t, req)
	if want := math.Pi / 4 * 0.02 * 0.02 * 12; !near(a.Volume.CubicMetres(), want, 1e-9) {
		t.Errorf("%g m3 are filled, want %g", a.Volume.CubicMetres(), want)
	}
	if a.Tightest.Pipe != "back" || hasAssumption(a.Assumptions, "cold_line_as_supply") || a.Curve.Origin != service.CurveOfWay {
		t.Errorf("%+v, %v", a.Tightest, a.Curve.Statement)
	}
}

// TestWayCountsAllThatIsOnIt: without a return the cold line takes as much as the hot
// one; a heater takes its rated loss, scaled, and a mixing valve what its Kv says.
func TestWayCountsAllThatIsOnIt(t *testing.T) {
	head := func(change func(*network.System)) (m, m3s float64) {
		s := way(basin(), boreFeet(60, 0.681))
		change(&s)
		a := selectPumps(t, service.PumpSelectionRequest{
			Duty:      service.DutyRequest{Basis: service.DutyByFillTime, Time: quantity.Seconds(30), Fixture: "tap"},
			HasSystem: true, Loop: service.LoopDesignRequest{System: s},
			Candidates: []service.PumpCandidate{parabolic("any", length(20, "ft"), gallonsPerMinute(5), 10)},
		})
		return a.Duty.Head.Metres(), a.Duty.Flow.CubicMetresPerSecond()
	}
	coldLine, q := head(func(*network.System) {})
	returned, _ := head(func(s *network.System) { // by a return of the same length and bore
		last := s.Pipes[len(s.Pipes)-1]
		s.Pipes = append(s.Pipes, network.Pipe{ID: "back", From: last.To, To: s.Heater.Node, Role: network.Return, Length: last.Length, Tube: last.Tube})
	})
	if !near(coldLine, returned, 1e-9) {
		t.Errorf("by the cold line %g m, by a return as long %g", coldLine, returned)
	}
	heater, _ := head(func(s *network.System) {
		s.Heater.RatedLoss = &network.RatedLoss{Flow: quantity.CubicMetresPerSecond(2 * q), Head: quantity.Metres(4)}
	})
	w, _ := water.At(quantity.Celsius(60))
	if want := 4.0 / 4; !near(heater-coldLine, want, 0.02) { // a head of cold water is quoted
		t.Errorf("the heater takes %g m, want %g", heater-coldLine, want)
	}
	mixed, _ := head(func(s *network.System) {
		s.MixingValve = &network.MixingValve{OutletTemperature: quantity.Celsius(60), Kv: *kv(1)}
	})
	bar := math.Pow(3600*q, 2) * w.Density / 1000
	if want := bar * 1e5 / (w.Density * quantity.StandardGravity); !near(mixed-coldLine, want, 0.02) {
		t.Errorf("the mixing valve takes %g m, want %g", mixed-coldLine, want)
	}
}

// TestVelocityLimitOfTheRule: a limit of the sizing rule rejects a pump that breaks
// it in a pipe that keeps it at the duty. A pipe that is over it at the duty already
// is the fault of the pipe, and the design warns.
func TestVelocityLimitOfTheRule(t *testing.T) {
	strong := parabolic("strong", quantity.Metres(8), litresPerMinute(60), 40)
	tube := copper("15x1")
	s := house(supply("main", "heater", "far", 20, copper("22x1")), back("home", "far", "heater", 20, tube, balancing(4), check()))
	a := selectPumps(t, of(s, litresPerMinute(3), strong))
	r := a.Pumps[0]
	v := r.Velocity.MetresPerSecond()
	if a.Tightest.Pipe != "home" || r.Accepted {
		t.Fatalf("%+v, %v", a.Tightest, r.Rejections)
	}
	if got := rejections(&r); !slices.Equal(got, []service.RejectionCode{service.VelocityLimit}) || r.Rejections[0].Value != v || r.Rejections[0].Limit >= v {
		t.Errorf("at %g m/s: %+v", v, r.Rejections)
	}
	req := of(s, litresPerMinute(3), strong)
	req.Loop.Sizing.GreatestVelocity = quantity.MetresPerSecond(0.01) // which no pipe keeps at the duty
	if a := selectPumps(t, req); !a.Pumps[0].Accepted || !warns(a.Notes, "velocity_over_limit") {
		t.Errorf("%+v, %v", a.Pumps[0].Rejections, warningCodes(a.Notes))
	}
}

// TestHeadIsNotAddedTwice is case H05: a heater quoted with 16 ft at 9.8 gal/min takes
// 1.04 ft at 2.5, and the pump is selected for 7 to 10 ft. One that was selected with
// the 16 ft on top gives far more than the duty.
func TestHeadIsNotAddedTwice(t *testing.T) {
	s := house(
		supply("out", "heater", "far", length(50, "ft").Metres(), typeLTube("3/4")),
		back("back", "far", "heater", length(50, "ft").Metres(), typeLTube("1/2")))
	s.Heater.RatedLoss = &network.RatedLoss{Flow: gallonsPerMinute(9.8), Head: length(16, "ft")}
	selected := func(id string, ft float64) service.PumpCandidate { // at 2.5 gal/min, a third of its shut-off head below it
		return parabolic(id, length(1.5*ft, "ft"), quantity.CubicMetresPerSecond(gallonsPerMinute(2.5).CubicMetresPerSecond()*math.Sqrt(3)), 40)
	}
	most := 0.2
	req := of(s, gallonsPerMinute(2.5), selected("16 ft on top", 5.94+16), selected("scaled", 7))
	req.Limits.Excess = &most
	a := selectPumps(t, req)
	if got := inFeet(a.Duty.Head); got < 6.5 || got > 10 || !near(gpm(a.Duty.Flow), 2.5, 1e-9) {
		t.Errorf("%.2f ft at %.3f gal/min, the case selects 7 to 10 at 2.5", got, gpm(a.Duty.Flow))
	}
	if first := a.Pumps[0]; first.ID != "scaled" || !first.Accepted || *first.Excess > 0.05 {
		t.Errorf("first is %s, %+v", first.ID, first.Rejections)
	}
	if last := a.Pumps[1]; last.Accepted || last.Rejections[0].Code != service.ExcessFlow || *last.ExcessHead < 1.5 {
		t.Errorf("with 16 ft on top: %+v, %v over", last.Rejections, *last.ExcessHead)
	}
}

// TestPumpOfSixteenReturns is worked_examples.md EX-02, as [TestPumpHeadOfSixteenReturns]
// has it: 8 gal/min, and a pump of 13 ft there, which plausible pipes need within 15 %.
// A pump by the rule of 4 ft for 100 ft, 19.2 ft, has 48 % more than 13 ft.
func TestPumpOfSixteenReturns(t *testing.T) {
	s := office(true)
	at8 := func(id string, ft float64) service.PumpCandidate {
		return parabolic(id, length(ft*4/3, "ft"), gallonsPerMinute(16), 64)
	}
	req := of(s, gallonsPerMinute(0.5), at8("by the pipes", 13*1.15), at8("by the rule", 19.2), at8("too weak", 13*0.8))
	req.Loop.Target = drop(20)
	a := selectPumps(t, req)
	if !near(gpm(a.Duty.Flow), 8, 1e-9) || !near(inFeet(a.Duty.Head), 13, 0.15) {
		t.Errorf("%.3f gal/min, %.1f ft, want 8 and 13", gpm(a.Duty.Flow), inFeet(a.Duty.Head))
	}
	got := map[string]service.RankedPump{}
	for _, r := range a.Pumps {
		got[r.ID] = r
	}
	if !got["by the pipes"].Accepted || !got["by the rule"].Accepted || got["too weak"].Accepted {
		t.Errorf("%+v", a.Pumps)
	}
	rule, pipes := *got["by the rule"].ExcessHead, *got["by the pipes"].ExcessHead
	if !near((1+rule)/(1+pipes), 19.2/(13*1.15), 1e-3) || *got["by the rule"].Excess <= *got["by the pipes"].Excess {
		t.Errorf("heads over the duty by %.3f and %.3f", rule, pipes)
	}
}

// TestSelectionMeetsTheSimulation asks the solver of networks where a pump runs in a
// loop as it was designed. A ring has one circuit; in others the flows shift between
// the circuits, which the selection says. The water's temperature, by which friction
// is taken, changes with the flow: within 1 % and 3 %.
func TestSelectionMeetsTheSimulation(t *testing.T) {
	for name, within := range map[string]float64{"ring": 0.01, "comb": 0.03, "reversed comb": 0.03, "mid-tree": 0.03, "tankless": 0.01} {
		s := loops()[name]
		d := design(t, service.LoopDesignRequest{System: s, Target: drop(5), LeastFlow: litresPerMinute(1)})
		for _, strength := range []float64{0.6, 1, 2.5} {
			duty := d.Duty
			duty.Head = quantity.Metres(strength * duty.Head.Metres())
			p := through(duty)
			req := of(loops()[name], litresPerMinute(1), service.PumpCandidate{ID: "p", Curve: p.Curve})
			r := selectPumps(t, req).Pumps[0]
			found := simulate(t, service.LoopSimulationRequest{System: built(s, d), Pump: p})
			if r.At == nil {
				t.Errorf("%s, %g: %+v", name, strength, r.Rejections)
			} else if got, want := r.At.Flow.CubicMetresPerSecond(), found.Circulation.Flow.CubicMetresPerSecond(); !near(got, want, within) {
				t.Errorf("%s, %g times the head: %.5g L/min, the simulation finds %.5g", name, strength, 6e4*got, 6e4*want)
			}
		}
	}
}
