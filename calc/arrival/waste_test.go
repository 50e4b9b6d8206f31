package arrival_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/arrival"
	"recirc/calc/quantity"
)

// copperRun is 12 m of 15 x 1 copper tube at 20 degC, fed with 60 degC.
func copperRun(ua float64) arrival.Front {
	return arrival.Front{
		Segments: []arrival.Segment{{
			Length: quantity.Metres(12), Bore: quantity.Millimetres(13), Outside: quantity.Millimetres(15),
			WallConductivity: quantity.WattsPerMetreKelvin(390), WallHeatCapacity: 8940 * 385, Film: 4000,
			UA: ua, Ambient: quantity.Celsius(20), Initial: quantity.Celsius(20),
		}},
		Flow: quantity.CubicMetresPerSecond(1e-4), Density: 992.3, SpecificHeat: 4178, Inlet: quantity.Celsius(60),
	}
}

// TestLeftInPipe: without loss the whole run ends at the inlet temperature, so
// what is left is capacity times difference. Capacities of 15 x 1 copper:
// 550.30 J/(m.K) of water and 151.38 J/(m.K) of wall, from density and specific
// heat of the row, as a general-purpose library computed them.
func TestLeftInPipe(t *testing.T) {
	want := (550.2999 + 151.3827) * 12 * 40
	if got := copperRun(0).LeftInPipe().Joules(); math.Abs(got-want) > 1e-3*want {
		t.Errorf("without loss %v J, want %v J", got, want)
	}
	last := want * 1.001
	for _, ua := range []float64{0.2, 1, 5, 50} {
		got := copperRun(ua).LeftInPipe().Joules()
		if got <= 0 || got >= last {
			t.Errorf("UA %v W/(m.K): %v J, before %v J", ua, got, last)
		}
		last = got
	}
}

// TestMeanOutlet compares the mean of the water drawn with a sum over a fine
// curve, and holds it between the start and the threshold.
func TestMeanOutlet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := copperRun(rapid.Float64Range(0, 2).Draw(t, "UA"))
		f.Segments[0].Initial = quantity.Celsius(rapid.Float64Range(5, 35).Draw(t, "start"))
		threshold := quantity.Celsius(rapid.Float64Range(36, 50).Draw(t, "threshold"))
		a, err := f.Arrive(arrival.Options{Thresholds: []quantity.Temperature{threshold}, Curve: 5000, Horizon: 4})
		if err != nil {
			t.Fatal(err)
		}
		c := a.Crossings[0]
		if !c.Reached {
			return
		}
		sum, n := 0.0, 0
		for _, p := range a.Curve {
			if p.Time.Seconds() < c.Time.Seconds() {
				sum += p.Temperature.Kelvin()
				n++
			}
		}
		if mean := sum / float64(n); math.Abs(mean-c.MeanOutlet.Kelvin()) > 0.05 {
			t.Fatalf("mean %v K, by the curve %v K", c.MeanOutlet.Kelvin(), mean)
		}
		if m := c.MeanOutlet.Kelvin(); m < f.Segments[0].Initial.Kelvin()-3 || m > threshold.Kelvin() {
			t.Fatalf("mean %v K", m)
		}
	})
}
