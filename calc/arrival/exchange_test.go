package arrival

import (
	"math"
	"testing"

	"recirc/calc/quantity"
)

// TestExponential goes by the closed form for two capacities that exchange heat
// and lose none: the difference dies away with the sum of both rates, and the
// mean stays.
func TestExponential(t *testing.T) {
	for _, g := range []float64{1e-12, 1e-3, 0.2, 1, 30, 4e3} { // exchange in a step, J/K
		const c0, c1 = 1.0, 0.27
		var a [maxStates][maxStates]float64
		a[0][0], a[0][1] = -g/c0, g/c0
		a[1][0], a[1][1] = g/c1, -g/c1
		f := exponential(a, 2)
		gone := -math.Expm1(-g * (1/c0 + 1/c1))
		for _, e := range []struct{ got, want float64 }{
			{f[0][0], -gone * c1 / (c0 + c1)}, {f[0][1], gone * c1 / (c0 + c1)},
			{f[1][0], gone * c0 / (c0 + c1)}, {f[1][1], -gone * c0 / (c0 + c1)},
		} {
			if !(math.Abs(e.got-e.want) <= 1e-12*math.Abs(e.want)) {
				t.Errorf("g %v: %v, want %v", g, e.got, e.want)
			}
		}
	}
}

// TestLadderOfAPlaneWall goes by the temperature per heat flux at the face of a
// plane wall, insulated behind, that warms as exp(pt): coth(s)/s with s the
// root of p times thickness squared over diffusivity, in units of thickness
// over conductivity. A wall is nearly plane in a very wide bore.
func TestLadderOfAPlaneWall(t *testing.T) {
	f := Front{Density: 1000, SpecificHeat: 4000}
	s := plane()
	wall := s.WallConductivity.WattsPerMetreKelvin() / 0.01 // W/(m2.K)
	perimeter := math.Pi * s.Bore.Metres()
	for _, films := range []float64{5, 20, 60} { // of the wall's conductance
		s.Film = films * wall
		l := f.newLadder(s)
		if l.shells != wallShells {
			t.Fatalf("%d shells", l.shells)
		}
		for _, p := range []float64{0.01, 0.1, 1, 10, 100, 1000} {
			rate := p * s.WallConductivity.WattsPerMetreKelvin() / s.WallHeatCapacity / 1e-4 // 1/s
			admittance := 0.0                                                                // of what is behind, W/(m.K)
			for i := l.shells - 1; i >= 0; i-- {
				admittance += rate * l.capacity[i]
				admittance = 1 / (1/l.conductance[i] + 1/admittance)
			}
			root := math.Sqrt(p)
			want := 1/films + 1/math.Tanh(root)/root
			if got := wall * perimeter / admittance; !(math.Abs(got-want) <= 0.02*want) {
				t.Errorf("film %v, p %v: %v, want %v, off by %.2f %%", films, p, got, want, 100*(got/want-1))
			}
		}
	}
}

// plane is 10 mm of plastic around a bore of 50 m.
func plane() Segment {
	return Segment{
		Length: quantity.Metres(1), Bore: quantity.Metres(50), Outside: quantity.Metres(50.02),
		WallConductivity: quantity.WattsPerMetreKelvin(0.4), WallHeatCapacity: 2.1e6,
	}
}
