package service_test

import (
	"testing"

	"recirc/calc/fault"
	"recirc/calc/network"
	"recirc/calc/pump"
	"recirc/calc/quantity"
	"recirc/service"
)

// refused is one request that cannot be answered, and why.
type refused struct {
	name    string
	code    fault.Code
	pointer string
}

// TestLoopDesignsRefused: each fault a design can have, where it is.
func TestLoopDesignsRefused(t *testing.T) {
	limit := func(l service.ConnectionLimit) func(*service.LoopDesignRequest) {
		return func(r *service.LoopDesignRequest) { r.Connections = []service.ConnectionLimit{l} }
	}
	warm := func(i int, celsius float64) func(*service.LoopDesignRequest) {
		return func(r *service.LoopDesignRequest) {
			r.System.Pipes[i].Surroundings = &network.Surroundings{Type: "still_air", Temperature: quantity.Celsius(celsius)}
		}
	}
	cases := []struct {
		refused
		change func(*service.LoopDesignRequest)
	}{
		{refused{"no return", fault.ReturnsMissing, "/system/pipes"}, func(r *service.LoopDesignRequest) { r.System.Pipes = r.System.Pipes[:1] }},
		{refused{"a limit for a supply", fault.NotAConnection, "/connections/0/pipe"}, limit(service.ConnectionLimit{Pipe: "main0"})},
		{refused{"a limit for a collector", fault.NotAConnection, "/connections/0/pipe"}, limit(service.ConnectionLimit{Pipe: "collector0"})},
		{refused{"a limit for nothing", fault.PipeUnknown, "/connections/0/pipe"}, limit(service.ConnectionLimit{Pipe: "nowhere"})},
		{refused{"two targets", fault.TargetIncomplete, "/connections/0/least_temperature"}, func(r *service.LoopDesignRequest) {
			r.Target = atHeater(5)
			limit(service.ConnectionLimit{Pipe: "return0", LeastTemperature: quantity.Celsius(50)})(r)
		}},
		{refused{"as hot as the outlet", fault.TargetOutOfReach, "/target"}, func(r *service.LoopDesignRequest) {
			r.Target = service.LoopTarget{At: service.AtConnections, Temperature: quantity.Celsius(60)}
		}},
		{refused{"hotter than the outlet, at the heater", fault.TargetOutOfReach, "/target"}, func(r *service.LoopDesignRequest) {
			r.Target = service.LoopTarget{At: service.AtHeater, Temperature: quantity.Celsius(61)}
		}},
		{refused{"one connection hotter than the outlet", fault.TargetOutOfReach, "/connections/0/least_temperature"},
			limit(service.ConnectionLimit{Pipe: "return1", LeastTemperature: quantity.Celsius(60.5)})},
		{refused{"a shaft warmer than the target", fault.TargetOutOfReach, "/target"}, warm(1, 57)},
		{refused{"a cellar warmer than the return at the heater", fault.TargetOutOfReach, "/target"}, func(r *service.LoopDesignRequest) {
			warm(0, 70)(r)
			r.Target = atHeater(5)
		}},
		{refused{"a closed valve", fault.NetworkUnsolvable, "/system/pipes/2/valves/0/kv"}, func(r *service.LoopDesignRequest) {
			r.System.Pipes[2].Valves = []network.Valve{balancing(0)}
		}},
		{refused{"colder than the surroundings", fault.TargetOutOfReach, "/target"}, func(r *service.LoopDesignRequest) {
			r.Target = service.LoopTarget{At: service.AtReturnEnds, Temperature: quantity.Celsius(15)}
		}},
		{refused{"more than any tube carries", fault.NoSizeFits, "/system/pipes/2/tube"}, func(r *service.LoopDesignRequest) {
			limit(service.ConnectionLimit{Pipe: "return0", LeastFlow: quantity.CubicMetresPerSecond(1)})(r)
		}},
		{refused{"a rule that is silent about PEX", fault.NoSizeFits, "/system/pipes/2/tube"}, func(r *service.LoopDesignRequest) {
			r.System.Pipes[2].Tube, r.Sizing.Rule = network.TubeSpec{Series: "pex_sdr9"}, "copper_handbook"
		}},
		{refused{"no series to choose from", fault.TubeSeriesMissing, "/system/pipes/2/tube/series"}, func(r *service.LoopDesignRequest) {
			r.System.Pipes[2].Tube = network.TubeSpec{}
		}},
		{refused{"Hazen and Williams without C", fault.FieldMissing, "/losses/hazen_williams_c"}, func(r *service.LoopDesignRequest) { r.Losses.Friction = "hazen_williams" }},
	}
	for _, c := range cases {
		req := service.LoopDesignRequest{System: comb(2, false), Target: drop(5)}
		c.change(&req)
		var faults fault.List
		a := service.LoopDesign(&req, &faults)
		expect(t, c.refused, a == nil, faults.Faults())
	}
}

func expect(t *testing.T, want refused, none bool, got []fault.Fault) {
	t.Helper()
	if !none || len(got) == 0 || got[0].Code != want.code || got[0].Pointer != want.pointer {
		t.Errorf("%s: %v, want %s at %s", want.name, got, want.code, want.pointer)
	}
}

// standing is a loop as it stands, with a fixture at the top of its first riser.
func standing() service.LoopSimulationRequest {
	s := comb(2, false)
	for i := range s.Pipes {
		if s.Pipes[i].Role == network.Return {
			s.Pipes[i].Tube = copper("15x1")
		}
	}
	s.Fixtures = []network.Fixture{{ID: "tap", Node: "top0", Type: "lavatory_faucet"}}
	return service.LoopSimulationRequest{System: s, Pump: held(quantity.Metres(1)), Target: drop(5)}
}

