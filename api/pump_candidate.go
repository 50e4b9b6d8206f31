package api

import (
	"recirc/api/body"
	"recirc/calc/fault"
	"recirc/calc/pump"
	"recirc/calc/quantity"
	"recirc/service"
)

var pumpCandidateObject = body.NewObject("PumpCandidate",
	body.Required("id", func(r *body.Reader, c *service.PumpCandidate) { c.ID = identifier(r) }),
	body.Required("curve", func(r *body.Reader, c *service.PumpCandidate) { c.Curve = readCurvePoints(r, 2, pumpCurvePointObject) }),
	body.Optional("speeds", func(r *body.Reader, c *service.PumpCandidate) {
		r.List(1, 20, func(int) {
			x, _ := r.Number(leastSpeed, greatestSpeed)
			c.Speeds = append(c.Speeds, x)
		})
	}),
	body.Optional("speed_range", func(r *body.Reader, c *service.PumpCandidate) {
		c.SpeedRange = new(service.SpeedRange)
		speedRangeObject.Read(r, c.SpeedRange)
	}),
	body.Optional("control", func(r *body.Reader, c *service.PumpCandidate) { pumpControlObject.Read(r, &c.Control) }),
	body.Optional("arrangement", func(r *body.Reader, c *service.PumpCandidate) {
		c.Arrangement = service.PumpsInstalled(oneOf(r, pumpsInstalled))
	}),
	body.Optional("drinking_water_approved", func(r *body.Reader, c *service.PumpCandidate) {
		yes := r.Bool()
		c.Approved = &yes
	}),
	body.Optional("temperature_rating", func(r *body.Reader, c *service.PumpCandidate) { c.Temperature = temperature(r, ratedTemperatureRange) }),
	body.Optional("pressure_rating", func(r *body.Reader, c *service.PumpCandidate) { c.Pressure = pressure(r, ratingRange) }),
	body.Optional("npsh_required", func(r *body.Reader, c *service.PumpCandidate) { c.NPSH = readCurvePoints(r, 2, pumpPointObject) }),
	body.Optional("price", func(r *body.Reader, c *service.PumpCandidate) { c.Price = readPrice(r) }),
	body.Optional("connection", func(r *body.Reader, c *service.PumpCandidate) { c.Connection = identifier(r) }),
)

const leastSpeed, greatestSpeed = 0.1, 2

var pumpCurvePointObject = body.NewObject("PumpCurvePoint",
	body.Required("flow", readPointFlow),
	body.Required("head", readPointHead),
	body.Optional("power", func(r *body.Reader, p *pump.Point) {
		w, ok := r.Amount(quantity.PowerDimension, curvePowerRange)
		if ok && w == 0 { // which would stand for not known
			r.FaultAt("value", fault.OutOfRange, "A pump that runs takes power; leave it out where it is not known.")
		}
		p.Power = quantity.PowerWatts(w)
	}),
)

var speedRangeObject = body.NewObject("SpeedRange",
	body.Required("least", func(r *body.Reader, s *service.SpeedRange) { s.Least, _ = r.Number(leastSpeed, greatestSpeed) }),
	body.Required("greatest", func(r *body.Reader, s *service.SpeedRange) { s.Greatest, _ = r.Number(leastSpeed, greatestSpeed) }),
)

var pumpControlObject = body.NewObject("PumpControl",
	body.Required("mode", func(r *body.Reader, c *service.PumpControl) { c.Mode = pump.Mode(oneOf(r, candidateModes)) }),
	body.Optional("set_head", func(r *body.Reader, c *service.PumpControl) { c.SetHead = length(r, headRange) }),
	body.Optional("set_flow", func(r *body.Reader, c *service.PumpControl) { c.SetFlow = flow(r) }),
	body.Optional("adjustable", func(r *body.Reader, c *service.PumpControl) { c.Adjustable = r.Bool() }),
)

var (
	ratedTemperatureRange = body.Within(273.15, 573.15, "0 to 300 degC")
	candidateModes        = []string{string(pump.ConstantSpeed), string(pump.ConstantPressure), string(pump.ProportionalPressure)}
	pumpsInstalled        = []string{string(service.SinglePump), string(service.TwoInParallel), string(service.DutyAndStandby)}
)

func readCandidates(r *body.Reader, p *pumpSelectionsBody) {
	start := r.Offset()
	r.List(1, mostCandidates, func(int) {
		p.Candidates = body.Room(r, start, p.Candidates, mostCandidates)
		p.Candidates = append(p.Candidates, service.PumpCandidate{})
		readCandidate(r, &p.Candidates[len(p.Candidates)-1])
	})
}

const mostCandidates = 2000

// readCandidate reads a candidate and what belongs together in it. A wrong one is
// marked, and nothing more is said about it.
func readCandidate(r *body.Reader, c *service.PumpCandidate) {
	before := r.FaultCount()
	pumpCandidateObject.Read(r, c)
	if r.FaultCount() == before {
		checkCandidate(r, c)
	}
	c.Unreadable = r.FaultCount() > before
}

// checkCandidate refuses a control that lacks what its mode needs, or a candidate
// with what its mode would not look at.
func checkCandidate(r *body.Reader, c *service.PumpCandidate) {
	k := &c.Control
	held := k.Mode == pump.ConstantPressure || k.Mode == pump.ProportionalPressure
	head, flow := k.SetHead != quantity.Length{}, k.SetFlow != quantity.Flow{}
	say := func(wrong bool, member, what string) {
		if wrong {
			r.FaultAt(member, fault.PumpIncomplete, "%s.", what)
		}
	}
	say(held && !head && !k.Adjustable, "control", "A pump that holds a pressure needs set_head, or must be adjustable")
	say(held && head && k.Adjustable, "control/set_head", "An adjustable pump is set to what the duty asks for, and takes no set_head")
	say(!held && head, "control/set_head", "A pump of constant speed takes no set_head")
	say(!held && k.Adjustable, "control/adjustable", "A pump of constant speed has no head to adjust; give speed_range")
	say(flow && k.Mode != pump.ProportionalPressure, "control/set_flow", "Only proportional_pressure takes set_flow")
	say(held && c.Speeds != nil, "speeds", "A pump that holds a pressure takes no speeds")
	say(held && c.SpeedRange != nil, "speed_range", "A pump that holds a pressure takes no speed_range")
	say(c.Speeds != nil && c.SpeedRange != nil, "speed_range", "Give speeds or speed_range, not both")
	if s := c.SpeedRange; s != nil {
		say(s.Least > s.Greatest, "speed_range", "The least speed is above the greatest")
	}
}
