package year

import (
	"recirc/calc/calendar"
	"recirc/calc/draw"
	"recirc/calc/quantity"
)

// Plan is what a system is used for.
type Plan struct {
	Months []Month

	MostWait      quantity.Duration    // after which somebody gives up and shuts the tap; above 0
	LukewarmAbove quantity.Temperature // from which a cold draw counts as lukewarm; zero: none does

	// Fineness is how fine profiles are kept: 1, or zero, is the usual; 10 ten times finer.
	Fineness float64

	// Budget is the most work that may be done, in slugs moved; 0, and anything
	// above, is MaxBudget.
	Budget int
}

// Month is the conditions of some days and the days themselves.
type Month struct {
	Mains         quantity.Temperature
	Ambients      []quantity.Temperature
	HeatingSeason bool // its losses count as such
	Days          []Day
}

// Day stands for some days of the year.
type Day struct {
	Type   calendar.DayType
	Weight float64 // days of the year that it stands for; 0 counts nothing
	Draws  []Event
}

// Event is one draw. Fixture is its place in System.Outlets. Of a draw of hot
// water the volume counts from when it is usable; what comes before runs to waste.
type Event struct {
	draw.Event
	Usable    quantity.Temperature // from which it counts; not looked at if Cold or AsItComes
	AsItComes bool                 // drawn whatever its temperature, as by a dishwasher: nobody waits
	Cold      bool                 // of cold water
}

// Observation asks to look on.
type Observation struct {
	Month, Day int   // of the plan, in Simulate
	Pipes      []int // at whose ends the temperature is read, as by a sensor
	Points     int   // readings, evenly spaced over the whole time
}
