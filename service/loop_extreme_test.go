package service_test

import (
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/fault"
	"recirc/calc/network"
	"recirc/calc/pump"
	"recirc/calc/quantity"
	"recirc/service"
)

// finite fails where an answer holds a number that is none, at any depth.
func finite(t rapid.TB, at string, v reflect.Value) {
	t.Helper()
	switch v.Kind() {
	case reflect.Float64:
		if x := v.Float(); math.IsNaN(x) || math.IsInf(x, 0) {
			t.Fatalf("%s is %v", at, x)
		}
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() && v.Type() != reflect.TypeFor[*quantity.Dimension]() {
			finite(t, at, v.Elem())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			finite(t, at+"."+v.Type().Field(i).Name, v.Field(i))
		}
	case reflect.Slice:
		for i := range v.Len() {
			finite(t, at, v.Index(i))
		}
	}
}

// wild changes a loop to what no building has, and what people type all the same.
func wild(t *rapid.T, s *network.System) {
	lengths := []float64{1e-6, 1e-3, 1, 30, 1e3, 1e6}
	around := []float64{-40, 0, 20, 59.999, 60, 80}
	for i := range s.Pipes {
		p := &s.Pipes[i]
		if rapid.IntRange(0, 2).Draw(t, "wild") == 0 {
			p.Length = quantity.Metres(rapid.SampledFrom(lengths).Draw(t, "m"))
			p.Surroundings = &network.Surroundings{Type: "still_air", Temperature: quantity.Celsius(rapid.SampledFrom(around).Draw(t, "degC"))}
		}
		switch rapid.IntRange(0, 7).Draw(t, "fitted") {
		case 0:
			p.HeatTrace = &network.HeatTrace{}
		case 1:
			p.Valves = append(p.Valves, network.Valve{Type: "ball", Kv: kv(rapid.SampledFrom([]float64{0, 1e-6, 1, 1e6}).Draw(t, "kv"))})
		case 2:
			p.Valves = append(p.Valves, network.Valve{Type: "balancing", SmallestKv: kv(rapid.SampledFrom([]float64{0, 0.1, 10}).Draw(t, "smallest"))})
		case 3:
			p.Tube = network.TubeSpec{Bore: quantity.Millimetres(rapid.SampledFrom([]float64{1, 5, 1000}).Draw(t, "bore"))}
		}
	}
	s.Heater.OutletTemperature = quantity.Celsius(rapid.SampledFrom([]float64{1, 20, 60, 95}).Draw(t, "outlet"))
	if rapid.IntRange(0, 3).Draw(t, "mixing") == 0 {
		s.MixingValve = &network.MixingValve{OutletTemperature: quantity.Celsius(50), ReturnTo: rapid.SampledFrom([]string{"", "both", "heater", "mixing_valve"}).Draw(t, "to")}
	}
	s.Fixtures = []network.Fixture{{ID: "tap", Node: s.Pipes[0].To, Type: "lavatory_faucet"}}
}

// TestWildLoopsAreAnsweredOrRefused: with numbers, or with faults; never with
// something else.
func TestWildLoopsAreAnsweredOrRefused(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawLoop(t)
		wild(t, &s)
		target := drawTarget(t)
		target.Drop = quantity.KelvinDifference(rapid.SampledFrom([]float64{0.001, 0.0011, 0.01, 3, 40}).Draw(t, "drop"))
		var faults fault.List
		a := service.LoopDesign(&service.LoopDesignRequest{System: s, Target: target, ShowWorking: true}, &faults)
		if (a == nil) == faults.Empty() {
			t.Fatalf("answer %v with faults %v", a, faults.Faults())
		}
		if a != nil {
			finite(t, "design", reflect.ValueOf(a))
		}
		simulateWild(t, s, target)
	})
}

