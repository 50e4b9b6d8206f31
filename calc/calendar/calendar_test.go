package calendar_test

import (
	"fmt"
	"math"
	"testing"

	"recirc/calc/calendar"
)

func TestWeightsAddUpToAYear(t *testing.T) {
	year, byMonth, byType := 0.0, map[calendar.Month]float64{}, map[calendar.DayType]float64{}
	for _, d := range calendar.Days() {
		if d.Weight <= 0 {
			t.Errorf("%+v stands for nothing", d)
		}
		year += d.Weight
		byMonth[d.Month] += d.Weight
		byType[d.Type] += d.Weight
	}
	if math.Abs(year-365) > 1e-10 {
		t.Errorf("the weights add up to %v", year)
	}
	for m := range calendar.Month(calendar.Months) {
		if math.Abs(byMonth[m]-float64(m.Length())) > 1e-12 {
			t.Errorf("month %d: %v, has %d days", m, byMonth[m], m.Length())
		}
	}
	// 365 days are 52 weeks and a day: 260 or 261 weekdays.
	if w := byType[calendar.Weekday]; w < 260 || w > 261 {
		t.Errorf("%v weekdays", w)
	}
}

func TestMonthOfFirstAndLastDays(t *testing.T) {
	first := map[int]calendar.Month{1: 0, 32: 1, 60: 2, 91: 3, 121: 4, 152: 5, 182: 6, 213: 7, 244: 8, 274: 9, 305: 10, 335: 11}
	for day, want := range first {
		if m, err := calendar.MonthOf(day); err != nil || m != want {
			t.Errorf("day %d: month %d, %v, want %d", day, m, err, want)
		}
		if day == 1 {
			continue
		}
		if m, err := calendar.MonthOf(day - 1); err != nil || m != want-1 {
			t.Errorf("day %d: month %d, %v, want %d", day-1, m, err, want-1)
		}
	}
	if m, err := calendar.MonthOf(365); err != nil || m != 11 {
		t.Errorf("the last day: month %d, %v", m, err)
	}
	for _, day := range []int{0, -1, 366, math.MinInt, math.MaxInt} {
		if _, err := calendar.MonthOf(day); err == nil {
			t.Errorf("day %d has a month", day)
		}
	}
}

func TestWhatIsNoMonthHasNoDays(t *testing.T) {
	for _, m := range []calendar.Month{-1, 12} {
		if m.Length() != 0 {
			t.Errorf("month %d has %d days", m, m.Length())
		}
	}
}

func TestWeekHasItsShares(t *testing.T) {
	count := map[calendar.DayType]int{}
	for _, d := range calendar.Week() {
		count[d]++
	}
	if len(calendar.Week()) != 7 || count[calendar.Weekday] != 5 || count[calendar.Weekend] != 2 {
		t.Errorf("%v", calendar.Week())
	}
}

func ExampleDays() {
	february := calendar.Days()[2]
	fmt.Println(february.Type, february.Weight)
	// Output: weekday 20
}
