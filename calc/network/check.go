package network

import "recirc/calc/fault"

// checkReached names the supply pipes that no water reaches: those behind a
// node that nothing feeds, and those that feed each other in a circle.
func (b *builder) checkReached() {
	told := make([]bool, len(b.g.names))
	walkOf := filled(len(b.g.names))
	for i := range b.g.System.Pipes {
		p := int32(i)
		from := b.g.from[p]
		if b.pipe(p).Role == Return || from == b.g.to[p] || b.reached[from] {
			continue
		}
		if b.g.feeder[from] == none {
			if !told[from] {
				told[from] = true
				b.pipeFault(p, "from", fault.NodeUnreachable, "No supply pipe leads to node %q, so nothing behind it is fed by the heater.", b.pipe(p).From)
			}
			continue
		}
		b.checkCircle(p, walkOf)
	}
}

// checkCircle walks upstream from pipe p and names the circle it ends in, once.
func (b *builder) checkCircle(p int32, walkOf []int32) {
	node := b.g.from[p]
	for node != none && walkOf[node] == none {
		walkOf[node] = p
		if b.g.feeder[node] == none {
			return
		}
		node = b.g.from[b.g.feeder[node]]
	}
	if walkOf[node] != p {
		return // an earlier walk has been here
	}
	closing := b.g.feeder[node]
	b.pipeFault(closing, "to", fault.SupplyCycle, "Supply pipe %q closes a circle through node %q that the heater does not feed.", b.pipe(closing).ID, b.pipe(closing).To)
}

// checkReturns follows every return to the heater.
func (b *builder) checkReturns() {
	walkOf := filled(len(b.g.names))
	for i := range b.g.System.Pipes {
		p := int32(i)
		from := b.g.from[p]
		if b.pipe(p).Role != Return || b.g.returnOut[from] != p {
			continue
		}
		if from == b.g.heater || !b.reached[from] && !b.returnsIn[from] {
			b.pipeFault(p, "from", fault.ReturnOffSupply, "Return pipe %q starts at node %q; a return starts at a supply node behind the heater, or where another return ends.", b.pipe(p).ID, b.pipe(p).From)
		}
		b.followReturn(p, walkOf)
	}
}

// followReturn walks from pipe p towards the heater, up to where an earlier
// walk has been, and names the pipe at which the way ends or closes on itself.
func (b *builder) followReturn(p int32, walkOf []int32) {
	for node := b.g.from[p]; walkOf[node] == none; {
		walkOf[node] = p
		last := b.g.returnOut[node]
		node = b.g.to[last]
		id, end := b.pipe(last).ID, b.pipe(last).To
		switch {
		case node == b.g.heater:
			return
		case b.reached[node] || b.g.feeder[node] != none:
			b.pipeFault(last, "to", fault.ReturnIntoSupply, "Return pipe %q ends at node %q of the supply; a return leads to the heater's node %q.", id, end, b.g.System.Heater.Node)
			return
		case b.g.returnOut[node] == none && walkOf[node] != none:
			return // told for another return that ends here
		case b.g.returnOut[node] == none:
			walkOf[node] = p
			b.pipeFault(last, "to", fault.ReturnNotToHeater, "Return pipe %q ends at node %q, from where no return leads on to the heater's node %q.", id, end, b.g.System.Heater.Node)
			return
		case walkOf[node] == p:
			b.pipeFault(last, "to", fault.ReturnNotToHeater, "Return pipe %q closes a circle of returns that never reaches the heater.", id)
			return
		}
	}
}

// checkEnds refuses supply pipes behind which there is nothing; in a system
// drawn without any fixture, ends say nothing.
func (b *builder) checkEnds() {
	if len(b.g.System.Fixtures) == 0 {
		return
	}
	for i := range b.g.System.Fixtures {
		if b.g.System.Fixtures[i].Unreadable {
			return
		}
	}
	for _, p := range b.g.order {
		to := b.g.to[p]
		if b.firstChild[to] == none && b.g.returnOut[to] == none && !b.hasFixture[to] {
			b.pipeFault(p, "to", fault.PipeLeadsNowhere, "Supply pipe %q leads to node %q, where there is no fixture, no return and no further pipe.", b.pipe(p).ID, b.pipe(p).To)
		}
	}
}

// checkFixtures puts every fixture on a node of the supply.
func (b *builder) checkFixtures() {
	for i := range b.g.System.Fixtures {
		f := &b.g.System.Fixtures[i]
		if f.Unreadable {
			continue
		}
		node, known := b.g.nodes[f.Node]
		b.g.fixtureNode[i] = node
		switch {
		case b.partial:
		case !known:
			b.fixtureFault(i, "node", fault.NodeUnknown, "No pipe leads to node %q of fixture %q.", f.Node, f.ID)
		case !b.reached[node] && b.g.feeder[node] == none && b.firstChild[node] == none:
			b.fixtureFault(i, "node", fault.FixtureOffSupply, "Fixture %q is at node %q, which no supply pipe reaches.", f.ID, f.Node)
		}
	}
}
