package water

import (
	_ "embed"
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/internal/table"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

//go:embed testdata/vapour_pressure.csv
var vapourPressure string

// TestVapourPressureCheckValues meets every digit of the rows.
func TestVapourPressureCheckValues(t *testing.T) {
	rows := table.MustRead(vapourPressure)
	if len(rows) < 20 {
		t.Fatalf("only %d rows", len(rows))
	}
	for _, r := range rows {
		at, ok := r.Optional("T_K")
		if !ok {
			at = quantity.Celsius(r.Number("T_degC")).Kelvin()
		}
		p, err := VapourPressure(quantity.Kelvin(at))
		want, half := r.Number("p_Pa"), 5*math.Pow(10, -r.Number("digits"))
		if err != nil || math.Abs(p.Pascals()-want) > half*want {
			t.Errorf("%s: %.10g Pa, %v, want %.10g", r.Text("id"), p.Pascals(), err, want)
		}
	}
}

func TestVapourPressureRises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		colder := rapid.Float64Range(Coldest, critical-0.01).Draw(t, "colder")
		warmer := rapid.Float64Range(colder+0.005, critical).Draw(t, "warmer")
		a, errA := VapourPressure(quantity.Kelvin(colder))
		b, errB := VapourPressure(quantity.Kelvin(warmer))
		if errA != nil || errB != nil || !(a.Pascals() < b.Pascals()) {
			t.Fatalf("%v K: %v, %v; %v K: %v, %v", colder, a, errA, warmer, b, errB)
		}
	})
}

func TestVapourPressureRange(t *testing.T) {
	for _, kelvin := range []float64{0, 273.1, 647.2, 650.17534844798, 1e308, math.NaN(), math.Inf(1), math.Inf(-1)} {
		p, err := VapourPressure(quantity.Kelvin(kelvin))
		var outside *RangeError
		if !errors.As(err, &outside) || p != (quantity.Pressure{}) {
			t.Errorf("%v K: %v, %v, want a RangeError", kelvin, p, err)
		}
	}
	if _, ok := source.Find(VapourSource); !ok {
		t.Errorf("%s is not in the registry", VapourSource)
	}
}
