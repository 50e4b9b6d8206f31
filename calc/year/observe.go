package year

import "math"

// MaxPoints is the most readings of an observation.
const MaxPoints = 10_000

// watcher looks on.
type watcher struct {
	Observed
	pipes []int32
	from  float64 // s, when the round begins
	step  float64 // s
	next  float64 // s; infinite when all is read
	left  int
}

// observe runs a stage in an engine of its own, as often as it takes, and once
// more looking on. like is the stage as it was made ready among all, whose chance it
// shares.
func (e *engine) observe(stages, like []stage, o *Observation) (*Observed, error) {
	s := &stages[0]
	s.events, s.triggers = like[0].events, like[0].triggers
	e.begin(s)
	var r Result
	r.PipeLoss = make([]float64, len(e.system.Pipes))
	if err := e.simulateStage(s, &r, false); err != nil {
		return nil, err
	}
	rounds := r.Days[0].WarmUp + 1
	w := &watcher{from: float64(rounds) * s.lasts(), next: math.Inf(1), left: o.Points}
	for _, p := range o.Pipes {
		at := e.ends[p]
		if e.pipes[at].role == Return {
			at = e.begins[p]
		}
		w.pipes = append(w.pipes, at)
	}
	w.Degrees = make([][]float64, len(w.pipes))
	if o.Points > 0 {
		w.step, w.next = s.lasts()/float64(o.Points), w.from
	}
	for k := range e.pumps {
		if e.pumps[k].running {
			w.Pump = append(w.Pump, Switch{Circulation: k, On: true})
		}
	}
	e.watch, e.record = w, &r.Waits
	totals, losses := make([]Totals, len(s.days)), make([][]float64, len(s.days))
	for i := range losses {
		losses[i] = make([]float64, len(e.system.Pipes))
	}
	_, err := e.simulateRound(s, rounds, 0, totals, losses)
	return &w.Observed, err
}

// look reads all temperatures.
func (w *watcher) look(e *engine) {
	w.Times = append(w.Times, e.now-w.from)
	for i, p := range w.pipes {
		w.Degrees[i] = append(w.Degrees[i], e.read(p))
	}
	w.left--
	w.next += w.step
	if w.left == 0 {
		w.next = math.Inf(1)
	}
}

// drawn enters a draw that has ended.
func (w *watcher) drawn(e *engine, d *drawing, wait float64) {
	v, heat := d.useful+d.waste, d.heat+d.wasteHeat
	T := e.mains
	if v > 0 {
		T += heat / v
	}
	w.Draws = append(w.Draws, Drawn{
		Outlet: int(d.event.outlet), Wanted: d.wanted - w.from, Opened: d.opened - w.from, Shut: e.now - w.from,
		Wait: wait, RunToWaste: d.waste, Served: d.arrived, Kelvin: T,
		Cold: d.event.cold, AsItComes: !d.event.cold && d.event.usable == 0,
	})
}
