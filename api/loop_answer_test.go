package api

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"recirc/api/answer"
	"recirc/calc/hydraulic"
	"recirc/calc/pump"
	"recirc/calc/quantity"
	"recirc/service"
)

// These tests write answers made by hand, invented figures all, so that each
// optional member is seen present and absent, whatever the calculation gives.

var (
	someFlow     = quantity.CubicMetresPerSecond(1e-4) // 6 L/min
	someHead     = quantity.Metres(3.048)              // 10 ft
	somePressure = quantity.Pascals(5000)
	someKv       = quantity.FlowCoefficientSI(quantity.FlowCoefficientDimension.SI.ToSI(1))
	warm, cool   = quantity.Celsius(60), quantity.Celsius(50)
	circulation  = service.Circulation{
		Flow: someFlow, Outlet: warm, Return: cool, HeatLoss: quantity.Watts(900), SupplyLoss: quantity.Watts(600), BackLoss: quantity.Watts(300), Water: quantity.Celsius(55),
	}
	duty = service.PumpDuty{Flow: someFlow, Head: someHead, Pressure: somePressure, Hydraulic: quantity.PowerWatts(3)}
)

// bareDesign has every list filled and no optional member.
func bareDesign() *service.LoopDesignAnswer {
	return &service.LoopDesignAnswer{
		Circulation: circulation, Duty: duty, Statement: "A sentence.",
		Critical: service.CriticalCircuit{
			Connection: "back", Pipes: []string{"main", "back"}, Length: someHead, Drop: somePressure,
			Parts: []service.CircuitPart{{Part: "heater", Drop: somePressure}, {Part: "fittings"}},
		},
		Connections: []service.DesignedConnection{{
			Pipe: "back", Node: "top", Flow: someFlow, HeatLossFlow: someFlow, GovernedBy: service.FloorHeatLoss,
			Temperature: warm, ReturnEnd: cool, Length: someHead, CircuitDrop: somePressure, Valve: service.BalancingValve{Setting: service.ValveOpen},
		}},
		Pipes:       []service.LoopPipe{{Pipe: "main", Role: "supply", Bore: quantity.Millimetres(20), Loss: hydraulic.Loss{Regime: hydraulic.Standing}, Inlet: warm, Outlet: cool}},
		Nodes:       []service.LoopNode{{Node: "top", Temperature: warm}},
		Comparisons: []service.ShortRuleComparison{{Rule: "a_rule", Detail: "A sentence.", Source: "common_practice"}},
	}
}

// richDesign has all of them.
func richDesign() *service.LoopDesignAnswer {
	a := bareDesign()
	c := &a.Connections[0]
	c.Target, c.Critical, c.Valve = cool, true, service.BalancingValve{Pipe: "back", Setting: service.ValveThrottled, Kv: someKv, Drop: somePressure, Temperature: cool}
	a.Pipes[0] = richPipe()
	a.Nodes[0] = service.LoopNode{Node: "heater", Temperature: warm, Back: cool, Pressure: somePressure, PressureKnown: true}
	a.Mixing = richMixing()
	a.Comparisons = []service.ShortRuleComparison{
		{Rule: "flows", Detail: "A sentence.", Flow: someFlow, ComputedFlow: someFlow, Source: "common_practice"},
		{Rule: "heads", Detail: "A sentence.", Head: someHead, ComputedHead: someHead, Source: "common_practice"},
	}
	a.Working = []service.Step{{Subject: "loop", Symbol: "q", Name: "flow", Value: 1e-4, Dimension: quantity.FlowDimension, Equation: "given", Source: "common_practice"}}
	return a
}

func richPipe() service.LoopPipe {
	return service.LoopPipe{
		Pipe: "back", Role: "return", Series: "copper_type_l", Nominal: "1/2", Bore: quantity.Millimetres(13.843), Chosen: true, Flow: quantity.CubicMetresPerSecond(-1e-4),
		Loss:  hydraulic.Loss{Velocity: quantity.MetresPerSecond(-0.3048), Reynolds: 20_000, Factor: 0.026, Regime: hydraulic.Turbulent},
		Inlet: warm, Outlet: cool, HeatLoss: quantity.Watts(300), Gradient: quantity.PascalsPerMetre(-150), Drop: quantity.Pascals(-2000),
		Limit: quantity.MetresPerSecond(0.9), Judged: true, Within: false,
	}
}

func richMixing() *service.MixingState {
	return &service.MixingState{
		State: "controls", Store: warm, Set: quantity.Celsius(52), Return: cool, Outlet: quantity.Celsius(52), AtHalf: quantity.Celsius(55),
		ShareKnown: true, HeaterShare: 1, HeaterFlow: someFlow, Detail: "A sentence.",
	}
}

