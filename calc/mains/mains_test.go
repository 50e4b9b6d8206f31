package mains_test

import (
	"errors"
	"fmt"
	"math"
	"os"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/calendar"
	"recirc/calc/internal/table"
	"recirc/calc/mains"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

func fahrenheit(f float64) quantity.Temperature {
	return quantity.Kelvin(quantity.TemperatureDimension.US.ToSI(f))
}

func inFahrenheit(t quantity.Temperature) float64 {
	return quantity.TemperatureDimension.US.FromSI(t.Kelvin())
}

func swing(f float64) quantity.TemperatureDifference {
	return quantity.KelvinDifference(quantity.TemperatureDifferenceDimension.US.ToSI(f))
}

// The print has 0.986 degrees a day, we have 360/365: 0.11 degrees in a year, on
// an amplitude below 20 degF some 0.04 degF at most.
func TestCorrelationAsPrinted(t *testing.T) {
	for _, r := range table.MustReadCited(os.DirFS("testdata"), "correlation.csv") {
		c := mains.Climate{Mean: fahrenheit(r.Number("mean_air_degF")), Swing: swing(r.Number("swing_degF"))}
		got, err := c.On(int(r.Number("day")))
		if err != nil {
			t.Fatal(err)
		}
		want := max(32, r.Number("mains_degF"))
		if math.Abs(inFahrenheit(got)-want) > 0.04 {
			t.Errorf("%+v on day %v: %.3f degF, want %.3f", c, r.Number("day"), inFahrenheit(got), want)
		}
	}
}

func climates(t *rapid.T) mains.Climate {
	return mains.Climate{
		Mean:     quantity.Celsius(rapid.Float64Range(5, 35).Draw(t, "mean")),
		Swing:    quantity.KelvinDifference(rapid.Float64Range(0, 40).Draw(t, "swing")),
		Southern: rapid.Bool().Draw(t, "southern"),
	}
}

// The mean over the year is that of the air and 6 degF, whatever swing and lag.
func TestMeanOverTheYear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := climates(t)
		sum := 0.0
		for day := 1; day <= calendar.DaysOfYear; day++ {
			T, err := c.On(day)
			if err != nil {
				t.Fatal(err)
			}
			sum += T.Kelvin()
		}
		months, err := c.Months()
		if err != nil {
			t.Fatal(err)
		}
		byMonth := 0.0
		for m, T := range months {
			byMonth += T.Kelvin() * float64(calendar.Month(m).Length())
		}
		if math.Abs(sum-byMonth) > 1e-6 {
			t.Fatalf("by day %v, by month %v", sum, byMonth)
		}
		if slices.Contains(c.Notes(), mains.NoteFreezing) {
			return
		}
		if got, want := sum/calendar.DaysOfYear, c.Mean.Kelvin()+6/1.8; math.Abs(got-want) > 1e-8 {
			t.Fatalf("%+v: mean %v K, want %v", c, got, want)
		}
	})
}

// South of the equator the same day comes half a year later.
func TestSouthIsHalfAYearLater(t *testing.T) {
	north := mains.Climate{Mean: fahrenheit(60), Swing: swing(30)}
	south := north
	south.Southern = true
	january, july := 15, 15+182
	n, err := north.On(january)
	if err != nil {
		t.Fatal(err)
	}
	s, err := south.On(july)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(n.Kelvin()-s.Kelvin()) > 0.05 { // half a day of 365 between them
		t.Errorf("north in January %v, south in July %v", n, s)
	}
	if s2, _ := south.On(january); s2.Kelvin() < s.Kelvin()+1 {
		t.Errorf("south: January %v is no warmer than July %v", s2, s)
	}
}

