package sparse

import (
	"cmp"
	"math"
	"slices"
)

// quotient is the graph of what is left to eliminate.
type quotient struct {
	left int // unknowns

	// Of each variable, named by one of its unknowns:
	weight     []int32   // its unknowns, 0 once it is no variable any more
	next, last []int32   // the chain of its unknowns
	adjacent   [][]int32 // its elements, then its neighbours that no element has
	elements   []int32   // how many of adjacent are elements
	degree     []int
	hash       []uint64 // of adjacent

	// Of each element, named by its pivot:
	members [][]int32 // its variables, nil once another element has them all
	size    []int     // its unknowns
	outside []int     // its unknowns that the newest element lacks

	seen    []int // when a variable or element was last marked
	now     int
	queue   queue
	scratch []int32
}

func newQuotient(adjacent rows) (*quotient, []int32) {
	n := len(adjacent.start) - 1
	g := &quotient{
		weight: make([]int32, n), next: make([]int32, n), last: make([]int32, n), adjacent: make([][]int32, n),
		elements: make([]int32, n), degree: make([]int, n), hash: make([]uint64, n),
		members: make([][]int32, n), size: make([]int, n), outside: make([]int, n), seen: make([]int, n),
		queue: newQueue(n),
	}
	var dense []int32
	for i := range n {
		g.next[i], g.last[i] = -1, int32(i)
		if float64(len(adjacent.of(i))) > max(16, 10*math.Sqrt(float64(n))) {
			dense = append(dense, int32(i))
			continue
		}
		g.weight[i] = 1
		g.left++
	}
	for i := range n {
		if g.weight[i] > 0 {
			g.adjacent[i] = slices.DeleteFunc(adjacent.of(i), func(j int32) bool { return g.weight[j] == 0 })
			g.degree[i] = len(g.adjacent[i])
			g.queue.put(int32(i), g.degree[i])
		}
	}
	return g, dense
}

// fewest takes a variable with the smallest degree.
func (g *quotient) fewest() int32 {
	p := g.queue.least()
	g.queue.drop(p, g.degree[p])
	return p
}

// mark gives a mark that nothing bears yet.
func (g *quotient) mark() int {
	g.now++
	return g.now
}

// eliminate makes a variable an element and gives the number of its unknowns. Its
// members that have no neighbours elsewhere are eliminated with it.
func (g *quotient) eliminate(p int32) int {
	mark := g.mark()
	members := g.gather(p, mark)
	g.overlap(members, mark)
	for _, i := range members {
		if g.update(i, p, mark); g.degree[i] == 0 {
			g.merge(p, i)
		}
	}
	members = g.variables(members)
	g.join(members)
	members = g.variables(members)
	size := 0
	for _, i := range members {
		size += int(g.weight[i])
	}
	for _, i := range members {
		inside := size - int(g.weight[i])
		g.degree[i] = min(g.degree[i]+inside, g.left-int(g.weight[p]+g.weight[i]))
		g.queue.put(i, g.degree[i])
	}
	g.members[p], g.size[p], g.adjacent[p] = slices.Clone(members), size, nil
	return size
}

// gather collects the neighbours of a pivot and takes them out of the queue; the
// pivot's own elements are part of the new one and end.
func (g *quotient) gather(p int32, mark int) []int32 {
	g.seen[p] = mark
	members := g.scratch[:0]
	take := func(list []int32) {
		for _, i := range list {
			if g.weight[i] > 0 && g.seen[i] != mark {
				g.seen[i] = mark
				g.queue.drop(i, g.degree[i])
				members = append(members, i)
			}
		}
	}
	elements := g.elements[p]
	for _, e := range g.adjacent[p][:elements] {
		take(g.members[e])
		g.members[e] = nil
	}
	take(g.adjacent[p][elements:])
	g.scratch = members
	return members
}

// overlap finds, for each element that shares a member with the new one, how many
// of its unknowns the new one lacks.
func (g *quotient) overlap(members []int32, mark int) {
	for _, i := range members {
		for _, e := range g.adjacent[i][:g.elements[i]] {
			if g.members[e] == nil {
				continue
			}
			if g.seen[e] != mark {
				g.seen[e], g.outside[e] = mark, g.size[e]
			}
			g.outside[e] -= int(g.weight[i])
		}
	}
}

// update renews what a member of the new element p is adjacent to, and bounds its
// degree without the other members.
func (g *quotient) update(i, p int32, mark int) {
	list, elements := g.adjacent[i], g.elements[i]
	kept := list[:0]
	degree, hash := 0, scatter(p)
	for _, e := range list[:elements] {
		if g.members[e] == nil {
			continue
		}
		if g.outside[e] == 0 {
			g.members[e] = nil // all its members are the new element's
			continue
		}
		kept = append(kept, e)
		degree += g.outside[e]
		hash += scatter(e)
	}
	first := len(kept)
	for _, j := range list[elements:] {
		if g.weight[j] > 0 && g.seen[j] != mark {
			kept = append(kept, j)
			degree += int(g.weight[j])
			hash += scatter(j)
		}
	}
	// There is room: p, or one of its elements, was in the list.
	kept = append(kept, p)
	kept[first], kept[len(kept)-1] = kept[len(kept)-1], kept[first]
	g.adjacent[i], g.elements[i] = kept, int32(first+1)
	g.degree[i], g.hash[i] = min(degree, g.degree[i]), hash
}

// scatter spreads an index over 64 bits.
func scatter(i int32) uint64 {
	h := (uint64(i) + 1) * 0x9e3779b97f4a7c15
	h ^= h >> 32
	return h * 0xd6e8feb86659fd93
}

// join makes one variable of members that are adjacent to the same. The hash is
// not proof, so that lists are compared.
func (g *quotient) join(members []int32) {
	slices.SortFunc(members, func(i, j int32) int { return cmp.Compare(g.hash[i], g.hash[j]) })
	for a, i := range members {
		marked := 0
		for _, j := range members[a+1:] {
			if g.hash[j] != g.hash[i] || g.weight[i] == 0 {
				break
			}
			if g.weight[j] == 0 || len(g.adjacent[i]) != len(g.adjacent[j]) || g.elements[i] != g.elements[j] {
				continue
			}
			if marked == 0 {
				marked = g.mark()
				for _, k := range g.adjacent[i] {
					g.seen[k] = marked
				}
			}
			if !slices.ContainsFunc(g.adjacent[j], func(k int32) bool { return g.seen[k] != marked }) {
				g.merge(i, j)
			}
		}
	}
}

// merge adds the unknowns of j to i.
func (g *quotient) merge(i, j int32) {
	g.weight[i], g.weight[j] = g.weight[i]+g.weight[j], 0
	g.next[g.last[i]], g.last[i] = j, g.last[j]
	g.adjacent[j] = nil
}

// variables keeps what is a variable still.
func (g *quotient) variables(list []int32) []int32 {
	return slices.DeleteFunc(list, func(i int32) bool { return g.weight[i] == 0 })
}