func bareSimulation() *service.LoopSimulationAnswer {
	return &service.LoopSimulationAnswer{
		Circulation: circulation, Mode: pump.Off,
		Connections: []service.SimulatedConnection{{
			Pipe: "back", Node: "top", State: service.StandsIdle, Temperature: cool, ReturnEnd: cool, Length: someHead, Valve: service.BalancingValve{Setting: service.ValveOpen},
		}},
		Pipes:   []service.LoopPipe{{Pipe: "main", Role: "supply", Bore: quantity.Millimetres(20), Loss: hydraulic.Loss{Regime: hydraulic.Standing}, Inlet: warm, Outlet: cool}},
		Nodes:   []service.LoopNode{{Node: "top", Temperature: warm}},
		Draws:   []service.DrawState{{Fixture: "sink", Flow: someFlow, Temperature: warm}},
		Balance: service.SolutionBalance{Rounds: 1},
	}
}

func richSimulation() *service.LoopSimulationAnswer {
	a := bareSimulation()
	a.Mode, a.Pump = pump.ConstantSpeed, duty
	c := &a.Connections[0]
	c.Flow, c.Needed, c.State, c.Target = quantity.CubicMetresPerSecond(5e-5), someFlow, service.Cold, cool
	c.Valve = service.BalancingValve{Pipe: "back", Setting: service.ValveClosed, Drop: somePressure, Temperature: cool}
	a.Pipes[0] = richPipe()
	a.Nodes[0] = service.LoopNode{Node: "heater", Temperature: warm, Back: cool, Pressure: somePressure, PressureKnown: true}
	a.Draws[0].Backwards = someFlow
	a.Mixing = richMixing()
	a.Fit = []service.FittedConnection{
		{Pipe: "back", Measured: cool, Flow: someFlow, Needed: someFlow, Change: "open", Kv: someKv, WantedKv: someKv, Detail: "A sentence."},
		{Pipe: "b", Measured: warm, Change: "measure_again", Detail: "A sentence."},
	}
	a.Balance = service.SolutionBalance{Rounds: 12, Mass: 1e-9, Pressure: 1e-7, Energy: 1e-6}
	a.Working = []service.Step{}
	return a
}

// optional are the members of each answer that a bare one lacks, by their place;
// * is any item of a list.
var optional = map[string][]string{
	"LoopDesignAnswer": {
		"connections/*/target_temperature", "connections/*/valve/pipe", "connections/*/valve/kv", "connections/*/valve/cv", "connections/*/valve/temperature",
		"pipes/*/tube/series", "pipes/*/tube/nominal", "pipes/*/friction_factor", "pipes/*/velocity_limit", "pipes/*/within_limits",
		"nodes/*/return_temperature", "nodes/*/pressure", "mixing_valve", "mixing_valve/heater_share", "mixing_valve/heater_flow", "mixing_valve/cold_port_flow",
		"comparisons/*/flow", "comparisons/*/computed_flow", "comparisons/*/head", "comparisons/*/computed_head", "working",
	},
	"LoopSimulationAnswer": {
		"connections/*/needed_flow", "connections/*/share_of_needed", "connections/*/target_temperature", "connections/*/valve/pipe", "connections/*/valve/kv", "connections/*/valve/cv", "connections/*/valve/temperature",
		"pipes/*/tube/series", "pipes/*/tube/nominal", "pipes/*/friction_factor", "pipes/*/velocity_limit", "pipes/*/within_limits",
		"nodes/*/return_temperature", "nodes/*/pressure", "draws/*/backwards_flow", "mixing_valve", "mixing_valve/heater_share",
		"fit", "fit/*/flow", "fit/*/needed_flow", "fit/*/kv", "fit/*/wanted_kv", "working",
	},
}

// TestLoopAnswersKeepTheContract writes the bare and the rich answers in both
// unit systems, and looks for every optional member.
func TestLoopAnswersKeepTheContract(t *testing.T) {
	doc := contractDocument(t)
	for _, row := range []struct {
		name, schema string
		rich         bool
		write        func(*answer.Writer)
	}{
		{"a bare design", "LoopDesignAnswer", false, func(w *answer.Writer) { writeLoopDesign(w, bareDesign()) }},
		{"a rich design", "LoopDesignAnswer", true, func(w *answer.Writer) { writeLoopDesign(w, richDesign()) }},
		{"a bare simulation", "LoopSimulationAnswer", false, func(w *answer.Writer) { writeLoopSimulation(w, bareSimulation()) }},
		{"a rich simulation", "LoopSimulationAnswer", true, func(w *answer.Writer) { writeLoopSimulation(w, richSimulation()) }},
	} {
		for _, us := range []bool{false, true} {
			tree := writtenTree(t, us, row.write)
			if err := doc.Components.Schemas[row.schema].Value.VisitJSON(tree); err != nil {
				t.Errorf("%s: %v", row.name, err)
			}
			for _, at := range optional[row.schema] {
				if has(tree, strings.Split(at, "/")) != row.rich {
					t.Errorf("%s: %s is there: %v", row.name, at, !row.rich)
				}
			}
		}
	}
}

func writtenTree(t *testing.T, us bool, write func(*answer.Writer)) any {
	t.Helper()
	w := answer.Writer{US: us}
	write(&w)
	text, err := w.Bytes()
	if err != nil {
		t.Fatal(err)
	}
	var tree any
	if err := json.Unmarshal(text, &tree); err != nil {
		t.Fatalf("%v: %s", err, text)
	}
	return tree
}

