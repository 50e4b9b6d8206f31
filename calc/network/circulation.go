package network

import "recirc/calc/pipe"

// Circulation is the part of a graph through which water comes back.
type Circulation struct {
	Supply      []int32      // circulated supply pipes, each behind its feeder
	Return      []int32      // return pipes, each behind those that run into it
	Connections []Connection // in the order of their return pipes
}

// Connection is where a return starts: a node of the supply.
type Connection struct {
	Node, Feeder int32 // Feeder: the supply pipe that ends there
	Return       int32 // the pipe that starts there
}

// Circulation lists the circulated pipes. Linear in the pipes.
func (g *Graph) Circulation() Circulation {
	var c Circulation
	for _, p := range g.order {
		if g.circulated[p] {
			c.Supply = append(c.Supply, p)
		}
	}
	waits := make([]int32, len(g.names)) // returns that end at a node and are not listed yet
	for i := range g.System.Pipes {
		if g.System.Pipes[i].Role == Return {
			waits[g.to[i]]++
		}
	}
	for i := range g.System.Pipes {
		p := int32(i)
		if g.System.Pipes[p].Role != Return {
			continue
		}
		if from := g.from[p]; g.feeder[from] != none {
			c.Connections = append(c.Connections, Connection{Node: from, Feeder: g.feeder[from], Return: p})
			c.Return = append(c.Return, p)
		}
	}
	for next := 0; next < len(c.Return); next++ {
		to := g.to[c.Return[next]]
		if waits[to]--; waits[to] == 0 && to != g.heater {
			c.Return = append(c.Return, g.returnOut[to])
		}
	}
	return c
}

// Passing counts for each pipe how many of some connections have their circulating
// water pass through it, on the way out or home. Linear in the pipes.
func (g *Graph) Passing(c Circulation, some []Connection) []int {
	passing := make([]int, len(g.System.Pipes))
	for _, k := range some {
		passing[k.Feeder]++
		passing[k.Return]++
	}
	for i := len(c.Supply) - 1; i >= 0; i-- {
		if f, ok := g.Feeder(c.Supply[i]); ok {
			passing[f] += passing[c.Supply[i]]
		}
	}
	for _, p := range c.Return {
		if next, ok := g.Onward(p); ok {
			passing[next] += passing[p]
		}
	}
	return passing
}

// Feeder is the supply pipe behind which a supply pipe follows, and false at the
// heater.
func (g *Graph) Feeder(p int32) (int32, bool) {
	return g.FedBy(g.from[p])
}

// Onward is the return pipe that a return pipe runs into, and false at the
// heater.
func (g *Graph) Onward(p int32) (int32, bool) {
	if g.to[p] == g.heater {
		return none, false
	}
	return g.returnOut[g.to[p]], true
}

// SupplyOrder lists the supply pipes, each behind the one that feeds it.
func (g *Graph) SupplyOrder() []int32 { return g.order }

// Circulated reports that a supply pipe is between the heater and the start of a
// return.
func (g *Graph) Circulated(p int32) bool { return g.circulated[p] }

// Ends of a pipe, as nodes.
func (g *Graph) Ends(p int32) (from, to int32) { return g.from[p], g.to[p] }

// Nodes is how many there are.
func (g *Graph) Nodes() int { return len(g.names) }

// NodeName is what the request calls a node.
func (g *Graph) NodeName(node int32) string { return g.names[node] }

// NodeCalled finds a node by its name.
func (g *Graph) NodeCalled(name string) (int32, bool) {
	node, ok := g.nodes[name]
	return node, ok
}

// HeaterNode is the root of the supply.
func (g *Graph) HeaterNode() int32 { return g.heater }

// FedBy is the supply pipe that ends at a node, and false at the heater and where
// no supply leads.
func (g *Graph) FedBy(node int32) (int32, bool) { return g.feeder[node], g.feeder[node] != none }

// WayTo lists the supply pipes from a node back to the heater.
func (g *Graph) WayTo(node int32) []int32 {
	var way []int32
	for g.feeder[node] != none {
		way = append(way, g.feeder[node])
		node = g.from[g.feeder[node]]
	}
	return way
}

// Unsized lists the return pipes whose tube gives a series and no size, and the
// series to choose from; see [System.UnsizedReturns].
func (g *Graph) Unsized() map[int32]string { return g.unsized }

// Choose sets the tube of a return pipe whose size was open.
func (g *Graph) Choose(p int32, t pipe.Tube) { g.Tubes[p] = t }
