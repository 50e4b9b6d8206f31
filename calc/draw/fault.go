package draw

import (
	"fmt"
	"math"

	"recirc/calc/calendar"
)

// FaultName names what is wrong with a draw or a fixture.
type FaultName string

// The faults.
const (
	NotFinite         FaultName = "not_finite"
	TimeOutOfDay      FaultName = "time_out_of_day"
	VolumeNotPositive FaultName = "volume_not_positive"
	FlowNotPositive   FaultName = "flow_not_positive"
	TooLarge          FaultName = "too_large"
	LastsTooLong      FaultName = "lasts_too_long"
	UseUnknown        FaultName = "use_unknown"
	FixtureUnknown    FaultName = "fixture_unknown"
	FixtureTwice      FaultName = "fixture_twice"
	ShareNegative     FaultName = "share_negative"
	NothingToShare    FaultName = "nothing_to_share"
	TooMany           FaultName = "too_many"
)

// Fault is one thing that is wrong.
type Fault struct {
	Of     string // "event", "fixture" or "" for the whole
	Index  int    // in the caller's list; -1 for the whole
	Name   FaultName
	Detail string // a sentence that says what was found
}

// FaultError is what is wrong with a list of draws or fixtures, all at once.
type FaultError struct {
	Faults  []Fault // at most [MaxFaults]
	Dropped int     // beyond
}

// MaxFaults is how many faults are kept.
const MaxFaults = 100

func (e *FaultError) Error() string {
	first := e.Faults[0]
	return fmt.Sprintf("draw: %d faults, the first: %s %d: %s (%s)", len(e.Faults)+e.Dropped, first.Of, first.Index, first.Detail, first.Name)
}

func (e *FaultError) add(of string, index int, name FaultName, format string, args ...any) {
	if len(e.Faults) >= MaxFaults {
		e.Dropped++
		return
	}
	e.Faults = append(e.Faults, Fault{Of: of, Index: index, Name: name, Detail: fmt.Sprintf(format, args...)})
}

// err gives the faults as an error, nil if there is none.
func (e *FaultError) err() error {
	if len(e.Faults) == 0 {
		return nil
	}
	return e
}

// Bounds far beyond any building.
const (
	MaxEvents      = 100_000 // of a day
	greatestVolume = 1e4     // m3
	greatestFlow   = 100.0   // m3/s
	longest        = calendar.SecondsOfDay
)

// events looks at every draw; fixtures is how many there are, below 0 if draws
// have none yet.
func (e *FaultError) events(events []Event, fixtures int) {
	if len(events) > MaxEvents {
		e.add("", -1, TooMany, "a day has at most %d draws, not %d", MaxEvents, len(events))
		return
	}
	for i := range events {
		e.event(i, &events[i], fixtures)
	}
}

func (e *FaultError) event(i int, d *Event, fixtures int) {
	if t := d.at(); !finite(t) {
		e.add("event", i, NotFinite, "the time is no finite number")
	} else if t < 0 || t >= calendar.SecondsOfDay {
		e.add("event", i, TimeOutOfDay, "the time is %.6g s after midnight, not within the day", t)
	}
	sound := e.amount(i, "volume", d.Volume.CubicMetres(), greatestVolume, "m3", VolumeNotPositive)
	sound = e.amount(i, "flow", d.Flow.CubicMetresPerSecond(), greatestFlow, "m3/s", FlowNotPositive) && sound
	if sound && !(d.lasts() <= longest) {
		e.add("event", i, LastsTooLong, "the draw lasts %.6g s, longer than a day", d.lasts())
	}
	if !d.Use.known() {
		e.add("event", i, UseUnknown, "there is no use %.40q", d.Use)
	}
	if fixtures >= 0 && (d.Fixture < 0 || d.Fixture >= fixtures) {
		e.add("event", i, FixtureUnknown, "there is no fixture %d among %d", d.Fixture, fixtures)
	}
}

// amount looks at a volume or a flow, and reports that it is sound.
func (e *FaultError) amount(i int, what string, v, greatest float64, unit string, notPositive FaultName) bool {
	switch {
	case !finite(v):
		e.add("event", i, NotFinite, "the %s is no finite number", what)
	case v <= 0:
		e.add("event", i, notPositive, "the %s is %.6g %s, not above zero", what, v, unit)
	case v > greatest:
		e.add("event", i, TooLarge, "the %s is %.6g %s, more than %g", what, v, unit, greatest)
	default:
		return true
	}
	return false
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
