package arrival_test

import (
	"math"
	"testing"

	"recirc/calc/arrival"
	"recirc/calc/quantity"
)

// blow is the classical solution for water of one temperature that enters a pipe
// with a lumped wall and without loss (Anzelius 1926, Schumann 1929): the share
// of the step in the water at y transfer units from the inlet, z units of the
// wall's time after the front has passed. As a chance: that a Poisson variable
// of mean y does not exceed one of mean z. From memory; at z = 0 it is exp(-y),
// and over all z the water lacks y, as it should.
func blow(y, z float64) float64 {
	sum, below := 0.0, 0.0 // below: the chance that the one of mean y is k or less
	py, pz := math.Exp(-y), math.Exp(-z)
	for k := 0; k < 400; k++ {
		below += py
		sum += pz * below
		py *= y / float64(k+1)
		pz *= z / float64(k+1)
	}
	return sum
}

// blowReaches finds the z at which the outlet comes to a share, by bisection.
func blowReaches(y, share float64) float64 {
	low, high := 0.0, 400.0
	for range 200 {
		if middle := (low + high) / 2; blow(y, middle) < share {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}

func TestSingleBlow(t *testing.T) {
	for _, length := range []float64{0.5, 3, 8, 20, 60} {
		for _, outside := range []float64{14.4, 15, 18} {
			f := copperPath()
			f.Segments = f.Segments[2:]
			s := &f.Segments[0]
			s.Length, s.Outside, s.UA, s.WallConductivity = quantity.Metres(length), quantity.Millimetres(outside), 0, quantity.WattsPerMetreKelvin(0)
			d, q := s.Bore.Metres(), f.Flow.CubicMetresPerSecond()
			units := s.Film * math.Pi * d * length / (q * f.Density * f.SpecificHeat)
			wall := s.WallHeatCapacity * math.Pi / 4 * (s.Outside.Metres()*s.Outside.Metres() - d*d) // J/(m.K)
			rate := s.Film * math.Pi * d / wall                                                      // z per second
			shares := []float64{0.1, 0.3, 0.5, 0.7, 0.9, 0.99}
			var wanted []float64
			for _, share := range shares {
				wanted = append(wanted, 20+40*share)
			}
			a := mustArrive(t, f, arrival.Options{Thresholds: celsius(wanted...)})
			plug := length * math.Pi / 4 * d * d / q
			for i, share := range shares {
				want := plug
				if blow(units, 0) < share {
					want += blowReaches(units, share) / rate
				}
				if got := a.Crossings[i].Time.Seconds(); !a.Crossings[i].Reached || !near(got, want, 2e-3*want) {
					t.Errorf("%v m, %v mm, %.1f units, share %v: %v s, want %v", length, outside, units, share, got, want)
				}
			}
		}
	}
}

// TestDispersionWithoutWall goes by the solution for a step that enters a long
// pipe and disperses (Ogata and Banks 1961, from memory), with
// C = (erfc((L-ut)/s) + exp(uL/K) erfc((L+ut)/s))/2, s = 2 sqrt(K t). Ours ends
// at L, where nothing disperses back, which makes it earlier by K/(u L) of the
// plug time; hence the tolerance. The spread of the front is 20 times that.
func TestDispersionWithoutWall(t *testing.T) {
	const length, bore, flow = 10.0, 0.013, 1e-4
	u := flow / (math.Pi / 4 * bore * bore)
	for _, k := range []float64{0.003, 0.01, 0.05} {
		share := func(t float64) float64 {
			s := 2 * math.Sqrt(k*t)
			return math.Erfc((length-u*t)/s)/2 + math.Exp(u*length/k+math.Log(math.Erfc((length+u*t)/s)))/2
		}
		f := arrival.Front{
			Segments: []arrival.Segment{{
				Length: quantity.Metres(length), Bore: quantity.Metres(bore), Outside: quantity.Metres(bore),
				Film: 4000, Initial: quantity.Celsius(20), Dispersion: k,
			}},
			Flow: quantity.CubicMetresPerSecond(flow), Density: 990, SpecificHeat: 4180, Inlet: quantity.Celsius(60),
		}
		a := mustArrive(t, f, arrival.Options{Thresholds: celsius(24, 30, 40, 50, 56)})
		for i, c := range a.Crossings {
			want := []float64{0.1, 0.25, 0.5, 0.75, 0.9}[i]
			low, high := 0.5*length/u, 2*length/u
			for range 100 {
				if middle := (low + high) / 2; share(middle) < want {
					low = middle
				} else {
					high = middle
				}
			}
			if got := c.Time.Seconds(); !c.Reached || !near(got, low, (1.5*k/(u*length)+5e-4)*low) {
				t.Errorf("K %v, share %v: %v s, want %v, off by %.3f %%", k, want, got, low, 100*(got/low-1))
			}
		}
	}
}

// TestLaminarShare adds up a parabolic profile: water on the radius x has run
// 2 (1 - x2) r pipe lengths after r volumes, and carries 2 (1 - x2) 2 x dx of
// the flow.
func TestLaminarShare(t *testing.T) {
	for _, r := range []float64{0, 0.3, 0.49, 0.5, 0.51, 0.7, 1, 1.6, 3, 100} {
		const rings = 100000
		want := 0.0
		for i := range rings {
			x := (float64(i) + 0.5) / rings
			if speed := 2 * (1 - x*x); speed*r >= 1 {
				want += speed * 2 * x / rings
			}
		}
		if got := arrival.LaminarShare(r); !near(got, want, 3e-5) {
			t.Errorf("%v volumes: %v, want %v", r, got, want)
		}
	}
	if got := arrival.LaminarShare(math.NaN()); got != 0 {
		t.Errorf("NaN gives %v", got)
	}
}

// TestEquilibriumInSeriesWithAFilm: a segment in equilibrium delays whatever
// comes by (1 + Cp/Cw) of its own plug time and cools it, so a path with one
// behind another arrives later by just that.
func TestEquilibriumInSeriesWithAFilm(t *testing.T) {
	f := copperPath()
	alone := f
	alone.Segments = f.Segments[:2]
	f.Segments[2].Film, f.Segments[2].UA = 0, 0
	s := f.Segments[2]
	d, outside := s.Bore.Metres(), s.Outside.Metres()
	water := f.Density * f.SpecificHeat * d * d
	delay := s.Length.Metres() * math.Pi / 4 * d * d / f.Flow.CubicMetresPerSecond() * (1 + s.WallHeatCapacity*(outside*outside-d*d)/water)
	o := arrival.Options{Thresholds: celsius(25, 35, 45, 55)}
	first, both := mustArrive(t, alone, o), mustArrive(t, f, o)
	for i, c := range both.Crossings {
		want := first.Crossings[i].Time.Seconds() + delay
		if !near(c.Time.Seconds(), want, 2e-3*want) {
			t.Errorf("threshold %v: %v s, want %v", c.Threshold.Celsius(), c.Time.Seconds(), want)
		}
	}
}
