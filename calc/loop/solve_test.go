package loop

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/hydraulic"
	"recirc/calc/quantity"
)

func mustSolve(t failer, n *Network, before *Flows) *Flows {
	t.Helper()
	f, err := Solve(n, before)
	if err != nil {
		t.Fatalf("%v", err)
	}
	if f.MassResidual > 1e-9 || f.PressureResidual > 1e-9 {
		t.Fatalf("mass misses %g, pressure %g", f.MassResidual, f.PressureResidual)
	}
	return f
}

func link(from, to int32, p hydraulic.Pipe) Link {
	return Link{From: from, To: to, Curve: p.Curve(fluid), UA: 0.2 * p.Length.Metres(), Ambient: quantity.Celsius(20)}
}

var fluid = hydraulic.Fluid{Density: warm.Density, Viscosity: warm.Viscosity}

func valve(m3h float64) hydraulic.Pipe { return hydraulic.Pipe{Kv: kv(m3h)} }

// falling is a pump whose head is a line that ends at a flow.
func falling(gain, end float64) Gain {
	return func(q float64) (float64, float64) { return gain * (1 - q/end), -gain / end }
}

// closeFlows compares flows to 1e-8 of their own size, or of the greatest; or to a
// pressure of their link that rounding leaves, 1e-12 of the greatest.
func closeFlows(t failer, what string, n *Network, got, want []float64) {
	t.Helper()
	greatestQ, greatestDrop := 0.0, 0.0
	for i, q := range want {
		drop, _ := n.Links[i].characteristic(q, shutSlope)
		greatestQ, greatestDrop = max(greatestQ, math.Abs(q)), max(greatestDrop, math.Abs(drop))
	}
	for i, q := range want {
		off := math.Abs(got[i] - q)
		if off <= 1e-8*max(math.Abs(q), greatestQ)+1e-15 {
			continue
		}
		there, _ := n.Links[i].characteristic(got[i], shutSlope)
		here, _ := n.Links[i].characteristic(q, shutSlope)
		if !(math.Abs(there-here) <= 1e-12*greatestDrop+1e-10) {
			t.Fatalf("%s: flow %d is %g, not %g (greatest %g)", what, i, got[i], q, greatestQ)
		}
	}
}

// TestLargeCombs: rounding grows with the network and must not keep the solver
// from ending, even where absurd flows need a thousand bar.
func TestLargeCombs(t *testing.T) {
	for _, each := range []float64{5e-5, 2e-3} {
		for _, reversed := range []bool{false, true} {
			l := comb(5000, reversed)
			q := slices.Repeat([]float64{each}, 5000)
			b, err := l.Balance(q, make([]quantity.FlowCoefficient, len(q)), 0)
			if err != nil {
				t.Fatal(err)
			}
			n, at := l.network(l.valves(q, b), constant(b.Pressure))
			f := mustSolve(t, n, nil)
			for i, v := range at.valve {
				near(t, fmt.Sprintf("flow %d", i), f.Q[v], q[i], 1e-6*q[i])
			}
		}
	}
}

// TestParallelBranchesShareEqually, however many, and a closed one takes nothing.
func TestParallelBranchesShareEqually(t *testing.T) {
	for _, many := range []int{1, 2, 3, 10, 1000} {
		n := &Network{Nodes: 2, Links: []Link{{From: 0, To: 1, Pump: falling(2e4, 1e-3*float64(many))}}}
		for range many {
			n.Links = append(n.Links, link(1, 0, tube(20, 0.012)))
		}
		shut := link(1, 0, tube(20, 0.012))
		shut.Closed = true
		n.Links = append(n.Links, shut)
		f := mustSolve(t, n, nil)
		each := f.Q[0] / float64(many)
		for i := range many {
			near(t, "share", f.Q[1+i], each, 1e-9*each)
		}
		if f.Q[many+1] != 0 {
			t.Errorf("a closed branch carries %g m3/s", f.Q[many+1])
		}
	}
}

// TestNothingDrivesNothingFlows, and there is no lift without a pump.
func TestNothingDrivesNothingFlows(t *testing.T) {
	for name, p := range map[string]hydraulic.Pipe{"pipes": tube(20, 0.012), "fat pipes": tube(0.5, 0.1), "valves": valve(1), "large valves": valve(100)} {
		n := &Network{Nodes: 3, Links: []Link{link(0, 1, p), link(1, 2, p), link(2, 0, p), link(1, 2, p), link(2, 1, p)}}
		for i, q := range mustSolve(t, n, nil).Q {
			near(t, fmt.Sprintf("%s: flow %d", name, i), q, 0, 1e-9)
		}
	}
}

