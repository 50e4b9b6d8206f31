package service_test

import (
	"slices"
	"testing"

	"recirc/calc/network"
	"recirc/calc/pump"
	"recirc/calc/quantity"
	"recirc/calc/source"
	"recirc/service"
)

func warningCodes(n service.Notes) []string {
	var all []string
	for _, w := range n.Warnings {
		all = append(all, w.Code)
	}
	return all
}

// sound is a design that nobody has a word against: insulated, balanced, checked, and
// turbulent everywhere.
func sound() service.LoopDesignRequest {
	s := comb(3, false)
	s.Fixtures = []network.Fixture{{ID: "tap", Node: "top2", Type: "lavatory_faucet"}}
	return service.LoopDesignRequest{System: s, Target: drop(1.2), LeastFlow: litresPerMinute(4)}
}

// TestASoundLoopHasNoWarning: neither designed nor, built so, simulated.
func TestASoundLoopHasNoWarning(t *testing.T) {
	req := sound()
	a := design(t, req)
	if len(a.Warnings) > 0 {
		t.Errorf("designed: %v", a.Warnings)
	}
	sim := simulate(t, service.LoopSimulationRequest{System: built(req.System, a), Pump: held(a.Duty.Head), Target: req.Target})
	if len(sim.Warnings) > 0 {
		t.Errorf("simulated: %v", sim.Warnings)
	}
	for _, notes := range []service.Notes{a.Notes, sim.Notes} {
		for _, code := range []string{"loop_temperature", "confirm_by_measurement", "scalding"} {
			if !hasCaution(notes.Cautions, code) {
				t.Errorf("%s is not among the cautions", code)
			}
		}
		for _, id := range notes.Sources() {
			if _, ok := source.Find(id); !ok {
				t.Errorf("source %q is not registered", id)
			}
		}
	}
}

// TestWarningsOfLoopDesigns: each is given where it belongs, and is the only one that
// the change brings.
func TestWarningsOfLoopDesigns(t *testing.T) {
	cases := []struct {
		code, pointer string
		change        func(*service.LoopDesignRequest)
	}{
		{"mixing_valve_drifts", "/system/mixing_valve", func(r *service.LoopDesignRequest) {
			r.System.Heater.OutletTemperature = quantity.Celsius(65)
			r.System.MixingValve = &network.MixingValve{OutletTemperature: quantity.Celsius(60), ReturnTo: "heater"}
		}},
		{"no_balancing_valve", "/system/pipes/5", func(r *service.LoopDesignRequest) { r.System.Pipes[5].Valves = nil }},
		{"trace_not_counted", "/system/pipes/0/heat_trace", func(r *service.LoopDesignRequest) { r.System.Pipes[0].HeatTrace = &network.HeatTrace{} }},
		{"no_check_valve", "/system/pipes/2/valves", func(r *service.LoopDesignRequest) {
			for i := range r.System.Pipes {
				if r.System.Pipes[i].ID == "collector0" {
					r.System.Pipes[i].Valves = nil
				}
			}
		}},
		{"fixture_far_from_circulation", "/system/fixtures/1", func(r *service.LoopDesignRequest) {
			r.System.Pipes = append(r.System.Pipes, supply("run", "top1", "shed", 15.3, copper("15x1")))
			r.System.Fixtures = append(r.System.Fixtures, network.Fixture{ID: "hose", Node: "shed", Type: "lavatory_faucet"})
		}},
		{"velocity_over_limit", "/system/pipes/2", func(r *service.LoopDesignRequest) {
			r.System.Pipes[2].Tube = network.TubeSpec{Bore: quantity.Millimetres(7), Outside: quantity.Millimetres(8), Material: "copper"}
		}},
		{"activation_governs", "/system/heater/activation_flow", func(r *service.LoopDesignRequest) {
			r.System.Heater.Type, r.System.Heater.ActivationFlow = network.Tankless, litresPerMinute(20)
		}},
		{"trace_behind_dead_leg", "/system/pipes/13/heat_trace", func(r *service.LoopDesignRequest) {
			r.System.Pipes = append(r.System.Pipes, supply("run", "top1", "a", 5, copper("15x1")), supply("on", "a", "b", 5, copper("15x1")))
			r.System.Pipes[len(r.System.Pipes)-1].HeatTrace = &network.HeatTrace{}
			r.System.Fixtures = append(r.System.Fixtures, network.Fixture{ID: "hose", Node: "b", Type: "lavatory_faucet"})
		}},
	}
	for _, c := range cases {
		req := sound()
		c.change(&req)
		a := design(t, req)
		if !slices.Equal(warningCodes(a.Notes), []string{c.code}) || a.Warnings[0].Pointer != c.pointer {
			t.Errorf("%v, want %s at %s", a.Warnings, c.code, c.pointer)
		}
	}
}

