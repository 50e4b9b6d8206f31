package arrival_test

import (
	"math"
	"testing"
	"time"

	"recirc/calc/arrival"
	"recirc/calc/quantity"
)

// FuzzArrive: whatever goes in, what comes out is finite or an error, soon.
func FuzzArrive(f *testing.F) {
	usual := []float64{9, 0.02, 0.022, 390, 3.4e6, 3000, 0.3, 293, 293, 0.003, 2e-4, 993, 4178, 333, 5, 285, 313, 2}
	add := func(v []float64, cells, curve int) {
		f.Add(v[0], v[1], v[2], v[3], v[4], v[5], v[6], v[7], v[8], v[9], v[10], v[11], v[12], v[13], v[14], v[15], v[16], v[17], cells, curve)
	}
	add(usual, 0, 0)
	add(usual, 3, 10)
	long := append([]float64(nil), usual...)
	long[14], long[17] = 1e308, 0 // a delay beyond all digits
	add(long, 0, 2)
	lossy := append([]float64(nil), usual...)
	lossy[5], lossy[6], lossy[8] = 428, 68, 32 // more loss than film, on two cells
	add(lossy, 2, 29)
	for i := range usual {
		for _, edge := range []float64{0, 1e-320, 1e-9, 1e9, 1e308, math.NaN(), math.Inf(1), -1} {
			v := append([]float64(nil), usual...)
			v[i] = edge
			add(v, 0, 2)
		}
	}
	f.Fuzz(func(t *testing.T, length, bore, outside, conductivity, heat, film, ua, ambient, initial, dispersion, flow, density, specific, inlet, delay, before, threshold, horizon float64, cells, curve int) {
		front := arrival.Front{
			Segments: []arrival.Segment{{
				Length: quantity.Metres(length), Bore: quantity.Metres(bore), Outside: quantity.Metres(outside),
				WallConductivity: quantity.WattsPerMetreKelvin(conductivity), WallHeatCapacity: heat, Film: film,
				UA: ua, Ambient: quantity.Kelvin(ambient), Initial: quantity.Kelvin(initial), Dispersion: dispersion,
			}, {
				Length: quantity.Metres(1), Bore: quantity.Metres(0.013), Outside: quantity.Metres(0.016),
				WallConductivity: quantity.WattsPerMetreKelvin(0.4), WallHeatCapacity: 2.1e6, Film: 3000,
				UA: 0.3, Ambient: quantity.Kelvin(290), Initial: quantity.Kelvin(300),
			}},
			Flow: quantity.CubicMetresPerSecond(flow), Density: density, SpecificHeat: specific,
			Inlet: quantity.Kelvin(inlet), StartUpDelay: quantity.Seconds(delay), BeforeStart: quantity.Kelvin(before),
		}
		began := time.Now()
		a, err := front.Arrive(arrival.Options{Thresholds: []quantity.Temperature{quantity.Kelvin(threshold)}, Horizon: horizon, Cells: cells, Curve: curve})
		if took := time.Since(began); took > 20*time.Second { // about one, a slow machine with the race detector aside
			t.Fatalf("took %v", took)
		}
		if err != nil {
			return
		}
		values := []float64{a.Steady.Kelvin(), a.Residual, a.PipeVolume.CubicMetres(), a.PlugTime.Seconds()}
		for _, c := range a.Crossings {
			values = append(values, c.Time.Seconds(), c.Volume.CubicMetres(), c.Ratio, c.MeanOutlet.Kelvin())
		}
		for _, p := range a.Curve {
			values = append(values, p.Time.Seconds(), p.Temperature.Kelvin())
		}
		for i, v := range values {
			if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 {
				t.Fatalf("value %d is %v", i, v)
			}
		}
	})
}
