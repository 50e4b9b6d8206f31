package service

import (
	"fmt"
	"math"

	"recirc/calc/fault"
	"recirc/calc/hydraulic"
	"recirc/calc/pump"
	"recirc/calc/quantity"
	"recirc/calc/water"
)

// findDuty finds the duty and the system curve.
func (s *pumpSelection) findDuty(faults *fault.List) {
	d, before := &s.req.Duty, len(faults.Faults())
	if s.checkDuty(faults); len(faults.Faults()) > before || d.Basis == "" {
		return
	}
	switch {
	case d.Basis == DutyByHeatLoss:
		s.dutyOfLoop(faults)
	case d.Fixture != "":
		s.dutyOfWay(faults)
	default:
		s.dutyAsGiven(faults)
	}
	if !faults.Empty() {
		return
	}
	s.curveGiven(faults)
	s.settleDuty(faults)
}

// checkDuty refuses a duty that lacks what its basis needs, or that comes with
// what its basis would not look at.
func (s *pumpSelection) checkDuty(faults *fault.List) {
	d := &s.req.Duty
	if d.Basis == "" {
		return
	}
	refuse := func(given bool, pointer, why string) {
		if given {
			faults.Add(pointer, fault.DutyContradicts, "A duty with the basis %s %s.", d.Basis, why)
		}
	}
	need := func(given bool, what string) {
		if !given {
			faults.Add("/duty", fault.DutyIncomplete, "A duty with the basis %s needs %s.", d.Basis, what)
		}
	}
	flow, head, pressure := d.Flow != quantity.Flow{}, d.Head != quantity.Length{}, d.Pressure != quantity.Pressure{}
	time, volume, fixture := d.Time != quantity.Duration{}, d.Volume != quantity.Volume{}, d.Fixture != ""
	refuse(head && pressure, "/duty/pressure", "takes a head or a pressure, not both")
	switch d.Basis {
	case DutyGiven:
		need(flow, "flow")
		need(head || pressure || s.req.Curve != nil, "head or pressure, or a system_curve that tells it")
	case DutyByFillTime:
		need(time, "time")
		need(volume || fixture, "volume, or a fixture of the system")
		need(!fixture || s.req.HasSystem, "the system in which the fixture is")
		need(head || pressure || fixture || s.req.Curve != nil, "head or pressure, a system_curve, or a fixture whose pipes tell it")
		refuse(volume && fixture, "/duty/volume", "takes a volume or a fixture, not both")
	case DutyByHeatLoss:
		need(s.req.HasSystem, "the system whose loop is designed")
		refuse(head, "/duty/head", "follows from the loop and takes no head")
		refuse(pressure, "/duty/pressure", "follows from the loop and takes no pressure")
	}
	refuse(flow && d.Basis != DutyGiven, "/duty/flow", "takes no flow; it is found")
	refuse(time && d.Basis != DutyByFillTime, "/duty/time", "fills nothing and takes no time")
	refuse(volume && d.Basis != DutyByFillTime, "/duty/volume", "fills nothing and takes no volume")
	refuse(fixture && d.Basis != DutyByFillTime, "/duty/fixture", "fills nothing and takes no fixture")
	refuse(s.req.HasSystem && (d.Basis == DutyGiven || d.Basis == DutyByFillTime && !fixture), systemPointer, "without a fixture does not look at a system; leave it out, or choose heat_loss")
	for _, member := range s.req.LoopGiven {
		refuse(d.Basis == DutyGiven || d.Basis == DutyByFillTime && !(member == "losses" && fixture), "/"+member, "designs no loop and does not look at this")
	}
	l := &s.req.Limits
	if l.Velocity != (quantity.Velocity{}) && l.Bore == (quantity.Length{}) && !s.req.HasSystem {
		faults.Add("/limits/greatest_velocity", fault.LimitsIncomplete, "A velocity needs a bore: give tightest_inside_diameter, or a system.")
	}
}

// setWater takes the temperature of the water in the pump, and its density there
// unless that of the loop is known.
func (s *pumpSelection) setWater(hottest quantity.Temperature, density float64) {
	s.water = s.req.Conditions.Water
	switch {
	case s.water != quantity.Temperature{}:
	case hottest != quantity.Temperature{}:
		s.water = hottest
	default:
		s.water = defaultOutlet
		s.a.assume(Assumption{Code: "default_water_temperature", Detail: "No water temperature is given; the pump is taken to carry hot water as it leaves a store.", Value: shownTemperature(s.water), Pointers: []string{""}, Source: "common_practice"})
	}
	if s.density = density; density == 0 {
		w, _ := water.At(s.water) // 0 to 110 degC, as it was read
		s.density = w.Density
	}
	s.a.use(water.Source)
}