// TestSlowReturnIsWarned: a return of a given size too wide for the least velocity,
// where a greater flow comes from the floor.
func TestSlowReturnIsWarned(t *testing.T) {
	req := sound()
	req.LeastFlow, req.Target = quantity.Flow{}, drop(10)
	for i := range req.System.Pipes {
		if req.System.Pipes[i].ID == "collector1" { // two branches share it
			req.System.Pipes[i].Tube = copper("42x1.5")
		}
	}
	req.Sizing.Rule = "w_553" // 0.2 to 0.5 m/s
	a := design(t, req)
	if !warns(a.Notes, "velocity_below_least") {
		t.Errorf("%v", a.Warnings)
	}
	for _, c := range a.Connections {
		for _, p := range a.Pipes {
			if p.Pipe == c.Pipe && p.Loss.Velocity.MetresPerSecond() < 0.2*(1-1e-9) {
				t.Errorf("%s runs at %v m/s", p.Pipe, p.Loss.Velocity.MetresPerSecond())
			}
		}
		if c.GovernedBy != service.FloorLeastVelocity {
			t.Errorf("%s is governed by %s", c.Pipe, c.GovernedBy)
		}
	}
}

// TestTransitionIsWarned: at Reynolds 2000 to 4000 the friction is a policy.
func TestTransitionIsWarned(t *testing.T) {
	for lpm, warned := range map[float64]bool{0.5: false, 1.1: true, 3: false} { // Re 1700, 3600 and 9900 in 13 mm
		s := ring()
		s.Pipes[0].Tube, s.Pipes[1].Tube = copper("15x1"), copper("15x1")
		a := design(t, service.LoopDesignRequest{System: s, Target: drop(8), LeastFlow: litresPerMinute(lpm)})
		if warns(a.Notes, "transition_flow") != warned {
			t.Errorf("%g L/min, Re %.0f: %v", lpm, a.Pipes[0].Loss.Reynolds, a.Warnings)
		}
	}
}

// TestGreatValveDropIsWarned: above 20 psi the opening of a valve is small enough to
// clog (circulation article series, part 6).
func TestGreatValveDropIsWarned(t *testing.T) {
	s := comb(2, false)
	for i := range s.Pipes {
		if s.Pipes[i].ID == "return1" {
			s.Pipes[i].Tube = network.TubeSpec{Bore: quantity.Millimetres(3), Outside: quantity.Millimetres(5), Material: "copper"}
		}
	}
	req := service.LoopDesignRequest{System: s, Target: drop(5), LeastFlow: litresPerMinute(1.5)}
	if a := design(t, req); !warns(a.Notes, "valve_drop_great") {
		t.Errorf("the far return takes %v kPa: %v", a.Duty.Pressure.Pascals()/1000, a.Warnings)
	}
	req.LeastFlow = litresPerMinute(0.5)
	if a := design(t, req); warns(a.Notes, "valve_drop_great") != (a.Duty.Pressure.Pascals() > 137.9e3) {
		t.Errorf("the far return takes %v kPa: %v", a.Duty.Pressure.Pascals()/1000, a.Warnings)
	}
}

