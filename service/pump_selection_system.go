package service

import (
	"fmt"
	"math"

	"recirc/calc/fault"
	"recirc/calc/hydraulic"
	"recirc/calc/network"
	"recirc/calc/pump"
	"recirc/calc/quantity"
)

// pipeline is pipes and valves one behind the other as a system: each takes its
// share of the whole flow. It implements [pump.System].
type pipeline struct {
	parts  []pipelinePart
	weight float64 // of the water, N/m3
}

type pipelinePart struct {
	curve hydraulic.Curve
	share float64
}

// Head is what all parts take at a flow, and its slope.
func (l *pipeline) Head(q float64) (head, slope float64) {
	for i := range l.parts {
		p := &l.parts[i]
		dp, rise := p.curve.At(p.share * q)
		head, slope = head+dp, slope+p.share*rise
	}
	return head / l.weight, slope / l.weight
}

func (l *pipeline) add(p hydraulic.Pipe, f hydraulic.Fluid, share float64) {
	l.parts = append(l.parts, pipelinePart{p.Curve(f), share})
}

func (l *pipeline) addValve(kv quantity.FlowCoefficient, f hydraulic.Fluid, share float64) {
	if kv.SI() > 0 {
		l.add(hydraulic.Pipe{Kv: kv}, f, share)
	}
}

// newPipelineOfLoop is the critical circuit of a designed loop, its valve open.
func newPipelineOfLoop(d *loopDesign) *pipeline {
	fluid, total := d.c.fluid(), d.state.Total
	l := &pipeline{weight: fluid.Density * quantity.StandardGravity}
	critical := d.balance.Critical
	way, _ := d.c.way(critical)
	for _, i := range way {
		l.add(d.c.loop.Pipes[i].Line, fluid, d.state.Flow[i]/total)
	}
	l.addValve(d.c.openKv()[critical], fluid, d.flow[critical]/total)
	heater := 1.0
	if d.mixing != nil {
		heater = d.mixing.HeaterShare
		l.addValve(d.c.g.System.MixingValve.Kv, fluid, 1)
	}
	l.addValve(d.c.heaterKv(), fluid, heater)
	return l
}

// velocitiesOfLoop finds the fastest water, and the pipe that comes first over
// the limit of the sizing rule. A pipe that is over it at the duty already is told
// among the warnings and speaks against no pump.
func (s *pumpSelection) velocitiesOfLoop(d *loopDesign) {
	nearest := 0.0
	for i := range d.a.Pipes {
		p := &d.a.Pipes[i]
		v := math.Abs(p.Loss.Velocity.MetresPerSecond())
		in := velocityIn{p.Pipe, v / s.flow, p.Limit.MetresPerSecond()}
		if v/s.flow > s.fastest.perFlow {
			s.fastest = velocityIn{p.Pipe, v / s.flow, 0}
			s.a.Tightest = &TightestPipe{Pipe: p.Pipe, Bore: p.Bore}
		}
		if in.limit > 0 && v <= in.limit*slack && v/in.limit > nearest {
			nearest, s.judged = v/in.limit, in
		}
	}
}

// velocityGiven puts a bore and a limit of the request in the place of those of
// the system.
func (s *pumpSelection) velocityGiven() {
	l := &s.req.Limits
	if d := l.Bore.Metres(); d > 0 {
		s.fastest = velocityIn{perFlow: 4 / (math.Pi * d * d)}
		s.judged = velocityIn{}
		s.a.Tightest = &TightestPipe{Bore: l.Bore}
	}
	if v := l.Velocity.MetresPerSecond(); v > 0 {
		s.judged = s.fastest
		s.judged.limit = v
	}
	if s.a.Tightest != nil {
		s.a.Tightest.Velocity = quantity.MetresPerSecond(s.fastest.perFlow * s.flow)
	}
}

