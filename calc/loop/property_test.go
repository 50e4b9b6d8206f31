package loop

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/hydraulic"
	"recirc/calc/quantity"
)

func drawFlows(t *rapid.T, l *Loop) []float64 {
	q := make([]float64, len(l.Connections))
	for i := range q {
		q[i] = math.Pow(10, rapid.Float64Range(-6, -3.3).Draw(t, "flow"))
	}
	return q
}

// TestDesignThenSimulate: with the valves and the pressure of Balance the network
// has the flows that were wanted, and the temperatures of the loop.
func TestDesignThenSimulate(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var l *Loop
		switch rapid.IntRange(0, 2).Draw(t, "shape") {
		case 0:
			l = comb(rapid.IntRange(1, 30).Draw(t, "branches"), false)
		case 1:
			l = comb(rapid.IntRange(1, 30).Draw(t, "branches"), true)
		default:
			l = drawTree(t, 60)
		}
		q := drawFlows(t, l)
		open := slices.Repeat([]quantity.FlowCoefficient{kv(rapid.Float64Range(0.5, 5).Draw(t, "open"))}, len(q))
		b, err := l.Balance(q, open, 0)
		if err != nil {
			t.Fatalf("%v", err)
		}
		for i := range q {
			if b.Valve[i] < 0 || b.Circuit[i] > b.Pressure {
				t.Fatalf("valve %d takes %g Pa; its circuit %g of %g Pa", i, b.Valve[i], b.Circuit[i], b.Pressure)
			}
		}
		n, at := l.network(l.valves(q, b), constant(b.Pressure))
		f := mustSolve(t, n, nil)
		for i, v := range at.valve {
			if math.Abs(f.Q[v]-q[i]) > 1e-6*q[i] {
				t.Fatalf("connection %d has %g m3/s, not %g", i, f.Q[v], q[i])
			}
		}
		w, s := mustMix(t, n, f.Q, l.Water.VolumetricHeat()), l.Temperatures(q)
		for p, i := range at.pipe {
			if s.Flow[p] > 0 && math.Abs(w.Out[i]-s.Out[p]) > 1e-4 {
				t.Fatalf("pipe %d ends at %g K, in the loop at %g", p, w.Out[i], s.Out[p])
			}
		}
	})
}

// TestLoopClosesHeat: the heater gives what the pipes lose, and water cools on its
// way out.
func TestLoopClosesHeat(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawTree(t, 60)
		s := l.Temperatures(drawFlows(t, l))
		lost := 0.0
		for p := range l.Pipes {
			lost += l.HeatLoss(s, p)
			if next := l.Pipes[p].Next; p < l.Supplies && next != None && s.Out[p] > max(s.Out[next], l.Pipes[p].Ambient.Kelvin()) {
				t.Fatalf("pipe %d ends warmer than it starts", p)
			}
		}
		given := s.Total * l.Water.VolumetricHeat() * (l.Outlet.Kelvin() - s.Return)
		if math.Abs(given-lost) > 1e-9*lost {
			t.Fatalf("the heater gives %g W, the pipes lose %g W", given, lost)
		}
	})
}

// TestNetworkCloses mass at every node, whatever runs in which direction, and keeps
// temperatures between the coldest and the hottest.
func TestNetworkCloses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := drawNetwork(t)
		f := mustSolve(t, n, nil)
		missing, greatest := slices.Clone(n.Inflow), startSpeed
		drawn := 0.0
		for i, q := range f.Q {
			missing[n.Links[i].From] -= q
			missing[n.Links[i].To] += q
			greatest = max(greatest, math.Abs(q))
		}
		for i, q := range n.Inflow {
			if int32(i) != n.Root {
				drawn += q
			}
		}
		missing[n.Root] = n.Inflow[n.Root]
		for i, q := range missing {
			if int32(i) != n.Root && math.Abs(q) > 1e-9*greatest {
				t.Fatalf("%g m3/s are missing at node %d", q, i)
			}
		}
		w := mustMix(t, n, f.Q, warm.VolumetricHeat())
		for i, T := range w.Node {
			if !(T >= 283.15-1e-9 && T <= 333.15+1e-9) {
				t.Fatalf("node %d has %g K", i, T)
			}
		}
	})
}

// TestNumberingIsOfNoAccount: nodes and links may come in any order.
func TestNumberingIsOfNoAccount(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := drawNetwork(t)
		nodes, links := make([]int32, n.Nodes), make([]int, len(n.Links))
		for i := range nodes {
			nodes[i] = int32(i)
		}
		for i := range links {
			links[i] = i
		}
		nodes, links = rapid.Permutation(nodes).Draw(t, "nodes"), rapid.Permutation(links).Draw(t, "links")
		other := &Network{Nodes: n.Nodes, Links: make([]Link, len(links)), Root: nodes[n.Root], Inflow: make([]float64, n.Nodes), Mains: n.Mains}
		for i, at := range links {
			l := n.Links[i]
			l.From, l.To = nodes[l.From], nodes[l.To]
			other.Links[at] = l
		}
		for i, q := range n.Inflow {
			other.Inflow[nodes[i]] = q
		}
		want, there := mustSolve(t, n, nil), mustSolve(t, other, nil)
		got := make([]float64, len(links))
		for i, at := range links {
			got[i] = there.Q[at]
		}
		closeFlows(t, "in another order", n, got, want.Q)
	})
}

