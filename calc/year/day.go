package year

import (
	"errors"
	"math"

	"recirc/calc/calendar"
)

// MaxBudget is the most work of one simulation, in slugs moved: some ten seconds.
const MaxBudget = 200_000_000

// ErrBudget is a simulation that has used up its work.
var ErrBudget = errors.New("year: the simulation takes too much computation; send fewer draws, pipes or days")

// simulateDay runs one day of a stage, from a midnight to the next.
func (e *engine) simulateDay(midnight float64, events []event) error {
	end := midnight + calendar.SecondsOfDay
	next := 0
	for {
		t := end
		for i := range e.draws {
			t = min(t, e.draws[i].check)
		}
		for i := range e.pumps {
			t = min(t, e.pumps[i].check)
		}
		for _, l := range e.valves {
			t = min(t, e.loops[l].check)
		}
		t = min(t, e.heater.check)
		if next < len(events) {
			t = min(t, midnight+events[next].at)
		}
		if e.watch != nil {
			t = min(t, e.watch.next)
		}
		e.now = max(e.now, t)
		if e.now >= end {
			e.now = end
			e.settleAll()
			return nil
		}
		e.work += len(e.draws) + len(e.pumps) + len(e.valves) + 1
		if e.work > e.budget {
			return ErrBudget
		}
		e.due()
		for next < len(events) && midnight+events[next].at <= e.now {
			e.start(&events[next], e.now)
			next++
			if e.work > e.budget {
				return ErrBudget
			}
		}
		if e.stale {
			e.hurry()
		}
		if e.watch != nil && e.now >= e.watch.next {
			e.watch.look(e)
		}
	}
}

// due does what has come to its time: taps first, then pumps, valves, heater.
func (e *engine) due() {
	for i := 0; i < len(e.draws) && e.work <= e.budget; {
		if e.draws[i].check <= e.now && e.settle(i) {
			continue
		}
		i++
	}
	for k := range e.pumps {
		if e.pumps[k].check <= e.now {
			e.step(k)
		}
	}
	for _, l := range e.valves {
		if e.loops[l].check <= e.now {
			e.throttle(int(l))
		}
	}
	if e.heater.check <= e.now {
		e.rootsUpToDate()
		e.rekindle()
	}
}

// settleAll moves everything up to now.
func (e *engine) settleAll() {
	for _, d := range e.draws {
		if d.pipe == None {
			e.draw(d)
		}
	}
	for i := range e.pipes {
		if e.pipes[i].role == Supply {
			e.catchUp(int32(i))
		}
	}
	e.flush()
	for _, i := range e.others {
		e.still(i)
	}
	for i := range e.outlets {
		if l := e.outlets[i].local; l != nil {
			l.idle(e.now)
		}
	}
	for k := range e.pumps {
		e.countPump(&e.pumps[k])
	}
}

// stored is the heat above mains that is in pipes and local heaters, in m3 K.
func (e *engine) stored() float64 {
	sum := 0.0
	for i := range e.pipes {
		sum += e.pipes[i].heat(e.mains)
	}
	for i := range e.outlets {
		if l := e.outlets[i].local; l != nil {
			sum += l.content * (l.T - e.mains)
		}
	}
	return sum
}

// account closes a day: it turns m3 K into J, takes what was lost from the pipes
// into the totals and, by pipe, into losses, and checks the balance.
func (e *engine) account(t *Totals, before float64, losses []float64) {
	heat := e.system.WaterHeat
	clear(losses)
	for i := range e.pipes {
		p := &e.pipes[i]
		lost := p.lost * heat
		losses[p.of] += lost
		switch p.role {
		case Supply:
			t.Lost.Supply += lost
		case Return:
			t.Lost.Return += lost
		case Cold:
			t.Lost.Cold += lost
		}
		t.TraceHeat += p.traced * heat
		p.lost, p.traced = 0, 0
	}
	for i := range e.outlets {
		if l := e.outlets[i].local; l != nil {
			t.Lost.Local += l.lost * heat
			t.LocalHeat += l.given * heat
			l.lost, l.given = 0, 0
		}
	}
	if e.month.HeatingSeason {
		t.LostSeason = t.Lost
	}
	for _, q := range []*float64{&t.HeatDrawn, &t.HeatWasted, &t.HeatCold, &t.ReturnHeat, &t.PumpHeat} {
		*q *= heat
	}
	gave := e.heater.gave * heat
	t.HeaterHeat = gave - t.ReturnHeat - t.PumpHeat
	t.HeaterFlow = e.heater.flow
	e.heater.gave, e.heater.flow = 0, 0
	t.StoredChange = (e.stored() - before) * heat
	in := t.HeaterHeat + t.PumpHeat + t.TraceHeat + t.LocalHeat
	out := t.HeatDrawn + t.HeatWasted + t.HeatCold + t.Lost.Sum() + t.StoredChange
	moved := max(math.Abs(t.HeaterHeat)+t.TraceHeat+t.LocalHeat, t.HeatDrawn+t.HeatWasted+t.Lost.Sum(), math.Abs(t.StoredChange))
	t.Residual = math.Abs(in-out) / max(moved, 1e-3*e.capacity, 1e-6*math.Abs(gave))
}
