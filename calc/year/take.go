package year

import "math"

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
