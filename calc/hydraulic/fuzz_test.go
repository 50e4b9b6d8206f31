package hydraulic

import (
	"errors"
	"math"
	"reflect"
	"testing"

	"recirc/calc/quantity"
)

// finite looks into every number of an answer.
func finite(t *testing.T, what string, v reflect.Value) {
	t.Helper()
	switch v.Kind() {
	case reflect.Float64:
		if x := v.Float(); math.IsNaN(x) || math.IsInf(x, 0) {
			t.Errorf("%s is %v", what, x)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			finite(t, what+"."+v.Type().Field(i).Name, v.Field(i))
		}
	}
}

// FuzzLoss: whatever the numbers, an answer is finite, or a RangeError; and where
// there is an answer, the curve agrees with it.
func FuzzLoss(f *testing.F) {
	f.Add(1e-4, 10.0, 0.02, 1.5e-6, 3.0, 2.0, 0.0, 1e-6, 985.0, 5e-4)
	f.Add(-1e-4, 10.0, 0.02, 0.0, 0.0, 0.0, 150.0, 0.0, 985.0, 5e-4)
	f.Add(100.0, 1e6, 20.0, 1.0, 1e9, 1e6, 1.0, 1e-12, 1e4, 1.0)
	f.Add(1e-300, 1e-300, 1e-5, 0.0, 0.0, 0.0, 0.0, 0.0, 1.0, 1.0)
	f.Add(1e-5, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 1e-6, 985.0, 5e-4)
	for _, x := range []float64{0, 1e-320, 1e-9, 1, 1e9, 1e308, -1, math.NaN(), math.Inf(1), math.Inf(-1)} {
		f.Add(x, x, x, x, x, x, x, x, x, x)
		f.Add(x, 10.0, 0.02, 0.0, 0.0, 0.0, 0.0, 0.0, 985.0, 5e-4)
		f.Add(1e-4, x, 0.02, x, x, 0.0, 0.0, 0.0, 985.0, 5e-4)
		f.Add(1e-4, 10.0, x, 0.0, 0.0, x, 150.0, 0.0, 985.0, 5e-4)
		f.Add(1e-4, 10.0, 0.02, 0.0, 0.0, 0.0, x, x, 985.0, 5e-4)
		f.Add(1e-4, 10.0, 0.02, 0.0, 0.0, 0.0, 0.0, 0.0, x, x)
	}
	f.Fuzz(func(t *testing.T, q, L, D, e, K, Le, C, Kv, rho, mu float64) {
		m := quantity.Metres
		p := Pipe{Length: m(L), Bore: m(D), Roughness: m(e), SumK: K, EquivalentLength: m(Le), HazenWilliamsC: C, Kv: quantity.FlowCoefficientSI(Kv)}
		fluid := Fluid{Density: rho, Viscosity: mu}
		curve := p.Curve(fluid) // must not crash, whatever it is
		drop, slope := curve.At(q)
		l, err := p.Loss(quantity.CubicMetresPerSecond(q), fluid)
		if err != nil {
			var out *RangeError
			if !errors.As(err, &out) {
				t.Error(err)
			}
			return
		}
		finite(t, "Loss", reflect.ValueOf(l))
		finite(t, "At", reflect.ValueOf(struct{ drop, slope float64 }{drop, slope}))
		if slope < 0 || math.Abs(drop-l.Total.Pascals()) > 1e-12*math.Abs(drop) || drop*q < 0 {
			t.Errorf("drop %g, slope %g; %+v", drop, slope, l)
		}
	})
}

// FuzzFactors does the same with the factors.
func FuzzFactors(f *testing.F) {
	for _, x := range []float64{0, 1e-320, 500, 2000, 4000, 1e8, 1e308, -1, math.NaN(), math.Inf(1)} {
		for _, roughness := range []float64{0, 1e-320, 0.05, 0.2, -1, math.NaN()} {
			f.Add(x, roughness)
		}
	}
	f.Fuzz(func(t *testing.T, re, roughness float64) {
		for name, of := range map[string]func(re, roughness float64) (float64, error){"FrictionFactor": FrictionFactor, "Colebrook": Colebrook} {
			got, err := of(re, roughness)
			var out *RangeError
			if err == nil && !(got > 0 && !math.IsInf(got, 0)) || err != nil && !errors.As(err, &out) {
				t.Errorf("%s: %g, %v", name, got, err)
			}
		}
	})
}
