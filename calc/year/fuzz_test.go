package year

import (
	"errors"
	"math"
	"testing"

	"recirc/calc/quantity"
)

// FuzzSimulate: whatever the numbers, there is a finite result or an error.
func FuzzSimulate(f *testing.F) {
	for _, x := range []float64{0, 1e-320, 1e308, math.NaN(), math.Inf(1), -1, 20} {
		f.Add(x, 1.0, 0.5, 1e-4, 5e-3, 320.0, 7.0)
		f.Add(5.0, x, 0.5, 1e-4, 5e-3, 320.0, 7.0)
		f.Add(5.0, 1.0, x, x, 5e-3, 320.0, 7.0)
		f.Add(5.0, 1.0, 0.5, 1e-4, x, x, 7.0)
		f.Add(5.0, 1.0, 0.5, 1e-4, 5e-3, 320.0, x)
	}
	f.Fuzz(func(t *testing.T, length, ratio, ua, flow, volume, temperature, hour float64) {
		s := withColdLine(house(), aquastat(), &Bypass{Opens: quantity.Kelvin(temperature), Shuts: quantity.Kelvin(temperature + 8)})
		s.Pipes[0].Length = quantity.Metres(length)
		s.Pipes[6].Lag = Lag{Ratio: ratio, Exchange: math.Abs(ua) * 50}
		s.Pipes[12].UA = ua
		s.Circulations[0].Loops[0].Flow = quantity.CubicMetresPerSecond(flow)
		s.Circulations[0].Control.Aquastat.Start = quantity.Kelvin(temperature)
		s.Circulations[0].Control.Aquastat.Stop = quantity.Kelvin(temperature + 3)
		e := tap(hour, 1, 6, 14)
		e.Volume, e.Usable = quantity.CubicMetres(volume), quantity.Kelvin(temperature)
		cold := e
		cold.Cold = true
		p := oneDay(e, cold)
		p.Budget = 3_000_000
		r, err := Simulate(s, p, nil)
		if err != nil {
			var wrong *FaultError
			if !errors.As(err, &wrong) && !errors.Is(err, ErrBudget) {
				t.Fatal(err)
			}
			return
		}
		for i, v := range r.Year.sums() {
			if math.IsNaN(*v) || math.IsInf(*v, 0) {
				t.Fatalf("sum %d is %g", i, *v)
			}
		}
		if !(r.Year.Residual < 1e-6) {
			t.Fatalf("%g of the heat is missing", r.Year.Residual)
		}
	})
}
