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
	read  float64 // K, what its sensor read last
	pause float64 // s, before the next look; it grows while the sensor reads the same
	since float64 // s, up to when its time has been counted
	loops []int32
	held  queue // draws that wait for it to stop
}

// wake looks at the pumps and valves that a pipe's end has to do with, as soon as
// the present event is done.
func (e *engine) wake(j int32) {
	for i := range e.pumps {
		if p := &e.pumps[i]; p.sensor == j {
			p.check, p.pause = e.now, 0
		}
	}
	for _, l := range e.loopsAt[j] {
		if e.loops[l].bypass != nil {
			e.loops[l].check = e.now
		}
	}
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
	e.stale = true
	for !on {
		h, ok := p.held.next()
		if !ok {
			break
		}
		e.open(h.event, h.wanted)
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