// TestAnotherWayCarriesMore: at equal head a further link between two nodes, or an
// opened one, never lowers the flow of the pump (Rayleigh's law for resistances
// that rise).
func TestAnotherWayCarriesMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := drawNetwork(t)
		for i := range n.Links {
			n.Links[i].Pump, n.Links[i].Lift = nil, 0
		}
		clear(n.Inflow)
		node := func(label string) int32 { return int32(rapid.IntRange(0, n.Nodes-1).Draw(t, label)) }
		n.Links = append(n.Links, Link{From: node("suction"), To: node("delivery"), Pump: constant(rapid.Float64Range(100, 1e5).Draw(t, "gain"))})
		pump := len(n.Links) - 1
		if n.Links[pump].From == n.Links[pump].To {
			return
		}
		before := mustSolve(t, n, nil).Q[pump]
		n.Links = append(n.Links, link(node("from"), node("to"), tube(rapid.Float64Range(0.1, 50).Draw(t, "further"), 0.02)))
		if after := mustSolve(t, n, nil).Q[pump]; after < before*(1-1e-9)-1e-12 {
			d := denseFlows(n)
			f := mustSolve(t, n, nil)
			for i, l := range n.Links {
				a, b := l.Curve.At(f.Q[i])
				t.Logf("%d %d->%d oneway %v closed %v q %.10g dense %.10g drop %g slope %g p %g", i, l.From, l.To, l.OneWay, l.Closed, f.Q[i], d[i], a, b, f.Pressure[l.From]-f.Pressure[l.To])
			}
			m := len(n.Links) - 1
			n.Links = n.Links[:m]
			f = mustSolve(t, n, nil)
			d = denseFlows(n)
			for i, l := range n.Links {
				t.Logf("%d %d->%d q %.10g dense %.10g", i, l.From, l.To, f.Q[i], d[i])
			}
			t.Fatalf("%.12g m3/s, with another link %.12g", before, after)
		}
	})
}

// TestSplitPipeIsTheSame: two halves of a pipe do what the whole did.
func TestSplitPipeIsTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawTree(t, 20)
		q := drawFlows(t, l)
		whole := rapid.IntRange(0, len(l.Pipes)-1).Draw(t, "split")
		open := make([]quantity.FlowCoefficient, len(q))
		before, balance := l.Temperatures(q), mustBalance(t, l, q, open)

		parted := l.split(whole)
		after := parted.Temperatures(q)
		if math.Abs(after.Return-before.Return) > 1e-9 || math.Abs(after.Total-before.Total) > 1e-12*before.Total {
			t.Fatalf("%.12g K, parted %.12g", before.Return, after.Return)
		}
		for i, dp := range mustBalance(t, parted, q, open).Circuit {
			if math.Abs(dp-balance.Circuit[i]) > 1e-9*dp {
				t.Fatalf("circuit %d takes %g Pa, parted %g", i, balance.Circuit[i], dp)
			}
		}
		goals, again := make([]Goal, len(q)), make([]Goal, len(q))
		for i, c := range l.Connections {
			T := quantity.Kelvin(l.warmest(c, c.Supply) + 0.7*(l.Outlet.Kelvin()-l.warmest(c, c.Supply)))
			goals[i], again[i] = Goal{Pipe: c.Supply, Temperature: T}, Goal{Pipe: parted.Connections[i].Supply, Temperature: T}
		}
		want := mustRequire(t, l, goals).Flow
		for i, q := range mustRequire(t, parted, again).Flow {
			if math.Abs(q-want[i]) > 1e-6*want[i] {
				t.Fatalf("connection %d needs %g m3/s, parted %g", i, want[i], q)
			}
		}
	})
}

func mustBalance(t failer, l *Loop, q []float64, open []quantity.FlowCoefficient) *Balance {
	t.Helper()
	b, err := l.Balance(q, open, 0)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return b
}

// split gives the loop with one of its pipes in two halves. The new one is that
// nearer to the heater among supplies, that nearer to the connection among returns;
// in both cases it is put before the other.
func (l *Loop) split(whole int) *Loop {
	moved := func(p int32) int32 {
		if p >= int32(whole) {
			return p + 1
		}
		return p
	}
	n := *l
	n.Pipes, n.Connections = nil, nil
	for p, pipe := range l.Pipes {
		if pipe.Next != None {
			pipe.Next = moved(pipe.Next)
			if p >= l.Supplies && l.Pipes[p].Next == int32(whole) {
				pipe.Next = int32(whole)
			}
		}
		if p != whole {
			n.Pipes = append(n.Pipes, pipe)
			continue
		}
		pipe.UA /= 2
		pipe.Line.Length = quantity.Metres(pipe.Line.Length.Metres() / 2)
		pipe.Line.SumK /= 2
		first, second := pipe, pipe
		if p < l.Supplies {
			second.Next = int32(whole)
		} else {
			first.Next = int32(whole) + 1
		}
		n.Pipes = append(n.Pipes, first, second)
	}
	if whole < l.Supplies {
		n.Supplies++
	}
	for _, c := range l.Connections {
		back := moved(c.Return)
		if c.Return == int32(whole) {
			back = int32(whole)
		}
		n.Connections = append(n.Connections, Connection{moved(c.Supply), back})
	}
	return &n
}

// TestBalanceNamesRange: a flow beyond any pipe is an error, no number.
func TestBalanceNamesRange(t *testing.T) {
	l := comb(2, false)
	for _, q := range []float64{math.NaN(), math.Inf(1), 1e9} {
		if _, err := l.Balance([]float64{q, 1e-4}, make([]quantity.FlowCoefficient, 2), 0); err == nil {
			t.Errorf("%g m3/s: no error", q)
		} else if _, ok := err.(*hydraulic.RangeError); !ok {
			t.Errorf("%g m3/s: %T", q, err)
		}
	}
}
