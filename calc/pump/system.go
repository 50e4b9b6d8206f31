package pump

import (
	"math"

	"recirc/calc/quantity"
)

// System gives the head that a flow takes, in m, and its slope dH/dQ, in s/m2, by
// the flow in m3/s. It must rise. A [Parabola] is one, a whole network another.
type System interface {
	Head(q float64) (head, slope float64)
}

// SystemFunc is a function as a [System].
type SystemFunc func(q float64) (head, slope float64)

// Head calls the function.
func (f SystemFunc) Head(q float64) (head, slope float64) { return f(q) }

// Parabola is a system whose losses go with the square of the flow
//
//	H = Hs + k Q^2
//
//	Hs  static head, 0 in a closed loop   m      0 <= Hs <= 1e4
//	k   coefficient                       s2/m5  0 <= k <= 1e30
//
// Friction in turbulent pipes goes with a power of 1.75 to 2, so that a parabola
// through one duty is some percent too low at smaller flows.
//
// Source: textbook hydraulics.
type Parabola struct {
	Static      quantity.Length
	Coefficient float64
}

// Head gives head and slope at a flow.
func (p Parabola) Head(q float64) (head, slope float64) {
	return p.Static.Metres() + p.Coefficient*q*q, 2 * p.Coefficient * q
}

const greatestCoefficient = 1e30 // s2/m5; at 1e-9 m3/s it takes 1e12 m

func (p Parabola) check(operation string) error {
	if err := rangeError(operation, "Hs", p.Static.Metres(), 0, greatestHead, "m"); err != nil {
		return err
	}
	return rangeError(operation, "k", p.Coefficient, 0, greatestCoefficient, "s2/m5")
}

// ParabolaThrough gives the parabola with a static head that takes a head at a flow
//
//	k = (H - Hs)/Q^2
//
//	Q  flow, H head at it   m3/s, m   Q > 0, H >= Hs
//
// So does a heater's loss, which is quoted at one flow, scale to another.
//
// Errors: a [*RangeError].
func ParabolaThrough(static quantity.Length, q quantity.Flow, head quantity.Length) (Parabola, error) {
	const operation = "pump.ParabolaThrough"
	Hs, Q, H := static.Metres(), q.CubicMetresPerSecond(), head.Metres()
	for _, err := range []error{
		rangeError(operation, "Hs", Hs, 0, greatestHead, "m"),
		rangeError(operation, "Q", Q, leastLastFlow, greatestFlow, "m3/s"),
		rangeError(operation, "H", H, Hs, greatestHead, "m"),
	} {
		if err != nil {
			return Parabola{}, err
		}
	}
	return Parabola{Static: static, Coefficient: (H - Hs) / (Q * Q)}, nil
}

// FitParabola gives the parabola with the least sum of squared differences from the
// heads of points; their power is not looked at
//
//	k = sum (u - mean u)(H - mean H)/sum (u - mean u)^2,  Hs = mean H - k mean u,  u = Q^2
//
// Where Hs would be below zero it is zero, and k = sum u H/sum u^2; where the heads
// fall, k is zero. No points have a better parabola that rises from a static head.
//
// Errors: a [*CurveError], if the points are fewer than two, or no pipes have them.
// They may come in any order and more than once, but not all at one flow.
func FitParabola(points []Point) (Parabola, error) {
	f := &faults{}
	flow, head, _ := columns(points)
	for i := range points {
		f.value(i, "flow", flow[i], greatestFlow, "m3/s", FlowNegative)
		f.value(i, "head", head[i], greatestHead, "m", HeadNegative)
	}
	var last, n float64 = 0, float64(len(points))
	for _, q := range flow {
		last = max(last, q)
	}
	if len(f.list) == 0 && last < leastLastFlow {
		f.add(-1, FlowTooSmall, "the greatest flow is %.6g m3/s, less than %g", last, leastLastFlow)
	}
	if len(f.list) > 0 {
		return Parabola{}, &CurveError{Faults: f.list}
	}
	var u, h, uu, uh, spread, covariance float64 // u is the square of the flow over the greatest
	for i, q := range flow {
		v := q * q / last / last
		u, h, uu, uh = u+v/n, h+head[i]/n, uu+v*v, uh+v*head[i]
	}
	for i, q := range flow {
		v := q*q/last/last - u
		spread, covariance = spread+v*v, covariance+v*(head[i]-h)
	}
	if spread < leastStep*leastStep {
		f.add(-1, TooFewPoints, "all points are at one flow; a parabola needs two")
		return Parabola{}, &CurveError{Faults: f.list}
	}
	k := max(0, covariance/spread)
	static := h - k*u
	if static < 0 {
		static, k = 0, uh/uu
	}
	return Parabola{Static: quantity.Metres(static), Coefficient: k / last / last}, nil
}

// stretched is a system seen from a pump curve: flow of the system over that of
// the curve, and head alike.
type stretched struct {
	System
	flow, head float64
}

func (s stretched) Head(x float64) (head, slope float64) {
	head, slope = s.System.Head(x * s.flow)
	return head / s.head, slope * s.flow / s.head
}

// seen keeps a parabola one, whose curvature is known.
func seen(s System, flow, head float64) System {
	if p, ok := s.(Parabola); ok {
		return Parabola{Static: quantity.Metres(p.Static.Metres() / head), Coefficient: p.Coefficient * flow * flow / head}
	}
	return stretched{System: s, flow: flow, head: head}
}

// curvature is that of a parabola, and false for a system that nothing is known of.
func curvature(s System) (float64, bool) {
	p, ok := s.(Parabola)
	return 2 * p.Coefficient, ok && !math.IsInf(p.Coefficient, 0)
}
