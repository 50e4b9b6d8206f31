package year

import (
	"fmt"
	"math"
	"slices"

	"recirc/calc/calendar"
	"recirc/calc/quantity"
)

// Bounds far beyond any building.
const (
	MaxPipes        = 20_000
	MaxOutlets      = 10_000
	MaxCirculations = 100
	MaxLoops        = 5_000
	MaxDays         = 400 // of a plan
	MaxDraws        = 1_000_000
	MaxFineness     = 20
	maxSlugs        = 2_000_000 // of all pipes at once: some 60 MB
)

const (
	coldest, hottest = 233.15, 423.15 // K
	greatestFlow     = 1.0            // m3/s
	leastFlow        = 1e-8
)

type checker struct {
	faults
	s        *System
	p        *Plan
	ambients int // of the month with the fewest
}

func check(s *System, p *Plan, o *Observation) error {
	c := checker{s: s, p: p, ambients: math.MaxInt}
	c.plan()
	c.system()
	c.observation(o)
	if o != nil && c.index(place{}, "Observation.Month", o.Month, len(p.Months), "month") {
		c.index(place{}, "Observation.Day", o.Day, len(p.Months[o.Month].Days), "day")
	}
	return c.result()
}

func checkFollow(s *System, p *Plan, month int, types []calendar.DayType, o *Observation) ([]int, error) {
	c := checker{s: s, p: p, ambients: math.MaxInt}
	c.plan()
	c.system()
	c.observation(o)
	c.count("types", len(types), 1, 7)
	var days []int
	if c.index(place{}, "month", month, len(p.Months), "month") {
		for i, t := range types {
			d := slices.IndexFunc(p.Months[month].Days, func(d Day) bool { return d.Type == t })
			if d < 0 {
				c.add(fmt.Sprintf("types[%d]", i), "The month has no day of the type %q.", t)
			}
			days = append(days, d)
		}
	}
	return days, c.result()
}

func (c *checker) observation(o *Observation) {
	if o == nil {
		return
	}
	c.count("Observation.Points", o.Points, 0, MaxPoints)
	c.count("Observation.Pipes", len(o.Pipes), 0, 1000)
	for i, p := range o.Pipes {
		c.index(place{}, fmt.Sprintf("Observation.Pipes[%d]", i), p, len(c.s.Pipes), "pipe")
	}
}

func (c *checker) temperature(at place, name string, t quantity.Temperature) bool {
	return c.between(at, name, t.Kelvin(), coldest, hottest, "K")
}

func (c *checker) plan() {
	p := c.p
	c.between(place{}, "Plan.MostWait", p.MostWait.Seconds(), 1, calendar.SecondsOfDay, "s")
	if p.LukewarmAbove != (quantity.Temperature{}) {
		c.temperature(place{}, "Plan.LukewarmAbove", p.LukewarmAbove)
	}
	if p.Fineness != 0 {
		c.between(place{}, "Plan.Fineness", p.Fineness, 0.5, MaxFineness, "")
	}
	if p.Budget < 0 {
		c.add("Plan.Budget", "%d is below 0.", p.Budget)
	}
	days, draws := 0, 0
	for i := range p.Months {
		m := &p.Months[i]
		days += len(m.Days)
		for d := range m.Days {
			draws += len(m.Days[d].Draws)
		}
	}
	if !c.count("days of Plan.Months", days, 1, MaxDays) || !c.count("draws of Plan.Months", draws, 0, MaxDraws) {
		return
	}
	for i := range p.Months {
		m, at := &p.Months[i], place{"Plan.Months", i}
		c.temperature(at, "Mains", m.Mains)
		for k, t := range m.Ambients {
			c.temperature(at, fmt.Sprintf("Ambients[%d]", k), t)
		}
		c.ambients = min(c.ambients, len(m.Ambients))
		for d := range m.Days {
			c.day(&m.Days[d], fmt.Sprintf("Plan.Months[%d].Days[%d]", i, d))
		}
	}
}

func (c *checker) day(d *Day, field string) {
	if !slices.Contains(calendar.DayTypes(), d.Type) {
		c.add(field+".Type", "%q is no day type.", d.Type)
	}
	c.between(place{}, field+".Weight", d.Weight, 0, 366, "days")
	for i := range d.Draws {
		c.draw(&d.Draws[i], place{field + ".Draws", i})
	}
}

func (c *checker) draw(e *Event, at place) {
	c.between(at, "At", e.At.Seconds(), 0, calendar.SecondsOfDay-1e-6, "s")
	v, q := e.Volume.CubicMetres(), e.Flow.CubicMetresPerSecond()
	if c.between(at, "Volume", v, 1e-9, 1e5, "m3") && c.between(at, "Flow", q, leastFlow, greatestFlow, "m3/s") && v/q > calendar.SecondsOfDay {
		c.add(at.field("Volume"), "The draw takes %g s, longer than a day.", v/q)
	}
	if !c.index(at, "Fixture", e.Fixture, len(c.s.Outlets), "outlet") {
		return
	}
	if e.Cold && c.s.Outlets[e.Fixture].Cold == None {
		c.add(at.field("Cold"), "Outlet %d has no cold pipe.", e.Fixture)
	}
	if !e.Cold && !e.AsItComes {
		c.temperature(at, "Usable", e.Usable)
	}
}
