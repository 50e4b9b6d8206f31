package arrival

import "math"

// TaylorDispersion gives the axial dispersion of turbulent flow in a pipe
//
//	K = 10.1 a u sqrt(f/8)
//
//	a  radius, half the bore          m    a >= 0
//	u  mean velocity                  m/s  u >= 0
//	f  Darcy friction factor          1    f >= 0
//	K  axial dispersion               m2/s
//
// Valid for developed turbulent flow; f/8 is the square of friction velocity
// over mean velocity. It was found for a passive tracer: that it holds
// for heat beside a wall that stores heat is an assumption. For laminar flow
// nothing like it holds over the times of a draw, see [LaminarShare]; give
// Dispersion 0 there. An argument that is negative, NaN or infinite gives 0.
//
// Source: Taylor, The dispersion of matter in turbulent flow through a pipe
// (1954); from memory.
func TaylorDispersion(radius, velocity, friction float64) float64 {
	k := 10.1 * radius * velocity * math.Sqrt(friction/8)
	if !(k > 0) || math.IsInf(k, 1) {
		return 0
	}
	return k
}

// LaminarShare gives the share of hot water in what leaves a pipe in laminar
// flow, if nothing mixes across the flow: the axis runs at twice the mean
// velocity
//
//	F = 1 - 1/(4 r2)  for r >= 1/2, else 0
//
//	r  volume drawn over pipe volume  1
//
// It bounds what [Front.Arrive] leaves out in laminar flow: the first hot water
// is there after half a pipe volume, and a share F only after
// 1/(2 sqrt(1-F)) of them, 1.6 for F = 0.9. Plug flow, F = 1 from r = 1 on, is
// the other bound, of complete mixing across the flow. The wall delays both. A
// dispersion coefficient for laminar flow holds after many times a2/D (radius
// squared over diffusivity, some minutes), which no draw lasts. NaN gives 0.
//
// Source: residence times of a parabolic profile, textbook; from memory.
func LaminarShare(ratio float64) float64 {
	if !(ratio >= 0.5) {
		return 0
	}
	return 1 - 0.25/ratio/ratio
}

// mixing is one implicit step of diffusion in the water, prepared for the
// forward and the backward sweep
//
//	(1 + l + r) T(i) - l T(i-1) - r T(i+1) = T(i) before
//
// l and r are the conductances to both neighbours as a share of a slug's heat
// capacity. Implicit, since it then holds for any dispersion, and makes nothing
// colder by starting warmer. At the inlet lies water of the entering
// temperature; at the outlet the water that has left gives nothing back.
type mixing struct {
	left    []float64 // l; none if nothing disperses
	inverse []float64 // of the pivot
	back    []float64 // r over the pivot
	sharp   bool      // a jump spreads over less than a cell
}

func newMixing(f Front, g *grid) mixing {
	cells := len(g.water)
	end := make([]float64, 0, cells) // conductance of a cell from end to end
	variance := 0.0                  // of the spread of a jump, in cells squared
	for i, s := range f.Segments {
		n := float64(g.reaches[i].cells)
		u := f.Flow.CubicMetresPerSecond() / (math.Pi / 4 * s.Bore.Metres() * s.Bore.Metres())
		k := s.Dispersion * n / (u * s.Length.Metres())
		variance += 2 * k * n
		for range g.reaches[i].cells {
			end = append(end, k)
		}
	}
	m := mixing{sharp: variance < 1}
	if variance == 0 {
		return m
	}
	m.left, m.inverse, m.back = make([]float64, cells), make([]float64, cells), make([]float64, cells)
	m.left[0] = 2 * end[0]
	for i := range cells {
		right, eliminated := 0.0, 0.0
		if i < cells-1 {
			right = between(end[i], end[i+1])
			m.left[i+1] = right
		}
		if i > 0 {
			eliminated = m.left[i] * m.back[i-1]
		}
		m.inverse[i] = 1 / (1 + m.left[i] + right - eliminated)
		m.back[i] = right * m.inverse[i]
	}
	return m
}

// between is the conductance from the middle of one cell to that of the next.
func between(a, b float64) float64 { return 2 / (1/a + 1/b) }

// apply mixes the water and gives the heat that came in from before the inlet,
// in K of a slug.
func (m *mixing) apply(water []float64, in float64) float64 {
	if m.left == nil {
		return 0
	}
	before := in
	for i := range water {
		before = (water[i] + m.left[i]*before) * m.inverse[i]
		water[i] = before
	}
	for i := len(water) - 2; i >= 0; i-- {
		before = water[i] + m.back[i]*before
		water[i] = before
	}
	return m.left[0] * (in - water[0])
}
