// Package mains gives the temperature of cold water from the mains over the
// year: by a correlation with the air, or by months as they are given.
package mains

import (
	"math"

	"recirc/calc/calendar"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

// Source is where the correlation is published.
const Source source.ID = "burch_christensen_2007"

// RangeError is an argument outside the range of a formula.
type RangeError = quantity.RangeError

// Climate is what the correlation needs of a place.
type Climate struct {
	Mean     quantity.Temperature           // of the air over the year
	Swing    quantity.TemperatureDifference // between the warmest and the coldest of the monthly means of the air
	Southern bool                           // south of the equator, where July is winter
}

// ClimateOf takes a climate from the monthly means of the air. Months count by
// their days.
//
// Errors: a [*RangeError], as [Climate.On].
func ClimateOf(air [calendar.Months]quantity.Temperature, southern bool) (Climate, error) {
	sum, coldest, warmest := 0.0, math.Inf(1), math.Inf(-1)
	for m := range air {
		T := air[m].Kelvin()
		sum += T * float64(calendar.Month(m).Length())
		coldest, warmest = min(coldest, T), max(warmest, T)
	}
	c := Climate{
		Mean: quantity.Kelvin(sum / calendar.DaysOfYear), Swing: quantity.KelvinDifference(warmest - coldest), Southern: southern,
	}
	return c, c.check("mains.ClimateOf")
}

// The range of a climate, in K: wider than the cities of the fit, see
// [Climate.Notes].
const (
	coldestMean   = 263.15 // -10 degC
	warmestMean   = 308.15 // 35 degC
	greatestSwing = 70.0
	freezing      = 273.15
)

func (c Climate) check(operation string) error {
	if err := quantity.Between(operation, "Tair", c.Mean.Kelvin(), coldestMean, warmestMean, "K"); err != nil {
		return err
	}
	return quantity.Between(operation, "dTair", c.Swing.Kelvin(), 0, greatestSwing, "K")
}

// The constants of the correlation, in print in degF and days.
const (
	degreeF    = 5.0 / 9 // K
	offset     = 6.0     // degF above the air
	ratioAt44  = 0.4
	ratioSlope = 0.01 // 1/degF
	lagAt44    = 35.0 // days
	lagSlope   = -1.0 // days/degF
	firstLag   = 15.0 // days
)

// wave gives mean and amplitude in K, and the coldest day.
func (c Climate) wave() (mean, amplitude, coldest float64) {
	above44 := c.fahrenheit() - 44
	ratio := max(0, ratioAt44+ratioSlope*above44)
	coldest = firstLag + lagAt44 + lagSlope*above44
	if c.Southern {
		coldest += calendar.DaysOfYear / 2.0
	}
	return c.Mean.Kelvin() + offset*degreeF, ratio * c.Swing.Kelvin() / 2, coldest
}

func (c Climate) fahrenheit() float64 {
	return quantity.TemperatureDimension.US.FromSI(c.Mean.Kelvin())
}

// On gives the temperature of mains water on a day of the year
//
//	T     = (Tair + 6) + ratio dTair/2 sin[360/365 (n - 15 - lag) - 90]   degrees, degF
//	ratio = 0.4 + 0.01 (Tair - 44)
//	lag   = 35 - 1.0 (Tair - 44)                                          days
//
//	n      day of the year, 1 is 1 January
//	Tair   mean of the air over the year                      degF, K here    -10 to 35 degC
//	dTair  between the warmest and the coldest monthly mean   degF, K here    0 to 70 K
//
// The print has 0.986 for 360/365; with the quotient the year closes, and its
// mean is Tair + 6 degF. South of the equator the year is moved by half, which
// the print does not say. A ratio below zero is taken as zero, and water below
// 0 degC as at 0 degC: mains are laid where they do not freeze.
//
// Fitted to cities of the United States. Water from a well or a lake follows no
// such rule.
//
// Errors: a [*RangeError].
//
// Source: Burch and Christensen, Towards development of an algorithm for mains
// water temperature, 2007; numbers from memory.
func (c Climate) On(day int) (quantity.Temperature, error) {
	const operation = "mains.On"
	if err := c.check(operation); err != nil {
		return quantity.Temperature{}, err
	}
	if err := quantity.Between(operation, "n", float64(day), 1, calendar.DaysOfYear, "d"); err != nil {
		return quantity.Temperature{}, err
	}
	return quantity.Kelvin(c.on(day)), nil
}

func (c Climate) on(day int) float64 {
	mean, amplitude, coldest := c.wave()
	return max(freezing, mean-amplitude*math.Cos(2*math.Pi*(float64(day)-coldest)/calendar.DaysOfYear))
}

// Months gives the mean of [Climate.On] over the days of each month.
//
// Errors: a [*RangeError], as [Climate.On].
func (c Climate) Months() ([calendar.Months]quantity.Temperature, error) {
	var months [calendar.Months]quantity.Temperature
	if err := c.check("mains.Months"); err != nil {
		return months, err
	}
	day := 1
	for m := range months {
		sum, length := 0.0, calendar.Month(m).Length()
		for range length {
			sum += c.on(day)
			day++
		}
		months[m] = quantity.Kelvin(sum / float64(length))
	}
	return months, nil
}

// Note says what is special about a climate.
type Note string

// The notes.
const (
	NoteOutsideFit Note = "climate_outside_fit" // no city of the fit is like it
	NoteFreezing   Note = "mains_at_freezing"   // the correlation went below 0 degC and was held there
)

// The mean air of the cities of the fit, in degF; from memory.
const coldestCity, warmestCity = 40.0, 78.0

// Notes tells what is special about a climate, nil if nothing is.
func (c Climate) Notes() []Note {
	var notes []Note
	if F := c.fahrenheit(); F < coldestCity || F > warmestCity {
		notes = append(notes, NoteOutsideFit)
	}
	if mean, amplitude, _ := c.wave(); mean-amplitude < freezing {
		notes = append(notes, NoteFreezing)
	}
	return notes
}

// OfMonth gives the temperature on a day of the year from one value a month: the
// value of its month. A line from month to month would be smoother and would
// change the mean of every month.
//
// Errors: a day that no year has.
func OfMonth(months [calendar.Months]quantity.Temperature, day int) (quantity.Temperature, error) {
	m, err := calendar.MonthOf(day)
	if err != nil {
		return quantity.Temperature{}, err
	}
	return months[m], nil
}
