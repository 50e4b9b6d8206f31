package pump

import (
	"errors"
	"math"

	"recirc/calc/quantity"
)

// SpeedFor gives the speed ratio r at which the pumps give a head at a flow
//
//	s r^2 Hcurve(Q/(p r)) = H
//
//	Q, H          flow of all, and head   m3/s, m   Q >= 0, H >= 0
//	least, most   speeds that may be      1         0.01 to 10
//
// Of the points of the curve that scale to the duty, which lie on a parabola
// through the origin, the one at the lowest speed is taken: a pump that speeds up
// comes by it first. The speed of p does not count.
//
// Errors: a [*RangeError]; an [*Error] with the reason: [SpeedTooLow] and
// [SpeedTooHigh] give the speed that would be needed, so that the nearest one that
// may be is known; [BeyondCurveEnd] and [BelowCurveStart] where no speed brings a
// known point of the curve to the duty.
//
// Source: as [Pumps.Head].
func (p Pumps) SpeedFor(q quantity.Flow, head quantity.Length, least, most float64) (float64, error) {
	const operation = "pump.SpeedFor"
	p.Speed = 1
	p, err := p.sound(operation)
	Q, H := q.CubicMetresPerSecond()/float64(p.Parallel), head.Metres()/float64(p.Series)
	for _, err := range []error{
		err,
		rangeError(operation, "Q", Q, 0, greatestFlow, "m3/s"), rangeError(operation, "H", H, 0, greatestHead, "m"),
		rangeError(operation, "least", least, slowest, fastest, "1"), rangeError(operation, "most", most, least, fastest, "1"),
	} {
		if err != nil {
			return 0, err
		}
	}
	r, err := p.Curve.speed(operation, Q, H)
	if err != nil {
		return 0, err
	}
	return allowed(operation, r, least, most)
}

func allowed(operation string, r, least, most float64) (float64, error) {
	e := &Error{Operation: operation, Symbol: "r", Value: r, Low: least, High: most, Unit: "1"}
	switch {
	case r > most*(1+roundingSlack):
		e.Reason = SpeedTooHigh
		return 0, e
	case r < least*(1-roundingSlack):
		e.Reason = SpeedTooLow
		return 0, e
	}
	return min(max(r, least), most), nil
}

// nearlySame is a difference of heads that rounding may make, over the highest.
const nearlySame = 1e-10

// leastSquared is a flow whose square is not lost, m3/s.
const leastSquared = 1e-100

// speed is [Pumps.SpeedFor] of one pump, at whatever speed.
func (c *Curve) speed(operation string, Q, H float64) (float64, error) {
	l := &c.head
	switch {
	case l.from() > 0 && Q < leastSquared:
		return 0, &Error{Operation: operation, Reason: BelowCurveStart, Symbol: "Q", Value: Q, Low: l.from(), High: l.to(), Unit: "m3/s"}
	case l.from() == 0 && Q <= 1e-13*l.to(): // the head is that at no flow, to rounding
		shutOff := l.pieces[0].y
		if shutOff == 0 {
			return 0, &Error{Operation: operation, Reason: AboveShutOff, Symbol: "H", Value: H, High: l.highest(), Unit: "m"}
		}
		return math.Sqrt(H / shutOff), nil
	}
	similar := Parabola{Coefficient: H / Q / Q}
	meetings, err := l.meet(operation, similar)
	var apart *Error
	switch {
	case errors.As(err, &apart):
		for _, x := range []float64{l.to(), l.from()} { // one that only rounding keeps apart
			y, _ := l.piece(x).value(x)
			if h, _ := similar.Head(x); math.Abs(y-h) <= nearlySame*l.highest() {
				return Q / x, nil
			}
		}
		apart.Symbol, apart.Value, apart.Unit = "Q", Q, "m3/s"
		apart.Low, apart.High = l.from(), l.to()
		return 0, apart
	case err != nil:
		return 0, err
	}
	return Q / meetings[len(meetings)-1].x, nil
}