func simulateWild(t *rapid.T, s network.System, target service.LoopTarget) {
	for i := range s.Pipes {
		if s.Pipes[i].Tube == openCopper() {
			s.Pipes[i].Tube = copper("15x1")
		}
		for k := range s.Pipes[i].Valves {
			if v := &s.Pipes[i].Valves[k]; v.SmallestKv != nil {
				*v = network.Valve{Type: "thermostatic_balancing", Kv: kv(1), SmallestKv: kv(0), SetTemperature: quantity.Celsius(55), Band: quantity.KelvinDifference(rapid.SampledFrom([]float64{0.01, 5}).Draw(t, "band"))}
			}
		}
	}
	req := service.LoopSimulationRequest{System: s, Target: target, ShowWorking: true}
	switch rapid.IntRange(0, 3).Draw(t, "pump") {
	case 0:
		req.Pump.Mode = pump.Off
	case 1:
		req.Pump = service.LoopPump{Mode: pump.ProportionalPressure, SetHead: quantity.Metres(3), SetFlow: litresPerMinute(10)}
	case 2:
		req.Pump = through(service.PumpDuty{Flow: litresPerMinute(10), Head: quantity.Metres(3)})
	default:
		req.Pump = held(quantity.Metres(rapid.SampledFrom([]float64{1e-9, 1, 1e4}).Draw(t, "head")))
	}
	if rapid.Bool().Draw(t, "draws") {
		req.Draws = []service.Draw{{Fixture: "tap", Flow: litresPerMinute(rapid.SampledFrom([]float64{1e-6, 6, 1e4}).Draw(t, "L/min"))}}
	}
	if rapid.Bool().Draw(t, "heights") {
		for _, p := range s.Pipes {
			if p.To != s.Heater.Node && rapid.Bool().Draw(t, "height") {
				req.Elevations = append(req.Elevations, service.NodeElevation{Node: p.To, Elevation: quantity.Metres(rapid.Float64Range(-50, 50).Draw(t, "z"))})
			}
		}
	}
	for _, p := range s.Pipes {
		if p.ID[0] == 'r' {
			req.Measured = append(req.Measured, service.MeasuredReturn{Pipe: p.ID, Temperature: quantity.Celsius(rapid.SampledFrom([]float64{0, 20, 55, 59.9999, 70}).Draw(t, "measured"))})
		}
	}
	var faults fault.List
	a := service.LoopSimulation(&req, &faults)
	if (a == nil) == faults.Empty() {
		t.Fatalf("answer %v with faults %v", a, faults.Faults())
	}
	if a != nil {
		finite(t, "simulation", reflect.ValueOf(a))
	}
}

// TestOnePipeOut: the smallest loop there is.
func TestOnePipeOut(t *testing.T) {
	a := design(t, service.LoopDesignRequest{System: ring()})
	if len(a.Pipes) != 2 || len(a.Connections) != 1 || !a.Connections[0].Critical || len(a.Nodes) != 2 || !hasAssumption(a.Assumptions, "default_target") {
		t.Errorf("%+v", a)
	}
	closes(t, a)
}

// TestWarmShaft: where the surroundings are hotter than the water, it comes back
// warmer than it left, and the balance still closes.
func TestWarmShaft(t *testing.T) {
	s := comb(3, false)
	for i := range s.Pipes {
		if s.Pipes[i].Role == network.Return {
			s.Pipes[i].Surroundings = &network.Surroundings{Type: "still_air", Temperature: quantity.Celsius(70)}
		}
	}
	a := design(t, service.LoopDesignRequest{System: s, Target: drop(5)})
	closes(t, a)
	if a.Circulation.BackLoss.Watts() >= 0 || a.Circulation.SupplyLoss.Watts() <= 0 {
		t.Errorf("%v W out, %v W back", a.Circulation.SupplyLoss.Watts(), a.Circulation.BackLoss.Watts())
	}
	for _, c := range a.Connections {
		if c.ReturnEnd.Kelvin() <= c.Temperature.Kelvin() {
			t.Errorf("%s cools from %v to %v", c.Pipe, c.Temperature, c.ReturnEnd)
		}
	}
}