// dutyOfWay takes the flow that fills the way to a fixture, and its pipes as the
// system.
func (s *pumpSelection) dutyOfWay(faults *fault.List) {
	g := network.Build(s.req.system(), systemPointer, faults)
	if g == nil {
		return
	}
	node, ok := fixtureNode(g, s.req.Duty.Fixture)
	if !ok {
		faults.Add("/duty/fixture", fault.FixtureUnknown, "The system has no fixture %q.", s.req.Duty.Fixture)
		return
	}
	c := newLines(g, s.req.Loop.Losses, &s.a.Notes)
	if c.checkLosses(faults); !faults.Empty() {
		return
	}
	c.outlet = s.a.outletTemperature(g.System)
	_ = c.warm(c.outlet) // 0 to 110 degC, as it was read
	s.setWater(c.outlet, c.loop.Water.Density)
	out, back := fillingWay(g, node)
	volume := 0.0
	for _, p := range out {
		volume += g.StoredVolume(p).CubicMetres()
	}
	if volume == 0 {
		faults.Add("/duty/fixture", fault.DutyContradicts, "The fixture %q is at the heater; there is no pipe to fill.", s.req.Duty.Fixture)
		return
	}
	s.fill(quantity.CubicMetres(volume), faults)
	s.layWay(c, out, back, faults)
	c.noteWay()
}

func fixtureNode(g *network.Graph, id string) (int32, bool) {
	for i := range g.System.Fixtures {
		if g.System.Fixtures[i].ID == id {
			return g.FixtureNode(i), true
		}
	}
	return 0, false
}

// fillingWay lists the supply pipes from the heater to a node or, if a return
// starts on the way, to the last one, and the pipes of that return; none where the
// water must come back by the cold line.
func fillingWay(g *network.Graph, node int32) (out, back []int32) {
	starts := map[int32]int32{}
	for _, k := range g.Circulation().Connections {
		if _, taken := starts[k.Node]; !taken {
			starts[k.Node] = k.Return
		}
	}
	out = g.WayTo(node)
	for i, p := range out {
		_, to := g.Ends(p)
		first, returns := starts[to]
		if !returns {
			continue
		}
		for r, ok := first, true; ok; r, ok = g.Onward(r) {
			back = append(back, r)
		}
		return out[i:], back
	}
	return out, nil
}

// layWay makes the pipeline of a way out and back.
func (s *pumpSelection) layWay(c *circuits, out, back []int32, faults *fault.List) {
	if !faults.Empty() {
		return
	}
	fluid := c.fluid()
	l := &pipeline{weight: fluid.Density * quantity.StandardGravity}
	lay := func(p int32) {
		line, shut := c.line(p)
		if shut {
			faults.Add(pipePointer(p, "/valves"), fault.NetworkUnsolvable, "A valve on pipe %q is closed, and it is on the way that shall be filled.", c.g.System.Pipes[p].ID)
		}
		l.add(line, fluid, 1)
		bore := c.g.Tubes[p].Bore
		if per := 4 / (math.Pi * bore.Metres() * bore.Metres()); per > s.fastest.perFlow {
			s.fastest = velocityIn{pipe: c.g.System.Pipes[p].ID, perFlow: per}
			s.a.Tightest = &TightestPipe{Pipe: s.fastest.pipe, Bore: bore}
		}
		s.a.use(c.g.Tubes[p].Source)
	}
	for _, p := range out {
		lay(p)
	}
	statement := "The pipes on the way to the fixture and back by the return, with heater and valves."
	for _, p := range back {
		lay(p)
	}
	if back == nil {
		l.parts = append(l.parts, l.parts...)
		statement = "The pipes on the way to the fixture and, for the way back, a cold line as long and as wide, with heater and valves."
		s.a.assume(Assumption{Code: "cold_line_as_supply", Detail: fmt.Sprintf("No return starts on the way to fixture %q, so that the water comes back by the cold line; that is taken as long and as wide as the hot one, with the same fittings.", s.req.Duty.Fixture), Value: "as the hot line", Pointers: []string{"/duty/fixture"}, Source: "common_practice"})
	}
	l.addValve(c.heaterKv(), fluid, 1)
	if v := c.g.System.MixingValve; v != nil {
		l.addValve(v.Kv, fluid, 1)
	}
	s.system, s.parts = l, len(l.parts)
	s.a.Curve = SystemCurveFound{Origin: CurveOfWay, Statement: statement}
}

// noteWay says how the losses of a way came about.
func (c *circuits) noteWay() {
	c.notes.use(hydraulic.ValveSource, hydraulic.DarcySource, "common_practice")
	c.notes.noteSystem(c.g, nil)
	c.noteFriction()
	c.noteUnpublished()
	c.noteHeater()
}

var _ pump.System = (*pipeline)(nil)
