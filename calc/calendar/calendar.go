// Package calendar has the days that stand for a year: a weekday and a weekend
// day of every month, each with the number of days that it stands for.
package calendar

import "fmt"

// The year has no leap day and begins on no particular day of the week.
const (
	Months       = 12
	DaysOfYear   = 365
	SecondsOfDay = 86400
)

// DayType is a kind of day on which people draw water alike.
type DayType string

// The day types.
const (
	Weekday DayType = "weekday"
	Weekend DayType = "weekend"
)

// DayTypes lists the day types.
func DayTypes() []DayType { return []DayType{Weekday, Weekend} }

// share is the part of the days of a week, 0 for what is no day type.
func (t DayType) share() float64 {
	switch t {
	case Weekday:
		return 5.0 / 7
	case Weekend:
		return 2.0 / 7
	}
	return 0
}

// ByDayType is what holds on days of each type.
type ByDayType[T any] struct{ Weekday, Weekend T }

// On gives what holds on a day type, the zero of T for what is none.
func (d ByDayType[T]) On(t DayType) (on T) {
	switch t {
	case Weekday:
		return d.Weekday
	case Weekend:
		return d.Weekend
	}
	return on
}

// Week gives the day types of a week that begins on a Monday.
func Week() []DayType {
	return []DayType{Weekday, Weekday, Weekday, Weekday, Weekday, Weekend, Weekend}
}

// Month is a month of the year; 0 is January, 11 December.
type Month int

func lengths() [Months]int { return [Months]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31} }

// Length gives the days of a month, 0 for what is no month.
func (m Month) Length() int {
	if m < 0 || m >= Months {
		return 0
	}
	return lengths()[m]
}

// MonthOf gives the month of a day of the year, of which the first is 1.
//
// Errors: a day that no year has.
func MonthOf(day int) (Month, error) {
	if day < 1 || day > DaysOfYear {
		return 0, fmt.Errorf("calendar: day %d is not of a year of %d days", day, DaysOfYear)
	}
	for m, length := range lengths() {
		if day <= length {
			return Month(m), nil
		}
		day -= length
	}
	return Months - 1, nil // not reached: the lengths add up to the year
}

// Day stands for all days of one type in one month.
type Day struct {
	Month  Month
	Type   DayType
	Weight float64 // days of the year it stands for
}

// Days lists the representative days by month, the weekday first
//
//	weight = length of the month * 5/7 for a weekday, * 2/7 for a weekend day
//
// The weights add up to 365. Holidays are not known here.
func Days() []Day {
	days := make([]Day, 0, Months*len(DayTypes()))
	for m := range Month(Months) {
		for _, t := range DayTypes() {
			days = append(days, Day{Month: m, Type: t, Weight: float64(m.Length()) * t.share()})
		}
	}
	return days
}
