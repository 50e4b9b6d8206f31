package year

import (
	"math"

	"recirc/calc/calendar"
)

// A stage is begun with what the one before has left, and simulated over and over
// until it ends as it began: until the heat in its pipes, added up pipe by pipe,
// differs by less than periodic of the heat that has moved. A transient shrinks from
// round to round; where the difference does not, it is the phase of a control
// that keeps a time of its own, and more rounds would change nothing. The last round counts.
const (
	periodic  = 1e-3
	shrinks   = 0.7
	maxRounds = 6
)

// Simulate gives a year of a system: every day of the plan is simulated by itself,
// with as many days alike before it as it takes until it ends as it began, and
// weighted. An aquastat may never end a day as it began it ([DayResult.Steady]); then
// days alike are simulated as long as that brings the two nearer, five at most.
//
// The same input gives the same result, in whatever order pipes and outlets are
// listed, to rounding.
//
// Errors: a [*FaultError] with everything that is wrong, or [ErrBudget].
func Simulate(s System, p Plan, o *Observation) (*Result, error) {
	if err := check(&s, &p, o); err != nil {
		return nil, err
	}
	var stages []stage
	for m := range p.Months {
		for d := range p.Months[m].Days {
			stages = append(stages, stage{month: m, days: []int{d}})
		}
	}
	return simulate(&s, &p, stages, o, true, func(st *stage) bool { return st.month == o.Month && st.days[0] == o.Day })
}

// Follow gives 1 to 7 days of one month as they follow each other, each the first
// day of the month that has its type. The whole is simulated until it ends as it
// began, and counts each day once.
//
// Errors as [Simulate]; also a day type of which the month has no day.
func Follow(s System, p Plan, month int, types []calendar.DayType, o *Observation) (*Result, error) {
	days, err := checkFollow(&s, &p, month, types, o)
	if err != nil {
		return nil, err
	}
	return simulate(&s, &p, []stage{{month: month, days: days}}, o, false, func(*stage) bool { return true })
}

func simulate(s *System, p *Plan, stages []stage, o *Observation, weighted bool, looks func(*stage) bool) (*Result, error) {
	e := newEngine(s, p)
	stages = e.stagesOf(stages)
	r := &Result{PipeLoss: make([]float64, len(s.Pipes))}
	e.begin(&stages[0])
	for i := range stages {
		if err := e.simulateStage(&stages[i], r, weighted); err != nil {
			return nil, err
		}
	}
	r.Work = e.work
	if o == nil {
		return r, nil
	}
	// A second engine looks on, so that looking on changes nothing.
	for i := range stages {
		if looks(&stages[i]) {
			again := newEngine(s, p)
			var err error
			r.Observed, err = again.observe(again.stagesOf([]stage{{month: stages[i].month, days: stages[i].days}}), stages[i:i+1], o)
			return r, err
		}
	}
	return r, nil
}

// begin fills all pipes with water as warm as their surroundings.
func (e *engine) begin(s *stage) {
	m := &e.plan.Months[s.month]
	for i := range e.pipes {
		p := &e.pipes[i]
		p.fill(m.Ambients[p.ambient].Kelvin())
	}
}

// simulateStage adds a stage to a result.
func (e *engine) simulateStage(s *stage, r *Result, weighted bool) error {
	if err := e.enter(s, maxRounds+1); err != nil {
		return err
	}
	n := len(s.days)
	totals := make([]Totals, n)
	losses := make([][]float64, n)
	for i := range losses {
		losses[i] = make([]float64, len(e.system.Pipes))
	}
	first, counted := len(r.Days), len(r.Waits)
	e.record = &r.Waits
	before, round := math.Inf(1), 0
	steady := false
	for ; ; round++ {
		r.Waits = r.Waits[:counted]
		change, err := e.simulateRound(s, round, first, totals, losses)
		if err != nil {
			return err
		}
		over := round == 0 && e.busy() // it was not there when the round began
		steady = change <= periodic
		if !over && (steady || change > shrinks*before) || round == maxRounds-1 {
			break
		}
		before = change
	}
	for i, d := range s.days {
		day := &e.month.Days[d]
		w := day.Weight
		if !weighted {
			w = 1
		}
		r.Days = append(r.Days, DayResult{Month: s.month, Day: d, Type: day.Type, Weight: w, WarmUp: round, Steady: steady, Totals: totals[i]})
		r.Year.add(&totals[i], w)
		for k, lost := range losses[i] {
			r.PipeLoss[k] += w * lost
		}
	}
	for i := counted; i < len(r.Waits); i++ {
		r.Waits[i].Weight = r.Days[r.Waits[i].Day].Weight
	}
	return nil
}

// simulateRound runs all days of a stage once, and tells by how much it ends other
// than it began, as a share of the heat that has moved.
func (e *engine) simulateRound(s *stage, round, first int, totals []Totals, losses [][]float64) (float64, error) {
	begun := make([]float64, len(e.pipes))
	for i := range e.pipes {
		begun[i] = e.pipes[i].heat(e.mains)
	}
	moved := 0.0
	for i := range s.days {
		totals[i] = Totals{}
		e.totals, e.day = &totals[i], first+i
		before := e.stored()
		midnight := float64(round)*s.lasts() + float64(i)*calendar.SecondsOfDay
		if err := e.simulateDay(midnight, s.events[i]); err != nil {
			return 0, err
		}
		e.account(&totals[i], before, losses[i])
		t := &totals[i]
		moved += math.Abs(t.HeaterHeat) + t.TraceHeat + t.LocalHeat + math.Abs(t.Lost.Sum())
	}
	change := 0.0
	for i := range e.pipes {
		p := &e.pipes[i]
		change += math.Abs(p.heat(e.mains) - begun[i])
	}
	return change * e.system.WaterHeat / (moved + 1e-3*e.capacity), nil
}

// busy tells whether somebody draws or waits for it.
func (e *engine) busy() bool {
	for i := range e.outlets {
		if e.outlets[i].busy {
			return true
		}
	}
	return len(e.draws) > 0
}
