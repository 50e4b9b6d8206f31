package year

import "math"

// restless is the time that a valve stays as it is at least, in s.
const restless = 60.0

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
	e.stale = true
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
	e.work += len(chain)
	for k := len(chain) - 1; k >= 0; k-- {
		p := &e.pipes[chain[k]]
		flow := q + max(0, p.shared-l.full)
		k, even := p.tends(T)
		T = even + (T-even)*math.Exp(-k*(p.vt+p.vr)/flow)
	}
	return T
}