// has reports that some way to a member exists.
func has(tree any, path []string) bool {
	if len(path) == 0 {
		return true
	}
	switch node := tree.(type) {
	case map[string]any:
		child, ok := node[path[0]]
		return ok && has(child, path[1:])
	case []any:
		return slices.ContainsFunc(node, func(item any) bool { return has(item, path[1:]) })
	}
	return false
}

// TestLoopAnswerFigures reads figures back, in both unit systems.
func TestLoopAnswerFigures(t *testing.T) {
	design := func(w *answer.Writer) { writeLoopDesign(w, richDesign()) }
	simulation := func(w *answer.Writer) { writeLoopSimulation(w, richSimulation()) }
	for _, row := range []struct {
		write  func(*answer.Writer)
		at     string
		si, us string
		why    string
	}{
		{design, "pump_duty/heads", `[{"unit":"m","value":3.048},{"unit":"ft","value":10}]`, `[{"unit":"m","value":3.048},{"unit":"ft","value":10}]`, "both, whatever was asked"},
		{design, "pump_duty/pressure", `{"unit":"kPa","value":5}`, `{"unit":"psi","value":0.725189}`, ""},
		{design, "connections/0/valve/kv", `{"unit":"m3/h","value":1}`, `{"unit":"m3/h","value":1}`, "Kv is m3/h at 1 bar"},
		{design, "connections/0/valve/cv", `{"unit":"gal/min","value":1.1561}`, `{"unit":"gal/min","value":1.1561}`, "Cv is 1.1561 Kv: 4.40287 gal/min in a m3/h, times the root of 0.0689476 bar in a psi"},
		{design, "pipes/0/flow", `{"unit":"L/min","value":-6}`, `{"unit":"gal/min","value":-1.58503}`, "backwards"},
		{design, "pipes/0/velocity", `{"unit":"m/s","value":-0.3048}`, `{"unit":"ft/s","value":-1}`, ""},
		{design, "pipes/0/friction", `{"unit":"Pa/m","value":-150}`, `{"unit":"psi/(100.ft)","value":-0.663113}`, ""},
		{design, "pipes/0/within_limits", `false`, `false`, "judged"},
		{design, "pipes/0/tube", `{"chosen":true,"inside_diameter":{"unit":"mm","value":13.843},"nominal":"1/2","series":"copper_type_l"}`, `{"chosen":true,"inside_diameter":{"unit":"in","value":0.545},"nominal":"1/2","series":"copper_type_l"}`, ""},
		{design, "mixing_valve/cold_port_flow", `{"unit":"L/min","value":0}`, `{"unit":"gal/min","value":0}`, "none, which is known"},
		{design, "connections/0/target_temperature", `{"unit":"degC","value":50}`, `{"unit":"degF","value":122}`, ""},
		{simulation, "connections/0/share_of_needed", `0.5`, `0.5`, ""},
		{simulation, "connections/0/valve/kv", `{"unit":"m3/h","value":0}`, `{"unit":"m3/h","value":0}`, "closed"},
		{simulation, "fit/0/wanted_kv", `{"unit":"m3/h","value":1}`, `{"unit":"gal/min","value":1.1561}`, "one figure, in the units of the answer"},
		{simulation, "pump/mode", `"constant_speed"`, `"constant_speed"`, ""},
		{simulation, "pump/hydraulic_power", `{"unit":"W","value":3}`, `{"unit":"W","value":3}`, ""},
		{simulation, "balance/rounds", `12`, `12`, ""},
	} {
		for us, want := range map[bool]string{false: row.si, true: row.us} {
			if got := figureAt(t, writtenTree(t, us, row.write), row.at); got != want {
				t.Errorf("%s, US %v: %s, want %s; %s", row.at, us, got, want, row.why)
			}
		}
	}
}

// figureAt is the text of a member; a digit stands for an item of a list.
func figureAt(t *testing.T, tree any, at string) string {
	t.Helper()
	for _, name := range strings.Split(at, "/") {
		if list, ok := tree.([]any); ok {
			tree = list[int(name[0]-'0')]
		} else {
			tree = tree.(map[string]any)[name]
		}
	}
	text, err := json.Marshal(tree)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// TestNextToNothingIsNeeded: a share too large for a number is left out, and the
// answer stays one.
func TestNextToNothingIsNeeded(t *testing.T) {
	a := richSimulation()
	a.Connections[0].Needed = quantity.CubicMetresPerSecond(5e-324)
	tree := writtenTree(t, false, func(w *answer.Writer) { writeLoopSimulation(w, a) })
	if has(tree, strings.Split("connections/*/share_of_needed", "/")) {
		t.Error("an endless share is written")
	}
}

// TestLoopAnswerIsFinite: a figure that is none is no answer.
func TestLoopAnswerIsFinite(t *testing.T) {
	a := richDesign()
	a.Duty.Head = quantity.Metres(math.NaN())
	var w answer.Writer
	writeLoopDesign(&w, a)
	if text, err := w.Bytes(); err == nil {
		t.Errorf("NaN is written: %s", text)
	}
}
