package service_test

import (
	"slices"

	"pgregory.net/rapid"

	"recirc/calc/fault"
	"recirc/calc/network"
	"recirc/calc/pump"
	"recirc/calc/quantity"
	"recirc/service"
)

// Invented loops, for the tests of loop designs and loop simulations.

func supply(id, from, to string, m float64, tube network.TubeSpec) network.Pipe {
	return network.Pipe{ID: id, From: from, To: to, Role: network.Supply, Length: quantity.Metres(m), Tube: tube}
}

// back is a return; a tube with a series and no nominal size is left open.
func back(id, from, to string, m float64, tube network.TubeSpec, valves ...network.Valve) network.Pipe {
	return network.Pipe{ID: id, From: from, To: to, Role: network.Return, Length: quantity.Metres(m), Tube: tube, Valves: valves}
}

func copper(nominal string) network.TubeSpec {
	return network.TubeSpec{Series: "copper_en1057", Nominal: nominal}
}

func openCopper() network.TubeSpec { return network.TubeSpec{Series: "copper_en1057"} }

func kv(m3h float64) *quantity.FlowCoefficient {
	k := quantity.FlowCoefficientSI(si(quantity.FlowCoefficientDimension, m3h, "m3/h"))
	return &k
}

func balancing(m3h float64) network.Valve { return network.Valve{Type: "balancing", Kv: kv(m3h)} }

func check() network.Valve { return network.Valve{Type: "check", Kv: kv(5)} }

func litresPerMinute(q float64) quantity.Flow { return quantity.CubicMetresPerSecond(q / 6e4) }

func gallonsPerMinute(q float64) quantity.Flow {
	return quantity.CubicMetresPerSecond(si(quantity.FlowDimension, q, "gal/min"))
}

func foam(mm float64) *network.Insulation {
	return &network.Insulation{Layers: []network.InsulationLayer{{Thickness: quantity.Millimetres(mm), Conductivity: quantity.WattsPerMetreKelvin(0.035)}}}
}

// house is a heater at 60 degC whose pipes are covered and stand in air of 20 degC.
func house(pipes ...network.Pipe) network.System {
	return network.System{
		Heater: network.Heater{Node: "heater", Type: network.Storage, OutletTemperature: quantity.Celsius(60)},
		Pipes:  pipes,
		Defaults: network.Defaults{
			Insulation:   foam(20),
			Surroundings: &network.Surroundings{Type: "still_air", Temperature: quantity.Celsius(20)},
		},
	}
}

// ring is one main out and one return home.
func ring() network.System {
	return house(
		supply("main", "heater", "far", 20, copper("22x1")),
		back("home", "far", "heater", 20, openCopper(), balancing(2), check()))
}

// comb is a main with n risers. Its collector runs back along the main, or
// reversed: on to the far end, and home from there.
func comb(n int, reversed bool) network.System {
	s := house()
	last := "heater"
	for i := range n {
		foot, top, low := name("foot", i), name("top", i), name("low", i)
		s.Pipes = append(s.Pipes,
			supply(name("main", i), last, foot, 4, copper("35x1.5")),
			supply(name("riser", i), foot, top, 6, copper("22x1")),
			back(name("return", i), top, low, 6, openCopper(), balancing(2)))
		last = foot
	}
	for i := range n {
		to, m, valves := name("low", i-1), 4.0, []network.Valve(nil)
		if reversed {
			to = name("low", i+1)
		}
		if !reversed && i == 0 || reversed && i == n-1 {
			to, valves = "heater", []network.Valve{check()}
		}
		if reversed && i == n-1 {
			m = 4 * float64(n)
		}
		s.Pipes = append(s.Pipes, back(name("collector", i), name("low", i), to, m, openCopper(), valves...))
	}
	return s
}

// midTree is a riser whose first floor and second floor both have a return: the
// first one starts in the middle of the supply tree.
func midTree() network.System {
	return house(
		supply("main", "heater", "foot", 10, copper("28x1.5")),
		supply("riser-1", "foot", "first", 4, copper("22x1")),
		supply("riser-2", "first", "second", 4, copper("18x1")),
		supply("wing", "foot", "far", 15, copper("22x1")),
		back("return-1", "first", "down-1", 4, openCopper(), balancing(1.6)),
		back("return-2", "second", "down-2", 4, openCopper(), balancing(1.6)),
		back("down", "down-2", "down-1", 4, openCopper()),
		back("wing-return", "far", "cellar", 15, openCopper(), balancing(1.6)),
		back("cellar-return", "down-1", "cellar", 4, openCopper()),
		back("home", "cellar", "heater", 10, openCopper(), check()))
}

