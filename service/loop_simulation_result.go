package service

import (
	"math"

	"recirc/calc/hydraulic"
	"recirc/calc/loop"
	"recirc/calc/network"
	"recirc/calc/quantity"
)

// answer turns the solved network into what is told about it.
func (s *loopSimulation) answer() {
	s.findNeeded()
	s.pipes()
	s.connections()
	s.nodes()
	s.drawStates()
	f, w := s.solved.Flows, s.solved.Warmth
	s.a.Circulation = s.c.circulation(f.Q[pumpLink], s.back(f, w), s.a.Pipes)
	gain, _ := s.gain.at(f.Q[pumpLink])
	s.a.Mode, s.a.Pump = s.req.Pump.Mode, s.c.duty(f.Q[pumpLink], gain)
	s.a.Mixing = s.mixing
	s.a.Balance = SolutionBalance{Rounds: s.solved.Rounds, Mass: f.MassResidual, Pressure: f.PressureResidual, Energy: w.Unbalance}
	s.fit()
	s.note()
	s.show()
	s.draw()
}

// flow of a pipe of the graph, m3/s, from its start to its end.
func (s *loopSimulation) flow(p int32) float64 { return s.solved.Flows.Q[s.link[p]] }

// ends are the temperatures at the start and the end of a pipe of the graph.
func (s *loopSimulation) ends(p int32) (from, to float64) {
	i := s.link[p]
	from, to = s.solved.Warmth.In[i], s.solved.Warmth.Out[i]
	if s.solved.Flows.Q[i] < 0 {
		from, to = to, from
	}
	return from, to
}

// findNeeded finds the flows that would just keep the target, as a design does
// that is asked for no other least flow. The heat losses that belong to them are
// near those of the flows that there are.
func (s *loopSimulation) findNeeded() {
	floors := make([]float64, len(s.c.loop.Connections))
	for i := range floors {
		floors[i] = defaultLeastFlow.CubicMetresPerSecond()
	}
	for i, p := range s.c.pipes {
		l := &s.net.Links[s.link[p]]
		s.c.loop.Pipes[i].UA, s.c.loop.Pipes[i].Ambient = l.UA, l.Ambient
	}
	for range 12 {
		r, err := s.target.require(&s.c.loop, floors)
		if err != nil {
			s.needed = nil
			return
		}
		s.needed = r.Flow
		s.c.activate(s.needed, 1)
		change, err := s.c.setHeat(s.c.loop.Temperatures(s.needed))
		if err != nil || change < 1e-7 {
			return
		}
	}
}

func (s *loopSimulation) pipes() {
	s.a.Pipes = make([]LoopPipe, 0, len(s.links))
	for p, i := range s.link {
		if i == loop.None {
			continue
		}
		q := s.solved.Flows.Q[i]
		if math.Abs(q) <= standsBelow {
			q = 0
		}
		line := s.links[i].line
		if n := s.links[i].thermostat; n != loop.None {
			line.Kv = hydraulic.SeriesKv(line.Kv, s.solved.Kv[n])
		}
		loss, err := line.Loss(quantity.CubicMetresPerSecond(q), s.c.fluid())
		if err != nil {
			continue // no building: the solver has found such a flow already
		}
		in, out := s.solved.Warmth.In[i], s.solved.Warmth.Out[i]
		l := s.sizing.limits(int32(p), quantity.Kelvin(in))
		s.a.Pipes = append(s.a.Pipes, s.c.loopPipe(int32(p), loss, q, in, out, s.solved.Warmth.Loss[i], loss.Total.Pascals(), l))
	}
}

func (s *loopSimulation) connections() {
	lengths := s.c.lengths()
	s.a.Connections = make([]SimulatedConnection, 0, len(lengths))
	for i, k := range s.c.part.Connections {
		_, end := s.ends(s.c.pipes[s.c.ends[i]])
		r := SimulatedConnection{
			Pipe: s.c.connectionName(i), Node: s.c.g.NodeName(k.Node), Flow: quantity.CubicMetresPerSecond(s.flow(k.Return)),
			Temperature: quantity.Kelvin(s.solved.Warmth.Node[k.Node]), ReturnEnd: quantity.Kelvin(end),
			Length: lengths[i], Valve: s.valve(i),
		}
		if s.target.at != AtHeater {
			r.Target = s.target.goals[i].Temperature
		}
		if s.needed != nil {
			r.Needed = quantity.CubicMetresPerSecond(s.needed[i])
		}
		r.State = s.state(i, &r)
		s.a.Connections = append(s.a.Connections, r)
	}
}

// What counts as more than a branch needs: common practice is to look at both.
const (
	overServedShare = 1.5
	overServedBy    = 1.0  // K
	coldBy          = 1e-3 // K, below which a target is just kept
)

