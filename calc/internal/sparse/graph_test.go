package sparse

import (
	"math/rand/v2"
	"slices"
)

// network is the pairs of a graph, with what it is.
type network struct {
	name  string
	n     int
	pairs [][2]int32
}

func (g *network) join(i, j int) { g.pairs = append(g.pairs, [2]int32{int32(i), int32(j)}) }

// comb is supply and return pipes side by side, with a branch between them at
// every step: a ladder. Direct return goes back to the heater at the near end,
// reverse return at the far end.
func comb(branches int, reverse bool) network {
	g := network{name: "comb, direct return", n: 2*branches + 1}
	heater := 2 * branches
	for i := range branches {
		if i > 0 {
			g.join(2*(i-1), 2*i)
			g.join(2*(i-1)+1, 2*i+1)
		}
		g.join(2*i, 2*i+1)
	}
	g.join(heater, 0)
	if reverse {
		g.name = "comb, reverse return"
		g.join(2*branches-1, heater)
	} else {
		g.join(1, heater)
	}
	return g
}

func star(leaves int) network {
	g := network{name: "star", n: leaves + 1}
	for i := range leaves {
		g.join(leaves/2, (leaves/2+1+i)%(leaves+1))
	}
	return g
}

// hubs is a graph in which every one of many unknowns has two hubs for neighbours.
func hubs(leaves int) network {
	g := network{name: "two hubs", n: leaves + 2}
	for i := range leaves {
		g.join(0, i+2)
		g.join(i+2, 1)
	}
	return g
}

func tree(n int, r *rand.Rand) network {
	g := network{name: "tree", n: n}
	for i := 1; i < n; i++ {
		g.join(i, r.IntN(i))
	}
	return g
}

func grid(side int) network {
	g := network{name: "grid", n: side * side}
	for i := range side {
		for j := range side {
			if i > 0 {
				g.join((i-1)*side+j, i*side+j)
			}
			if j > 0 {
				g.join(i*side+j-1, i*side+j)
			}
		}
	}
	return g
}

// expander is a graph that no order of elimination keeps sparse: three random
// circles through all unknowns.
func expander(n int, r *rand.Rand) network {
	g := network{name: "expander", n: n}
	for range 3 {
		circle := r.Perm(n)
		for k := range circle {
			g.join(circle[k], circle[(k+1)%n])
		}
	}
	return g
}

// scattered has pairs at random, some twice, some unknowns without any.
func scattered(n, pairs int, r *rand.Rand) network {
	g := network{name: "scattered", n: n}
	for range pairs {
		if i, j := r.IntN(n), r.IntN(n); i != j {
			g.join(i, j)
		}
	}
	return g
}

// beside puts two networks into one matrix.
func beside(a, b network) network {
	g := network{name: a.name + " beside " + b.name, n: a.n + b.n, pairs: slices.Clone(a.pairs)}
	for _, p := range b.pairs {
		g.join(int(p[0])+a.n, int(p[1])+a.n)
	}
	return g
}

// renamed numbers the unknowns anew: i becomes to[i].
func (g network) renamed(to []int) network {
	r := network{name: g.name, n: g.n}
	for _, p := range g.pairs {
		r.join(to[p[1]], to[p[0]])
	}
	return r
}

func networks(seed uint64) []network {
	r := rand.New(rand.NewPCG(seed, 1))
	return []network{
		{name: "none"}, {name: "one", n: 1}, {name: "two apart", n: 2}, {name: "two", n: 2, pairs: [][2]int32{{1, 0}}},
		{name: "two, four times", n: 2, pairs: [][2]int32{{1, 0}, {0, 1}, {0, 1}, {1, 0}}},
		comb(1, false), comb(40, false), comb(40, true), comb(301, true), star(3), star(100), star(900), hubs(200), tree(2, r), tree(60, r), tree(700, r),
		grid(5), grid(24), scattered(30, 25, r), scattered(60, 200, r), expander(80, r),
		beside(comb(20, true), tree(50, r)), beside(beside(grid(4), star(30)), network{name: "nothing", n: 5}),
	}
}
