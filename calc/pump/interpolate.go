package pump

import (
	"math"
	"slices"
)

// interpolate joins points by pieces on each of which the value only rises or only
// falls.
func interpolate(x, y []float64, by Interpolation) []piece {
	switch by {
	case LeastSquares:
		return parabola(x, y)
	case Linear:
		pieces := make([]piece, len(x)-1)
		for i := range pieces {
			m := (y[i+1] - y[i]) / (x[i+1] - x[i])
			pieces[i] = hermite(x[i], x[i+1], y[i], y[i+1], m, m)
		}
		return pieces
	}
	d := slopes(x, y)
	pieces := make([]piece, len(x)-1)
	for i := range pieces {
		pieces[i] = hermite(x[i], x[i+1], y[i], y[i+1], d[i], d[i+1])
	}
	return pieces
}

func hermite(x0, x1, y0, y1, d0, d1 float64) piece {
	h := x1 - x0
	m := (y1 - y0) / h
	return piece{from: x0, to: x1, at: x0, y: y0, end: y1, d: d0, c2: (3*m - 2*d0 - d1) / h, c3: (d0 + d1 - 2*m) / h / h}
}

// slopes gives those of [Monotone] at every point, see [NewCurve].
func slopes(x, y []float64) []float64 {
	n := len(x)
	h, m, d := make([]float64, n-1), make([]float64, n-1), make([]float64, n)
	for i := range h {
		h[i] = x[i+1] - x[i]
		m[i] = (y[i+1] - y[i]) / h[i]
	}
	if n == 2 {
		d[0], d[1] = m[0], m[0]
		return d
	}
	for i := 1; i < n-1; i++ {
		if m[i-1] > 0 && m[i] > 0 || m[i-1] < 0 && m[i] < 0 {
			w1, w2 := 2*h[i]+h[i-1], h[i]+2*h[i-1]
			d[i] = (w1 + w2) / (w1/m[i-1] + w2/m[i])
		}
	}
	d[0] = endSlope(h[0], h[1], m[0], m[1])
	d[n-1] = endSlope(h[n-2], h[n-3], m[n-2], m[n-3])
	return d
}

// endSlope is by the three-point rule from the end inwards.
func endSlope(h0, h1, m0, m1 float64) float64 {
	d := ((2*h0+h1)*m0 - h0*m1) / (h0 + h1)
	switch {
	case m0 == 0 || (d > 0) != (m0 > 0):
		return 0
	case (m0 > 0) != (m1 > 0) && math.Abs(d) > 3*math.Abs(m0):
		return 3 * m0
	}
	return d
}

// parabola gives y = a + b x + c x^2 with the least sum of squares, as pieces that
// meet at its vertex.
func parabola(x, y []float64) []piece {
	a, b, c := leastSquares(x, y)
	first, last := x[0], x[len(x)-1]
	nothing := 1e-12 * slices.Max(y)
	value := func(x float64) float64 {
		v := a + x*(b+c*x)
		if math.Abs(v) <= nothing { // where the curve ends at zero head, rounding may put it below
			return 0
		}
		return v
	}
	part := func(from, to float64) piece {
		return piece{from: from, to: to, at: from, y: value(from), end: value(to), d: b + 2*c*from, c2: c}
	}
	if vertex := -b / (2 * c); vertex > first && vertex < last {
		return []piece{part(first, vertex), part(vertex, last)}
	}
	return []piece{part(first, last)}
}

// leastSquares adds up polynomials that are orthogonal over the points, so that no
// ill-conditioned equations arise. Source: Forsythe (1957), from memory.
func leastSquares(x, y []float64) (a, b, c float64) {
	n, scale := float64(len(x)), x[len(x)-1]
	mean := 0.0
	for _, v := range x {
		mean += v / scale / n
	}
	var s2, s3 float64 // of the first polynomial p = u - mean
	for _, v := range x {
		p := v/scale - mean
		s2, s3 = s2+p*p, s3+p*p*p
	}
	// The second polynomial is (p - shift) p - s2/n.
	shift := s3 / s2
	var y0, y1, y2, s4 float64
	for i, v := range x {
		p := v/scale - mean
		r := (p-shift)*p - s2/n
		y0, y1, y2, s4 = y0+y[i]/n, y1+y[i]*p/s2, y2+y[i]*r, s4+r*r
	}
	y2 /= s4
	// Expanded in u, then in x.
	a = y0 - y1*mean + y2*(mean*mean+shift*mean-s2/n)
	b = y1 - y2*(2*mean+shift)
	return a, b / scale, y2 / scale / scale
}