func TestColdClimatesKeepWaterLiquid(t *testing.T) {
	c := mains.Climate{Mean: quantity.Celsius(-10), Swing: quantity.KelvinDifference(70)}
	if got := c.Notes(); !slices.Equal(got, []mains.Note{mains.NoteOutsideFit, mains.NoteFreezing}) {
		t.Errorf("notes %v", got)
	}
	for day := 1; day <= 365; day++ {
		if T, err := c.On(day); err != nil || T.Celsius() < 0 {
			t.Fatalf("day %d: %v, %v", day, T, err)
		}
	}
	if got := (mains.Climate{Mean: fahrenheit(55), Swing: swing(40)}).Notes(); got != nil {
		t.Errorf("an ordinary climate has notes %v", got)
	}
}

func TestClimateOfMonths(t *testing.T) {
	var air [calendar.Months]quantity.Temperature
	for m := range air {
		air[m] = quantity.Celsius(10)
	}
	air[1], air[6] = quantity.Celsius(-18), quantity.Celsius(41) // 28 days 28 K below, 31 days 31 K above
	c, err := mains.ClimateOf(air, false)
	if err != nil {
		t.Fatal(err)
	}
	want := 10 + (31*31-28*28)/365.0
	if math.Abs(c.Mean.Celsius()-want) > 1e-9 || math.Abs(c.Swing.Kelvin()-59) > 1e-9 {
		t.Errorf("%v degC, %v; want %v and 59", c.Mean.Celsius(), c.Swing, want)
	}
}

func TestRefusals(t *testing.T) {
	good := mains.Climate{Mean: quantity.Celsius(12), Swing: quantity.KelvinDifference(20)}
	for _, c := range []struct {
		climate mains.Climate
		day     int
	}{
		{good, 0}, {good, 366},
		{mains.Climate{Mean: quantity.Celsius(12), Swing: quantity.KelvinDifference(-1)}, 1},
		{mains.Climate{Mean: quantity.Celsius(12), Swing: quantity.KelvinDifference(71)}, 1},
		{mains.Climate{Mean: quantity.Celsius(-11)}, 1},
		{mains.Climate{Mean: quantity.Celsius(36)}, 1},
		{mains.Climate{Mean: quantity.Kelvin(math.NaN())}, 1},
		{mains.Climate{Mean: quantity.Celsius(12), Swing: quantity.KelvinDifference(math.Inf(1))}, 1},
	} {
		_, err := c.climate.On(c.day)
		var typed *mains.RangeError
		if !errors.As(err, &typed) {
			t.Errorf("%+v on day %d: %v", c.climate, c.day, err)
		}
		if c.climate == good {
			continue
		}
		if _, err := c.climate.Months(); !errors.As(err, &typed) {
			t.Errorf("months of %+v: %v", c.climate, err)
		}
	}
	var air [calendar.Months]quantity.Temperature // all at 0 K
	var typed *mains.RangeError
	if _, err := mains.ClimateOf(air, false); !errors.As(err, &typed) {
		t.Errorf("air at 0 K: %v", err)
	}
}

func TestOfMonthIsThatOfItsMonth(t *testing.T) {
	var months [calendar.Months]quantity.Temperature
	for m := range months {
		months[m] = quantity.Celsius(float64(m))
	}
	for day, want := range map[int]float64{1: 0, 31: 0, 32: 1, 365: 11} {
		if T, err := mains.OfMonth(months, day); err != nil || math.Abs(T.Celsius()-want) > 1e-9 {
			t.Errorf("day %d: %v, %v", day, T.Celsius(), err)
		}
	}
	if _, err := mains.OfMonth(months, 0); err == nil {
		t.Error("day 0 has a temperature")
	}
}

func TestSourceIsRegistered(t *testing.T) {
	if _, ok := source.Find(mains.Source); !ok {
		t.Errorf("%s is not registered", mains.Source)
	}
}

// At a mean of 44 degF ratio and lag are the printed 0.4 and 35 days: the coldest
// day is the 50th, with 44 + 6 - 0.4*50/2 = 40 degF.
func ExampleClimate_On() {
	coldest, err := mains.Climate{Mean: fahrenheit(44), Swing: swing(50)}.On(50)
	fmt.Printf("%.1f degF %v\n", inFahrenheit(coldest), err)
	// Output: 40.0 degF <nil>
}
