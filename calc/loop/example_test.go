package loop_test

import (
	"errors"
	"fmt"

	"recirc/calc/hydraulic"
	"recirc/calc/loop"
	"recirc/calc/quantity"
	"recirc/calc/water"
)

// An invented loop: a pump, a heater, and two risers of which the second is longer.
func twoRisers() *loop.Network {
	pipe := func(from, to int32, metres float64) loop.Link {
		line := hydraulic.Pipe{Length: quantity.Metres(metres), Bore: quantity.Millimetres(16), Roughness: quantity.Millimetres(0.0015)}
		return loop.Link{From: from, To: to, Curve: line.Curve(fluid()), UA: 0.2 * metres, Ambient: quantity.Celsius(20)}
	}
	return &loop.Network{Nodes: 3, Links: []loop.Link{
		{From: 2, To: 0, Pump: func(float64) (gain, slope float64) { return 5000, 0 }},
		{From: 0, To: 1, Heated: quantity.Celsius(60)},
		pipe(1, 2, 20), pipe(1, 2, 40),
	}}
}

func at57() water.Properties {
	w, _ := water.At(quantity.Celsius(57))
	return w
}

func fluid() hydraulic.Fluid {
	return hydraulic.Fluid{Density: at57().Density, Viscosity: at57().Viscosity}
}

// What the pump moves is what the risers carry.
func ExampleSolve() {
	n := twoRisers()
	f, err := loop.Solve(n, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("over both risers %.0f Pa\n", f.Pressure[1]-f.Pressure[2])
	fmt.Println("the short one carries more:", f.Q[2] > f.Q[3])
	fmt.Println("all of it passes the pump:", near(f.Q[0], f.Q[2]+f.Q[3]))
	// Output:
	// over both risers 5000 Pa
	// the short one carries more: true
	// all of it passes the pump: true
}

func near(a, b float64) bool { return a-b < 1e-9*a && b-a < 1e-9*a }

// Nothing leads to what a shut valve cuts off.
func ExampleCutOffError() {
	n := twoRisers()
	n.Nodes = 4
	n.Links = append(n.Links, loop.Link{From: 1, To: 3, Closed: true})
	n.Inflow = []float64{0, 0, 0, -1e-4}
	_, err := loop.Solve(n, nil)
	var cut *loop.CutOffError
	fmt.Println(errors.As(err, &cut), cut.Node)
	// Output: true 3
}

// Equal flows through pipes of 4 and 8 W/K: what the water loses is nearly in
// proportion, and the node behind has the mean.
func ExampleNetwork_Temperatures() {
	n := twoRisers()
	w, err := n.Temperatures([]float64{2e-4, 2e-4, 1e-4, 1e-4}, 4.12e6)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.2f and %.2f degC, together %.2f degC\n", w.Out[2]-273.15, w.Out[3]-273.15, w.Node[2]-273.15)
	// 20 + 40 exp(-4/412) and 20 + 40 exp(-8/412).
	// Output: 59.61 and 59.23 degC, together 59.42 degC
}

// A thermostatic valve in each riser, of a band of 0.01 K: both come to 57 degC.
func ExampleSimulation_Run() {
	n := twoRisers()
	s := loop.Simulation{Network: n, Water: at57()}
	for i, metres := range []float64{20, 40} {
		s.Thermostats = append(s.Thermostats, loop.Thermostat{
			Link: int32(2 + i), Line: hydraulic.Pipe{Length: quantity.Metres(metres), Bore: quantity.Millimetres(16), Roughness: quantity.Millimetres(0.0015)},
			Largest: quantity.FlowCoefficientSI(9e-7), Set: quantity.Celsius(57), Band: quantity.KelvinDifference(0.01),
		})
	}
	r, err := s.Run()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("settled:", r.Change < 1e-6)
	fmt.Printf("%.1f and %.1f degC\n", r.Warmth.Out[2]-273.15, r.Warmth.Out[3]-273.15)
	fmt.Printf("twice the loss needs %.2f times the flow\n", r.Flows.Q[3]/r.Flows.Q[2])
	// Output:
	// settled: true
	// 57.0 and 57.0 degC
	// twice the loss needs 2.00 times the flow
}

// One pipe of 4 W/K out: the flow with which its end keeps 55 degC is
// UA/(rho cp ln(40/35)), at any length.
func ExampleLoop_Require() {
	l := loop.Loop{
		Pipes: []loop.Pipe{
			{Next: loop.None, UA: 4, Ambient: quantity.Celsius(20)},
			{Next: loop.None, UA: 2, Ambient: quantity.Celsius(20)},
		},
		Supplies: 1, Connections: []loop.Connection{{Supply: 0, Return: 1}},
		Outlet: quantity.Celsius(60), Water: water.Properties{Density: 985, SpecificHeat: 4180},
	}
	r, err := l.Require([]loop.Goal{{Pipe: 0, Temperature: quantity.Celsius(55)}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.3f L/min, back at the heater %.1f degC\n", 6e4*r.Flow[0], l.Temperatures(r.Flow).Return-273.15)
	// Output: 0.437 L/min, back at the heater 52.7 degC
}
