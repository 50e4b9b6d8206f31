package api

import (
	"recirc/api/body"
	"recirc/api/picture"
	"recirc/calc/fault"
	"recirc/calc/quantity"
	"recirc/service"
)

type pumpSelectionsBody struct {
	options
	service.PumpSelectionRequest // but for its system and its options
}

var pumpSelectionsObject = body.NewObject("PumpSelectionRequest",
	body.Required("duty", func(r *body.Reader, p *pumpSelectionsBody) { readSelectionDuty(r, &p.Duty) }),
	body.Optional("system_curve", func(r *body.Reader, p *pumpSelectionsBody) { p.Curve = readSystemCurve(r) }),
	body.Optional("system", func(r *body.Reader, p *pumpSelectionsBody) {
		p.HasSystem = true
		p.readSystem(r)
	}),
	loopOnly("target", func(r *body.Reader, d *service.LoopDesignRequest) { d.Target = readLoopTarget(r) }),
	loopOnly("least_connection_flow", func(r *body.Reader, d *service.LoopDesignRequest) { d.LeastFlow = flow(r) }),
	loopOnly("connections", readConnectionLimits),
	loopOnly("return_sizing", func(r *body.Reader, d *service.LoopDesignRequest) { returnSizingObject.Read(r, &d.Sizing) }),
	loopOnly("losses", func(r *body.Reader, d *service.LoopDesignRequest) { d.Losses = readLossMethods(r) }),
	loopOnly("activation_margin", readActivationMargin),
	body.Required("candidates", readCandidates),
	body.Optional("limits", func(r *body.Reader, p *pumpSelectionsBody) { selectionLimitsObject.Read(r, &p.Limits) }),
	body.Optional("conditions", func(r *body.Reader, p *pumpSelectionsBody) { pumpConditionsObject.Read(r, &p.Conditions) }),
	body.Optional("running", func(r *body.Reader, p *pumpSelectionsBody) { readRunning(r, &p.Running) }),
	body.Optional("electricity_price", func(r *body.Reader, p *pumpSelectionsBody) { p.Electricity = readEnergyPrice(r) }),
	body.Optional("ranking", func(r *body.Reader, p *pumpSelectionsBody) { readRanking(r, &p.Ranking) }),
	body.Optional("unit_system", func(r *body.Reader, p *pumpSelectionsBody) { p.readUnitSystem(r) }),
	body.Optional("show_working", func(r *body.Reader, p *pumpSelectionsBody) { p.showWorking = r.Bool() }),
)

// loopOnly is a member that only a design of the loop takes; it is noted, since
// other duties refuse it.
func loopOnly(name string, read func(*body.Reader, *service.LoopDesignRequest)) body.Field[pumpSelectionsBody] {
	return body.Optional(name, func(r *body.Reader, p *pumpSelectionsBody) {
		p.LoopGiven = append(p.LoopGiven, name)
		read(r, &p.Loop)
	})
}

var selectionLimitsObject = body.NewObject("SelectionLimits",
	body.Optional("greatest_velocity", func(r *body.Reader, l *service.SelectionLimits) { l.Velocity = velocity(r) }),
	body.Optional("tightest_inside_diameter", func(r *body.Reader, l *service.SelectionLimits) { l.Bore = length(r, diameterRange) }),
	body.Optional("greatest_excess_flow", func(r *body.Reader, l *service.SelectionLimits) { l.Excess = ratio(r, 100) }),
	body.Optional("drinking_water_approval", func(r *body.Reader, l *service.SelectionLimits) {
		asked := r.Bool()
		l.Approval = &asked
	}),
)

var pumpConditionsObject = body.NewObject("PumpConditions",
	body.Optional("water_temperature", func(r *body.Reader, c *service.PumpConditions) { c.Water = temperature(r, waterRange) }),
	body.Optional("greatest_pressure", func(r *body.Reader, c *service.PumpConditions) { c.Pressure = pressure(r, ratingRange) }),
	body.Optional("suction", func(r *body.Reader, c *service.PumpConditions) {
		c.Suction = new(service.PumpSuction)
		pumpSuctionObject.Read(r, c.Suction)
	}),
)

var pumpSuctionObject = body.NewObject("PumpSuction",
	body.Required("pressure", func(r *body.Reader, s *service.PumpSuction) { s.Pressure = pressure(r, suctionRange) }),
	body.Optional("elevation", func(r *body.Reader, s *service.PumpSuction) { s.Above = length(r, elevationRange) }),
	body.Optional("head_loss", func(r *body.Reader, s *service.PumpSuction) { s.HeadLoss = length(r, headLossRange) }),
	body.Optional("air_pressure", func(r *body.Reader, s *service.PumpSuction) { s.Air = pressure(r, airPressureRange) }),
)

var (
	ratingRange      = body.Above(0, 1e7, "above 0 to 10 MPa")
	suctionRange     = body.Within(-1e5, 1e7, "-100 to 10,000 kPa")
	airPressureRange = body.Within(3e4, 1.2e5, "30 to 120 kPa")
	headLossRange    = body.Within(0, 200, "0 to 200 m")
)

func pressure(r *body.Reader, within body.Range) quantity.Pressure {
	p, _ := r.Amount(quantity.PressureDimension, within)
	return quantity.Pascals(p)
}

func pumpSelections(q *question) *fault.Fault {
	var p pumpSelectionsBody
	q.begin(&p.system)
	r, broken := body.Read(q.text, pumpSelectionsObject, &p, &q.faults)
	if broken != nil || p.HasSystem && !p.systemRead {
		return broken
	}
	p.Loop.System, p.ShowWorking, p.USGallon = p.system.System, p.showWorking, r.USGallon
	a := service.PumpSelection(&p.PumpSelectionRequest, &q.faults)
	if a != nil {
		give(q, p.us, a, picture.PumpSelection, writePumpSelection)
	}
	return nil
}
