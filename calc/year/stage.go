package year

import (
	"cmp"
	"math"
	"slices"

	"recirc/calc/calendar"
	"recirc/calc/control"
	"recirc/calc/quantity"
)

// stage is days that follow each other and come again.
type stage struct {
	month    int
	days     []int // of the month
	types    []calendar.DayType
	events   [][]event   // by day of the stage, sorted
	triggers [][]float64 // by circulation, s from the beginning of the stage
}

func (s *stage) lasts() float64 { return float64(len(s.days)) * calendar.SecondsOfDay }

// stagesOf makes the draws of all stages ready. Chance counts draws through all of
// them, in the order of time, those of one time by the outlet's id.
func (e *engine) stagesOf(stages []stage) []stage {
	for i := range stages {
		s := &stages[i]
		for _, d := range s.days {
			day := &e.plan.Months[s.month].Days[d]
			s.types = append(s.types, day.Type)
			s.events = append(s.events, e.eventsOf(day))
		}
	}
	for k := range e.pumps {
		if c := e.pumps[k].of; c.Control.Kind == control.OnDemand {
			e.announce(stages, k, c)
		}
	}
	return stages
}

func (e *engine) eventsOf(day *Day) []event {
	events := make([]event, len(day.Draws))
	for i := range day.Draws {
		d := &day.Draws[i]
		events[i] = event{
			at: d.At.Seconds(), volume: d.Volume.CubicMetres(), q: d.Flow.CubicMetresPerSecond(),
			outlet: int32(d.Fixture), cold: d.Cold, pump: None,
		}
		if !d.Cold && !d.AsItComes {
			events[i].usable = d.Usable.Kelvin()
		}
	}
	slices.SortStableFunc(events, func(a, b event) int {
		return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(e.outlets[a.outlet].rank, e.outlets[b.outlet].rank),
			cmp.Compare(a.usable, b.usable), cmp.Compare(a.volume, b.volume), cmp.Compare(a.q, b.q))
	})
	return events
}

// announce decides which draws an on-demand pump is triggered for. The chance is
// that of control.Triggers, asked by the number of the draw in place of its time.
func (e *engine) announce(stages []stage, k int, c *Circulation) {
	serves := make([]bool, len(e.outlets))
	for i := range serves {
		serves[i] = len(c.Demands) == 0
	}
	for _, o := range c.Demands {
		serves[o] = true
	}
	type place struct{ stage, day, draw int }
	var places []place
	var numbers []quantity.Duration
	for i := range stages {
		for d := range stages[i].events {
			for n := range stages[i].events[d] {
				if ev := &stages[i].events[d][n]; serves[ev.outlet] && ev.usable > 0 {
					numbers = append(numbers, quantity.Seconds(float64(len(places))))
					places = append(places, place{i, d, n})
				}
			}
		}
		stages[i].triggers = append(stages[i].triggers, make([][]float64, len(e.pumps)-len(stages[i].triggers))...)
	}
	demand := c.Control.Demand
	demand.Lead = quantity.Duration{}
	for _, n := range control.Triggers(demand, [][]quantity.Duration{numbers}) {
		p := places[int(n.Seconds())]
		s := &stages[p.stage]
		ev := &s.events[p.day][p.draw]
		if ev.pump == None {
			ev.pump = int32(k)
		}
		s.triggers[k] = append(s.triggers[k], float64(p.day)*calendar.SecondsOfDay+ev.at-c.Control.Demand.Lead.Seconds())
	}
}

// enter begins a stage with what is left of the one before: shut taps and stopped pumps.
func (e *engine) enter(s *stage, rounds int) error {
	var spare Totals
	var waits Waits
	e.totals, e.record = &spare, &waits
	for k := range e.pumps {
		e.pumps[k].held.clear()
		e.pumps[k].ranBefore = e.pumps[k].running
		if e.pumps[k].running {
			e.toggle(k, false)
		}
	}
	for i := range e.outlets {
		e.outlets[i].queue.clear()
	}
	for len(e.draws) > 0 {
		e.shut(0)
	}
	e.month = &e.plan.Months[s.month]
	e.mains = e.month.Mains.Kelvin()
	e.now, e.flushed = 0, 0
	for i := range e.pipes {
		p := &e.pipes[i]
		p.at, p.ta, p.warm = 0, e.month.Ambients[p.ambient].Kelvin(), p.cable
		if p.ta >= p.off {
			p.warm = 0
		}
	}
	for i := range e.outlets {
		if l := e.outlets[i].local; l != nil {
			l.at, l.ta = 0, e.month.Ambients[l.ambient].Kelvin()
		}
	}
	for i := range e.loops {
		e.balance(&e.loops[i])
		if e.work > e.budget {
			return ErrBudget
		}
		e.loops[i].check = math.Inf(1)
	}
	e.heater.on, e.heater.check, e.heater.asComes = false, math.Inf(1), e.mains
	for k := range e.pumps {
		p := &e.pumps[k]
		var triggers []quantity.Duration
		if k < len(s.triggers) {
			for r := range rounds {
				for _, t := range s.triggers[k] {
					triggers = append(triggers, quantity.Seconds(max(0, float64(r)*s.lasts()+t)))
				}
			}
		}
		var err error
		if p.machine, err = control.New(p.of.Control, s.types, triggers); err != nil {
			return err
		}
		p.since, p.check = 0, 0
	}
	return nil
}