func (s *loopSimulation) state(i int, r *SimulatedConnection) ConnectionState {
	q, at := r.Flow.CubicMetresPerSecond(), r.Temperature.Kelvin()
	if s.target.at == AtReturnEnds {
		at = r.ReturnEnd.Kelvin()
	}
	goal := s.target.goals[i].Temperature.Kelvin()
	switch {
	case math.Abs(q) <= standsBelow:
		return StandsIdle
	case q < 0:
		return Backwards
	case at < goal-coldBy:
		return Cold
	case s.needed != nil && q > overServedShare*s.needed[i] && at > goal+overServedBy:
		return OverServed
	}
	return Served
}

// valve is the balancing valve of a connection as it is.
func (s *loopSimulation) valve(i int) BalancingValve {
	at := s.c.valves[i]
	v := BalancingValve{Setting: ValveOpen}
	if at.valve == nil {
		return v
	}
	v.Pipe = s.c.g.System.Pipes[at.pipe].ID
	_, warm := s.ends(at.pipe)
	v.Temperature = quantity.Kelvin(warm)
	switch n := s.stats[i]; {
	case n != loop.None:
		t := &s.sim.Thermostats[n]
		v.Kv, v.Setting = s.solved.Kv[n], ValveThrottled
		if v.Kv.SI() >= t.Largest.SI()*(1-1e-9) {
			v.Setting = ValveOpen
		} else if v.Kv.SI() <= t.Smallest.SI()*(1+1e-9) {
			v.Setting = ValveSmallest
		}
	case at.valve.Kv == nil:
	case at.valve.Kv.SI() == 0:
		v.Setting = ValveClosed
	default:
		v.Kv, v.Setting = *at.valve.Kv, ValveAsSet
	}
	v.Drop = hydraulic.KvDrop(quantity.CubicMetresPerSecond(s.flow(at.pipe)), v.Kv, s.c.fluid())
	return v
}

func (s *loopSimulation) nodes() {
	g := s.c.g
	seen := make([]bool, g.Nodes())
	add := func(node int32) {
		if seen[node] {
			return
		}
		seen[node] = true
		r := LoopNode{Node: g.NodeName(node), Temperature: quantity.Kelvin(s.solved.Warmth.Node[node]), PressureKnown: true}
		r.Pressure = quantity.Pascals(s.solved.Flows.Pressure[node] - s.solved.Flows.Pressure[s.joined])
		if node == g.HeaterNode() {
			r.Back = s.back(s.solved.Flows, s.solved.Warmth)
		}
		s.a.Nodes = append(s.a.Nodes, r)
	}
	add(g.HeaterNode())
	for p, i := range s.link {
		if i == loop.None {
			continue
		}
		from, to := g.Ends(int32(p))
		add(from)
		if g.System.Pipes[p].Role != network.Return || to != g.HeaterNode() {
			add(to)
		}
	}
}

// drawStates tells what arrives at drawing fixtures. The share that came backwards
// is found by colouring: mains water that passes the heater loses its colour, and
// the only other way is backwards through returns.
func (s *loopSimulation) drawStates() {
	if len(s.draws) == 0 {
		return
	}
	dyed := s.net
	dyed.Mains = quantity.Kelvin(2)
	dyed.Links = append([]loop.Link(nil), s.net.Links...)
	for i := range dyed.Links {
		dyed.Links[i].UA = 0
	}
	dyed.Links[heaterLink].Heated = quantity.Kelvin(1)
	colour, err := dyed.Temperatures(s.solved.Flows.Q, s.sim.Water.VolumetricHeat())
	if err != nil {
		return // nothing flows so: the same flows gave temperatures before
	}
	for _, d := range s.draws {
		node := s.c.g.FixtureNode(d.fixture)
		r := DrawState{Fixture: s.req.System.Fixtures[d.fixture].ID, Flow: d.flow, Temperature: quantity.Kelvin(s.solved.Warmth.Node[node])}
		if share := min(max(colour.Node[node]-1, 0), 1); share > 1e-9 {
			r.Backwards = quantity.CubicMetresPerSecond(share * d.flow.CubicMetresPerSecond())
		}
		s.a.Draws = append(s.a.Draws, r)
	}
}

// draw gives the temperatures along some circuits, cold ones first.
func (s *loopSimulation) draw() {
	in, out := make([]float64, len(s.c.pipes)), make([]float64, len(s.c.pipes))
	for i, p := range s.c.pipes {
		in[i], out[i] = s.ends(p)
		s.c.loop.Pipes[i].Ambient = s.net.Links[s.link[p]].Ambient
	}
	var first []int
	for i := range s.a.Connections {
		if s.cold(i) && len(first) < drawnCircuits {
			first = append(first, i)
		}
	}
	s.a.Circuits = s.c.drawn(first, in, out, func(i int) quantity.Temperature { return s.a.Connections[i].Target }, s.cold)
}

func (s *loopSimulation) cold(i int) bool {
	state := s.a.Connections[i].State
	return state == Cold || state == StandsIdle || state == Backwards
}
