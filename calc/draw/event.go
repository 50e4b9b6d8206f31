// Package draw has the draws of hot water over a day: published patterns, the
// caller's own, and how a pattern is spread over the fixtures of a house.
package draw

import (
	"cmp"
	"slices"

	"recirc/calc/calendar"
	"recirc/calc/quantity"
)

// Event is one draw.
type Event struct {
	At      quantity.Duration // since midnight
	Volume  quantity.Volume   // of hot water
	Flow    quantity.Flow
	Fixture int // its place in the caller's list of fixtures
	Use     Use // "" if not known
}

// Lasts gives how long the draw runs, which may be past midnight.
func (e Event) Lasts() quantity.Duration { return quantity.Seconds(e.lasts()) }

func (e Event) at() float64    { return e.At.Seconds() }
func (e Event) lasts() float64 { return e.Volume.CubicMetres() / e.Flow.CubicMetresPerSecond() }
func (e Event) end() float64   { return e.at() + e.lasts() }

// Use is what water is drawn for.
type Use string

// The kinds of use that published patterns tell apart.
const (
	Small             Use = "small" // a short draw at any basin or sink
	HouseholdCleaning Use = "household_cleaning"
	FloorCleaning     Use = "floor_cleaning"
	Dishwashing       Use = "dishwashing"
	Shower            Use = "shower"
	Bath              Use = "bath"
)

// Uses lists the kinds of use.
func Uses() []Use { return []Use{Small, HouseholdCleaning, FloorCleaning, Dishwashing, Shower, Bath} }

func (u Use) known() bool { return u == "" || slices.Contains(Uses(), u) }

// Total gives the volume of all draws together.
func Total(events []Event) quantity.Volume {
	total := 0.0
	for _, e := range events {
		total += e.Volume.CubicMetres()
	}
	return quantity.CubicMetres(total)
}

// Days are the draws of a day of each type.
type Days = calendar.ByDayType[[]Event]

// inTime sorts events by time, those of one time by fixture. What is left is
// sorted by content, so that the order of a request changes nothing.
func inTime(events []Event) {
	slices.SortFunc(events, func(a, b Event) int {
		return cmp.Or(
			cmp.Compare(a.at(), b.at()), cmp.Compare(a.Fixture, b.Fixture),
			cmp.Compare(b.Volume.CubicMetres(), a.Volume.CubicMetres()),
			cmp.Compare(a.Flow.CubicMetresPerSecond(), b.Flow.CubicMetresPerSecond()),
			cmp.Compare(a.Use, b.Use),
		)
	})
}
