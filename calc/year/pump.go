package year

import (
	"math"

	"recirc/calc/control"
	"recirc/calc/quantity"
)

// pump is a circulation at work.
type pump struct {
	of        *Circulation
	index     int
	machine   *control.Machine
	running   bool
	ranBefore bool    // at the end of the stage before
	sensor    int32   // pipe at whose downstream end it sits; None
	power     float64 // W
	heats     float64 // m3 K/s, into the water

	check float64 // s, when to look again
	since float64 // s, up to when its time has been counted
	loops []int32
	held  []held // draws that wait for it to stop
}

type held struct {
	event  *event
	wanted float64
}

const (
	slack    = 0.02 // K, within which a sensor reads what it waits for
	soonest  = 0.1  // s, between two looks at a sensor
	mixedAt  = 10.0 // s, likewise where several loops mix; a sensor on a pipe takes as long itself
	laterAt  = 60.0 // s, after which a sensor is looked at that nothing is known of
	restless = 60.0 // s, that a valve stays as it is at least
)

// wake looks at the pumps and valves that a pipe's end has to do with, as soon as
// the present event is done.
func (e *engine) wake(j int32) {
	for i := range e.pumps {
		if p := &e.pumps[i]; p.sensor == j {
			p.check = e.now
		}
	}
	for _, l := range e.loopsAt[j] {
		if e.loops[l].bypass != nil {
			e.loops[l].check = e.now
		}
	}
}

// read gives the temperature at the end of a pipe at which a sensor sits.
func (e *engine) read(j int32) float64 {
	p := &e.pipes[j]
	switch {
	case p.role != Supply:
		e.flush()
		e.still(j)
		if p.role == Cold {
			return p.farEnd()
		}
		return p.nearEnd()
	case p.users == 0:
		e.catchUp(j)
	default:
		e.reach(j)
	}
	return p.farEnd()
}

// step lets the control of a pump decide.
func (e *engine) step(k int) {
	p := &e.pumps[k]
	T := 0.0
	if p.sensor != None {
		T = e.read(p.sensor)
		if limit, rising, ok := p.machine.Watches(); ok {
			L := limit.Kelvin()
			if math.Abs(T-L) <= slack && (rising || T > L) {
				T = L
			}
		}
	}
	if on := p.machine.Step(quantity.Seconds(e.now), quantity.Kelvin(T)); on != p.running {
		e.toggle(k, on)
	}
	e.await(p, T)
}

// await sets when a pump is to be looked at again.
func (e *engine) await(p *pump, T float64) {
	p.check = math.Inf(1)
	if t, ok := p.machine.Next(); ok {
		p.check = t.Seconds()
	}
	limit, rising, ok := p.machine.Watches()
	if !ok || p.sensor == None {
		return
	}
	in := math.Inf(1)
	if q := &e.pipes[p.sensor]; rising {
		in = e.comesTo(p.sensor, limit.Kelvin()-slack)
	} else if q.users > 0 {
		in = laterAt
	} else {
		in = q.fallsTo(T, limit.Kelvin())
	}
	if !math.IsInf(in, 1) {
		p.check = min(p.check, e.now+max(in, soonest))
	}
}

// fallsTo gives when standing water that has a temperature comes down to a limit.
func (p *pipe) fallsTo(T, limit float64) float64 {
	if p.vr > 0 && math.Abs(T-p.slow) > 0.1 {
		return min(laterAt, 0.2/(p.pass*(1+p.vt/p.vr)))
	}
	if T <= limit {
		return 0
	}
	k, even := p.lose, p.ta
	if p.warm > 0 && T <= p.off {
		k, even = p.lose+p.warm, (p.lose*p.ta+p.warm*p.off)/(p.lose+p.warm)
	}
	if even >= limit || k <= 0 {
		return math.Inf(1)
	}
	t := math.Log((T-even)/(limit-even)) / k
	if p.warm > 0 && T > p.off {
		return min(t, laterAt*10) // the cable slows it down
	}
	return t
}

// comesTo gives the least time until water of a temperature can be at the downstream end of
// a pipe, or to when to look again. Where loops run together none is warmer than the
// warmest. Infinite if nothing flows there.
func (e *engine) comesTo(j int32, T float64) float64 {
	if p := &e.pipes[j]; p.role == Supply {
		if p.q <= 0 {
			return math.Inf(1)
		}
		e.reach(j)
		if in := e.ahead(j, T); !math.IsInf(in, 1) {
			return in
		}
		return laterAt
	}
	if e.pipes[j].role == Cold {
		if len(e.into[j]) == 1 && e.loops[e.into[j][0]].q > 0 {
			return e.comesTo(e.loops[e.into[j][0]].from, T)
		}
		return laterAt
	}
	type part struct {
		pipe int32
		t    float64 // until what now enters the part before gets to the sensor
	}
	least, sources := math.Inf(1), 0
	parts := []part{{j, 0}}
	for len(parts) > 0 {
		at := parts[len(parts)-1]
		parts = parts[:len(parts)-1]
		p := &e.pipes[at.pipe]
		if p.q >= 0 {
			continue
		}
		for k := 0; k < len(p.slugs) && at.t < least; k++ {
			if p.slugs[k].T >= T {
				least = at.t
				break
			}
			at.t -= p.slugs[k].v / p.q
		}
		for _, l := range e.into[at.pipe] {
			if from := e.loops[l].from; e.loops[l].q > 0 && at.t < least {
				e.reach(from)
				least = min(least, at.t+e.ahead(from, T))
				sources++
			}
		}
		for _, c := range e.children[at.pipe] {
			if at.t < least {
				parts = append(parts, part{c, at.t})
			}
		}
	}
	switch {
	case math.IsInf(least, 1):
		return laterAt
	case sources > 1:
		return max(least, mixedAt)
	}
	return least
}