// TestClosedLinks shuts every link of a comb in turn: nothing flows through it, and
// all else still closes.
func TestClosedLinks(t *testing.T) {
	l := comb(4, false)
	open := slices.Repeat([]quantity.FlowCoefficient{kv(1)}, 4)
	n, _ := l.network(open, falling(2e4, 1e-3))
	for i := range n.Links {
		n.Links[i].Closed = true
		if f := mustSolve(t, n, nil); f.Q[i] != 0 {
			t.Errorf("link %d is closed and carries %g m3/s", i, f.Q[i])
		}
		n.Links[i].Closed = false
	}
}

// TestCheckValves in a ring of two pipes and a pump.
func TestCheckValves(t *testing.T) {
	ring := func(gain float64, ways ...bool) *Network { // by link: a check valve
		n := &Network{Nodes: 3, Links: []Link{{From: 0, To: 1, Pump: constant(gain)}, link(1, 2, tube(10, 0.012)), link(2, 0, tube(10, 0.012))}}
		for i, w := range ways {
			n.Links[i].OneWay = w
		}
		return n
	}
	free := mustSolve(t, ring(1e4), nil).Q[0]
	back := mustSolve(t, ring(-1e4), nil).Q[0]
	near(t, "turned round", back, -free, 1e-9*free)
	for _, ways := range [][]bool{{true}, {false, true}, {false, true, true}, {true, true, true}} {
		near(t, fmt.Sprint(ways, " passes"), mustSolve(t, ring(1e4, ways...), nil).Q[0], free, 1e-9*free)
		for _, from := range []float64{1e-9, 1e-3, -1e-3, -10} {
			f := mustSolve(t, ring(-1e4, ways...), &Flows{Q: []float64{from, from, from}})
			for i, q := range f.Q {
				if ways := append(ways, false, false); ways[i] && q != 0 {
					t.Errorf("%v: %g m3/s pass a shut check valve", ways, q)
				}
				near(t, fmt.Sprint(ways, " shut"), q, 0, 1e-9*free)
			}
		}
	}
}

// drawing is a comb of three with a fixture at the top of the second riser; mains
// water enters at the heater.
func drawing(checked bool, gain Gain, draw float64) (*Network, places) {
	l := comb(3, false)
	n, at := l.network(slices.Repeat([]quantity.FlowCoefficient{kv(1)}, 3), gain)
	n.Root, n.Mains = 0, quantity.Celsius(10) // the heater's inlet
	for _, v := range at.valve {
		n.Links[v].OneWay = checked
	}
	n.Inflow = make([]float64, n.Nodes)
	n.Inflow[n.Links[at.pipe[3]].To] = -draw
	return n, at
}

// TestBackflow: a fixture that draws pulls water backwards through its return,
// unless there is a check valve.
func TestBackflow(t *testing.T) {
	const draw = 5e-4
	for _, gain := range []float64{0, 3000} {
		n, at := drawing(false, constant(gain), draw)
		f := mustSolve(t, n, nil)
		if f.Q[at.valve[1]] > -0.05*draw {
			t.Errorf("gain %g: %g m3/s run through the return, not backwards", gain, f.Q[at.valve[1]])
		}
		n, at = drawing(true, constant(gain), draw)
		f = mustSolve(t, n, nil)
		if f.Q[at.valve[1]] != 0 {
			t.Errorf("gain %g: %g m3/s pass the check valve", gain, f.Q[at.valve[1]])
		}
		near(t, "all that is drawn comes up the riser", f.Q[at.pipe[3]], draw, 1e-12*draw)
		for i, v := range at.valve {
			if f.Q[v] < 0 {
				t.Errorf("gain %g: return %d runs backwards", gain, i)
			}
		}
	}
}

// TestDrawsAreFed: what several nodes draw comes from the root, by superposition
// of nothing but mass.
func TestDrawsAreFed(t *testing.T) {
	n, at := drawing(true, falling(3000, 1e-3), 2e-4)
	n.Inflow[n.Links[at.pipe[1]].To] = -3e-4
	n.Inflow[n.Links[at.pipe[5]].To] = -1e-4
	n.Inflow[n.Root] = 7 // moves nothing: the root takes it back
	f := mustSolve(t, n, nil)
	near(t, "through the heater", f.Q[1]-f.Q[0], 6e-4, 1e-15)
	w := mustMix(t, n, f.Q, warm.VolumetricHeat())
	near(t, "unbalance", w.Unbalance, 0, 1e-9)
}

