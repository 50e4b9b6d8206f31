package service

import (
	"fmt"

	"recirc/calc/quantity"
)

// atDuty is how near to the duty a flow is that is said to be there.
const atDuty = 1e-6

// Speeds that are spoken of, as ratios to that of a curve.
const leastSpeed, greatestSpeed = 0.1, 2.0

// reach finds what would bring a pump to the flow of the duty: a set head where a
// control holds one and the pump has the strength; else a valve or a speed.
func (s *pumpSelection) reach(r *RankedPump) ReachDuty {
	var to ReachDuty
	t := r.setting
	if r.At != nil && r.nearness <= atDuty {
		return to
	}
	flow := quantity.CubicMetresPerSecond(s.flow)
	speed, err := t.pumps.SpeedFor(flow, quantity.Metres(s.head), leastSpeed, greatestSpeed)
	switch {
	case t.held != nil && err == nil && speed <= t.pumps.Speed*slack:
		to.SetHead = quantity.Metres(s.head / s.heldShare(&t.control))
		return to
	case err == nil:
		to.Speed = speed
	}
	if throttle, err := t.pumps.ThrottleTo(flow, s.system, s.density); err == nil && t.held == nil {
		to.Kv, to.Wasted = throttle.Kv, throttle.Wasted
	}
	return to
}

// change says what would have to change for one reason against a pump to go.
func (s *pumpSelection) change(r *RankedPump, why *PumpRejection) string {
	to := &r.Reach
	bring := "none of its speeds and settings brings it to the duty; choose another pump"
	kv := quantity.FlowCoefficientDimension.SI.FromSI(to.Kv.SI())
	switch {
	case to.SetHead != quantity.Length{}:
		bring = fmt.Sprintf("set its control to %.3g m", to.SetHead.Metres())
	case kv > 0 && to.Speed > 0:
		bring = fmt.Sprintf("throttle it by a valve with a Kv of %.3g m3/h, or run it at %.3g times the speed of its curve", kv, to.Speed)
	case kv > 0:
		bring = fmt.Sprintf("throttle it by a valve with a Kv of %.3g m3/h", kv)
	case to.Speed > 0:
		bring = fmt.Sprintf("run it at %.3g times the speed of its curve", to.Speed)
	}
	switch why.Code {
	case NotApproved:
		return "It would have to be approved for drinking water."
	case TemperatureRating:
		return fmt.Sprintf("It would have to be rated for %s, or sit where the water is colder.", shownTemperature(s.water))
	case PressureRating:
		return fmt.Sprintf("It would have to be rated for %.4g kPa, or the pressure be reduced.", why.Value/1e3)
	case NPSHShort:
		return fmt.Sprintf("Its suction head lacks %.3g m: raise the pressure, set it lower, or shorten the way to its inlet.", why.Limit-why.Value)
	case VelocityLimit:
		return fmt.Sprintf("To keep the velocity, %s; or take a wider pipe.", bring)
	case UnstableOnly:
		return "A pump whose curve falls from no flow on, or a system that takes more head."
	case BeyondCurve, BeforeCurve:
		return fmt.Sprintf("More points of its curve would tell where it runs; or %s.", bring)
	}
	return fmt.Sprintf("To meet the duty, %s.", bring)
}
