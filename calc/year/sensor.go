package year

import "math"

const (
	slack   = 0.02   // K, within which a sensor reads what it waits for
	soonest = 0.1    // s, between two looks at a sensor
	mixedAt = 10.0   // s, likewise where several loops mix; a sensor on a pipe takes as long itself
	laterAt = 60.0   // s, after which a sensor is looked at that nothing is known of
	latest  = 3600.0 // s, between two looks at a sensor at the most
)

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
		if p.q < 0 {
			return p.leaving(-p.q)
		}
		return p.nearEnd()
	case p.users == 0:
		e.catchUp(j)
	default:
		e.reach(j)
	}
	if p.q > 0 {
		return p.leaving(p.q)
	}
	return p.farEnd()
}

// leaving is the temperature of the water that leaves a pipe just now. It has been
// in the pipe for longer than the middle of its slug.
func (p *pipe) leaving(q float64) float64 {
	s := p.slugs[0]
	if p.warm > 0 {
		return s.T
	}
	return s.T - (s.T-p.ta)*fade(p.lose*s.v/2/q)
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
	var in float64 // s until then
	if q := &e.pipes[p.sensor]; rising {
		in = e.comesTo(p.sensor, limit.Kelvin()-slack)
	} else if q.users > 0 {
		in = laterAt
	} else {
		in = q.fallsTo(T, limit.Kelvin())
	}
	p.pause *= 1.5
	if math.Abs(T-p.read) > slack {
		p.pause = 0
	}
	p.read = T
	if !math.IsInf(in, 1) {
		p.pause = max(soonest, min(p.pause, latest))
		p.check = min(p.check, e.now+max(in, p.pause))
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
	k, even := p.tends(T)
	if even >= limit || k <= 0 {
		return math.Inf(1)
	}
	t := math.Log((T-even)/(limit-even)) / k
	if p.warm > 0 && T > p.off {
		return min(t, laterAt*10) // the cable slows it down
	}
	return t
}

// comesTo gives the least time until water of a temperature can be at the end of a pipe
// at which a sensor sits, or the time after which to look again. Infinite if nothing
// flows there.
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
	return e.comesBack(j, T)
}

// comesBack does that for a return: it goes back all ways from which water runs to
// it, since what runs together is no warmer than the warmest.
func (e *engine) comesBack(j int32, T float64) float64 {
	type part struct {
		pipe int32
		t    float64 // until what now enters the part before gets to the sensor
	}
	least, sources := math.Inf(1), 0
	parts := []part{{j, 0}}
	for len(parts) > 0 {
		at := parts[len(parts)-1]
		parts = parts[:len(parts)-1]
		e.work++
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
