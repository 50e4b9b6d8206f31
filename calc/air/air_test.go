package air

import (
	_ "embed"
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/internal/table"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

//go:embed testdata/film.csv
var film string

// The check points of Lemmon and Jacobsen (2004) for air without density, from
// memory: 7.09559 and 18.5230 uPa.s, 9.35902 and 26.3529 mW/(m.K).
func Example_transport() {
	for _, T := range []float64{100, 300} {
		mu, lambda := transport(T, 0, powersOf(T))
		fmt.Printf("%.0f K: %.6g uPa.s, %.6g mW/(m.K)\n", T, mu*1e6, lambda*1e3)
	}
	// Output:
	// 100 K: 7.09559 uPa.s, 9.35902 mW/(m.K)
	// 300 K: 18.523 uPa.s, 26.3529 mW/(m.K)
}

// TestAgainstComputedAir compares with a library that uses the same formulas in
// full, so it shows both the typing and what the terms left out are worth.
func TestAgainstComputedAir(t *testing.T) {
	rows := table.MustRead(film)
	if len(rows) < 40 {
		t.Fatalf("only %d rows", len(rows))
	}
	for _, r := range rows {
		p, err := At(quantity.Celsius(r.Number("film_temperature_degC")))
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range []struct {
			column string
			got    float64
		}{
			{"air_k_W_mK", p.Conductivity},
			{"air_nu_m2_s", p.KinematicViscosity()},
			{"air_alpha_m2_s", p.Diffusivity()},
			{"air_prandtl", p.Prandtl()},
			{"air_beta_1_K", p.Expansion},
		} {
			if want := r.Number(c.column); math.Abs(c.got-want) > 2e-5*want {
				t.Errorf("%s: %s is %.8g, want %.8g", r.Text("case_id"), c.column, c.got, want)
			}
		}
	}
}

// TestDensityOfTheStandardAtmosphere: 1.225 kg/m3 at 15 degC and sea level, by
// the standard atmosphere (ISO 2533), from memory. Its ideal gas is 0.04 % lighter.
func TestDensityOfTheStandardAtmosphere(t *testing.T) {
	p, err := At(quantity.Celsius(15))
	if err != nil || math.Abs(p.Density-1.225) > 0.0008 {
		t.Errorf("%v, %v", p.Density, err)
	}
}

func TestMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		colder := rapid.Float64Range(Coldest, Hottest-0.01).Draw(t, "colder")
		warmer := rapid.Float64Range(colder+0.005, Hottest).Draw(t, "warmer")
		a, errA := At(quantity.Kelvin(colder))
		b, errB := At(quantity.Kelvin(warmer))
		if errA != nil || errB != nil {
			t.Fatal(errA, errB)
		}
		if a.Density <= b.Density || a.Viscosity >= b.Viscosity || a.Conductivity >= b.Conductivity ||
			a.Diffusivity() >= b.Diffusivity() || a.Expansion <= b.Expansion || a.Prandtl() <= b.Prandtl() {
			t.Fatalf("from %v to %v K: %+v, %+v", colder, warmer, a, b)
		}
	})
}

// TestSpecificHeatHasItsMinimum: that of air is lowest near 260 K, at 1005 to
// 1006 J/(kg.K), and 1014 at 400 K. Common handbook values, from memory.
func TestSpecificHeatHasItsMinimum(t *testing.T) {
	for T, want := range map[float64]float64{260: 1006, 300: 1006.5, 350: 1009, 400: 1014} {
		p, err := At(quantity.Kelvin(T))
		if err != nil || math.Abs(p.SpecificHeat-want) > 1 {
			t.Errorf("%g K: %v, %v, want about %v", T, p.SpecificHeat, err, want)
		}
	}
}

func TestRange(t *testing.T) {
	for _, T := range []float64{200, 293.15, 400} {
		if p, err := At(quantity.Kelvin(T)); err != nil || !(p.Density > 0.5) {
			t.Errorf("%v K: %+v, %v", T, p, err)
		}
	}
	for _, T := range []float64{199.99, 400.01, 0, 1e-320, -1e308, 1e308, math.NaN(), math.Inf(1), math.Inf(-1)} {
		p, err := At(quantity.Kelvin(T))
		var outside *RangeError
		if !errors.As(err, &outside) || outside.Low != Coldest || outside.High != Hottest || p != (Properties{}) {
			t.Errorf("%v K: %+v, %v, want a RangeError", T, p, err)
		}
	}
}

func TestSourcesAreRegistered(t *testing.T) {
	for _, id := range []source.ID{StateSource, TransportSource} {
		if _, ok := source.Find(id); !ok {
			t.Errorf("%s is not in the registry", id)
		}
	}
}

func BenchmarkAt(b *testing.B) {
	b.ReportAllocs()
	t := quantity.Celsius(37)
	for b.Loop() {
		if _, err := At(t); err != nil {
			b.Fatal(err)
		}
	}
}