// TestSmallestSettingGoverns: what passes a valve that cannot close further is a floor.
func TestSmallestSettingGoverns(t *testing.T) {
	s := comb(4, false)
	for i := range s.Pipes {
		if s.Pipes[i].ID == "return0" {
			s.Pipes[i].Valves = []network.Valve{{Type: "balancing", Kv: kv(2), SmallestKv: kv(0.5)}}
		}
	}
	req := service.LoopDesignRequest{System: s, Target: drop(2)}
	a := design(t, req)
	c := a.Connections[0]
	if c.GovernedBy != service.FloorValve || c.Valve.Setting != service.ValveSmallest || !near(c.Valve.Kv.SI(), kv(0.5).SI(), 1e-6) {
		t.Errorf("%+v", c)
	}
	compareWithDesign(t, a, simulate(t, service.LoopSimulationRequest{System: built(s, a), Pump: held(a.Duty.Head), Target: req.Target}))
}

// TestWarningsOfLoopSimulations: each has a loop that needs it.
func TestWarningsOfLoopSimulations(t *testing.T) {
	d := design(t, sound())
	stands := built(sound().System, d)
	at := func(s *network.System, id string) *network.Pipe {
		for i := range s.Pipes {
			if s.Pipes[i].ID == id {
				return &s.Pipes[i]
			}
		}
		t.Fatalf("no pipe %s", id)
		return nil
	}
	open := func(r *service.LoopSimulationRequest) { at(&r.System, "collector0").Valves = nil } // no check valve
	heights := func(sign float64) func(r *service.LoopSimulationRequest) {
		return func(r *service.LoopSimulationRequest) {
			r.Pump = service.LoopPump{Mode: pump.Off}
			for i := range 3 {
				r.Elevations = append(r.Elevations, service.NodeElevation{Node: name("top", i), Elevation: quantity.Metres(sign * 6)})
			}
		}
	}
	cases := []struct {
		codes  []string // that it must have
		change func(*service.LoopSimulationRequest)
	}{
		{[]string{"cold_branch"}, func(r *service.LoopSimulationRequest) { r.Pump.SetHead = quantity.Metres(0.01 * d.Duty.Head.Metres()) }},
		{[]string{"over_served_branch"}, func(r *service.LoopSimulationRequest) { r.Pump.SetHead = quantity.Metres(8 * d.Duty.Head.Metres()) }},
		{[]string{"standing_branch"}, func(r *service.LoopSimulationRequest) { at(&r.System, "return1").Valves[0].Kv = kv(0) }},
		{[]string{"standing_branch", "pump_against_closed_valves"}, func(r *service.LoopSimulationRequest) {
			at(&r.System, "collector0").Valves = append(at(&r.System, "collector0").Valves, network.Valve{Type: "ball", Kv: kv(0)})
		}},
		{[]string{"standing_branch", "no_elevations"}, func(r *service.LoopSimulationRequest) { r.Pump = service.LoopPump{Mode: pump.Off} }},
		{[]string{"gravity_flow"}, heights(1)},
		{[]string{"backwards_through_return", "pump_overrun_backwards", "no_check_valve"}, func(r *service.LoopSimulationRequest) {
			open(r)
			r.Pump.SetHead = quantity.Metres(0.001)
			r.Draws = []service.Draw{{Fixture: "tap", Flow: litresPerMinute(40)}}
		}},
		{[]string{"below_activation_flow"}, func(r *service.LoopSimulationRequest) {
			r.System.Heater.Type, r.System.Heater.ActivationFlow = network.PlateExchanger, litresPerMinute(40)
		}},
		{[]string{"not_settled"}, func(r *service.LoopSimulationRequest) {
			for i := range 3 {
				at(&r.System, name("return", i)).Valves = []network.Valve{{
					Type: "thermostatic_balancing", Kv: kv(1), SmallestKv: kv(0), SetTemperature: quantity.Celsius(59), Band: quantity.KelvinDifference(1e-9),
				}}
			}
		}},
		{[]string{"trace_not_counted"}, func(r *service.LoopSimulationRequest) { at(&r.System, "main0").HeatTrace = &network.HeatTrace{} }},
		{[]string{"no_check_valve"}, open},
	}
	for _, c := range cases {
		req := service.LoopSimulationRequest{System: built(stands, &service.LoopDesignAnswer{}), Pump: held(d.Duty.Head), Target: sound().Target}
		c.change(&req)
		a := simulate(t, req)
		for _, code := range c.codes {
			if !warns(a.Notes, code) {
				t.Errorf("%s is not among %v", code, warningCodes(a.Notes))
			}
		}
	}
}
