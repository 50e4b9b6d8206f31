package sparse

import "math"

// neighbours gives the unknowns that each unknown has an entry with.
func neighbours(n int, pairs [][2]int32) rows {
	both := make([][2]int32, 0, 2*len(pairs))
	for _, p := range pairs {
		both = append(both, p, [2]int32{p[1], p[0]})
	}
	adjacent, _ := distinct(n, both)
	return adjacent
}

// Order gives an order of elimination for a matrix with entries at the pairs of
// [Analyse], for whoever eliminates in another way.
func Order(n int, pairs [][2]int32) []int32 {
	order, _ := minimumDegree(neighbours(n, pairs), math.MaxInt)
	return order
}

// minimumDegree gives an order of elimination: next comes an unknown with the
// fewest neighbours, as far as they are known.
//
// What elimination joins is not written out: an eliminated unknown becomes an
// element, the list of unknowns that it has made neighbours of one another.
// Unknowns with the same neighbours become one variable. The degree is external
// (those of the same variable do not count) and an upper bound, which counts an
// unknown twice if two elements have it.
//
// An unknown with more than 10 sqrt(n) neighbours would be looked at too often. It
// is left out and comes last.
//
// Errors: [ErrFill] as soon as the fill so far, with what the last element must
// cost whatever follows, is more than allowed.
//
// Source: Amestoy, Davis and Duff (1996), An approximate minimum degree ordering
// algorithm, SIAM Journal on Matrix Analysis and Applications 17, 886-905, from
// memory; the bound on dense rows too.
func minimumDegree(adjacent rows, mostFill int) ([]int32, error) {
	g, dense := newQuotient(adjacent)
	order := make([]int32, 0, len(g.weight))
	fill := 0
	for g.left > 0 {
		p := g.fewest()
		degree := g.eliminate(p)
		w := int(g.weight[p])
		g.weight[p], g.left = 0, g.left-w
		fill += w*(w-1)/2 + w*degree
		if fill+degree*(degree-1)/2 > mostFill {
			return nil, ErrFill
		}
		for i := p; i >= 0; i = g.next[i] {
			order = append(order, i)
		}
	}
	return append(order, dense...), nil
}
