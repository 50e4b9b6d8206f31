package pump

import (
	"math"

	"recirc/calc/quantity"
)

// Regulated are pumps under a control.
type Regulated struct {
	pumps Pumps
	line  line // none if the pumps are off
}

// State is what regulated pumps do at a flow.
type State struct {
	Head  quantity.Length
	Slope float64 // dH/dQ, s/m2
	Speed float64 // ratio to the speed of the curve, 0 if off
	Held  bool    // the control holds the head; if not, the pumps run at their full speed
}

// Range is the flows between which the pumps are known; for pumps that are off,
// every flow.
func (r *Regulated) Range() Span {
	if len(r.line.pieces) == 0 {
		return span(0, greatestFlow)
	}
	return span(r.line.from(), r.line.to())
}

// At gives what the pumps do at a flow; pumps that are off do nothing.
//
// Errors: a [*RangeError]; an [*Error] for a flow outside [Regulated.Range].
func (r *Regulated) At(q quantity.Flow) (State, error) {
	const operation = "pump.At"
	x := q.CubicMetresPerSecond()
	if len(r.line.pieces) == 0 {
		return State{}, rangeError(operation, "Q", x, 0, greatestFlow, "m3/s")
	}
	x, err := r.line.within(operation, x)
	if err != nil {
		return State{}, err
	}
	p := r.line.piece(x)
	h, slope := p.value(x)
	s := State{Head: quantity.Metres(h), Slope: slope, Speed: r.pumps.Speed, Held: p.held}
	if p.held {
		if s.Speed, err = r.speed(operation, x, h); err != nil {
			return State{}, err
		}
	}
	return s, nil
}

// speed is never more than the full speed, but for rounding, which may also hide a
// point where the head held and that at full speed touch.
func (r *Regulated) speed(operation string, Q, H float64) (float64, error) {
	p := r.pumps
	ratio, err := p.Curve.speed(operation, Q/float64(p.Parallel), H/float64(p.Series))
	if x, outside := p.Curve.head.within(operation, Q/p.flow()); err != nil && outside == nil {
		if full, _ := p.Curve.head.piece(x).value(x); math.Abs(full-H/p.head()) <= nearlySame*p.Curve.head.highest() {
			return p.Speed, nil
		}
	}
	return min(ratio, p.Speed), err
}

// Power gives the electrical power of the pumps at a flow, at the speed that they
// then run at; none if they are off. See [Pumps.Power].
func (r *Regulated) Power(q quantity.Flow) (quantity.Power, error) {
	s, err := r.At(q)
	if err != nil || s.Speed == 0 {
		return quantity.Power{}, err
	}
	p := r.pumps
	p.Speed = s.Speed
	return p.power("pump.Power", q)
}

// Duties is [Pumps.Duties] of regulated pumps.
//
// Errors: also an [*Error] for pumps that are off, [PumpOff].
func (r *Regulated) Duties(s System) ([]Duty, error) {
	const operation = "pump.Duties"
	if len(r.line.pieces) == 0 {
		return nil, &Error{Operation: operation, Reason: PumpOff}
	}
	if err := checked(operation, s); err != nil {
		return nil, err
	}
	meetings, err := r.line.meet(operation, s)
	if err != nil {
		return nil, err
	}
	duties := make([]Duty, len(meetings))
	for i, m := range meetings {
		at, err := r.At(quantity.CubicMetresPerSecond(m.x))
		if err != nil {
			return nil, err
		}
		duties[i] = Duty{Flow: quantity.CubicMetresPerSecond(m.x), Head: at.Head, Stable: m.stable, Speed: at.Speed}
	}
	return duties, nil
}
