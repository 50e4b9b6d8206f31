package service

import (
	"errors"
	"math"

	"recirc/calc/pump"
	"recirc/calc/quantity"
)

// pumpSetting is pumps as they are set: at a speed, or under a control.
type pumpSetting struct {
	pumps   pump.Pumps
	held    *pump.Regulated // nil: constant speed
	control pump.Control    // by which they are held
}

func (t *pumpSetting) duties(s pump.System) ([]pump.Duty, error) {
	if t.held != nil {
		return t.held.Duties(s)
	}
	return t.pumps.Duties(s)
}

// headAt is the head at a flow, and whether it is known.
func (t *pumpSetting) headAt(q quantity.Flow) (float64, bool) {
	if t.held != nil {
		at, err := t.held.At(q)
		return at.Head.Metres(), err == nil
	}
	h, _, err := t.pumps.Head(q)
	return h.Metres(), err == nil
}

func (t *pumpSetting) power(q quantity.Flow) (quantity.Power, error) {
	if t.held != nil {
		return t.held.Power(q)
	}
	return t.pumps.Power(q)
}

func (t *pumpSetting) span() pump.Span {
	if t.held != nil {
		return t.held.Range()
	}
	span, _ := t.pumps.Range()
	return span
}

// settings lists how a candidate can be set. An error says that its control holds
// its line nowhere.
func (s *pumpSelection) settings(i int) ([]pumpSetting, error) {
	c := &s.req.Candidates[i]
	pumps := pump.Pumps{Curve: s.curves[i].head, Speed: 1}
	if c.Arrangement == TwoInParallel {
		pumps.Parallel = 2
	}
	switch {
	case c.Control.Mode == pump.ConstantPressure || c.Control.Mode == pump.ProportionalPressure:
		return s.heldSetting(pumps, &c.Control)
	case c.SpeedRange != nil:
		return s.speedSettings(pumps, c.SpeedRange), nil
	case len(c.Speeds) == 0:
		return []pumpSetting{{pumps: pumps}}, nil
	}
	all := make([]pumpSetting, len(c.Speeds))
	for k, r := range c.Speeds {
		all[k].pumps = pumps
		all[k].pumps.Speed = r
	}
	return all, nil
}

// speedSettings finds the speed that gives just the duty or, if there is none in
// the range, the end that comes next to it; both ends where no speed is known to.
func (s *pumpSelection) speedSettings(pumps pump.Pumps, within *SpeedRange) []pumpSetting {
	at := func(speed float64) pumpSetting {
		pumps.Speed = speed
		return pumpSetting{pumps: pumps}
	}
	r, err := pumps.SpeedFor(quantity.CubicMetresPerSecond(s.flow), quantity.Metres(s.head), within.Least, within.Greatest)
	var none *pump.Error
	switch {
	case err == nil:
		return []pumpSetting{at(r)}
	case errors.As(err, &none) && none.Reason == pump.SpeedTooLow:
		return []pumpSetting{at(within.Least)}
	case errors.As(err, &none) && none.Reason == pump.SpeedTooHigh:
		return []pumpSetting{at(within.Greatest)}
	}
	return []pumpSetting{at(within.Least), at(within.Greatest)}
}

// heldSetting puts pumps under a control whose head is given, or such that the
// line that it holds goes through the duty.
func (s *pumpSelection) heldSetting(pumps pump.Pumps, c *PumpControl) ([]pumpSetting, error) {
	set := pump.Control{Mode: c.Mode, Head: c.SetHead, Flow: c.SetFlow}
	if c.Mode == pump.ProportionalPressure && c.SetFlow == (quantity.Flow{}) {
		span, err := pumps.Range()
		if err != nil {
			return nil, err
		}
		set.Flow = span.To
	}
	if c.Adjustable {
		set.Head = quantity.Metres(s.head / s.heldShare(&set))
	}
	held, err := pump.Regulate(pumps, set)
	if err != nil {
		return nil, err
	}
	return []pumpSetting{{pumps: pumps, held: held, control: set}}, nil
}

// heldShare is the head that a control holds at the flow of the duty, over the
// head that it is set to.
func (s *pumpSelection) heldShare(c *pump.Control) float64 {
	if c.Mode == pump.ConstantPressure {
		return 1
	}
	return pump.HalfAtZero + (1-pump.HalfAtZero)*s.flow/c.Flow.CubicMetresPerSecond()
}

// nearnessOf says how far a flow is from that of the duty, either way; 0 is there
// but for rounding.
func (s *pumpSelection) nearnessOf(q float64) float64 { return math.Abs(math.Log1p(excess(q, s.flow))) }
