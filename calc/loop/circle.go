package loop

import (
	"math"

	"recirc/calc/internal/sparse"
)

// circle is a group of nodes whose water comes round again without passing a
// heater. Their values x, temperatures or what stands in their place, are linear
//
//	(fresh_i + sum_j b_ij) x_i = right_i + sum_j b_ij x_j
//
//	b      flow from node j that still has the value of j when it arrives, m3/s
//	fresh  flow whose value does not come from the circle: what enters, and the
//	       part of the rest that has taken the temperature around its pipe
//	right  fresh flow times its value
type circle struct {
	parts  [][]part  // by node: what it has from others
	served [][]int32 // by node: who may have a part from it
	fresh  []float64
	right  []float64
	place  []int32 // by node: where in the row at hand its part is, plus one; zero between calls
	gone   []bool
}

// part is what a node has from another.
type part struct {
	of   int32
	flow float64
}

func newCircle(nodes int) *circle {
	return &circle{
		parts: make([][]part, nodes), served: make([][]int32, nodes), fresh: make([]float64, nodes),
		right: make([]float64, nodes), place: make([]int32, nodes), gone: make([]bool, nodes),
	}
}

// pass lets a flow from a node to another. What comes back to the node itself
// changes nothing there.
func (c *circle) pass(from, to int32, flow float64) {
	if from != to && flow > 0 {
		c.parts[to] = append(c.parts[to], part{from, flow})
	}
}

// solve gives the values of the nodes. One by one they are taken out, and what
// others had from them is traced to where they have it from. Nothing is ever
// subtracted, so that rounding stays rounding however little is fresh. A circle to
// which nothing comes may have any value; it has that of loose.
//
// Source: elimination without subtraction, Grassmann, Taksar and Heyman,
// Regenerative analysis and steady state distributions for Markov chains, 1985;
// from memory.
func (c *circle) solve(loose float64) []float64 {
	order := c.order()
	whole := make([]float64, len(order))
	for _, k := range order {
		whole[k] = c.fresh[k]
		for _, p := range c.parts[k] {
			whole[k] += p.flow
		}
		c.gone[k] = true
		for _, i := range c.served[k] {
			if !c.gone[i] {
				c.trace(i, k, whole[k])
			}
		}
	}
	x := make([]float64, len(order))
	for at := len(order) - 1; at >= 0; at-- {
		k := order[at]
		if whole[k] == 0 {
			x[k] = loose
			continue
		}
		sum := c.right[k]
		for _, p := range c.parts[k] {
			sum += p.flow * x[p.of]
		}
		x[k] = sum / whole[k]
	}
	return x
}

// order joins the parts that a node has from the same other, and finds in which
// order few new ones arise.
func (c *circle) order() []int32 {
	var pairs [][2]int32
	for i, parts := range c.parts {
		joined := parts[:0]
		for _, p := range parts {
			if at := c.place[p.of]; at > 0 {
				joined[at-1].flow += p.flow
				continue
			}
			joined = append(joined, p)
			c.place[p.of] = int32(len(joined))
			c.served[p.of] = append(c.served[p.of], int32(i))
			pairs = append(pairs, [2]int32{int32(i), p.of})
		}
		c.parts[i] = joined
		c.forget(joined)
	}
	return sparse.Order(len(c.parts), pairs)
}

func (c *circle) forget(parts []part) {
	for _, p := range parts {
		c.place[p.of] = 0
	}
}

// trace replaces what node i has from node k, whose values come from whole.
func (c *circle) trace(i, k int32, whole float64) {
	row, at := c.parts[i], -1
	for n, p := range row {
		c.place[p.of] = int32(n) + 1
		if p.of == k {
			at = n
		}
	}
	share := row[at].flow / whole
	c.fresh[i] += share * c.fresh[k]
	c.right[i] += share * c.right[k]
	for _, p := range c.parts[k] {
		switch here := c.place[p.of]; {
		case p.of == i:
		case here > 0:
			row[here-1].flow += share * p.flow
		default:
			row = append(row, part{p.of, share * p.flow})
			c.served[p.of] = append(c.served[p.of], i)
			c.place[p.of] = int32(len(row))
		}
	}
	c.forget(row)
	row[at] = row[len(row)-1]
	c.parts[i] = row[:len(row)-1]
}

// groups puts the nodes in the order of the flow; nodes from which water comes back
// to them are one group.
type groups struct {
	first, next []int32 // links that flow into a node and bring its value with them, as chains
	nodes       []int32 // of all groups
	ends        []int32 // of each group, in nodes
}

// groupsOf finds them, each behind all that feed it, by going from every node
// against the flow.
//
// Source: strongly connected components, Tarjan, Depth-first search and linear
// graph algorithms, 1972; from memory.
func (m *mixing) groupsOf() groups {
	n := m.n.Nodes
	g := groups{first: make([]int32, n), next: make([]int32, len(m.q)), nodes: make([]int32, 0, n)}
	for i := range g.first {
		g.first[i] = None
	}
	for i := len(m.q) - 1; i >= 0; i-- {
		if m.flows(i) {
			_, to := m.ends(i)
			g.next[i], g.first[to] = g.first[to], int32(i)
		}
	}
	seen, low := make([]int32, n), make([]int32, n) // when a node was seen, and the earliest that it has water from
	next := append([]int32(nil), g.first...)
	var way, open []int32 // nodes from which the search goes on; seen ones without a group
	times := int32(0)
	see := func(node int32) {
		times++
		seen[node], low[node] = times, times
		way, open = append(way, node), append(open, node)
	}
	for start := range int32(n) {
		if seen[start] == 0 {
			see(start)
		}
		for len(way) > 0 {
			node := way[len(way)-1]
			if i := next[node]; i != None {
				next[node] = g.next[i]
				from, _ := m.ends(int(i))
				switch {
				case m.n.Links[i].heats():
				case seen[from] == 0:
					see(from)
				default:
					low[node] = min(low[node], seen[from])
				}
				continue
			}
			if way = way[:len(way)-1]; len(way) > 0 {
				low[way[len(way)-1]] = min(low[way[len(way)-1]], low[node])
			}
			if low[node] < seen[node] {
				continue
			}
			for last := None; last != node; {
				last = open[len(open)-1]
				open = open[:len(open)-1]
				seen[last] = math.MaxInt32
				g.nodes = append(g.nodes, last)
			}
			g.ends = append(g.ends, int32(len(g.nodes)))
		}
	}
	return g
}
