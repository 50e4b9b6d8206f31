package loop

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/hydraulic"
	"recirc/calc/quantity"
)

// drawNetwork draws 3 to 12 nodes that are joined every way, with pumps, lifts,
// check valves, closed links and draws. The first links are a tree of open pipes,
// so that nothing is cut off.
func drawNetwork(t *rapid.T) *Network {
	f := func(low, high float64, label string) float64 { return rapid.Float64Range(low, high).Draw(t, label) }
	chance := func(of int, label string) bool { return rapid.IntRange(1, of).Draw(t, label) == 1 }
	nodes := rapid.IntRange(3, 12).Draw(t, "nodes")
	n := &Network{Nodes: nodes, Root: int32(rapid.IntRange(0, nodes-1).Draw(t, "root")), Inflow: make([]float64, nodes), Mains: quantity.Celsius(10)}
	node := func(label string) int32 { return int32(rapid.IntRange(0, nodes-1).Draw(t, label)) }
	pipe := func() hydraulic.Pipe {
		p := tube(f(0.1, 50, "length"), f(0.008, 0.05, "bore"))
		if chance(3, "valved") {
			p.Kv = kv(math.Pow(10, f(-2, 2, "Kv")))
		}
		return p
	}
	for i := 1; i < nodes; i++ {
		n.Links = append(n.Links, link(int32(rapid.IntRange(0, i-1).Draw(t, "on")), int32(i), pipe()))
	}
	for range rapid.IntRange(1, 2*nodes).Draw(t, "more") {
		l := link(node("from"), node("to"), pipe())
		switch rapid.IntRange(0, 6).Draw(t, "kind") {
		case 0:
			l.OneWay = true
		case 1:
			l.Closed = true
		case 2:
			l.Lift = f(-500, 500, "lift")
		case 3:
			gain := f(100, 5e4, "gain")
			l.Pump = falling(gain, f(1e-4, 5e-3, "end"))
			l.Heated = quantity.Celsius(60)
		}
		n.Links = append(n.Links, l)
	}
	for i := range n.Inflow {
		if int32(i) != n.Root && chance(4, "drawn") {
			n.Inflow[i] = -math.Pow(10, f(-7, -4, "draw"))
		}
	}
	return n
}

// denseFlows solves a small network another way: the flows of a tree follow from
// mass, those of the links beside it, one a ring, are found by Newton's method with
// a dense matrix and a line search by bisection. Links 0 to nodes-2 must be a tree
// in which each adds a node.
func denseFlows(n *Network) []float64 {
	tree := n.Nodes - 1
	parent := make([]int, n.Nodes) // the link that adds a node
	for i := range tree {
		parent[n.Links[i].To] = i
	}
	way := func(node int32) []float64 { // the tree's links from node 0 to a node
		w := make([]float64, len(n.Links))
		for node != 0 {
			i := parent[node]
			w[i], node = 1, n.Links[i].From
		}
		return w
	}
	q := make([]float64, len(n.Links))
	root := way(n.Root)
	for node, in := range n.Inflow {
		if int32(node) == n.Root {
			continue
		}
		for i, w := range way(int32(node)) { // what is drawn goes from the root over node 0
			q[i] += -in * (w - root[i])
		}
	}
	var rings [][]float64
	for i := tree; i < len(n.Links); i++ {
		if l := &n.Links[i]; !l.Closed {
			ring, to := way(l.From), way(l.To)
			for k := range ring {
				ring[k] -= to[k]
			}
			ring[i] = 1
			rings = append(rings, ring)
		}
	}
	for range 200 {
		improve(n, q, rings)
	}
	return q
}

// improve makes a step.
func improve(n *Network, q []float64, rings [][]float64) {
	drop, slope := make([]float64, len(q)), make([]float64, len(q))
	at := func(q []float64) {
		for i := range q {
			drop[i], slope[i] = n.Links[i].exactly(q[i])
		}
	}
	at(q)
	m := len(rings)
	a, right := make([][]float64, m), make([]float64, m)
	for k := range rings {
		a[k] = make([]float64, m)
		for i, r := range rings[k] {
			right[k] -= r * drop[i]
			if r != 0 {
				for j := range rings {
					a[k][j] += r * slope[i] * rings[j][i]
				}
			}
		}
	}
	x := eliminate(a, right)
	step, next := make([]float64, len(q)), make([]float64, len(q))
	for k := range rings {
		for i, r := range rings[k] {
			step[i] += r * x[k]
		}
	}
	along := func(length float64) (climb float64) {
		for i := range q {
			next[i] = q[i] + length*step[i]
		}
		at(next)
		for i := range q {
			climb += step[i] * drop[i]
		}
		return climb
	}
	low, high := 0.0, 1.0
	if along(1) > 0 {
		for range 60 {
			if middle := (low + high) / 2; along(middle) > 0 {
				high = middle
			} else {
				low = middle
			}
		}
		along((low + high) / 2)
	}
	copy(q, next)
}

// exactly is what a link takes. A check valve passes next to nothing backwards.
func (l *Link) exactly(q float64) (drop, slope float64) {
	drop, slope = l.Curve.At(q)
	if l.OneWay && q <= 0 {
		drop, slope = 1e22*q, 1e22
	}
	if l.Pump != nil {
		gain, rise := l.Pump(q)
		drop, slope = drop-gain, slope-rise
	}
	return drop - l.Lift, slope + 1e-3
}

// eliminate solves a x = b by Gauss's elimination with pivots.
func eliminate(a [][]float64, b []float64) []float64 {
	n := len(b)
	for k := range n {
		best := k
		for i := k; i < n; i++ {
			if math.Abs(a[i][k]) > math.Abs(a[best][k]) {
				best = i
			}
		}
		a[k], a[best], b[k], b[best] = a[best], a[k], b[best], b[k]
		for i := k + 1; i < n; i++ {
			m := a[i][k] / a[k][k]
			for j := k; j < n; j++ {
				a[i][j] -= m * a[k][j]
			}
			b[i] -= m * b[k]
		}
	}
	for k := n - 1; k >= 0; k-- {
		for j := k + 1; j < n; j++ {
			b[k] -= a[k][j] * b[j]
		}
		b[k] /= a[k][k]
	}
	return b
}

// TestFlowsMeetDenseSolution compares with a method that shares nothing with the
// solver but what a link takes.
func TestFlowsMeetDenseSolution(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := drawNetwork(t)
		closeFlows(t, "dense", n, mustSolve(t, n, nil).Q, denseFlows(n))
	})
}
