package network

import (
	"strconv"

	"recirc/calc/fault"
	"recirc/calc/pipe"
)

type builder struct {
	g      Graph
	at     string
	faults *fault.List

	firstChild, nextSibling []int32 // supply pipes by node, then by pipe
	returnsIn               []bool  // by node: a return pipe ends here
	reached                 []bool  // by node: fed from the heater
	hasFixture              []bool  // by node
	partial                 bool    // some pipe is not in the graph, so reach says nothing
}

func newBuilder(s *System, at string, faults *fault.List) *builder {
	n := len(s.Pipes)
	b := &builder{at: at, faults: faults, nextSibling: make([]int32, n)}
	b.g = Graph{
		System: s, Tubes: make([]pipe.Tube, n),
		nodes: make(map[string]int32, n+1), names: make([]string, 0, n+1), from: make([]int32, n), to: make([]int32, n),
		circulated: make([]bool, n), fixtureNode: make([]int32, len(s.Fixtures)),
	}
	b.g.heater = b.node(s.Heater.Node)
	b.partial = s.Heater.Node == ""
	for i := range s.Pipes {
		p := &s.Pipes[i]
		if p.Unreadable {
			b.g.from[i], b.g.to[i] = none, none
			b.partial = true
			continue
		}
		b.g.from[i], b.g.to[i] = b.node(p.From), b.node(p.To)
	}
	nodes := len(b.g.names)
	b.g.feeder, b.firstChild, b.g.returnOut = filled(nodes), filled(nodes), filled(nodes)
	b.returnsIn, b.reached, b.hasFixture = make([]bool, nodes), make([]bool, nodes), make([]bool, nodes)
	b.g.hot = make([]HotKind, nodes)
	return b
}

func filled(n int) []int32 {
	s := make([]int32, n)
	for i := range s {
		s[i] = none
	}
	return s
}

func (b *builder) node(name string) int32 {
	if i, ok := b.g.nodes[name]; ok {
		return i
	}
	i := int32(len(b.g.names))
	b.g.nodes[name] = i
	b.g.names = append(b.g.names, name)
	return i
}

// pipeFault notes what is wrong at a field of a pipe.
func (b *builder) pipeFault(i int32, field string, code fault.Code, format string, args ...any) {
	b.faults.Add(b.at+"/pipes/"+strconv.Itoa(int(i))+"/"+field, code, format, args...)
}

// fixtureFault notes what is wrong at a field of a fixture.
func (b *builder) fixtureFault(i int, field string, code fault.Code, format string, args ...any) {
	b.faults.Add(b.at+"/fixtures/"+strconv.Itoa(i)+"/"+field, code, format, args...)
}

func (b *builder) pipe(i int32) *Pipe { return &b.g.System.Pipes[i] }

func (b *builder) checkIDs() {
	seen := make(map[string]int, len(b.g.System.Pipes))
	for i := range b.g.System.Pipes {
		id := b.g.System.Pipes[i].ID
		if first, twice := seen[id]; twice && id != "" {
			b.pipeFault(int32(i), "id", fault.DuplicateID, "Pipe %d is called %q too.", first, id)
		} else {
			seen[id] = i
		}
	}
	clear(seen)
	for i := range b.g.System.Fixtures {
		id := b.g.System.Fixtures[i].ID
		if first, twice := seen[id]; twice && id != "" {
			b.fixtureFault(i, "id", fault.DuplicateID, "Fixture %d is called %q too.", first, id)
		} else {
			seen[id] = i
		}
	}
}

// link hangs every pipe on its nodes.
func (b *builder) link() {
	for i := range b.g.System.Pipes {
		p := int32(i)
		from, to := b.g.from[p], b.g.to[p]
		switch {
		case from == none:
		case from == to:
			b.pipeFault(p, "to", fault.PipeToItself, "Pipe %q starts and ends at node %q.", b.pipe(p).ID, b.pipe(p).To)
			b.partial = true
		case b.pipe(p).Role == Return:
			b.linkReturn(p, from, to)
		default:
			b.linkSupply(p, from, to)
		}
	}
	for i := range b.g.System.Fixtures {
		if node, ok := b.g.nodes[b.g.System.Fixtures[i].Node]; ok {
			b.hasFixture[node] = true
		}
	}
}

func (b *builder) linkSupply(p, from, to int32) {
	switch {
	case to == b.g.heater:
		b.pipeFault(p, "to", fault.SupplyIntoHeater, "Supply pipe %q leads back into the heater's node; a pipe that brings water back has the role return.", b.pipe(p).ID)
		b.partial = true
	case b.g.feeder[to] != none:
		b.pipeFault(p, "to", fault.SecondParent, "Node %q is already fed by pipe %q; a supply is a tree, so each node has one feeding pipe.", b.pipe(p).To, b.pipe(b.g.feeder[to]).ID)
	default:
		b.g.feeder[to] = p
		b.nextSibling[p] = b.firstChild[from]
		b.firstChild[from] = p
	}
}

func (b *builder) linkReturn(p, from, to int32) {
	if first := b.g.returnOut[from]; first != none {
		b.pipeFault(p, "from", fault.ReturnSplits, "Return pipe %q already leaves node %q; a return does not split on its way to the heater.", b.pipe(first).ID, b.pipe(p).From)
		return
	}
	b.g.returnOut[from] = p
	b.returnsIn[to] = true
}

// walk follows the supply outward from the heater. It reports whether any
// supply pipe starts there.
func (b *builder) walk() bool {
	b.reached[b.g.heater] = true
	if b.firstChild[b.g.heater] == none {
		if !b.partial {
			b.faults.Add(b.at+"/heater/node", fault.NodeUnknown, "No supply pipe starts at the heater's node %q.", b.g.System.Heater.Node)
		}
		return false
	}
	b.g.order = make([]int32, 0, len(b.g.System.Pipes))
	b.visit(b.g.heater)
	for next := 0; next < len(b.g.order); next++ {
		b.visit(b.g.to[b.g.order[next]])
	}
	return true
}

func (b *builder) visit(node int32) {
	for p := b.firstChild[node]; p != none; p = b.nextSibling[p] {
		b.reached[b.g.to[p]] = true
		b.g.order = append(b.g.order, p)
	}
}

// markHot finds the hot sources: the heater, every node between it and the
// start of a return, and the end of every heat-traced supply pipe.
func (b *builder) markHot() {
	g := &b.g
	for _, p := range g.order {
		if b.pipe(p).HeatTrace != nil {
			g.hot[g.to[p]] = HotTraced
		}
	}
	for node, p := range b.g.returnOut {
		if p == none || g.feeder[node] == none {
			continue
		}
		for n := int32(node); g.feeder[n] != none && !g.circulated[g.feeder[n]]; n = g.from[g.feeder[n]] {
			g.hot[n] = HotCirculated
			g.circulated[g.feeder[n]] = true
		}
	}
	g.hot[g.heater] = HotHeater
}
