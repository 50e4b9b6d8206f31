package service

import (
	"slices"

	"recirc/calc/fault"
	"recirc/calc/hydraulic"
	"recirc/calc/loop"
	"recirc/calc/network"
	"recirc/calc/quantity"
)

// lay makes the network: the heater from its inlet to its outlet, the pump from
// the joined return to the inlet, and every pipe through which water can move.
// Mains water enters at the inlet, which is the root.
func (s *loopSimulation) lay(faults *fault.List) {
	g := s.c.g
	inlet, joined := int32(g.Nodes()), int32(g.Nodes()+1)
	s.net = loop.Network{Nodes: g.Nodes() + 2, Root: inlet, Inflow: make([]float64, g.Nodes()+2)}
	s.joined = joined
	if len(s.draws) > 0 {
		s.net.Mains = s.a.mainsTemperature(&s.req.System)
	}
	s.net.Links = append(make([]loop.Link, 0, len(s.c.pipes)+2),
		loop.Link{From: inlet, To: g.HeaterNode(), Heated: s.c.outlet},
		loop.Link{From: joined, To: inlet, Pump: s.gain.at})
	s.links = append(make([]linkOf, 0, len(s.c.pipes)+2),
		linkOf{pipe: loop.None, thermostat: loop.None}, linkOf{pipe: loop.None, thermostat: loop.None})
	s.link = make([]int32, len(s.req.System.Pipes))
	for i := range s.link {
		s.link[i] = loop.None
	}
	s.stats = make([]int32, len(s.c.valves))
	for i := range s.stats {
		s.stats[i] = loop.None
	}
	for _, p := range s.c.pipes {
		s.addPipe(p, joined)
	}
	s.addWays(joined)
	s.sim = loop.Simulation{Network: &s.net, Adapt: s.adapt}
	s.setThermostats(faults)
	s.setElevations(joined, inlet, faults)
}

// addWays adds the ways to fixtures that draw, each pipe behind the one that
// feeds it. A way is followed back only to where an earlier one has been.
func (s *loopSimulation) addWays(joined int32) {
	g := s.c.g
	for _, d := range s.draws {
		node := g.FixtureNode(d.fixture)
		s.net.Inflow[node] -= d.flow.CubicMetresPerSecond()
		var way []int32
		for p, fed := g.FedBy(node); fed && s.link[p] == loop.None; p, fed = g.FedBy(node) {
			way = append(way, p)
			node, _ = g.Ends(p)
		}
		slices.Reverse(way)
		for _, p := range way {
			s.addPipe(p, joined)
		}
	}
}

func (s *loopSimulation) addPipe(p, joined int32) {
	g := s.c.g
	from, to := g.Ends(p)
	run := &g.System.Pipes[p]
	if run.Role == network.Return && to == g.HeaterNode() {
		to = joined
	}
	line, shut := s.c.line(p)
	l := loop.Link{From: from, To: to, Closed: shut}
	for j := range run.Valves {
		v := &run.Valves[j]
		l.OneWay = l.OneWay || checks(v)
		switch {
		case !s.c.balanced[v] || v.Kv == nil:
		case v.Kv.SI() == 0:
			l.Closed = true
		case v.Type != "thermostatic_balancing":
			line.Kv = hydraulic.SeriesKv(line.Kv, *v.Kv)
		}
	}
	s.link[p] = int32(len(s.net.Links))
	s.net.Links = append(s.net.Links, l)
	s.links = append(s.links, linkOf{pipe: p, line: line, thermal: s.thermal(p), thermostat: loop.None})
}

// thermal is the model of a pipe: that of the loop, or of a way to a fixture.
func (s *loopSimulation) thermal(p int32) *warmPipe {
	if i := s.c.at[p]; i != loop.None {
		return &s.c.thermal[i]
	}
	w := s.c.warmPipe(p)
	return &w
}

// setThermostats turns thermostatic balancing valves into ones that move.
func (s *loopSimulation) setThermostats(faults *fault.List) {
	for i, at := range s.c.valves {
		v := at.valve
		if v == nil || v.Type != "thermostatic_balancing" {
			continue
		}
		if v.Kv == nil || v.SmallestKv == nil || v.SetTemperature == (quantity.Temperature{}) {
			faults.Add(pipePointer(at.pipe, "/valves"), fault.ValveIncomplete, "The thermostatic balancing valve on pipe %q needs kv, smallest_kv and set_temperature to be simulated.", s.req.System.Pipes[at.pipe].ID)
			continue
		}
		if v.Kv.SI() == 0 {
			continue // shut
		}
		band := v.Band
		if band == (quantity.TemperatureDifference{}) {
			band = quantity.KelvinDifference(5)
		}
		s.stats[i] = int32(len(s.sim.Thermostats))
		s.links[s.link[at.pipe]].thermostat = s.stats[i]
		s.sim.Thermostats = append(s.sim.Thermostats, loop.Thermostat{
			Link: s.link[at.pipe], Line: s.links[s.link[at.pipe]].line, Largest: *v.Kv, Smallest: *v.SmallestKv, Set: v.SetTemperature, Band: band,
		})
	}
}

// setElevations gives every node its height; what is not given is that of the
// node before it.
func (s *loopSimulation) setElevations(joined, inlet int32, faults *fault.List) {
	if len(s.req.Elevations) == 0 {
		return
	}
	g := s.c.g
	given := make(map[int32]float64, len(s.req.Elevations))
	for i, e := range s.req.Elevations {
		node, ok := g.NodeCalled(e.Node)
		if !ok {
			if e.Node != "" {
				faults.Add(listPointer("/node_elevations", i, "/node"), fault.NodeUnknown, "No pipe leads to node %q.", e.Node)
			}
			continue
		}
		given[node] = e.Elevation.Metres()
	}
	height := make([]float64, s.net.Nodes)
	known := make([]bool, s.net.Nodes)
	set := func(node, like int32) {
		if known[node] {
			return
		}
		z, ok := given[node]
		if !ok {
			z = height[like]
		}
		height[node], known[node] = z, true
	}
	set(g.HeaterNode(), g.HeaterNode())
	set(joined, g.HeaterNode())
	set(inlet, g.HeaterNode())
	height[joined], height[inlet] = height[g.HeaterNode()], height[g.HeaterNode()]
	for _, p := range s.c.pipes[:s.c.loop.Supplies] {
		from, to := g.Ends(p)
		set(to, from)
	}
	for _, p := range s.c.pipes[s.c.loop.Supplies:] { // each behind those that run into it
		if from, to := g.Ends(p); to != g.HeaterNode() {
			set(to, from)
		}
	}
	for _, l := range s.links { // ways to fixtures, each pipe behind its feeder
		if l.pipe != loop.None && s.c.at[l.pipe] == loop.None {
			from, to := g.Ends(l.pipe)
			set(to, from)
		}
	}
	s.sim.Elevation = height
	if s.gain.off() && len(s.draws) == 0 {
		s.gain.push = firstPush
	}
}

// A pump that is switched off leaves warm water in motion. Its push fades from round
// to round, slowly enough that flows and temperatures follow; then gravity keeps the
// water moving, or does not. Without it, a search begins at cold pipes and stays
// there.
const (
	firstPush = 500.0 // Pa
	fading    = 0.8   // a round
	lastPush  = 1e-3  // Pa
)
