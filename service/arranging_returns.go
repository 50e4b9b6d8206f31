package service

import (
	"fmt"

	"recirc/calc/control"
	"recirc/calc/fault"
	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/calc/year"
)

// dedicatedReturn adds the returns that serve, and shares the pump's flow among
// them as a balanced loop would: by the heat that their ways lose.
func (s *arranging) dedicatedReturn(d *arranged) {
	c := d.g.Circulation()
	used := d.usedConnections(c)
	if len(used) == 0 {
		s.faults.Add(d.at+"/type", fault.ReturnsMissing, "The system has no return that serves these fixtures; give a variant system with return pipes.")
		return
	}
	returns, ok := s.layReturns(d, c, used)
	if !ok {
		return
	}
	out := s.circulation(d)
	shares := d.shares(c, used, returns)
	for i, k := range used {
		out.Loops = append(out.Loops, year.Loop{
			From: d.supply[k.Feeder], Into: returns[k.Return],
			Flow: quantity.CubicMetresPerSecond(shares[i] * d.a.Pump.Flow.CubicMetresPerSecond()),
		})
	}
	if len(used) > 1 {
		s.notes.assume(Assumption{Code: "flow_shared_by_loss", Detail: fmt.Sprintf("The pump's flow in arrangement %q is shared among %d returns as in a balanced loop, by the heat that their ways lose.", d.a.ID, len(used)), Value: "balanced", Pointers: []string{d.at + "/pump"}, Source: "common_practice"})
	}
	last := used[0].Return
	for p, more := d.g.Onward(last); more; p, more = d.g.Onward(p) {
		last = p
	}
	s.placeSensor(d, &out, returns[last])
	s.add(d, out, "")
}

// usedConnections are the return connections that serve: those behind whose
// circulated pipe a fixture of the part is fed.
func (d *arranged) usedConnections(c network.Circulation) []network.Connection {
	reach := make([]bool, len(d.g.System.Pipes)) // circulated pipes that serve
	circulated := make([]bool, len(d.g.System.Pipes))
	for _, p := range c.Supply {
		circulated[p] = true
	}
	last := make([]int32, len(d.g.System.Pipes)) // circulated pipe on the way of each
	for _, p := range d.g.SupplyOrder() {
		last[p] = -1
		if f, ok := d.g.Feeder(p); ok {
			last[p] = last[f]
		}
		if circulated[p] {
			last[p] = p
		}
	}
	for i, served := range d.served {
		if p, ok := d.g.FedBy(d.g.FixtureNode(i)); served && ok && last[p] >= 0 {
			reach[last[p]] = true
		}
	}
	var used []network.Connection
	served := make([]bool, len(d.g.System.Pipes)) // the way of such a pipe to a connection passes here
	for _, p := range c.Supply {
		served[p] = reach[p]
		if f, ok := d.g.Feeder(p); ok && served[f] {
			served[p] = true
		}
	}
	for _, k := range c.Connections {
		if served[k.Feeder] {
			used = append(used, k)
		}
	}
	return used
}

// layReturns gives the simulation the return pipes of the connections.
func (s *arranging) layReturns(d *arranged, c network.Circulation, used []network.Connection) (map[int32]int, bool) {
	wanted := map[int32]bool{}
	for _, k := range used {
		for p, more := k.Return, true; more && !wanted[p]; p, more = d.g.Onward(p) {
			wanted[p] = true
		}
	}
	at := s.coolAt(d, d.a.Control == nil || d.a.Control.Kind == control.Continuous)
	laid := make(map[int32]int, len(wanted))
	for i := len(c.Return) - 1; i >= 0; i-- {
		p := c.Return[i]
		if !wanted[p] {
			continue
		}
		insulation := d.g.System.InsulationOf(p)
		if d.a.Insulation != nil {
			insulation = d.a.Insulation
		}
		out, err := s.pipe(d, p, insulation, at, d.a.Pump.Flow.CubicMetresPerSecond()/float64(len(used)))
		if err != nil {
			s.pipeFault(d, p, err)
			return nil, false
		}
		out.Role, out.Parent = year.Return, year.None
		if next, ok := d.g.Onward(p); ok {
			out.Parent = laid[next]
		}
		laid[p] = len(d.sys.Pipes)
		d.sys.Pipes = append(d.sys.Pipes, out)
	}
	return laid, true
}

// shares splits a flow among connections by the loss of their ways; a pipe that
// several use counts for each in part.
func (d *arranged) shares(c network.Circulation, used []network.Connection, returns map[int32]int) []float64 {
	count, loss := d.g.Passing(c, used), make([]float64, len(d.g.System.Pipes))
	ua := func(at int) float64 { return d.sys.Pipes[at].UA * d.sys.Pipes[at].Length.Metres() }
	for _, p := range c.Supply {
		if count[p] == 0 {
			continue
		}
		loss[p] = ua(d.supply[p]) / float64(count[p])
		if f, ok := d.g.Feeder(p); ok {
			loss[p] += loss[f]
		}
	}
	for i := len(c.Return) - 1; i >= 0; i-- {
		p := c.Return[i]
		if count[p] == 0 {
			continue
		}
		loss[p] = ua(returns[p]) / float64(count[p])
		if next, ok := d.g.Onward(p); ok {
			loss[p] += loss[next]
		}
	}
	shares, total := make([]float64, len(used)), 0.0
	for i, k := range used {
		shares[i] = loss[k.Feeder] + loss[k.Return]
		total += shares[i]
	}
	for i := range shares {
		if total > 0 {
			shares[i] /= total
		} else {
			shares[i] = 1 / float64(len(used))
		}
	}
	return shares
}
