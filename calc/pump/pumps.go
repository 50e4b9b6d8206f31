package pump

import (
	"math"

	"recirc/calc/quantity"
	"recirc/calc/source"
)

// AffinitySource is where the laws of speed are from.
const AffinitySource source.ID = "affinity_laws"

// Pumps are equal pumps that run together, at one speed.
type Pumps struct {
	Curve *Curve

	Speed float64 // ratio to the speed of the curve, 0.01 to 10; 0 stands for 1

	// Of the pumps that run; 0 stands for 1. A pump on stand-by does not run: of a
	// duty and a stand-by pump there is one.
	Parallel, Series int
}

// The ranges of [Pumps].
const (
	slowest, fastest = 0.01, 10.0
	mostPumps        = 100
)

// sound fills in what 0 stands for.
func (p Pumps) sound(operation string) (Pumps, error) {
	if p.Speed == 0 {
		p.Speed = 1
	}
	p.Parallel, p.Series = orOne(p.Parallel), orOne(p.Series)
	for _, err := range []error{
		rangeError(operation, "r", p.Speed, slowest, fastest, "1"),
		rangeError(operation, "p", float64(p.Parallel), 1, mostPumps, "1"),
		rangeError(operation, "s", float64(p.Series), 1, mostPumps, "1"),
	} {
		if err != nil {
			return Pumps{}, err
		}
	}
	return p, nil
}

func orOne(n int) int {
	if n == 0 {
		return 1
	}
	return n
}

// flow and head are those of the pumps over those of the curve.
func (p Pumps) flow() float64 { return float64(p.Parallel) * p.Speed }

func (p Pumps) head() float64 { return float64(p.Series) * p.Speed * p.Speed }

// Range is the flows between which the pumps are known.
func (p Pumps) Range() (Span, error) {
	p, err := p.sound("pump.Range")
	if err != nil {
		return Span{}, err
	}
	return span(p.Curve.head.from()*p.flow(), p.Curve.head.to()*p.flow()), nil
}

// Head gives the head of the pumps at a flow, and its slope dH/dQ in s/m2
//
//	H(Q) = s r^2 Hcurve(Q/(p r))
//
//	r     ratio of the speed to that of the curve   1     0.01 to 10
//	p, s  pumps in parallel, in series              1     1 to 100
//	Q     flow of all                               m3/s
//
// Valid for equal pumps, without the pipes between them, and for speeds not far
// from that of the curve: below a half, losses in the bearings and the fall of the
// Reynolds number make a small pump weaker than the laws say (common practice).
//
// Errors: a [*RangeError]; an [*Error] for a flow outside [Pumps.Range].
//
// Source: White, Fluid Mechanics, similarity rules of pumps, from memory.
func (p Pumps) Head(q quantity.Flow) (head quantity.Length, slope float64, err error) {
	const operation = "pump.Head"
	if p, err = p.sound(operation); err != nil {
		return quantity.Length{}, 0, err
	}
	x, err := p.Curve.head.within(operation, q.CubicMetresPerSecond()/p.flow())
	if err != nil {
		return quantity.Length{}, 0, err
	}
	h, d := p.Curve.head.piece(x).value(x)
	return quantity.Metres(h * p.head()), d * p.head() / p.flow(), nil
}

// Power gives the electrical power of the pumps at a flow
//
//	P(Q) = p s r^3 Pcurve(Q/(p r))
//
// with the letters of [Pumps.Head]. The law holds for the shaft. Motor and
// electronics lose more of a small load: at half the speed a small pump may take
// twice what this gives, or more (common practice).
//
// Errors: a [*RangeError]; an [*Error] for a flow outside [Pumps.Range], or a curve
// that came without power.
//
// Source: as [Pumps.Head].
func (p Pumps) Power(q quantity.Flow) (quantity.Power, error) {
	const operation = "pump.Power"
	p, err := p.sound(operation)
	if err != nil {
		return quantity.Power{}, err
	}
	return p.power(operation, q)
}

// power is [Pumps.Power] at any speed above 0.
func (p Pumps) power(operation string, q quantity.Flow) (quantity.Power, error) {
	if !p.Curve.HasPower() {
		return quantity.Power{}, &Error{Operation: operation, Reason: PowerUnknown}
	}
	x, err := p.Curve.power.within(operation, q.CubicMetresPerSecond()/p.flow())
	if err != nil {
		return quantity.Power{}, err
	}
	P, _ := p.Curve.power.piece(x).value(x)
	return quantity.PowerWatts(P * float64(p.Parallel*p.Series) * math.Pow(p.Speed, 3)), nil
}

// Duties gives every flow at which the pumps give the head that the system takes,
// by rising flow. A pump curve that falls has one at most. Where the curve rises
// there may be more, see [Duty.Stable]; if the system is no [Parabola], two that lie
// nearer than a sixteenth of the way between two points may be missed.
//
// Errors: a [*RangeError]; an [*Error] with the reason if there is none:
// [AboveShutOff], [BelowCurveStart], [BeyondCurveEnd], [SystemUnsound].
//
// Source: textbook hydraulics.
func (p Pumps) Duties(s System) ([]Duty, error) {
	const operation = "pump.Duties"
	p, err := p.sound(operation)
	if err != nil {
		return nil, err
	}
	if err := checked(operation, s); err != nil {
		return nil, err
	}
	meetings, err := p.Curve.head.meet(operation, seen(s, p.flow(), p.head()))
	if err != nil {
		return nil, err
	}
	duties := make([]Duty, len(meetings))
	for i, m := range meetings {
		duties[i] = Duty{
			Flow: quantity.CubicMetresPerSecond(m.x * p.flow()), Head: quantity.Metres(m.y * p.head()), Stable: m.stable, Speed: p.Speed,
		}
	}
	return duties, nil
}
