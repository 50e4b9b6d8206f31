package year

import "math"

// event is a draw made ready.
type event struct {
	at, volume, q float64
	usable        float64 // K; 0 for what is drawn as it comes
	outlet        int32
	cold          bool
	pump          int32 // that somebody triggers for it; None
}

// drawing is an open tap.
type drawing struct {
	event  *event
	pipe   int32 // None if its local heater is fed from the mains
	q      float64
	wanted float64 // s
	opened float64
	fed    float64 // s, up to when a cold draw or a local heater has been fed
	check  float64 // s, when to look again

	arrived              bool
	waste, useful        float64 // m3
	wasteHeat, heat      float64 // m3 K above mains
	luke, lukeHeat, high float64 // m3, m3 K, K
}

// start begins a draw, or lets it wait: for the tap, or for the pump.
func (e *engine) start(ev *event, wanted float64) {
	o := &e.outlets[ev.outlet]
	if ev.cold {
		e.open(ev, wanted)
		return
	}
	if o.busy {
		o.queue = append(o.queue, ev)
		return
	}
	o.busy = true
	if ev.pump != None && e.pumps[ev.pump].running {
		p := &e.pumps[ev.pump]
		p.held = append(p.held, held{ev, wanted})
		return
	}
	e.open(ev, wanted)
}

// open opens a tap.
func (e *engine) open(ev *event, wanted float64) {
	o := &e.outlets[ev.outlet]
	d := drawing{event: ev, pipe: o.pipe, q: ev.q, wanted: wanted, opened: e.now, fed: e.now, arrived: ev.cold || ev.usable == 0}
	switch {
	case ev.cold:
		d.pipe = o.cold
		e.flush()
		e.runBack(d.pipe, -d.q, 1)
	default:
		if o.local != nil {
			o.local.idle(e.now)
			if !o.local.fromHot {
				d.pipe = None
			}
		}
		if d.pipe != None {
			e.rootsUpToDate()
			e.run(d.pipe, d.q, 1)
			e.rekindle()
		}
	}
	e.draws = append(e.draws, d)
	if d.arrived {
		e.look(len(e.draws) - 1)
	}
	e.hurry()
}

// hurry looks again at the taps that wait, after a flow has changed.
func (e *engine) hurry() {
	for i := range e.draws {
		if d := &e.draws[i]; !d.arrived {
			e.look(i)
		}
	}
}

// leastLook is the shortest time between two looks at a draw that waits, in s.
const leastLook = 0.25

// look sets when a draw is to be looked at again: no later than it can end.
func (e *engine) look(i int) {
	d := &e.draws[i]
	rest := (d.event.volume - d.useful) / d.q
	if d.arrived {
		d.check = e.now + rest
		return
	}
	e.draw(d)
	if d.arrived {
		d.check = e.now + (d.event.volume-d.useful)/d.q
		return
	}
	d.check = min(d.opened+e.plan.MostWait.Seconds(), e.now+max(leastLook, rest+e.comes(d)))
}

// comes gives the least time until usable water can be at the tap.
func (e *engine) comes(d *drawing) float64 {
	if o := &e.outlets[d.event.outlet]; o.local != nil {
		return 0
	}
	return e.ahead(d.pipe, d.event.usable)
}

// ahead gives the least time until water of a temperature can be at the end of a supply
// pipe that has been moved up to now.
func (e *engine) ahead(i int32, T float64) float64 {
	t := 0.0
	for j := i; j != None; j = e.pipes[j].parent {
		p := &e.pipes[j]
		if p.q <= 0 {
			return math.Inf(1)
		}
		for k := range p.slugs {
			if p.slugs[k].T >= T {
				return t
			}
			t += p.slugs[k].v / p.q
		}
	}
	return t + e.heater.until(T, e.now)
}

// draw gives a tap all that has come to it up to now.
func (e *engine) draw(d *drawing) {
	switch {
	case d.event.cold:
		e.flush()
	case d.pipe != None:
		e.reach(d.pipe)
	default:
		if dt := e.now - d.fed; dt > 0 {
			d.fed = e.now
			e.take(d, d.q*dt, e.mains)
		}
	}
}

