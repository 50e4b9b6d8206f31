package year

import (
	"cmp"
	"math"
	"slices"
)

// engine is a system at work.
type engine struct {
	system *System
	plan   *Plan
	grain  grain
	grainy float64 // fineness

	pipes    []pipe    // parents before children
	children [][]int32 // by pipe
	ends     []int32   // by pipe of the system, its last section
	begins   []int32   // by pipe of the system, its first section
	others   []int32   // return and cold pipes, parents before children
	outlets  []outlet
	loops    []loop
	valves   []int32   // loops that have one
	loopsAt  [][]int32 // by pipe at whose end they turn
	into     [][]int32 // by pipe whose far end they enter
	pumps    []pump
	heater   heater

	month  *Month
	mains  float64
	now    float64
	draws  []*drawing   // open taps
	taps   [][]*drawing // those at the end of each pipe
	spare  []*drawing
	stale  bool // a flow has changed, so that taps that wait are to be looked at
	totals *Totals

	flushed float64  // up to when returns and cold pipes have been moved
	outs    [][]slug // by pipe, of a flush
	path    []int32
	out     []slug
	mixed   [2][]slug

	work, budget int
	capacity     float64  // of all pipes with their water, J/K
	watch        *watcher // nil: nobody looks on
	record       *Waits
	day          int
}

type outlet struct {
	pipe, cold int32
	local      *local
	rank       int32 // by id
	busy       bool
	queue      queue
}

type loop struct {
	from, into int32
	full, q    float64 // m3/s: with an open valve, now
	inbox      []slug  // what came to its turn since the last flush
	bypass     *Bypass
	holds      float64 // K, at which the valve comes to rest; 0 if it never does
	rests      float64 // m3/s, that it then lets through
	resting    bool
	changed    float64 // s, when it last did
	check      float64 // s
}

// longSection is the length beyond which a pipe is cut into sections, so that its
// slow wall is not of one temperature.
const longSection = 10.0 // m

const maxSections = 200

// newEngine lays out a checked system.
func newEngine(s *System, p *Plan) *engine {
	fineness := p.Fineness
	if fineness == 0 {
		fineness = 1
	}
	e := &engine{system: s, plan: p, grain: grainOf(fineness), grainy: fineness, budget: p.Budget}
	if e.budget <= 0 || e.budget > MaxBudget {
		e.budget = MaxBudget
	}
	e.layPipes()
	n := len(e.pipes)
	for i := range e.pipes {
		e.capacity += (e.pipes[i].vt + e.pipes[i].vr) * s.WaterHeat
	}
	e.loopsAt, e.into, e.outs = make([][]int32, n), make([][]int32, n), make([][]slug, n)
	e.taps = make([][]*drawing, n)
	e.layOutlets()
	for i := range s.Circulations {
		e.layPump(i)
	}
	h := &s.Heater
	e.heater = heater{outlet: h.Outlet.Kelvin(), delay: h.StartUpDelay.Seconds(), least: h.Activation.CubicMetresPerSecond()}
	e.heater.onFlow = e.heater.delay > 0 || e.heater.least > 0
	return e
}

// layPipes makes the sections of all pipes, parents before children and children in
// the order of their ids, so that nothing depends on how pipes are listed.
func (e *engine) layPipes() {
	s := e.system
	below := make([][]int32, len(s.Pipes)+1)
	for i := range s.Pipes {
		parent := s.Pipes[i].Parent + 1
		below[parent] = append(below[parent], int32(i))
	}
	byID := func(a, b int32) int { return cmp.Compare(s.Pipes[a].ID, s.Pipes[b].ID) }
	queue := below[0]
	slices.SortFunc(queue, byID)
	e.ends, e.begins = make([]int32, len(s.Pipes)), make([]int32, len(s.Pipes))
	for k := 0; k < len(queue); k++ {
		i := queue[k]
		e.layPipe(i)
		slices.SortFunc(below[i+1], byID)
		queue = append(queue, below[i+1]...)
	}
	e.children = make([][]int32, len(e.pipes))
	for i := range e.pipes {
		if parent := e.pipes[i].parent; parent >= 0 {
			e.children[parent] = append(e.children[parent], int32(i))
		}
		if e.pipes[i].role != Supply {
			e.others = append(e.others, int32(i))
		}
	}
}

