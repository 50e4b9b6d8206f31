package control

import (
	"math"
	"slices"

	"recirc/calc/calendar"
	"recirc/calc/quantity"
)

// Machine is a control at work. It is stepped by a simulator, which asks for the
// next time at which the control may change by itself and for the temperature
// that its sensor waits for, and so can jump from event to event.
type Machine struct {
	settings Settings
	schedule schedule
	triggers []float64 // of an on-demand pump, sorted; those passed are cut off

	now, changed float64 // s; when it was stepped last, when it started or stopped last
	running      bool
	call         bool // the aquastat or the demand calls for the pump
	starts       int
	ran          float64 // s, up to now
}

// New makes the machine of a control. days are the types of the days as they
// follow each other; after the last the first comes again. triggers are
// the times at which an on-demand pump is triggered, see [Triggers]; a control of
// another kind has none.
//
// At time 0 the pump is off, rested, and nothing calls for it.
//
// Errors: a [*SettingsError] with every fault of the settings. A setting that
// can run and makes no sense is no error; see [Check].
func New(s Settings, days []calendar.DayType, triggers []quantity.Duration) (*Machine, error) {
	faults := s.faults()
	faults = append(faults, daysFaults(days)...)
	m := &Machine{settings: s, changed: math.Inf(-1)}
	if s.Kind == OnDemand {
		m.triggers = make([]float64, len(triggers))
		for i, t := range triggers {
			m.triggers[i] = t.Seconds()
			if !(m.triggers[i] >= 0) || math.IsInf(m.triggers[i], 0) {
				faults = append(faults, finding(OutOfRange, "triggers", i, "a trigger at %g s is not in the time of a simulation", m.triggers[i]))
			}
		}
		slices.Sort(m.triggers)
	}
	if len(faults) > 0 {
		return nil, &SettingsError{Findings: faults}
	}
	m.settings.Windows = nil // the schedule has them
	switch {
	case s.Kind.timed():
		m.schedule = newSchedule(s.Windows, days)
	case s.Kind == DutyCycle:
		m.schedule = newCycle(s.Cycle.On.Seconds(), s.Cycle.Off.Seconds())
	default:
		m.schedule = schedule{always: true}
	}
	return m, nil
}

// rounding is what two times may differ by and be the same, in s.
const rounding = 1e-6

// Step moves the control to a time, with the temperature that its sensor reads
// then, and tells whether the pump runs from then on. Up to then it does as the
// step before said. A time before that of the last step counts as that.
//
// A pump is not started so late in a window that its least run would
// outlast it, so neither the window nor the least run is ever broken. What calls for the
// pump while it has to rest is kept.
func (m *Machine) Step(t quantity.Duration, sensor quantity.Temperature) (running bool) {
	now := max(m.now, t.Seconds())
	if math.IsNaN(now) || math.IsInf(now, 0) {
		now = m.now
	}
	if m.running {
		m.ran += now - m.now
	}
	m.now = now
	m.hear(sensor.Kelvin())
	end, open := m.schedule.at(now)
	switch wanted := open && m.call; {
	case m.running && !open, m.running && !wanted && now >= m.changed+m.settings.LeastRun.Seconds():
		m.running, m.changed = false, now
	case !m.running && wanted && now >= m.changed+m.settings.LeastRest.Seconds() && now+m.settings.LeastRun.Seconds() <= end+rounding:
		m.running, m.changed = true, now
		m.starts++
	}
	return m.running
}

// hear works out what the sensor and the triggers call for.
func (m *Machine) hear(T float64) {
	start, stop := m.settings.Aquastat.Start.Kelvin(), m.settings.Aquastat.Stop.Kelvin()
	switch k := m.settings.Kind; {
	case k == OnDemand:
		triggered := false
		for len(m.triggers) > 0 && m.triggers[0] <= m.now {
			m.triggers, triggered = m.triggers[1:], true
		}
		if triggered && T <= start {
			m.call = true
		}
		if T >= stop || m.running && m.now >= m.changed+m.settings.Demand.LongestRun.Seconds() {
			m.call = false
		}
	case k.aquastat():
		if T <= start {
			m.call = true
		}
		if T >= stop {
			m.call = false
		}
	default:
		m.call = true
	}
}

// Next gives the next time, after that of the last step, at which the control may
// change by itself: a window or a cycle begins or ends, a trigger comes, a run or a
// rest has been long enough. False if there is none. Nothing need change then, but
// between the last step and then only the sensor can change anything.
func (m *Machine) Next() (quantity.Duration, bool) {
	next := m.schedule.next(m.now)
	soon := func(t float64) {
		if t > m.now {
			next = min(next, t)
		}
	}
	if len(m.triggers) > 0 {
		soon(m.triggers[0])
	}
	if m.running {
		soon(m.changed + m.settings.LeastRun.Seconds())
		if m.settings.Kind == OnDemand {
			soon(m.changed + m.settings.Demand.LongestRun.Seconds())
		}
	} else {
		soon(m.changed + m.settings.LeastRest.Seconds())
	}
	return quantity.Seconds(next), !math.IsInf(next, 0)
}

// Watches gives the temperature at which the sensor changes something, rising to
// it or falling to it, and false if no temperature does. A simulator that finds the
// time of the crossing steps with this very temperature, lest rounding hide it.
func (m *Machine) Watches() (limit quantity.Temperature, rising, ok bool) {
	k, a := m.settings.Kind, m.settings.Aquastat
	switch {
	case m.call && (k.aquastat() || k == OnDemand):
		return a.Stop, true, true
	case !m.call && k.aquastat():
		return a.Start, false, true
	}
	return quantity.Temperature{}, false, false
}

// Running tells whether the pump runs since the last step.
func (m *Machine) Running() bool { return m.running }

// Starts counts how often the pump has started.
func (m *Machine) Starts() int { return m.starts }

// Ran gives how long the pump has run up to the last step.
func (m *Machine) Ran() quantity.Duration { return quantity.Seconds(m.ran) }
