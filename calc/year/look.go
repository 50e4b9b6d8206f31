package year

import "math"

// hurry looks again at the taps that wait, after a flow has changed.
func (e *engine) hurry() {
	e.stale = false
	for _, d := range e.draws {
		if !d.arrived {
			e.look(d)
		}
	}
}

// The shortest time between two looks at a draw that waits, and that if nothing usable
// is in sight, in s.
const (
	leastLook = 0.25
	noneLook  = 30.0
)

// look sets when a draw is to be looked at again: no later than it can end.
func (e *engine) look(d *drawing) {
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
	comes := e.comes(d)
	if math.IsInf(comes, 1) {
		comes = noneLook
	}
	d.check = min(d.opened+e.plan.MostWait.Seconds(), e.now+max(leastLook, rest+comes))
}

// comes gives the least time until usable water can be at the tap.
func (e *engine) comes(d *drawing) float64 {
	if o := &e.outlets[d.event.outlet]; o.local != nil {
		return 0
	}
	return e.ahead(d.pipe, d.event.usable)
}

// ahead gives the least time until water of a temperature can be at the end of a supply
// pipe that has been moved up to now. What comes from afar cools on its way.
func (e *engine) ahead(i int32, T float64) float64 {
	t, far := 0.0, T // of water at the upstream end of what has been looked at
	for j := i; j != None; j = e.pipes[j].parent {
		p := &e.pipes[j]
		if p.q <= 0 {
			return math.Inf(1)
		}
		in := 0.0
		e.work++
		for k := range p.slugs {
			s := &p.slugs[k]
			if at := j == i && k == 0; at && s.T >= T || !at && s.T >= p.needs(far, in)-margin {
				return t + in
			}
			in += s.v / p.q
		}
		t += in
		far = p.needs(far, in)
	}
	if e.heater.outlet < far-margin {
		return math.Inf(1)
	}
	return t + e.heater.until(e.now)
}

// margin is by how much what is foretold of the cooling may be wrong, in K.
const margin = 0.5

// needs gives the temperature of water that has one after some seconds in a pipe.
func (p *pipe) needs(T, s float64) float64 {
	if p.warm > 0 || T <= p.ta {
		return T
	}
	return p.ta + (T-p.ta)/max(1e-9, 1-fade(p.lose*s))
}
