package pump

import (
	"errors"
	"math"
	"slices"

	"recirc/calc/quantity"
	"recirc/calc/source"
)

// ControlSource is where the lines that controls hold are from.
const ControlSource source.ID = "common_practice"

// Control is what a pump is set to.
type Control struct {
	Mode Mode

	Head quantity.Length // [ConstantPressure]: held; [ProportionalPressure]: held at Flow
	Flow quantity.Flow   // [ProportionalPressure]

	// Of [ProportionalPressure], the head at no flow as a part of Head, 0 to 1. nil
	// stands for a half: common practice.
	AtZero *float64
}

// HalfAtZero is the head at no flow as a part of that set, under proportional
// pressure; common practice for small circulators.
const HalfAtZero = 0.5

// Regulate puts pumps under a control. Their own speed is the full speed
//
//	H = full(Q)                       constant speed
//	H = min(Hset, full(Q))            constant pressure
//	H = min(Hset [z + (1 - z) Q/Qset], full(Q))   proportional pressure
//
//	full        head at full speed, as [Pumps.Head]   m
//	Hset, Qset  Control.Head and Control.Flow         m, m3/s   > 0
//	z           Control.AtZero                        1         0 to 1
//
// Valid where a point of the curve scales to the head that is held: beyond, near
// the end of the curve, the speed is not known and the range ends. Drives have a
// lowest speed, below which they hold no line; it is not looked at.
//
// Errors: a [*RangeError]; an [*UnknownModeError]; an [*Error] if no flow is left,
// [BeyondCurveEnd].
//
// Source: common practice.
func Regulate(p Pumps, c Control) (*Regulated, error) {
	const operation = "pump.Regulate"
	p, err := p.sound(operation)
	if err != nil {
		return nil, err
	}
	full := slices.Clone(p.Curve.head.pieces)
	for i := range full {
		full[i] = full[i].stretched(p.flow(), p.head())
	}
	r := &Regulated{pumps: p}
	switch c.Mode {
	case Off:
		return r, nil
	case ConstantSpeed:
		r.line = newLine(full)
		return r, nil
	}
	base, rise, err := c.held(operation)
	if err != nil {
		return nil, err
	}
	r.line, err = lower(operation, newLine(full), base, rise)
	if err != nil {
		return nil, err
	}
	return r, nil
}

// held is the line H = base + rise Q that a control holds.
func (c Control) held(operation string) (base, rise float64, err error) {
	if c.Mode != ConstantPressure && c.Mode != ProportionalPressure {
		return 0, 0, &UnknownModeError{Mode: c.Mode}
	}
	H := c.Head.Metres()
	if err := rangeError(operation, "Hset", H, leastHeld, greatestHead, "m"); err != nil {
		return 0, 0, err
	}
	if c.Mode == ConstantPressure {
		return H, 0, nil
	}
	z, Q := HalfAtZero, c.Flow.CubicMetresPerSecond()
	if c.AtZero != nil {
		z = *c.AtZero
	}
	if err := rangeError(operation, "Qset", Q, leastLastFlow, greatestFlow, "m3/s"); err != nil {
		return 0, 0, err
	}
	return H * z, H * (1 - z) / Q, rangeError(operation, "z", z, 0, 1, "1")
}

const leastHeld = 1e-6 // m

// UnknownModeError is a mode that is not listed.
type UnknownModeError struct{ Mode Mode }

func (e *UnknownModeError) Error() string {
	return `pump.Regulate: there is no mode "` + string(e.Mode) + `"`
}

// lower gives the lower one of a line and H = base + rise Q, as far as speeds are
// known: between the points that scale from the first and from the last of the
// line, which lie on parabolas through the origin.
func lower(operation string, full line, base, rise float64) (line, error) {
	held := SystemFunc(func(q float64) (float64, float64) { return base + rise*q, rise })
	cuts := []float64{full.from()}
	meetings, err := full.meet(operation, held)
	var apart *Error
	if err != nil && !errors.As(err, &apart) {
		return line{}, err
	}
	for _, m := range meetings {
		cuts = append(cuts, m.x)
	}
	cuts = slices.Compact(append(cuts, full.to()))
	var pieces []piece
	for i := range len(cuts) - 1 {
		a, b := cuts[i], cuts[i+1]
		middle := a + (b-a)/2
		if y, _ := full.piece(middle).value(middle); y <= base+rise*middle {
			pieces = append(pieces, full.cut(a, b)...)
			continue
		}
		if i == 0 {
			a = full.similar(a, base, rise)
		}
		if i == len(cuts)-2 {
			b = full.similar(b, base, rise)
		}
		if b > a {
			p := hermite(a, b, base+rise*a, base+rise*b, rise, rise)
			p.held = true
			pieces = append(pieces, p)
		}
	}
	if len(pieces) == 0 {
		return line{}, &Error{Operation: operation, Reason: BeyondCurveEnd}
	}
	return newLine(pieces), nil
}

// similar is the flow at which H = base + rise Q meets the parabola through the
// origin and the point of the line at x; no flow if that is at no flow.
func (l *line) similar(x, base, rise float64) float64 {
	if x == 0 {
		return 0
	}
	y, _ := l.piece(x).value(x)
	k := y / x / x
	return (rise + math.Sqrt(rise*rise+4*k*base)) / (2 * k)
}

// cut gives what of the pieces is between two flows.
func (l *line) cut(a, b float64) []piece {
	var kept []piece
	for _, p := range l.pieces {
		if p.from, p.to = max(p.from, a), min(p.to, b); p.from < p.to {
			kept = append(kept, p)
		}
	}
	return kept
}
