package pump

import (
	"errors"
	"math"
	"testing"

	"recirc/calc/quantity"
)

// FuzzCurve: whatever the points, there is a curve or faults; and whatever is asked of
// the curve, the answer is finite or an error that has a name.
func FuzzCurve(f *testing.F) {
	f.Add(0.0, 1.5, 1e-4, 1.4, 3e-4, 1.0, 5e-4, 0.2, 0.0, 3e7, 1.0, 1e-4, 10.0, byte(0))
	f.Add(0.0, 1.0, 1e-4, 1.2, 3e-4, 1.3, 5e-4, 0.2, 1.1, 3e6, 0.7, 1e-4, 0.0, byte(1))
	f.Add(1e-4, 1.0, 2e-4, 0.5, 3e-4, 0.4, 5e-4, 0.0, 0.0, 0.0, 2.0, 5e-4, 20.0, byte(2))
	f.Add(0.0, 0.0, 1e-9, 1e4, 2e-9, 0.0, 100.0, 1e4, 1e4, 1e30, 10.0, 100.0, 1e9, byte(0))
	// Found by fuzzing: a first point next to no flow; a dip that a held head touches;
	// a parabola over a great range of flows.
	f.Add(1e-10, 1.5, 1e-4, 2.0, 3e-4, 1.0, 70.0, 0.2, 0.0, 3e7, 1.0, 1e-4, 10.0, byte(0))
	f.Add(0.0, 1.0, 1e-4, 0.02333333333333333, 3e-4, 1.0, 0.0016666666666666668, 160.0, 83.0, 7.2e6, 0.0, 3e-4, 0.0, byte(133))
	f.Add(6.17283950617284e-12, 18.0, 1e-4, 4.34, 3e-4, 96.0, 91.0005, 6.5, 405.0, 999904.0, 2.0, -62.9999, 99.0, byte(137))
	for _, x := range []float64{0, 1e-320, 1e-9, 1e9, 1e308, -1, math.NaN(), math.Inf(1), math.Inf(-1)} {
		for by := range byte(3) {
			f.Add(0.0, 1.5, 1e-4, 1.4, 3e-4, x, 5e-4, 0.2, x, 3e7, 1.0, 1e-4, 10.0, by)
			f.Add(0.0, x, 1e-4, 1.4, 3e-4, 1.0, x, 0.2, 0.0, x, 1.0, x, 10.0, by)
			f.Add(x, 1.0, 1e-4, 1.4, 3e-4, 1.0, 5e-4, x, 0.0, 1e6, x, 1e-4, x, by)
		}
	}
	f.Fuzz(func(t *testing.T, q0, h0, q1, h1, q2, h2, q3, h3, Hs, k, r, q, p float64, by byte) {
		interpolation := []Interpolation{Monotone, Linear, LeastSquares}[by%3]
		c, err := NewCurve(points([]float64{q0, q1, q2, q3}, []float64{h0, h1, h2, h3}, []float64{p, p, p, p}), interpolation)
		if err != nil {
			var typed *CurveError
			if !errors.As(err, &typed) || len(typed.Faults) == 0 {
				t.Fatal(err)
			}
			return
		}
		pumps := Pumps{Curve: c, Speed: r, Parallel: int(by % 5), Series: int(by % 3)}
		named := func(err error, values ...float64) {
			t.Helper()
			if err != nil && !isRange(err) && reasonOf(err) == "" {
				t.Fatalf("an error without a name: %v", err)
			}
			for _, v := range values {
				if math.IsNaN(v) || math.IsInf(v, 0) || err == nil && v < 0 {
					t.Fatalf("%v, %v", values, err)
				}
			}
		}
		h, _, err := pumps.Head(flow(q))
		named(err, h.Metres())
		power, err := pumps.Power(flow(q))
		named(err, power.Watts())
		speed, err := pumps.SpeedFor(flow(q), metres(k), 0.01, 10)
		named(err, speed)
		s := Parabola{Static: metres(Hs), Coefficient: k}
		for _, system := range []System{s, SystemFunc(s.Head)} {
			duties, err := pumps.Duties(system)
			named(err)
			for _, d := range duties {
				named(nil, d.Flow.CubicMetresPerSecond(), d.Head.Metres(), d.Speed)
				_, err := HydraulicPower(d.Flow, d.Head, 983)
				named(err)
			}
		}
		v, err := pumps.ThrottleTo(flow(q), s, 983)
		named(err, v.Kv.SI(), v.Head.Metres(), v.Wasted.Watts())
		for _, mode := range []Mode{ConstantPressure, ProportionalPressure} {
			g, err := Regulate(pumps, Control{Mode: mode, Head: metres(h1), Flow: quantity.CubicMetresPerSecond(q2)})
			named(err)
			if err != nil {
				continue
			}
			span := g.Range()
			for i, x := range []quantity.Flow{flow(q), span.From, span.To} {
				state, err := g.At(x)
				named(err, state.Head.Metres(), state.Speed)
				if i > 0 && err != nil {
					t.Fatalf("the end of its own range: %v", err)
				}
				power, err := g.Power(x)
				named(err, power.Watts())
			}
			duties, err := g.Duties(s)
			named(err)
			for _, d := range duties {
				named(nil, d.Flow.CubicMetresPerSecond(), d.Head.Metres(), d.Speed)
			}
		}
	})
}
