package year

import "slices"

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

	arrived         bool
	waste, useful   float64 // m3
	wasteHeat, heat float64 // m3 K above mains
	luke            float64 // m3, of a cold draw
}

// queue is draws that wait, first come first.
type queue struct {
	all  []waiting
	head int
}

type waiting struct {
	event  *event
	wanted float64
}

func (q *queue) add(ev *event, wanted float64) { q.all = append(q.all, waiting{ev, wanted}) }

func (q *queue) next() (waiting, bool) {
	if q.head == len(q.all) {
		q.clear()
		return waiting{}, false
	}
	q.head++
	return q.all[q.head-1], true
}

func (q *queue) clear() { q.all, q.head = q.all[:0], 0 }

// start begins a draw, or lets it wait: for the tap, or for the pump.
func (e *engine) start(ev *event, wanted float64) {
	o := &e.outlets[ev.outlet]
	if ev.cold {
		e.open(ev, wanted)
		return
	}
	if o.busy {
		o.queue.add(ev, 0)
		return
	}
	o.busy = true
	if ev.pump != None && e.pumps[ev.pump].running {
		e.pumps[ev.pump].held.add(ev, wanted)
		return
	}
	e.open(ev, wanted)
}

// open opens a tap.
func (e *engine) open(ev *event, wanted float64) {
	o := &e.outlets[ev.outlet]
	d := e.newDrawing()
	*d = drawing{event: ev, pipe: o.pipe, q: ev.q, wanted: wanted, opened: e.now, fed: e.now, check: e.now, arrived: ev.cold || ev.usable == 0}
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
	if d.pipe != None {
		e.taps[d.pipe] = append(e.taps[d.pipe], d)
	}
	if d.arrived {
		e.look(d)
	}
	e.stale = true
}

func (e *engine) newDrawing() *drawing {
	if n := len(e.spare); n > 0 {
		d := e.spare[n-1]
		e.spare = e.spare[:n-1]
		return d
	}
	return new(drawing)
}

// settle looks at a draw at its time, ends it if it has what it wants, and tells
// whether it has ended.
func (e *engine) settle(i int) bool {
	d := e.draws[i]
	e.draw(d)
	switch rest := d.event.volume - d.useful; {
	case d.arrived && rest <= 1e-9*d.event.volume, d.arrived && e.now+rest/d.q <= e.now:
	case !d.arrived && e.now >= d.opened+e.plan.MostWait.Seconds():
	default:
		e.look(d)
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
	switch {
	case ev.cold:
		e.runBack(d.pipe, d.q, -1)
		if d.luke > 0 {
			e.totals.Cold.Draws++
		}
		if e.watch != nil {
			e.watch.drawn(e, d, 0)
		}
	default:
		if d.pipe != None {
			e.rootsUpToDate()
			e.run(d.pipe, -d.q, -1)
			e.rekindle()
		}
		e.count(d)
	}
	if d.pipe != None {
		taps := e.taps[d.pipe]
		at := slices.Index(taps, d)
		e.taps[d.pipe] = append(taps[:at], taps[at+1:]...)
	}
	e.spare = append(e.spare, d)
	e.stale = true
	if ev.cold {
		return
	}
	o := &e.outlets[ev.outlet]
	o.busy = false
	if next, ok := o.queue.next(); ok {
		e.start(next.event, e.now)
	}
}
