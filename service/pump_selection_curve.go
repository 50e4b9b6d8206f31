package service

import (
	"fmt"
	"math"

	"recirc/calc/fault"
	"recirc/calc/hydraulic"
	"recirc/calc/pump"
	"recirc/calc/quantity"
)

// curveGiven takes the system curve of the request, which wins over any other,
// or the parabola through a duty whose head is given.
func (s *pumpSelection) curveGiven(faults *fault.List) {
	d := &s.req.Duty
	given := d.Head
	if d.Pressure != (quantity.Pressure{}) {
		given = hydraulic.Head(d.Pressure, s.density)
	}
	if given != (quantity.Length{}) {
		s.head = given.Metres()
	}
	if c := s.req.Curve; c != nil {
		if !c.Unreadable {
			s.curveOfPoints(c, faults)
		}
		return
	}
	if s.system != nil && given == (quantity.Length{}) {
		return
	}
	p, err := pump.ParabolaThrough(quantity.Length{}, quantity.CubicMetresPerSecond(s.flow), given)
	if err != nil {
		faults.Add("/duty", fault.OutOfRange, "No system curve goes through this duty: %s.", reasonOf(err))
		return
	}
	s.system, s.parts = p, 1
	s.a.Curve = SystemCurveFound{Origin: CurveOfDuty, Statement: "The parabola through the duty from no head, as in a closed loop of turbulent flow."}
	s.a.assume(Assumption{Code: "system_curve_through_duty", Detail: "No system curve is given; the head is taken to go with the square of the flow, through the duty. Friction goes with a power of 1.75 to 2, so that at larger flows the system takes a little less than this.", Value: "H = k q^2", Pointers: []string{"/duty"}, Source: pump.DutySource})
}

// curveOfPoints takes the parabola through one point, or nearest to several.
func (s *pumpSelection) curveOfPoints(c *SystemCurve, faults *fault.List) {
	const at = "/system_curve"
	var p pump.Parabola
	var err error
	static := quantity.Length{}
	if c.Static != nil {
		static = *c.Static
	}
	statement := "The parabola through the point given."
	switch {
	case len(c.Points) > 1 && c.Static != nil:
		faults.Add(at+"/static_head", fault.StaticHeadContradicts, "Several points find their own static head; give one point, or leave the static head out.")
		return
	case len(c.Points) > 1:
		statement = "The parabola with a static head that passes nearest to the points given."
		if p, err = pump.FitParabola(c.Points); err != nil {
			curveFault(err, at+"/points", faults)
			return
		}
	default:
		point := c.Points[0]
		if point.Head.Metres() < static.Metres() {
			faults.Add(at+"/static_head", fault.StaticHeadContradicts, "The point lies below the static head; the head of a system rises with the flow.")
			return
		}
		if p, err = pump.ParabolaThrough(static, point.Flow, point.Head); err != nil {
			faults.Add(at+"/points/0", fault.CurveWithoutOutput, "No parabola goes through this point: %s.", reasonOf(err))
			return
		}
	}
	s.system, s.parts = p, 1
	s.a.Curve = SystemCurveFound{Origin: CurveOfPoints, Statement: statement}
	s.a.use(pump.DutySource)
	s.warnFit(p, c.Points)
}

// poorFit is from where a parabola is said to miss the points, as a part of the
// greatest head among them.
const poorFit = 0.05

func (s *pumpSelection) warnFit(p pump.Parabola, points []pump.Point) {
	worst, at, highest := 0.0, 0, 0.0
	for i, point := range points {
		h, _ := p.Head(point.Flow.CubicMetresPerSecond())
		highest = max(highest, point.Head.Metres())
		if off := math.Abs(h - point.Head.Metres()); off > worst {
			worst, at = off, i
		}
	}
	if worst > poorFit*highest {
		s.a.warn("system_curve_misses_points", listPointer("/system_curve/points", at, ""), fmt.Sprintf("The parabola nearest to the points misses this one by %.3g m; they may be of different settings, or measured wrongly.", worst))
	}
}
