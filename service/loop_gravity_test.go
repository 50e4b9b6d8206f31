package service_test

import (
	"testing"

	"recirc/calc/network"
	"recirc/calc/pump"
	"recirc/calc/quantity"
	"recirc/service"
)

// chimney is a loop whose riser goes up some metres and whose return comes down.
func chimney(up float64) service.LoopSimulationRequest {
	s := house(
		supply("riser", "heater", "top", 8, copper("22x1")),
		back("down", "top", "low", 8, copper("22x1")),
		back("home", "low", "heater", 2, copper("22x1")))
	return service.LoopSimulationRequest{
		System: s, Pump: service.LoopPump{Mode: pump.Off}, Target: drop(5),
		Elevations: []service.NodeElevation{{Node: "top", Elevation: quantity.Metres(up)}, {Node: "low"}},
	}
}

// TestGravityDrivesAChimney: water goes up warm and comes down cooler, and goes on;
// below the heater it has no reason to. What drives it is what the flow takes.
func TestGravityDrivesAChimney(t *testing.T) {
	last := 0.0
	for _, up := range []float64{2, 4, 8} {
		a := simulate(t, chimney(up))
		q := a.Circulation.Flow.CubicMetresPerSecond()
		if q <= last || !warns(a.Notes, "gravity_flow") || warns(a.Notes, "not_settled") || !hasCaution(a.Cautions, "stagnant_water") {
			t.Errorf("%g m up: %v m3/s after %v, %v", up, q, last, warningCodes(a.Notes))
		}
		if a.Pump.Head != (quantity.Length{}) || a.Balance.Energy > 1e-9 {
			t.Errorf("a pump that is off has %v, %+v", a.Pump.Head, a.Balance)
		}
		last = q
	}
	if a := simulate(t, chimney(-4)); a.Circulation.Flow.CubicMetresPerSecond() > 1e-9 || warns(a.Notes, "gravity_flow") || a.Connections[0].State != service.StandsIdle {
		t.Errorf("below the heater: %v, %v", a.Circulation.Flow, warningCodes(a.Notes))
	}
}

// TestGravityReverses: where the supply drops into a crawl space before it rises, hot
// water would rather go up the return. A check valve stops it.
func TestGravityReverses(t *testing.T) {
	s := house(
		supply("drop", "heater", "crawl", 5, copper("22x1")),
		supply("riser", "crawl", "loft", 10, copper("22x1")),
		supply("loft", "loft", "far", 10, copper("22x1")),
		back("home", "far", "heater", 10, copper("22x1")))
	for _, i := range []int{0, 1, 3} {
		s.Pipes[i].Insulation = foam(1)
	}
	s.Pipes[2].Insulation = foam(40)
	req := service.LoopSimulationRequest{System: s, Pump: service.LoopPump{Mode: pump.Off}, Target: drop(5)}
	for node, z := range map[string]float64{"crawl": -4, "loft": 4, "far": 4} {
		req.Elevations = append(req.Elevations, service.NodeElevation{Node: node, Elevation: quantity.Metres(z)})
	}
	a := simulate(t, req)
	if a.Circulation.Flow.CubicMetresPerSecond() > -1e-6 || !warns(a.Notes, "gravity_flow_reversed") || a.Connections[0].State != service.Backwards {
		t.Errorf("%v, %v", a.Circulation.Flow, a.Warnings)
	}
	s.Pipes[3].Valves = []network.Valve{check()}
	if a := simulate(t, req); a.Circulation.Flow.CubicMetresPerSecond() < -1e-9 || warns(a.Notes, "gravity_flow_reversed") {
		t.Errorf("with a check valve %v, %v", a.Circulation.Flow, a.Warnings)
	}
}

// TestThermostatsBalance: thermostatic valves bring their branches together: the
// spread of return temperatures is less than with the valves left open, and each is
// where its water has it.
func TestThermostatsBalance(t *testing.T) {
	spread := func(v network.Valve) (kelvin float64, a *service.LoopSimulationAnswer) {
		s := comb(5, false)
		for i := range s.Pipes {
			if s.Pipes[i].Role == network.Return {
				s.Pipes[i].Tube = copper("15x1")
			}
			if len(s.Pipes[i].Valves) > 0 && s.Pipes[i].Valves[0].Type == "balancing" {
				s.Pipes[i].Valves = []network.Valve{v}
			}
		}
		a = simulate(t, service.LoopSimulationRequest{System: s, Pump: held(quantity.Metres(0.5)), Target: drop(3)})
		least, most := 1e9, 0.0
		for _, c := range a.Connections {
			T := c.Valve.Temperature.Kelvin()
			least, most = min(least, T), max(most, T)
			if v.Type == "thermostatic_balancing" {
				share := (T - v.SetTemperature.Kelvin() + 2) / 4
				want := v.Kv.SI() - min(max(share, 0), 1)*(v.Kv.SI()-v.SmallestKv.SI())
				if !near(c.Valve.Kv.SI(), want, 1e-5) {
					t.Errorf("%s has Kv %v at %v, want %v", c.Pipe, c.Valve.Kv.SI(), T, want)
				}
			}
		}
		return most - least, a
	}
	open, _ := spread(balancing(1))
	moving, a := spread(network.Valve{
		Type: "thermostatic_balancing", Kv: kv(1), SmallestKv: kv(0.05),
		SetTemperature: quantity.Celsius(57), Band: quantity.KelvinDifference(4),
	})
	if moving > 0.8*open || warns(a.Notes, "not_settled") {
		t.Errorf("the spread is %v K, with open valves %v; %v", moving, open, warningCodes(a.Notes))
	}
	for _, c := range a.Connections {
		if c.Valve.Setting == service.ValveAsSet {
			t.Errorf("%s is %s", c.Pipe, c.Valve.Setting)
		}
	}
}