// TestCutOff: a draw that nothing can feed is named.
func TestCutOff(t *testing.T) {
	pipe := tube(10, 0.012)
	for name, spoil := range map[string]func(*Network){
		"closed":              func(n *Network) { n.Links[1].Closed = true },
		"check valve":         func(n *Network) { n.Links[1] = link(2, 1, pipe); n.Links[1].OneWay = true },
		"two against another": func(n *Network) { n.Links[0].OneWay = true; n.Links[1] = link(2, 1, pipe); n.Links[1].OneWay = true },
		"enters and cannot leave": func(n *Network) {
			n.Links[1].OneWay = true
			n.Inflow[2] = 1e-4
		},
	} {
		n := &Network{Nodes: 3, Links: []Link{link(0, 1, pipe), link(1, 2, pipe)}, Inflow: []float64{0, 0, -1e-4}}
		mustSolve(t, n, nil)
		spoil(n)
		_, err := Solve(n, nil)
		var cut *CutOffError
		if !errors.As(err, &cut) || cut.Node != 2 {
			t.Errorf("%s: %v, not the cut-off node 2", name, err)
		}
	}
	// With nothing drawn the part stands still.
	n := &Network{Nodes: 3, Links: []Link{link(0, 1, pipe), {From: 1, To: 2, Closed: true}}, Inflow: make([]float64, 3)}
	if f := mustSolve(t, n, nil); f.Q[0] != 0 && math.Abs(f.Q[0]) > 1e-15 {
		t.Errorf("%g m3/s flow", f.Q[0])
	}
}

// TestLinkToItself takes part in nothing; with a pump it has its own duty.
func TestLinkToItself(t *testing.T) {
	n := &Network{Nodes: 2, Links: []Link{{From: 0, To: 1, Pump: constant(1e4)}, link(1, 0, tube(10, 0.012))}}
	alone := mustSolve(t, n, nil).Q[1]
	n.Links = append(n.Links, link(1, 1, tube(10, 0.012)), link(0, 0, tube(10, 0.012)))
	n.Links[3].Pump = constant(1e4)
	f := mustSolve(t, n, nil)
	near(t, "beside it", f.Q[1], alone, 1e-12)
	near(t, "a ring of its own", f.Q[2], 0, 1e-12)
	near(t, "a driven ring of its own", f.Q[3], alone, 1e-9*alone)
}

// TestLinksWithoutResistance pass on what others let through; where nothing
// resists a constant head there is no flow to find.
func TestLinksWithoutResistance(t *testing.T) {
	n := &Network{Nodes: 2, Links: []Link{{From: 0, To: 1, Pump: constant(1e4)}, link(1, 0, tube(10, 0.012))}}
	want := mustSolve(t, n, nil).Q[0]
	n = &Network{Nodes: 5, Links: []Link{
		{From: 0, To: 1, Pump: constant(1e4)}, {From: 1, To: 2}, {From: 2, To: 3}, link(3, 4, tube(10, 0.012)), {From: 4, To: 0}, {From: 4, To: 0},
	}}
	f := mustSolve(t, n, nil)
	near(t, "flow", f.Q[0], want, 1e-9*want)
	near(t, "two ways", f.Q[4]+f.Q[5], want, 1e-9*want)

	n = &Network{Nodes: 2, Links: []Link{{From: 0, To: 1, Pump: constant(1e4)}, {From: 1, To: 0}}}
	var unsolved *UnsolvedError
	if _, err := Solve(n, nil); !errors.As(err, &unsolved) {
		t.Errorf("%v, not unsolved", err)
	}
}

// TestGains: a constant, a falling and a slightly rising head meet the closed form
// of a valve, q = Kv sqrt(gain), Kv on water of 1000 kg/m3.
func TestGains(t *testing.T) {
	n := &Network{Nodes: 2, Links: []Link{{From: 0, To: 1}, {From: 1, To: 0, Curve: valve(3.6).Curve(hydraulic.Fluid{Density: 1000, Viscosity: 5e-4})}}}
	const k = 1e11 // Pa/(m3/s)^2: 3.6 m3/h at 1 bar
	for _, slope := range []float64{0, -1e7, -1e9, 1e6, 1e7} {
		n.Links[0].Pump = func(q float64) (float64, float64) { return 1e4 + slope*q, slope }
		want := (slope + math.Sqrt(slope*slope+4*k*1e4)) / (2 * k) // k q^2 = 1e4 + slope q
		near(t, fmt.Sprintf("slope %g", slope), mustSolve(t, n, nil).Q[0], want, 1e-9*want)
	}
}

