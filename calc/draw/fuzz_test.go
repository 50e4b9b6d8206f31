package draw_test

import (
	"math"
	"testing"

	"recirc/calc/draw"
	"recirc/calc/quantity"
)

// FuzzDay: whatever the draws and the fixtures, there is a sound day or faults
// that have names.
func FuzzDay(f *testing.F) {
	f.Add(25200.0, 0.01, 1e-4, 25230.0, 0.02, 2e-4, 1.0, 2.0, 0.1, 0.0)
	f.Add(0.0, 1.0, 1e-4, 86399.0, 1e-6, 1e-9, 0.0, 1e-9, 50.0, 1e-5)
	for _, x := range []float64{0, 1e-320, 1e-9, 1e9, 1e308, -1, math.NaN(), math.Inf(1), math.Inf(-1)} {
		f.Add(x, 0.01, 1e-4, 25230.0, x, 2e-4, 1.0, x, 0.1, 0.0)
		f.Add(25200.0, x, 1e-4, x, 0.02, x, x, 2.0, 0.1, x)
		f.Add(25200.0, 0.01, x, 25200.0, 0.02, 2e-4, x, x, x, 1e-4)
	}
	f.Fuzz(func(t *testing.T, at0, v0, q0, at1, v1, q1, share0, share1, daily, q float64) {
		event := func(at, v, q float64) draw.Event {
			return draw.Event{At: quantity.Seconds(at), Volume: quantity.CubicMetres(v), Flow: quantity.CubicMetresPerSecond(q), Use: draw.Shower}
		}
		events := []draw.Event{event(at0, v0, q0), event(at1, v1, q1), event(at0, v1, q1)}
		fixtures := []draw.Fixture{
			{ID: "a", Share: share0, Flow: quantity.CubicMetresPerSecond(q)}, {ID: "b", Share: share1, Uses: []draw.Use{draw.Shower}},
		}
		sound := func(events []draw.Event, err error) {
			t.Helper()
			if err != nil {
				if len(faultsOf(err)) == 0 && !isRange(err) {
					t.Fatalf("an error without a name: %v", err)
				}
				return
			}
			for _, e := range events {
				s, v := e.Lasts().Seconds(), e.Volume.CubicMetres()
				if !(s >= 0 && s <= 86400 && v > 0 && v <= 1e5) || e.Fixture < 0 || e.Fixture > 1 {
					t.Fatalf("%+v lasts %v s", e, s)
				}
			}
		}
		sound(draw.Timeline(events, 2))
		scaled, err := draw.Scale(events, quantity.CubicMetres(daily))
		sound(scaled, err)
		sound(draw.Spread(events, fixtures))
		if err == nil {
			sound(draw.Spread(scaled, fixtures))
		}
		p, _ := draw.PatternOf("eu_s")
		drawn, err := p.Events(draw.Conditions{
			Hot: quantity.Kelvin(at0), Cold: quantity.Kelvin(at1), Shift: quantity.Seconds(v0),
		})
		if err == nil {
			drawn, err = draw.Timeline(drawn, 2)
		}
		sound(drawn, err)
	})
}