// TestLoopSimulationsRefused: each fault a simulation can have, where it is.
func TestLoopSimulationsRefused(t *testing.T) {
	curve := func(points ...float64) []pump.Point {
		var c []pump.Point
		for i := 0; i < len(points); i += 2 {
			c = append(c, pump.Point{Flow: litresPerMinute(points[i]), Head: quantity.Metres(points[i+1])})
		}
		return c
	}
	thermostatic := network.Valve{Type: "thermostatic_balancing", Kv: kv(1), SmallestKv: kv(0.1), SetTemperature: quantity.Celsius(55)}
	cases := []struct {
		refused
		change func(*service.LoopSimulationRequest)
	}{
		{refused{"no return", fault.ReturnsMissing, "/system/pipes"}, func(r *service.LoopSimulationRequest) {
			r.System.Pipes, r.System.Fixtures = r.System.Pipes[:2], nil
		}},
		{refused{"an open size", fault.TubeIncomplete, "/system/pipes/2/tube/nominal"}, func(r *service.LoopSimulationRequest) { r.System.Pipes[2].Tube = openCopper() }},
		{refused{"a draw at nothing", fault.FixtureUnknown, "/draws/0/fixture"}, func(r *service.LoopSimulationRequest) { r.Draws = []service.Draw{{Fixture: "nowhere"}} }},
		{refused{"a draw without a flow", fault.HotFlowMissing, "/draws/0/flow"}, func(r *service.LoopSimulationRequest) {
			r.System.Fixtures[0].Type = "clothes_washer"
			r.Draws = []service.Draw{{Fixture: "tap"}}
		}},
		{refused{"the height of nothing", fault.NodeUnknown, "/node_elevations/0/node"}, func(r *service.LoopSimulationRequest) {
			r.Elevations = []service.NodeElevation{{Node: "nowhere"}}
		}},
		{refused{"measured at nothing", fault.PipeUnknown, "/measured_returns/0/pipe"}, func(r *service.LoopSimulationRequest) {
			r.Measured = []service.MeasuredReturn{{Pipe: "nowhere", Temperature: quantity.Celsius(50)}}
		}},
		{refused{"measured at a collector", fault.NotAConnection, "/measured_returns/0/pipe"}, func(r *service.LoopSimulationRequest) {
			r.Measured = []service.MeasuredReturn{{Pipe: "collector0", Temperature: quantity.Celsius(50)}}
		}},
		{refused{"a draw that is cut off", fault.NetworkUnsolvable, "/draws/0"}, func(r *service.LoopSimulationRequest) {
			for _, i := range []int{1, 2} {
				r.System.Pipes[i].Valves = []network.Valve{{Type: "ball", Kv: kv(0)}}
			}
			r.Draws = []service.Draw{{Fixture: "tap"}}
		}},
		{refused{"flows in disorder", fault.CurveFlowDecreasing, "/pump/curve/2"}, func(r *service.LoopSimulationRequest) {
			r.Pump = service.LoopPump{Mode: pump.ConstantSpeed, Curve: curve(0, 2, 10, 1, 5, 0.5)}
		}},
		{refused{"one point", fault.CurveAtOneFlow, "/pump/curve"}, func(r *service.LoopSimulationRequest) {
			r.Pump = service.LoopPump{Mode: pump.ConstantSpeed, Curve: curve(0, 2)}
		}},
		{refused{"beyond the curve", fault.CurveTooShort, "/pump/curve"}, func(r *service.LoopSimulationRequest) {
			r.Pump = service.LoopPump{Mode: pump.ConstantSpeed, Curve: curve(0, 6, 0.5, 5.9)}
		}},
		{refused{"no flow for proportional pressure", fault.PumpIncomplete, "/pump"}, func(r *service.LoopSimulationRequest) {
			r.Pump.Mode = pump.ProportionalPressure
		}},
		{refused{"a thermostat without a smallest Kv", fault.ValveIncomplete, "/system/pipes/2/valves"}, func(r *service.LoopSimulationRequest) {
			v := thermostatic
			v.SmallestKv = nil
			r.System.Pipes[2].Valves = []network.Valve{v}
		}},
		{refused{"a thermostat without a temperature", fault.ValveIncomplete, "/system/pipes/2/valves"}, func(r *service.LoopSimulationRequest) {
			v := thermostatic
			v.SetTemperature = quantity.Temperature{}
			r.System.Pipes[2].Valves = []network.Valve{v}
		}},
		{refused{"Hazen and Williams without C", fault.FieldMissing, "/losses/hazen_williams_c"}, func(r *service.LoopSimulationRequest) { r.Losses.Friction = "hazen_williams" }},
	}
	for _, c := range cases {
		req := standing()
		c.change(&req)
		var faults fault.List
		a := service.LoopSimulation(&req, &faults)
		expect(t, c.refused, a == nil, faults.Faults())
	}
}

// TestLoopFaultsAllAtOnce: what is wrong with the pump hides nothing of the draws.
func TestLoopFaultsAllAtOnce(t *testing.T) {
	req := standing()
	req.Pump = service.LoopPump{Mode: pump.ConstantSpeed, Curve: []pump.Point{{}}}
	req.Draws = []service.Draw{{Fixture: "nowhere"}}
	req.Measured = []service.MeasuredReturn{{Pipe: "nowhere"}}
	var faults fault.List
	if a := service.LoopSimulation(&req, &faults); a != nil || len(faults.Faults()) < 3 {
		t.Errorf("%v", faults.Faults())
	}
}
