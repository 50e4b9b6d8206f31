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
		for i := range want.Q { // temperatures of the same flows, so that none turns in the last digit
			there.Q[links[i]] = want.Q[i]
		}
		w, v := mustMix(t, n, want.Q, warm.VolumetricHeat()), mustMix(t, other, there.Q, warm.VolumetricHeat())
		for i, at := range links {
			near(t, "inlet in another order", v.In[at], w.In[i], 1e-9)
			near(t, "outlet in another order", v.Out[at], w.Out[i], 1e-9)
		}
	})
}

// TestAnotherWayNeedsNoMoreHead: a further link between any two nodes never raises
// the head that a flow needs, as in a parallel return. That is a law where all links
// take one power of their flow, valves here or pipes by Hazen and Williams: the least
// content is then a fixed part of head times flow. Where pipes are laminar in part it
// need not hold (Braess's paradox): the shares may shift to where they cost more, and
// heads rise in the fifth digit.
func TestAnotherWayNeedsNoMoreHead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := drawNetwork(t)
		clear(n.Inflow)
		kind := rapid.SampledFrom([]string{"valves", "hazen_williams", "mixed"}).Draw(t, "law")
		further := Link{From: int32(rapid.IntRange(0, n.Nodes-1).Draw(t, "from")), To: int32(rapid.IntRange(0, n.Nodes-1).Draw(t, "to"))}
		n.Links = append(n.Links, further)
		for i := range n.Links {
			n.Links[i].Pump, n.Links[i].Lift = nil, 0
			n.Links[i].Curve = oneLaw(t, kind)
		}
		source := int32(rapid.IntRange(0, n.Nodes-1).Draw(t, "source"))
		n.Inflow[source] = math.Pow(10, rapid.Float64Range(-5, -3).Draw(t, "flow"))
		head := func(n *Network) float64 { return mustSolve(t, n, nil).Pressure[source] }
		with := head(n)
		n.Links = n.Links[:len(n.Links)-1]
		slack := map[string]float64{"valves": 1e-8, "hazen_williams": 1e-3, "mixed": 1e-2}[kind]
		if without := head(n); with > without*(1+slack)+1e-6 {
			t.Fatalf("%s: %.12g Pa, with another link %.12g", kind, without, with)
		}
	})
}

// oneLaw draws a link. Hazen and Williams goes on to zero as a line, so that its
// power holds only above a creep.
func oneLaw(t *rapid.T, kind string) hydraulic.Curve {
	if kind == "valves" {
		return valve(math.Pow(10, rapid.Float64Range(-2, 2).Draw(t, "Kv"))).Curve(fluid)
	}
	p := tube(rapid.Float64Range(0.1, 50).Draw(t, "length"), rapid.Float64Range(0.008, 0.05).Draw(t, "bore"))
	if kind == "hazen_williams" {
		p.SumK, p.HazenWilliamsC = 0, 140
	}
	return p.Curve(fluid)
}

// TestScaling: pipes twice as long with twice the fittings, valves of which two in a
// row stand for one, and twice the head carry the same flows; twice the flow through
// twice the heat loss has the same temperatures.
func TestScaling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawTree(t, 30)
		by := rapid.Float64Range(0.1, 10).Draw(t, "by")
		open := slices.Repeat([]quantity.FlowCoefficient{kv(rapid.Float64Range(0.1, 3).Draw(t, "Kv"))}, len(l.Connections))
		head, end := rapid.Float64Range(500, 5e4).Draw(t, "head"), 1e-3*float64(len(l.Connections))
		n, _ := l.network(open, falling(head, end))
		want := mustSolve(t, n, nil)

		longer := *l
		longer.Pipes = slices.Clone(l.Pipes)
		for i := range longer.Pipes {
			line := &longer.Pipes[i].Line
			line.Length, line.SumK = quantity.Metres(by*line.Length.Metres()), by*line.SumK
		}
		for i := range open {
			open[i] = quantity.FlowCoefficientSI(open[i].SI() / math.Sqrt(by))
		}
		long, _ := longer.network(open, falling(by*head, end))
		got := mustSolve(t, long, nil)
		closeFlows(t, "longer", long, got.Q, want.Q)
		for i := range got.Pressure {
			if off := math.Abs(got.Pressure[i] - by*want.Pressure[i]); off > 1e-6*by*head {
				t.Fatalf("the pressure of node %d is %g Pa, not %g", i, got.Pressure[i], by*want.Pressure[i])
			}
		}

		heat := l.Water.VolumetricHeat()
		cool := mustMix(t, n, want.Q, heat)
		more := slices.Clone(want.Q)
		for i := range n.Links {
			n.Links[i].UA *= by
			more[i] *= by
		}
		same := mustMix(t, n, more, heat)
		for i := range cool.Node {
			near(t, "temperature", same.Node[i], cool.Node[i], 1e-9)
		}
		for i, loss := range cool.Loss {
			near(t, "loss", same.Loss[i], by*loss, 1e-9*by*math.Abs(loss)+1e-9)
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