// mixed has a mixing valve at the heater, led to both.
func mixed() network.System {
	s := comb(3, false)
	s.Heater.OutletTemperature = quantity.Celsius(65)
	s.MixingValve = &network.MixingValve{OutletTemperature: quantity.Celsius(55), Kv: *kv(2.5), ReturnTo: "both"}
	s.Heater.RatedLoss = &network.RatedLoss{Flow: litresPerMinute(20), Head: quantity.Metres(2)}
	return s
}

// tankless fires at more than its loss asks for.
func tankless() network.System {
	s := ring()
	s.Heater.Type, s.Heater.ActivationFlow, s.Heater.Kv = network.Tankless, litresPerMinute(2.5), *kv(1)
	return s
}

// loops are the systems of every kind, by name.
func loops() map[string]network.System {
	return map[string]network.System{
		"ring": ring(), "comb": comb(4, false), "reversed comb": comb(4, true),
		"mid-tree": midTree(), "mixed": mixed(), "tankless": tankless(),
	}
}

func drop(k float64) service.LoopTarget {
	return service.LoopTarget{At: service.AtConnections, Drop: quantity.KelvinDifference(k)}
}

func atHeater(k float64) service.LoopTarget {
	return service.LoopTarget{At: service.AtHeater, Drop: quantity.KelvinDifference(k)}
}

func design(t rapid.TB, req service.LoopDesignRequest) *service.LoopDesignAnswer {
	t.Helper()
	var faults fault.List
	a := service.LoopDesign(&req, &faults)
	if a == nil || !faults.Empty() {
		t.Fatal(faults.Err())
	}
	return a
}

func simulate(t rapid.TB, req service.LoopSimulationRequest) *service.LoopSimulationAnswer {
	t.Helper()
	var faults fault.List
	a := service.LoopSimulation(&req, &faults)
	if a == nil || !faults.Empty() {
		t.Fatal(faults.Err())
	}
	return a
}

// built is a system as it was designed: the tubes chosen, the valves set.
func built(s network.System, a *service.LoopDesignAnswer) network.System {
	s.Pipes = slices.Clone(s.Pipes)
	at := map[string]*network.Pipe{}
	for i := range s.Pipes {
		s.Pipes[i].Valves = slices.Clone(s.Pipes[i].Valves)
		at[s.Pipes[i].ID] = &s.Pipes[i]
	}
	for _, p := range a.Pipes {
		if p.Chosen {
			at[p.Pipe].Tube = network.TubeSpec{Series: p.Series, Nominal: p.Nominal}
		}
	}
	for _, c := range a.Connections {
		setValve(at, c.Pipe, c.Valve)
	}
	return s
}

func setValve(at map[string]*network.Pipe, connection string, v service.BalancingValve) {
	if v.Kv == (quantity.FlowCoefficient{}) {
		return // open, and without a loss of its own
	}
	if v.Pipe == "" {
		p := at[connection]
		p.Valves = append(p.Valves, network.Valve{Type: "balancing", Kv: &v.Kv})
		return
	}
	for i := range at[v.Pipe].Valves {
		if valve := &at[v.Pipe].Valves[i]; valve.Type == "balancing" || valve.Type == "thermostatic_balancing" {
			valve.Type, valve.Kv = "balancing", &v.Kv
			return
		}
	}
}

// held is a pump that holds a head.
func held(head quantity.Length) service.LoopPump {
	return service.LoopPump{Mode: pump.ConstantPressure, SetHead: head}
}

// through is a pump of constant speed whose parabola passes a duty point.
func through(duty service.PumpDuty) service.LoopPump {
	q, h := duty.Flow.CubicMetresPerSecond(), duty.Head.Metres()
	p := service.LoopPump{Mode: pump.ConstantSpeed}
	for _, x := range []float64{0, 0.5, 1, 1.5, 1.9} {
		p.Curve = append(p.Curve, pump.Point{Flow: quantity.CubicMetresPerSecond(x * q), Head: quantity.Metres(h * (4 - x*x) / 3)})
	}
	return p
}