// settle looks at a draw at its time, ends it if it has what it wants, and tells
// whether it has ended.
func (e *engine) settle(i int) bool {
	d := &e.draws[i]
	e.draw(d)
	switch rest := d.event.volume - d.useful; {
	case d.arrived && rest <= 1e-9*d.event.volume, d.arrived && e.now+rest/d.q <= e.now:
	case !d.arrived && e.now >= d.opened+e.plan.MostWait.Seconds():
	default:
		e.look(i)
		return false
	}
	e.shut(i)
	return true
}

// shut closes a tap and counts the draw.
func (e *engine) shut(i int) {
	d := e.draws[i]
	e.draws = append(e.draws[:i], e.draws[i+1:]...)
	ev := d.event
	if ev.cold {
		e.runBack(d.pipe, d.q, -1)
		if d.luke > 0 {
			e.totals.Cold.Draws++
		}
		if e.watch != nil {
			e.watch.drawn(e, &d, 0)
		}
	} else {
		if d.pipe != None {
			e.rootsUpToDate()
			e.run(d.pipe, -d.q, -1)
			e.rekindle()
		}
		e.count(&d)
	}
	e.hurry()
	if ev.cold {
		return
	}
	o := &e.outlets[ev.outlet]
	o.busy = false
	if len(o.queue) > 0 {
		next := o.queue[0]
		o.queue = append(o.queue[:0], o.queue[1:]...)
		e.start(next, e.now)
	}
}

// count enters a draw of hot water that has ended.
func (e *engine) count(d *drawing) {
	e.totals.Draws++
	if !d.arrived {
		e.totals.Unserved++
	}
	wait := d.opened - d.wanted + d.waste/d.q
	if d.event.usable > 0 {
		*e.record = append(*e.record, Wait{Outlet: int(d.event.outlet), Day: e.day, At: d.event.at, Seconds: wait, Served: d.arrived})
	} else {
		wait = 0
	}
	if e.watch != nil {
		e.watch.drawn(e, d, wait)
	}
}

// take lets water run from a tap.
func (e *engine) take(d *drawing, v, T float64) {
	o := &e.outlets[d.event.outlet]
	if o.local == nil {
		e.takeHot(d, v, T, T)
		return
	}
	for n := max(1, min(64, int(math.Ceil(8*v/o.local.content*e.grainy)))); n > 0; n-- {
		part := v / float64(n)
		v -= part
		before := o.local.T
		mean := o.local.run(part/d.q, d.q, T)
		o.local.at += part / d.q
		e.takeHot(d, part, mean, before)
	}
}

// takeHot counts hot water: first is the temperature with which it begins.
func (e *engine) takeHot(d *drawing, v, T, first float64) {
	heat := v * (T - e.mains)
	if !d.arrived && first >= d.event.usable {
		d.arrived = true
	}
	if d.arrived {
		d.useful += v
		d.heat += heat
		e.totals.HotDrawn += v
		e.totals.HeatDrawn += heat
		return
	}
	d.waste += v
	d.wasteHeat += heat
	e.totals.RunToWaste += v
	e.totals.HeatWasted += heat
}

// takeCold counts cold water.
func (e *engine) takeCold(d *drawing, v, T float64) {
	d.useful += v
	d.heat += v * (T - e.mains)
	t := e.totals
	t.HeatCold += v * (T - e.mains)
	t.Cold.Drawn += v
	t.Cold.Highest = max(t.Cold.Highest, T)
	if above := e.plan.LukewarmAbove.Kelvin(); above > 0 && T > above {
		d.luke += v
		t.Cold.Volume += v
		t.Cold.Kelvin += v * T
	}
}

// idle lets a local heater stand until now.
func (l *local) idle(now float64) {
	if now > l.at {
		l.run(now-l.at, 0, 0)
	}
	l.at = now
}
