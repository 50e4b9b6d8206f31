package service

import (
	"fmt"

	"recirc/calc/fault"
	"recirc/calc/pump"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

// pumpGain is the pump of a loop as a solver asks it: at flows beyond its points
// too, where the answer is only a direction back.
type pumpGain struct {
	mode             pump.Mode
	pumps            pump.Pumps // without a curve where none is given
	setHead, setFlow float64    // m, m3/s
	first            float64    // flow at which the curve begins at this speed
	last, lastHead   float64    // where it ends
	steep            float64    // m/(m3/s), beyond it
	density          float64
	push             float64 // Pa, of a pump that has just been switched off
}

// findPump makes the gain of the pump.
func (s *loopSimulation) findPump(faults *fault.List) {
	p := &s.req.Pump
	s.gain = pumpGain{mode: p.Mode, setHead: p.SetHead.Metres(), setFlow: p.SetFlow.CubicMetresPerSecond()}
	if p.Speed != nil {
		s.gain.pumps.Speed = *p.Speed
	}
	if len(p.Curve) > 0 {
		curve := newCurve(p.Curve, "/pump/curve", faults)
		if curve == nil {
			return
		}
		s.gain.setCurve(curve)
	}
	if p.Mode == pump.ProportionalPressure && s.gain.setFlow == 0 {
		if s.gain.setFlow = s.gain.last; s.gain.last == 0 {
			faults.Add("/pump", fault.PumpIncomplete, "proportional_pressure needs set_flow, or a curve whose largest flow is taken.")
		}
	}
}

func (g *pumpGain) setCurve(curve *pump.Curve) {
	g.pumps.Curve = curve
	span, _ := g.pumps.Range() // of a speed as it was read
	end, slope, _ := g.pumps.Head(span.To)
	start, _, _ := g.pumps.Head(span.From)
	g.first, g.last, g.lastHead = span.From.CubicMetresPerSecond(), span.To.CubicMetresPerSecond(), end.Metres()
	g.steep = max(-slope, start.Metres()/g.last)
}

// source is where the head of the pump is from.
func (g *pumpGain) source() source.ID {
	if g.pumps.Curve == nil {
		return pump.ControlSource
	}
	return pump.CurveSource
}

func (g *pumpGain) off() bool { return g.mode == pump.Off }

// at is the gain at a flow, Pa and Pa/(m3/s).
func (g *pumpGain) at(q float64) (gain, slope float64) {
	if g.off() {
		return g.push, 0
	}
	head, rise := g.head(q)
	weight := g.density * quantity.StandardGravity
	return head * weight, rise * weight
}

func (g *pumpGain) head(q float64) (head, slope float64) {
	full, fall := g.full(q)
	set, rise := g.setHead, 0.0
	switch g.mode {
	case pump.ConstantSpeed:
		return full, fall
	case pump.ProportionalPressure:
		share := min(max(q/g.setFlow, 0), 1)
		set *= pump.HalfAtZero + (1-pump.HalfAtZero)*share
		if share > 0 && share < 1 {
			rise = (1 - pump.HalfAtZero) * g.setHead / g.setFlow
		}
	}
	if g.pumps.Curve != nil && full < set {
		return full, fall
	}
	return set, rise
}

// full is the head at full speed.
func (g *pumpGain) full(q float64) (head, slope float64) {
	switch {
	case g.pumps.Curve == nil:
		return 0, 0
	case q > g.last:
		return g.lastHead - g.steep*(q-g.last), -g.steep
	}
	h, slope, err := g.pumps.Head(quantity.CubicMetresPerSecond(max(q, g.first)))
	if err != nil { // the last bit beyond the end
		return g.lastHead, -g.steep
	}
	if q < g.first {
		slope = 0
	}
	return h.Metres(), slope
}

// beyondCurveError is a loop that would run where its pump's curve has ended.
type beyondCurveError struct{ flow, last float64 }

func (e *beyondCurveError) Error() string {
	return fmt.Sprintf("the loop would run at %.4g L/min or more, beyond the last point of the curve at %.4g L/min", 6e4*e.flow, 6e4*e.last)
}

// check refuses a flow beyond the curve: nothing is known there.
func (g *pumpGain) check(q float64) error {
	if g.pumps.Curve != nil && !g.off() && q > g.last*slack {
		return &beyondCurveError{q, g.last}
	}
	return nil
}