// TestValvesOfAnySize are solved side by side: q = Kv sqrt(dp).
func TestValvesOfAnySize(t *testing.T) {
	n := &Network{Nodes: 2, Links: []Link{{From: 0, To: 1, Pump: constant(1e5)}}}
	water := hydraulic.Fluid{Density: 1000, Viscosity: 5e-4}
	for e := -9; e <= 3; e++ {
		n.Links = append(n.Links, Link{From: 1, To: 0, Curve: valve(math.Pow10(e)).Curve(water)})
	}
	for _, before := range []float64{1e-15, 1e-5, -1e-5, 1e3} {
		f := mustSolve(t, n, &Flows{Q: slices.Repeat([]float64{before}, len(n.Links))})
		for i, q := range f.Q[1:] {
			want := math.Pow10(i-9) / 3600 // at 1 bar
			near(t, fmt.Sprintf("from %g: Kv 1e%d", before, i-9), q, want, 1e-8*want)
		}
	}
}

// tangle joins nodes in a ring and each to some others at random.
func tangle(nodes, others int) *Network {
	n := &Network{Nodes: nodes, Links: []Link{{From: 0, To: 1, Pump: constant(1e4)}}}
	state := uint64(1)
	random := func() int32 { // xorshift
		state ^= state << 13
		state ^= state >> 7
		state ^= state << 17
		return int32(state % uint64(nodes))
	}
	for i := range int32(nodes) {
		n.Links = append(n.Links, link(i, (i+1)%int32(nodes), tube(10, 0.012)))
		for range others {
			n.Links = append(n.Links, link(i, random(), tube(10, 0.012)))
		}
	}
	return n
}

// TestTangledNetwork: where links cross at random thousands of times, the equations
// fill up; they are refused before time and memory are taken.
func TestTangledNetwork(t *testing.T) {
	mustSolve(t, tangle(300, 2), nil)
	for _, nodes := range []int{4000, 20_000, 50_000} {
		for _, others := range []int{1, 2} {
			if _, err := Solve(tangle(nodes, others), nil); !errors.Is(err, ErrTangled) {
				t.Errorf("%d nodes: %v", nodes, err)
			}
		}
	}
}

// ladder is two mains of so many pipes with a rung at every step, and a pump
// between their starts.
func ladder(pipes int) *Network {
	n := &Network{Nodes: 2, Links: []Link{{From: 1, To: 0, Pump: constant(3e4)}}}
	for i := int32(0); len(n.Links) < pipes; i += 2 {
		n.Nodes += 2
		n.Links = append(n.Links, link(i, i+2, tube(4, 0.05)), link(i+3, i+1, tube(4, 0.05)), link(i+2, i+3, tube(10, 0.012)))
	}
	return n
}

// TestBuildingsAreNotTangled: combs both ways round and ladders of any size, even
// with a hundred cross links, are far from the limit.
func TestBuildingsAreNotTangled(t *testing.T) {
	for _, pipes := range []int{20_000, 50_000} {
		crossed := ladder(pipes)
		for i := range int32(100) {
			crossed.Links = append(crossed.Links, link(i*97, int32(crossed.Nodes)-1-i*89, tube(10, 0.012)))
		}
		all := map[string]*Network{"ladder": ladder(pipes), "crossed ladder": crossed}
		for _, reversed := range []bool{false, true} {
			l := comb(pipes/4, reversed)
			all[fmt.Sprint("comb, reversed ", reversed)], _ = l.network(make([]quantity.FlowCoefficient, pipes/4), constant(1e4))
		}
		for name, n := range all {
			s, err := NewSolver(n)
			if err != nil {
				t.Errorf("%s of %d pipes: %v", name, pipes, err)
			} else if spare := mostFillPerNode*n.Nodes + mostFillBeyond - s.factor.Fill(); spare < mostFillBeyond/2 {
				t.Errorf("%s of %d pipes: only %d entries to spare", name, pipes, spare)
			}
		}
	}
}

// TestAnyStart leads to the same flows.
func TestAnyStart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := drawNetwork(t)
		want := mustSolve(t, n, nil)
		before := &Flows{Q: make([]float64, len(n.Links))}
		for i := range before.Q {
			before.Q[i] = rapid.SampledFrom([]float64{1, -1}).Draw(t, "sign") * math.Pow(10, rapid.Float64Range(-12, 0).Draw(t, "before"))
		}
		closeFlows(t, "from elsewhere", n, mustSolve(t, n, before).Q, want.Q)
		closeFlows(t, "from rest", n, mustSolve(t, n, &Flows{Q: make([]float64, len(n.Links))}).Q, want.Q)
		closeFlows(t, "from the solution", n, mustSolve(t, n, want).Q, want.Q)
	})
}