func (e *engine) layPipe(i int32) {
	p := &e.system.Pipes[i]
	parent := int32(None)
	if p.Parent >= 0 {
		parent = e.ends[p.Parent]
	}
	L := p.Length.Metres()
	n := 1
	whole := 1 + p.WallHeatCapacity/(p.Content.CubicMetresPerMetre()*e.system.WaterHeat)
	ratio := p.Lag.Ratio
	if ratio == 0 || ratio > whole {
		ratio = whole
	}
	if ratio < whole {
		n = max(1, min(maxSections, int(math.Ceil(L*e.grainy/longSection-1e-9))))
	}
	v := p.Content.CubicMetresPerMetre() * L / float64(n)
	q := pipe{
		role: p.Role, of: i, ambient: int32(p.Ambient), vt: v * ratio, vr: v * (whole - ratio),
		toward: p.Role == Return,
	}
	if q.vr < 1e-9*q.vt {
		q.vt, q.vr = v*whole, 0
	}
	heat := e.system.WaterHeat // of a m3
	capacity := heat * (q.vt + q.vr)
	part := L / float64(n)
	q.lose = p.UA * part / capacity
	if q.vr > 0 {
		q.pass = p.Lag.Exchange * part / (heat * q.vt)
	}
	if t := p.Trace; t != nil {
		q.off = t.Off.Kelvin()
		q.cable = t.Power / (q.off - t.At.Kelvin()) * part / capacity
	}
	e.begins[i] = int32(len(e.pipes))
	for range n {
		q.parent = parent
		parent = int32(len(e.pipes))
		q.slugs = make([]slug, 0, 2*e.grain.most)
		e.pipes = append(e.pipes, q)
	}
	e.ends[i] = parent
}

func (e *engine) layOutlets() {
	s := e.system
	order := make([]int32, len(s.Outlets))
	for i := range order {
		order[i] = int32(i)
	}
	slices.SortFunc(order, func(a, b int32) int { return cmp.Compare(s.Outlets[a].ID, s.Outlets[b].ID) })
	e.outlets = make([]outlet, len(s.Outlets))
	for i := range s.Outlets {
		o := &s.Outlets[i]
		to := &e.outlets[i]
		to.pipe, to.cold = e.ends[o.Pipe], None
		if o.Cold >= 0 {
			to.cold = e.ends[o.Cold]
		}
		if h := o.Local; h != nil {
			v := h.Content.CubicMetres()
			to.local = &local{
				content: v, power: h.Power.Watts() / s.WaterHeat, lose: h.UA / (s.WaterHeat * v),
				set: h.Set.Kelvin(), T: h.Set.Kelvin(), ambient: h.Ambient, fromHot: h.FromHot,
			}
		}
	}
	for rank, i := range order {
		e.outlets[i].rank = int32(rank)
	}
}

func (e *engine) layPump(i int) {
	c := &e.system.Circulations[i]
	p := pump{of: c, index: i, sensor: None, power: c.Power.Watts(), heats: c.Power.Watts() * c.IntoWater / e.system.WaterHeat}
	if c.Sensor >= 0 {
		p.sensor = e.ends[c.Sensor]
		if e.pipes[p.sensor].role == Return {
			p.sensor = e.begins[c.Sensor]
		}
		e.pipes[p.sensor].watched = true
	}
	for j := range c.Loops {
		l := &c.Loops[j]
		at := int32(len(e.loops))
		from, into := e.ends[l.From], e.ends[l.Into]
		e.loops = append(e.loops, loop{from: from, into: into, full: l.Flow.CubicMetresPerSecond(), bypass: l.Bypass})
		e.loopsAt[from] = append(e.loopsAt[from], at)
		e.into[into] = append(e.into[into], at)
		p.loops = append(p.loops, at)
		if l.Bypass != nil {
			e.valves = append(e.valves, at)
			e.pipes[from].watched = true
		}
		for k := from; k != None; k = e.pipes[k].parent {
			e.pipes[k].shared += l.Flow.CubicMetresPerSecond()
		}
	}
	e.pumps = append(e.pumps, p)
}
