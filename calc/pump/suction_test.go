package pump

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/quantity"
)

func suction(pascals, above, loss, celsius float64) Suction {
	return Suction{Pressure: quantity.Pascals(pascals), Above: metres(above), Loss: metres(loss), Temperature: quantity.Celsius(celsius)}
}

// TestNPSHOfAnOpenTank: at 60 degC water has 19.946 kPa and 983.2 kg/m3 (R7-97 at
// saturation, computed rows of package water), so that an open tank at sea level,
// 2 m over the pump, with 0.5 m lost, leaves (101.325 - 19.946)/(0.9832 g) + 1.5 =
// 9.940 m; at 99.6 degC next to nothing but the height, 1.5 m.
func TestNPSHOfAnOpenTank(t *testing.T) {
	for celsius, want := range map[float64]float64{60: 9.940, 99.60591861: 1.5 + 1325/(958.4*9.80665)} {
		got, err := NPSHAvailable(suction(101325, 2, 0.5, celsius))
		if err != nil || math.Abs(got.Metres()-want) > 2e-3 {
			t.Errorf("%v degC: %v, %v, want %v", celsius, got, err, want)
		}
	}
}

// TestNPSH: a metre of height is a metre, a metre lost is one less, and warmer water
// always leaves less.
func TestNPSH(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, z := rapid.Float64Range(1e5, 6e5).Draw(t, "p"), rapid.Float64Range(-5, 30).Draw(t, "z")
		loss, celsius := rapid.Float64Range(0, 5).Draw(t, "loss"), rapid.Float64Range(20, 109).Draw(t, "celsius")
		get := func(s Suction) float64 {
			h, err := NPSHAvailable(s)
			if err != nil {
				t.Fatal(err)
			}
			return h.Metres()
		}
		h := get(suction(p, z, loss, celsius))
		if d := get(suction(p, z+1, loss+1, celsius)); math.Abs(d-h) > 1e-9 {
			t.Fatalf("%v became %v", h, d)
		}
		boiling := get(suction(p, z, loss, celsius+1))
		if boiling >= h && celsius > 60 {
			t.Fatalf("%v at %v degC, %v one warmer", h, celsius, boiling)
		}
	})
}

func TestNPSHMargin(t *testing.T) {
	required := mustCurve(t, points([]float64{1e-4, 3e-4, 6e-4}, []float64{1, 1.5, 3}, nil), Monotone)
	for q, want := range map[float64]float64{1e-4: 1, 3e-4: 0.5, 6e-4: -1} {
		got, err := NPSHMargin(metres(2), Pumps{Curve: required}, flow(q))
		if err != nil || math.Abs(got.Metres()-want) > 1e-12 {
			t.Errorf("%v: %v, %v, want %v", q, got, err, want)
		}
	}
	if got, err := NPSHMargin(metres(2), Pumps{Curve: required, Parallel: 2}, flow(12e-4)); err != nil || math.Abs(got.Metres()+1) > 1e-12 {
		t.Errorf("two in parallel: %v, %v, want -1", got, err)
	}
	if _, err := NPSHMargin(metres(2), Pumps{Curve: required, Series: 2}, flow(3e-4)); !isRange(err) {
		t.Errorf("in series: %v", err)
	}
	if _, err := NPSHMargin(metres(2), Pumps{Curve: required}, flow(7e-4)); reasonOf(err) != BeyondCurveEnd {
		t.Errorf("beyond: %v", err)
	}
	for _, bad := range []Suction{
		suction(-1, 0, 0, 60), suction(math.NaN(), 0, 0, 60), suction(1e5, math.Inf(1), 0, 60), suction(1e5, 0, -1, 60), suction(1e5, 0, 0, 111), suction(1e5, 0, 0, math.NaN()),
	} {
		if _, err := NPSHAvailable(bad); !isRange(err) {
			t.Errorf("%+v: %v, want a RangeError", bad, err)
		}
	}
}
