package network

import (
	"recirc/calc/pipe"
	"recirc/calc/quantity"
)

// DeadLeg is the pipe between the last hot source and a node: what stands
// still and cools until somebody draws.
type DeadLeg struct {
	Source int32 // node of the hot source
	Pipes  int32 // how many
	Length quantity.Length
	Volume quantity.Volume

	// Code tables with lengths by size go by the largest size on the way. The
	// pipe of the largest nominal size need not be the widest: steel pipe of
	// 1/2 in is wider outside than copper tube of 5/8 in.
	NominalInches float64
	Widest        int32 // by outside diameter, -1 if there is no pipe

	LengthUnknown  bool // some pipe has no length
	SizeUnknown    bool // some pipe has no nominal size in inches
	OutsideUnknown bool // some pipe has no outside diameter
	Insulated      bool // some pipe is insulated
}

// DeadLegs gives the dead leg of every node, by adding along the supply tree
// from the heater outward; a hot source starts anew. Linear in the pipes, so a
// building of any depth costs the same per fixture.
func (g *Graph) DeadLegs() []DeadLeg {
	legs := make([]DeadLeg, len(g.names))
	legs[g.heater] = DeadLeg{Source: g.heater, Widest: none}
	for _, p := range g.order {
		to := g.to[p]
		if g.hot[to] != NotHot {
			legs[to] = DeadLeg{Source: to, Widest: none}
			continue
		}
		legs[to] = g.extend(legs[g.from[p]], p)
	}
	return legs
}

// extend adds one pipe at the far end of a dead leg.
func (g *Graph) extend(leg DeadLeg, p int32) DeadLeg {
	tube, run := &g.Tubes[p], &g.System.Pipes[p]
	leg.Pipes++
	leg.Length = quantity.Metres(leg.Length.Metres() + run.Length.Metres())
	leg.Volume = quantity.CubicMetres(leg.Volume.CubicMetres() + g.StoredVolume(p).CubicMetres())
	inches, known := pipe.NominalInches(tube.Nominal)
	leg.NominalInches = max(leg.NominalInches, inches)
	leg.LengthUnknown = leg.LengthUnknown || run.Length == quantity.Length{}
	leg.SizeUnknown = leg.SizeUnknown || !known
	leg.OutsideUnknown = leg.OutsideUnknown || tube.OutsideDiameter == quantity.Length{}
	if leg.Widest == none || g.width(p) > g.width(leg.Widest) {
		leg.Widest = p
	}
	leg.Insulated = leg.Insulated || !g.System.InsulationOf(p).Bare()
	return leg
}

// width orders pipes by size: the outside diameter, or the bore where a
// caller's own tube has no other.
func (g *Graph) width(p int32) float64 {
	return max(g.Tubes[p].OutsideDiameter.Metres(), g.Tubes[p].Bore.Metres())
}

// StoredVolume is the content of one pipe.
func (g *Graph) StoredVolume(p int32) quantity.Volume {
	return pipe.StoredVolume(g.Tubes[p].Bore, g.System.Pipes[p].Length)
}

// Path lists the pipes of a dead leg from its hot source to the node, appended
// to into.
func (g *Graph) Path(node int32, leg DeadLeg, into []int32) []int32 {
	start := len(into)
	for n := node; n != leg.Source; n = g.from[g.feeder[n]] {
		into = append(into, g.feeder[n])
	}
	for i, j := start, len(into)-1; i < j; i, j = i+1, j-1 {
		into[i], into[j] = into[j], into[i]
	}
	return into
}

// Union lists the pipes that belong to the dead leg of any of the nodes, each
// once, in no particular order.
func (g *Graph) Union(nodes []int32, legs []DeadLeg) []int32 {
	taken := make([]bool, len(g.Tubes))
	all := make([]int32, 0, len(taken))
	for _, node := range nodes {
		for n := node; n != legs[node].Source && !taken[g.feeder[n]]; n = g.from[g.feeder[n]] {
			taken[g.feeder[n]] = true
			all = append(all, g.feeder[n])
		}
	}
	return all
}

// TracesBehindDeadLegs lists the heat-traced pipes whose upstream end is not
// hot: behind the warm water of such a pipe, cold water follows.
func (g *Graph) TracesBehindDeadLegs() []int32 {
	var cold []int32
	for _, p := range g.order {
		if g.System.Pipes[p].HeatTrace != nil && g.hot[g.from[p]] == NotHot {
			cold = append(cold, p)
		}
	}
	return cold
}

// MaintainedAt is the temperature that the heat-traced pipe into a node holds;
// zero if no such pipe leads there.
func (g *Graph) MaintainedAt(node int32) quantity.Temperature {
	into := g.feeder[node]
	if into == none || g.System.Pipes[into].HeatTrace == nil {
		return quantity.Temperature{}
	}
	return g.System.Pipes[into].HeatTrace.MaintainedTemperature
}
