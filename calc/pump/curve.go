package pump

import (
	"recirc/calc/quantity"
	"recirc/calc/source"
)

// CurveSource is where the interpolation between the points is from.
const CurveSource source.ID = "fritsch_butland_1984"

// Point is one point of a pump curve.
type Point struct {
	Flow  quantity.Flow
	Head  quantity.Length
	Power quantity.Power // electrical input; zero at all points if it is not known
}

// Interpolation is how a curve goes between its points.
type Interpolation string

// The interpolations.
const (
	Monotone     Interpolation = "pchip"         // through the points, rising and falling as they do
	Linear       Interpolation = "linear"        // straight from point to point
	LeastSquares Interpolation = "quadratic_lsq" // one parabola that passes near them
)

// Curve is the head that a pump gives, and the power that it takes, by flow, at
// the speed it was measured at. Nothing is said beyond its points.
type Curve struct {
	head, power line
}

// Span is a range of flows.
type Span struct{ From, To quantity.Flow }

// NewCurve makes a curve of points in the order of their flows
//
//	H(Q) = H_i + d_i t + (3 m - 2 d_i - d_i+1) t^2/h + (d_i + d_i+1 - 2 m) t^3/h^2
//
//	t    Q - Q_i, from one point to the next   m3/s   0 <= t <= h = Q_i+1 - Q_i
//	m    (H_i+1 - H_i)/h                       s/m2
//	d_i  slope at a point                      s/m2
//
// [Monotone], also "", takes for d_i the weighted harmonic mean of the neighbouring
// m with weights 2 h_i + h_i-1 and h_i + 2 h_i-1, zero where they differ in sign, and
// at the ends the three-point rule, zero if its sign is wrong and at most 3 m. So the
// curve has no hump that the points lack. Power is interpolated likewise.
//
// Errors: a [*CurveError] with every fault of the points. A head that rises with the
// flow is none, see [Curve.Rises].
//
// Source: Fritsch and Butland (1984), SIAM Journal on Scientific and Statistical
// Computing 5, 300-304, from memory; compared with a numerical library.
func NewCurve(points []Point, by Interpolation) (*Curve, error) {
	if by == "" {
		by = Monotone
	}
	f := faultsOf(points, by)
	if len(f.list) > 0 {
		return nil, &CurveError{Faults: f.list}
	}
	flow, head, power := columns(points)
	c := &Curve{head: newLine(interpolate(flow, head, by))}
	if c.head.lowest() < 0 {
		f.add(-1, CrossesZero, "the parabola through the heads falls to %.4g m within the flows given", c.head.lowest())
	}
	if power[0] > 0 {
		c.power = newLine(interpolate(flow, power, by))
		if c.power.lowest() <= 0 {
			f.add(-1, PowerNegative, "the parabola through the powers falls to %.4g W within the flows given", c.power.lowest())
		}
	}
	if len(f.list) > 0 {
		return nil, &CurveError{Faults: f.list}
	}
	return c, nil
}

func columns(points []Point) (flow, head, power []float64) {
	n := len(points)
	all := make([]float64, 3*n)
	flow, head, power = all[:n:n], all[n:2*n:2*n], all[2*n:]
	for i, p := range points {
		flow[i], head[i], power[i] = p.Flow.CubicMetresPerSecond(), p.Head.Metres(), p.Power.Watts()
	}
	return flow, head, power
}

// Range is the flows between which the curve is known.
func (c *Curve) Range() Span { return span(c.head.from(), c.head.to()) }

// HasPower reports that the points came with the power.
func (c *Curve) HasPower() bool { return len(c.power.pieces) > 0 }

// Rises lists where the head rises with the flow, nil if it does nowhere. There a
// pump may have two duty points and hunt between them.
func (c *Curve) Rises() []Span {
	var all []Span
	for _, r := range c.head.runs {
		if r.rising {
			all = append(all, span(r.from, r.to))
		}
	}
	return all
}

// Head gives the head at a flow, and its slope dH/dQ in s/m2. See [Pumps.Head].
func (c *Curve) Head(q quantity.Flow) (quantity.Length, float64, error) {
	return Pumps{Curve: c}.Head(q)
}

// Power gives the electrical power at a flow. See [Pumps.Power].
func (c *Curve) Power(q quantity.Flow) (quantity.Power, error) { return Pumps{Curve: c}.Power(q) }

func span(from, to float64) Span {
	return Span{From: quantity.CubicMetresPerSecond(from), To: quantity.CubicMetresPerSecond(to)}
}
