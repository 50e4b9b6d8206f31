package arrival

import "math"

const (
	// MostExchanges bounds the work of one path, in cells and segments times steps:
	// a second at worst.
	MostExchanges = 30_000_000

	// mostInletSteps bounds when the inlet may change last, in steps; beyond it a
	// step would lose its digits.
	mostInletSteps = 1e10

	// settled is by how much, as a share of all temperature differences, nothing
	// may move any more while one content of the path is drawn.
	settled = 1e-7

	// curveEnd is how far from its end, as a share of all temperature
	// differences, a curve without a horizon stops.
	curveEnd = 0.01
)

// run draws water from the grid until what was asked is known.
type run struct {
	options Options
	grid    *grid
	inlet   inlet
	trace   trace
	entered []float64 // s, when the middle of each slug came in
	omitted bool      // the slug that left last is not in the trace
	skipped float64   // s, of a settled path that were not computed

	steady  float64 // K above the base
	pending float64 // the highest threshold that can be reached; -Inf if none
	reached int     // samples since then
	horizon float64 // s; 0 if none was given

	before []float64 // all temperatures one content of the path ago

	in, out, lost, stored float64 // J

	exchanges int // so far, see [MostExchanges]
}

func newRun(f Front, o Options, g *grid) *run {
	r := &run{options: o, grid: g, inlet: newInlet(f, g.base), pending: math.Inf(-1)}
	r.steady = f.steady() - g.base
	r.horizon = o.Horizon * PlugFlow(f.volume(), f.Flow).Seconds()
	for _, t := range o.Thresholds {
		if f.canReach(t.Kelvin()) {
			r.pending = math.Max(r.pending, t.Kelvin()-g.base)
		}
	}
	samples := len(g.water) * 5 / 2
	r.entered = make([]float64, 0, samples)
	r.trace = trace{
		time: make([]float64, 0, samples), temperature: make([]float64, 0, samples),
		breaks: breaks(f, g, &r.inlet),
		first:  f.Segments[len(f.Segments)-1].initialAt(1) - g.base,
		high:   f.hottest() - g.base, initialHigh: f.hottestInitial() - g.base, initialEnds: g.residence,
	}
	return r
}

// breaks are the times when the outlet can jump: where the initial temperature
// jumps between segments, at the end of the initial water, and where the inlet
// jumps. Dispersion leaves none.
func breaks(f Front, g *grid, in *inlet) []float64 {
	at := []float64{0}
	if !g.mixing.sharp {
		return at
	}
	t := 0.0
	for i := len(f.Segments) - 1; i > 0; i-- {
		t += g.reaches[i].residence
		if f.Segments[i].initialAt(0) != f.Segments[i-1].initialAt(1) {
			at = append(at, t)
		}
	}
	at = append(at, g.residence)
	for _, t := range in.jumps {
		at = append(at, g.residence+t)
	}
	return at
}

// simulate goes on until enough is known, or nothing changes any more.
func (r *run) simulate() error {
	cells := len(r.grid.water)
	aStep := cells + len(r.grid.reaches)
	steps := r.options.exchanges() / aStep
	if r.horizon/r.grid.step > float64(steps) {
		return &InputError{"Horizon", r.options.Horizon, "asks for more steps than are allowed on this grid"}
	}
	if r.inlet.last()/r.grid.step > mostInletSteps {
		return &InputError{"StartUpDelay or InletTable", r.inlet.last(), "is too long beside the plug time"}
	}
	r.stored = r.grid.heat()
	r.lost = r.grid.settle()
	for slug := range steps {
		r.draw(slug)
		r.exchanges += aStep
		if r.done() || slug%cells == 0 && r.resting(slug) {
			return nil
		}
	}
	return &InputError{"Horizon", r.options.Horizon, "must be given: the path has not settled after the steps that are allowed"}
}

// draw moves all water by one cell and notes the slug that leaves, unless it
// holds water of both sides of a jump. Where one such slug follows another, as
// with jumps in each cell, their means are all there is.
func (r *run) draw(slug int) {
	g := r.grid
	from := float64(slug)*g.step + r.skipped
	in := r.inlet.mean(from, from+g.step)
	r.entered = append(r.entered, from+g.step/2)
	out, lost := g.advance(in)
	r.in += g.slug * (in + g.mixing.apply(g.water, in))
	r.out += g.slug * out
	r.lost += lost

	leaves := from + g.step/2
	if cells := len(g.water); slug >= cells {
		leaves = r.entered[slug-cells] + g.residence
	}
	half := g.step * (0.5 - 1e-6) // what rounding puts at its ends is not in it
	r.omitted = !r.omitted && r.trace.jumpsWithin(leaves-half, leaves+half)
	if !r.omitted {
		r.trace.time = append(r.trace.time, leaves)
		r.trace.temperature = append(r.trace.temperature, out)
	}
}

// done decides whether enough is known.
func (r *run) done() bool {
	last := len(r.trace.time) - 1
	if last < 0 {
		return false
	}
	now, value := r.trace.time[last], r.trace.temperature[last]
	if r.reached > 0 || value >= r.pending || r.trace.first >= r.pending {
		r.reached++
	}
	if r.horizon > 0 && now >= r.horizon {
		return true
	}
	// Two samples more, so that a line can be drawn through the one that reached it.
	found := r.reached > 2
	if r.options.Curve == 0 {
		return found
	}
	return found && r.horizon == 0 && now >= r.inlet.last()+2*r.grid.residence &&
		math.Abs(value-r.steady) <= curveEnd*r.trace.high
}

// resting reports that nothing changes any more. If the inlet will change later
// it leaves out the time until then, so that a long delay costs no more than a
// short one.
func (r *run) resting(slug int) bool {
	now := r.grid.temperatures()
	moved := math.Inf(1)
	if r.before != nil {
		moved = farthest(now, r.before)
	}
	r.before = now
	if moved > settled*r.trace.high {
		return false
	}
	// From the last slug on, since a change that has not come in yet moved nothing.
	from := float64(slug)*r.grid.step + r.skipped
	until, forever := r.inlet.constantUntil(from)
	if steps := math.Floor((until-from)/r.grid.step) - 2; !forever && steps > 0 {
		r.skipped += steps * r.grid.step
	}
	return forever
}

func farthest(a, b []float64) float64 {
	far := 0.0
	for i := range a {
		far = math.Max(far, math.Abs(a[i]-b[i]))
	}
	return far
}
