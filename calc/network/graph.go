package network

import (
	"recirc/calc/fault"
	"recirc/calc/pipe"
)

const none = int32(-1)

// Graph is a system that passed every check, with nodes numbered and paths
// known. It does not change once built, but for tubes whose size was open.
type Graph struct {
	System *System
	Tubes  []pipe.Tube // by pipe, catalogue and defaults resolved

	// DefaultSeries lists the pipes that took their series from the defaults.
	DefaultSeries []int32

	nodes       map[string]int32
	names       []string // by node
	from, to    []int32  // by pipe
	feeder      []int32  // by node: the supply pipe that feeds it
	returnOut   []int32  // by node: the return pipe that leaves it
	unsized     map[int32]string
	order       []int32   // supply pipes, each behind the one that feeds it
	hot         []HotKind // by node
	circulated  []bool    // by pipe: part of a circulated supply path
	fixtureNode []int32   // by fixture
	heater      int32
}

// HotKind is why the water at a node is hot.
type HotKind string

// The kinds of hot source; NotHot for every other node.
const (
	NotHot        HotKind = ""
	HotHeater     HotKind = "heater"
	HotCirculated HotKind = "circulated_supply"
	HotTraced     HotKind = "heat_traced"
)

// HotSource is a point where water is kept hot.
type HotSource struct {
	Node string
	Kind HotKind
}

// Build checks a system and links its graph. Every fault is added to faults
// with a JSON Pointer that begins with at. The graph is nil if there are any.
//
// Cost is linear in pipes and fixtures.
func Build(s *System, at string, faults *fault.List) *Graph {
	b := newBuilder(s, at, faults)
	b.checkIDs()
	b.resolveTubes()
	b.link()
	if b.walk() && !b.partial {
		b.checkReached()
		b.checkReturns()
		b.checkEnds()
	}
	b.checkFixtures()
	if !faults.Empty() {
		return nil
	}
	b.markHot()
	return &b.g
}

// HotSourceAt is the node as a hot source.
func (g *Graph) HotSourceAt(node int32) HotSource {
	return HotSource{Node: g.names[node], Kind: g.hot[node]}
}

// FixtureNode is the node of a fixture.
func (g *Graph) FixtureNode(fixture int) int32 { return g.fixtureNode[fixture] }
