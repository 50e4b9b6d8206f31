package year

import "math"

// heater is the central heater at work.
type heater struct {
	outlet, delay, least float64
	onFlow               bool // it starts on flow

	on      bool
	fires   float64 // s, when it gives hot water, if it is on
	asComes float64 // K, of water that it does not heat
	check   float64 // s, when asComes is to be looked at again

	gave, flow float64 // m3 K above mains, m3: since the last account
}

// refresh is the time in which water that circulates unheated may come back colder.
const refresh = 60.0 // s

// feed gives a pipe at the heater what has come from it over dt.
func (e *engine) feed(p *pipe, dt float64) {
	h := &e.heater
	cold := 0.0
	switch {
	case !h.onFlow:
	case !h.on:
		cold = dt
	default:
		cold = min(dt, max(0, h.fires-(e.now-dt)))
	}
	if cold > 0 {
		p.inbox = add(p.inbox, p.q*cold, h.asComes, 0)
	}
	if cold < dt {
		p.inbox = add(p.inbox, p.q*(dt-cold), h.outlet, 0)
	}
	h.flow += p.q * dt
	h.gave += p.q * (cold*(h.asComes-e.mains) + (dt-cold)*(h.outlet-e.mains))
}

// until gives the time from when on water that enters the pipes is hot.
func (h *heater) until(now float64) float64 {
	switch {
	case !h.onFlow:
		return 0
	case !h.on:
		return math.Inf(1)
	}
	return max(0, h.fires-now)
}

// rekindle looks at the flow through a heater that starts on flow. The pipes at the heater
// must have been moved before the flow changed.
func (e *engine) rekindle() {
	h := &e.heater
	if !h.onFlow {
		return
	}
	q, back, sum := 0.0, 0.0, 0.0
	e.work += len(e.others) / 8
	for i := range e.pipes {
		p := &e.pipes[i]
		if p.parent != None {
			break // parents come first
		}
		if p.role == Supply {
			q += p.q
		}
	}
	for _, i := range e.others {
		if p := &e.pipes[i]; p.parent == None && p.q < 0 {
			back -= p.q
			sum -= p.q * p.nearEnd()
		}
	}
	h.asComes = e.mains
	if q > 0 && back > 0 {
		h.asComes = min(h.outlet, (sum+max(0, q-back)*e.mains)/max(q, back))
	}
	on := q > 0 && q >= h.least
	if on && !h.on {
		h.fires = e.now + h.delay
	}
	h.on = on
	h.check = math.Inf(1)
	if back > 0 && (!on || h.fires > e.now) {
		h.check = e.now + refresh
	}
}

// rootsUpToDate moves the pipes at a heater that starts on flow up to now.
func (e *engine) rootsUpToDate() {
	if !e.heater.onFlow {
		return
	}
	for i := range e.pipes {
		if e.pipes[i].parent != None {
			break
		}
		if e.pipes[i].role == Supply {
			e.reach(int32(i))
		}
	}
	e.flush()
}

// bringBack counts what a pump brings back to the heater.
func (e *engine) bringBack(series []slug) {
	for _, s := range series {
		e.totals.ReturnVolume += s.v
		e.totals.ReturnHeat += s.v * (s.T - e.mains)
		e.totals.ReturnKelvin += s.v * s.T
	}
}