// dutyOfLoop designs the loop, whose pipes make the system curve.
func (s *pumpSelection) dutyOfLoop(faults *fault.List) {
	s.req.Loop.ShowWorking = s.req.ShowWorking
	d := designLoop(&s.req.Loop, faults)
	if d == nil {
		return
	}
	s.a.Notes, s.work.steps = d.a.Notes, d.a.Working
	s.a.Circulation = &d.a.Circulation
	s.setWater(d.c.outlet, d.c.loop.Water.Density)
	s.flow, s.head = d.state.Total, d.a.Duty.Head.Metres()
	s.a.Statement = "The loop of the system was designed first: its heat loss, or a floor under its flows, asks for this. " + d.a.Statement
	line := newPipelineOfLoop(d)
	s.system, s.parts = line, len(line.parts)
	s.a.Curve = SystemCurveFound{Origin: CurveOfLoop, Statement: "The critical circuit of the designed loop, pipe by pipe, its valves as designed; the flows of all connections rise and fall in one proportion with the whole."}
	s.a.assume(Assumption{Code: "flows_in_proportion", Detail: "At another flow than the duty's, the flows of all connections are taken to change in one proportion; friction and valves follow slightly different powers of the flow, so that they shift by some percent.", Value: "in proportion", Pointers: []string{systemPointer}, Source: "common_practice"})
	s.velocitiesOfLoop(d)
}

// dutyAsGiven takes the flow, or that which fills the volume.
func (s *pumpSelection) dutyAsGiven(faults *fault.List) {
	d := &s.req.Duty
	s.setWater(quantity.Temperature{}, 0)
	s.flow, s.a.Statement = d.Flow.CubicMetresPerSecond(), "The duty is given."
	if d.Basis == DutyByFillTime {
		s.fill(d.Volume, faults)
	}
}

// fill takes the flow that fills a volume in the time wanted.
func (s *pumpSelection) fill(v quantity.Volume, faults *fault.List) {
	q, err := pump.FlowToFill(v, s.req.Duty.Time)
	if err != nil {
		faults.Add("/duty", fault.OutOfRange, "No flow fills this: %s.", reasonOf(err))
		return
	}
	s.flow = q.CubicMetresPerSecond()
	s.a.Volume, s.a.Time = v, s.req.Duty.Time
	s.a.Statement = fmt.Sprintf("A pump on demand is sized by the time in which hot water shall come, not by the heat that a loop loses: %.4g L in %.4g s.", 1e3*v.CubicMetres(), s.a.Time.Seconds())
	s.a.use(pump.FillSource)
}

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

// settleDuty fixes the head that a pump must give: that of the duty or, if it is
// more, that of the system.
func (s *pumpSelection) settleDuty(faults *fault.List) {
	if s.system == nil || !faults.Empty() {
		return
	}
	s.taken, _ = s.system.Head(s.flow)
	switch {
	case s.head == 0:
		s.head = s.taken
	case math.Abs(s.head-s.taken) > poorFit*s.head:
		s.a.warn("duty_off_system_curve", "/duty", fmt.Sprintf("The head of the duty is %.4g m, and the system takes %.4g m at its flow. A pump is asked for the greater of them.", s.head, s.taken))
	}
	s.head = max(s.head, s.taken)
	if !(s.head >= leastDutyHead && s.head <= greatestDutyHead && s.flow >= leastDutyFlow) {
		faults.Add("/duty", fault.OutOfRange, "The duty is %.4g m at %.4g L/min; there is nothing for a pump to do, or too much.", s.head, 6e4*s.flow)
		return
	}
	dp := hydraulic.HeadPressure(quantity.Metres(s.head), s.density)
	s.a.Basis = s.req.Duty.Basis
	s.a.Duty = PumpDuty{
		Flow: quantity.CubicMetresPerSecond(s.flow), Head: quantity.Metres(s.head), Pressure: dp, Hydraulic: quantity.PowerWatts(s.flow * dp.Pascals()),
	}
	s.a.Curve.Points = make([]pump.Point, systemPoints+1)
	for i := range s.a.Curve.Points {
		q := 2 * s.flow * float64(i) / systemPoints
		h, _ := s.system.Head(q)
		s.a.Curve.Points[i] = pump.Point{Flow: quantity.CubicMetresPerSecond(q), Head: quantity.Metres(h)}
	}
	s.velocityGiven()
}

// Duties that a pump may have: from some drops an hour on.
const (
	leastDutyFlow                   = 1e-9 // m3/s
	leastDutyHead, greatestDutyHead = 1e-6, 1e4
)

// systemPoints is in how many steps the system curve is told.
const systemPoints = 20
