package draw_test

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/calendar"
	"recirc/calc/draw"
	"recirc/calc/quantity"
	"recirc/calc/water"
)

func TestVolumeByEnthalpyTables(t *testing.T) {
	const kWh = 3.6e6
	for _, r := range reference("energy.csv") {
		want := kWh / (1000 * (r.Number("enthalpy_hot_kJ_kg") - r.Number("enthalpy_cold_kJ_kg"))) / r.Number("density_hot_kg_m3")
		got, err := draw.VolumeOf(quantity.Joules(kWh), quantity.Celsius(r.Number("hot_degC")), quantity.Celsius(r.Number("cold_degC")))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "1 kWh from "+r.Text("cold_degC"), got.CubicMetres(), want, 5e-4) // tables round to 1e-4, cp is of 0.1 %
	}
}

// Litres in print are kilograms, and rounded apart from the energies.
func TestLitresADay(t *testing.T) {
	hot, cold := quantity.Celsius(60), quantity.Celsius(10)
	w, err := water.At(hot)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range reference("litres_a_day.csv") {
		events, err := patternOf(t, r.Text("pattern")).Events(draw.Conditions{Hot: hot, Cold: cold})
		if err != nil {
			t.Fatal(err)
		}
		near(t, r.Text("pattern"), draw.Total(events).CubicMetres()*w.Density, r.Number("litres"), 0.012)
	}
}

// The integral is compared with one of a thousand steps.
func TestVolumeAgainstManySteps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		Tc := rapid.Float64Range(water.Coldest, 300).Draw(t, "cold")
		Th := rapid.Float64Range(Tc+1, water.Hottest).Draw(t, "hot")
		const steps = 1000
		h := 0.0
		for i := range steps {
			w, err := water.At(quantity.Kelvin(Tc + (Th-Tc)*(float64(i)+0.5)/steps))
			if err != nil {
				t.Fatal(err)
			}
			h += w.SpecificHeat * (Th - Tc) / steps
		}
		w, err := water.At(quantity.Kelvin(Th))
		if err != nil {
			t.Fatal(err)
		}
		got, err := draw.VolumeOf(quantity.Joules(1e6), quantity.Kelvin(Th), quantity.Kelvin(Tc))
		if err != nil {
			t.Fatal(err)
		}
		near(t, fmt.Sprintf("%v to %v", Tc, Th), got.CubicMetres(), 1e6/(h*w.Density), 1e-5)
	})
}

func TestHotterWaterNeedsLess(t *testing.T) {
	p := patternOf(t, "eu_m")
	last := math.Inf(1)
	for Th := 30.0; Th <= 80; Th += 5 {
		events, err := p.Events(draw.Conditions{Hot: quantity.Celsius(Th), Cold: quantity.Celsius(10)})
		if err != nil {
			t.Fatal(err)
		}
		v := draw.Total(events).CubicMetres()
		if v >= last {
			t.Errorf("at %v degC %v m3, hotter needs less than %v", Th, v, last)
		}
		last = v
	}
}

func TestShiftMovesRoundTheClock(t *testing.T) {
	for _, p := range draw.Patterns() {
		c := draw.Conditions{Hot: quantity.Celsius(60), Cold: quantity.Celsius(10)}
		plain, err := p.Events(c)
		if err != nil {
			t.Fatal(err)
		}
		c.Shift = hours(6.5)
		moved, err := p.Events(c)
		if err != nil {
			t.Fatal(err)
		}
		var want, got []float64
		for i := range plain {
			want = append(want, math.Mod(plain[i].At.Seconds()+6.5*3600, calendar.SecondsOfDay))
			got = append(got, moved[i].At.Seconds())
		}
		if slices.Sort(want); !slices.Equal(got, want) {
			t.Errorf("%s: %v, want %v", p.ID, got, want)
		}
		near(t, p.ID+" total", draw.Total(moved).CubicMetres(), draw.Total(plain).CubicMetres(), 1e-12)
	}
}

func TestEventsRefuse(t *testing.T) {
	p := patternOf(t, "eu_s")
	good := draw.Conditions{Hot: quantity.Celsius(60), Cold: quantity.Celsius(10)}
	for name, change := range map[string]func(*draw.Conditions){
		"hot missing":     func(c *draw.Conditions) { c.Hot = quantity.Temperature{} },
		"cold missing":    func(c *draw.Conditions) { c.Cold = quantity.Temperature{} },
		"hot below cold":  func(c *draw.Conditions) { c.Hot = quantity.Celsius(9) },
		"boiling":         func(c *draw.Conditions) { c.Hot = quantity.Celsius(120) },
		"shift below 0":   func(c *draw.Conditions) { c.Shift = quantity.Seconds(-1) },
		"shift of days":   func(c *draw.Conditions) { c.Shift = hours(25) },
		"shift no number": func(c *draw.Conditions) { c.Shift = quantity.Seconds(math.NaN()) },
	} {
		c := good
		change(&c)
		var typed *draw.RangeError
		if _, err := p.Events(c); !errors.As(err, &typed) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// 0.105 kWh above 10 degC as water of 60 degC.
func ExampleVolumeOf() {
	v, err := draw.VolumeOf(quantity.Joules(0.105*3.6e6), quantity.Celsius(60), quantity.Celsius(10))
	fmt.Printf("%.2f L %v\n", v.CubicMetres()*1000, err)
	// Output: 1.84 L <nil>
}