// toggle starts or stops a pump.
func (e *engine) toggle(k int, on bool) {
	p := &e.pumps[k]
	e.countPump(p)
	e.rootsUpToDate()
	e.flush()
	p.running = on
	for _, l := range p.loops {
		loop := &e.loops[l]
		users := int32(1)
		q := loop.full
		loop.resting, loop.changed = false, math.Inf(-1)
		if on {
			if loop.bypass != nil {
				loop.check = e.now
			}
		} else {
			users, q = -1, -loop.q
			loop.check = math.Inf(1)
		}
		e.run(loop.from, q, users)
		e.runBack(loop.into, q, users)
		loop.q += q
		if !on {
			loop.q = 0
		}
	}
	e.rekindle()
	if on && !(e.now == 0 && p.ranBefore) {
		e.totals.PumpStarts++
	}
	if e.watch != nil {
		e.watch.Pump = append(e.watch.Pump, Switch{Circulation: p.index, At: e.now - e.watch.from, On: on})
	}
	e.hurry()
	if !on {
		for len(p.held) > 0 {
			h := p.held[0]
			p.held = append(p.held[:0], p.held[1:]...)
			e.open(h.event, h.wanted)
		}
	}
}

// countPump enters the time that a pump has run up to now.
func (e *engine) countPump(p *pump) {
	if dt := e.now - p.since; p.running {
		e.totals.PumpTime += dt
		e.totals.PumpEnergy += p.power * dt
		e.totals.PumpHeat += p.heats * dt
	}
	p.since = e.now
}

// throttle looks at the valve of a loop.
func (e *engine) throttle(k int) {
	l := &e.loops[k]
	l.check = math.Inf(1)
	if l.q <= 0 && !l.resting || l.bypass == nil {
		return
	}
	T := e.read(l.from)
	shut := false
	switch {
	case !l.resting && l.holds > 0 && T >= l.holds-slack:
		shut = true
	case l.resting && T < l.bypass.Opens.Kelvin()-slack:
	case l.resting:
		l.check = e.now + 10*laterAt
		return
	default:
		in := laterAt * 10
		if l.holds > 0 {
			in = min(in, e.comesTo(l.from, l.holds-slack))
		}
		l.check = e.now + max(in, soonest)
		return
	}
	if wait := l.changed + restless - e.now; wait > 0 {
		l.check = e.now + wait
		return
	}
	q := l.full
	if shut {
		q = l.rests
	}
	l.resting, l.changed = shut, e.now
	e.rootsUpToDate()
	e.flush()
	e.run(l.from, q-l.q, 0)
	e.runBack(l.into, q-l.q, 0)
	l.q = q
	e.rekindle()
	e.hurry()
	l.check = e.now + 10*laterAt
	if !shut {
		l.check = e.now + restless
	}
}

// balance finds the flow at which a valve comes to rest
//
//	q = Flow (Shuts - T(q))/(Shuts - Opens)
//
// where T falls with less flow. The other loops have all of theirs.
func (e *engine) balance(l *loop) {
	l.holds, l.rests = 0, 0
	if l.bypass == nil {
		return
	}
	opens, shuts := l.bypass.Opens.Kelvin(), l.bypass.Shuts.Kelvin()
	through := func(T float64) float64 { return l.full * min(1, max(0, (shuts-T)/(shuts-opens))) }
	if e.steady(l.from, l.full, l) <= opens {
		return
	}
	low, high := 0.0, l.full // of the flow
	for range 60 {
		q := (low + high) / 2
		if through(e.steady(l.from, q, l)) > q {
			low = q
		} else {
			high = q
		}
	}
	if high > 1e-9*l.full {
		l.rests = high
	}
	l.holds = min(e.steady(l.from, high, l), shuts)
}

// steady gives the temperature at the end of a supply pipe in the long run, while
// no tap is open.
func (e *engine) steady(i int32, q float64, l *loop) float64 {
	var chain []int32
	for j := i; j != None; j = e.pipes[j].parent {
		chain = append(chain, j)
	}
	T := e.heater.outlet
	for k := len(chain) - 1; k >= 0; k-- {
		p := &e.pipes[chain[k]]
		flow := q + max(0, p.shared-l.full)
		N := p.lose * (p.vt + p.vr) / flow
		T = p.ta + (T-p.ta)*math.Exp(-N)
	}
	return T
}
