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
