package api

import (
	"recirc/api/body"
	"recirc/calc/fault"
	"recirc/calc/pump"
	"recirc/calc/quantity"
	"recirc/service"
)

var loopPumpObject = body.NewObject("LoopPump",
	body.Required("mode", func(r *body.Reader, p *service.LoopPump) { p.Mode = pump.Mode(oneOf(r, pumpModes)) }),
	body.Optional("curve", func(r *body.Reader, p *service.LoopPump) { p.Curve = readCurvePoints(r, 2, pumpPointObject) }),
	body.Optional("speed", func(r *body.Reader, p *service.LoopPump) {
		if x, ok := r.Number(0.1, 2); ok {
			p.Speed = &x
		}
	}),
	body.Optional("set_head", func(r *body.Reader, p *service.LoopPump) { p.SetHead = length(r, headRange) }),
	body.Optional("set_flow", func(r *body.Reader, p *service.LoopPump) { p.SetFlow = flow(r) }),
)

var pumpPointObject = body.NewObject("PumpPoint",
	body.Required("flow", readPointFlow),
	body.Required("head", readPointHead),
)

func readPointFlow(r *body.Reader, p *pump.Point) {
	q, _ := r.Amount(quantity.FlowDimension, curveFlowRange)
	p.Flow = quantity.CubicMetresPerSecond(q)
}

func readPointHead(r *body.Reader, p *pump.Point) { p.Head = length(r, curveHeadRange) }

// Heads and powers below zero are read: what is wrong with such a curve has codes
// of its own.
var (
	curveFlowRange  = body.Within(0, 0.1, "0 to 0.1 m3/s")
	curveHeadRange  = body.Within(-200, 200, "0 to 200 m")
	curvePowerRange = body.Within(-1e5, 1e5, "above 0 to 100 kW")
)

var pumpModes = []string{string(pump.ConstantSpeed), string(pump.ConstantPressure), string(pump.ProportionalPressure), string(pump.Off)}

// readLoopPump reads a pump and what its mode needs. A wrong pump has no mode.
func readLoopPump(r *body.Reader, p *service.LoopPump) {
	before := r.FaultCount()
	loopPumpObject.Read(r, p)
	if r.FaultCount() == before {
		checkPumpMode(r, p)
	}
	if r.FaultCount() > before {
		p.Mode = ""
	}
}

// checkPumpMode refuses a pump that lacks what its mode needs, or that gives what
// its mode would not look at.
func checkPumpMode(r *body.Reader, p *service.LoopPump) {
	curve, head, flow := p.Curve != nil, p.SetHead != quantity.Length{}, p.SetFlow != quantity.Flow{}
	switch {
	case p.Mode == pump.ConstantSpeed && !curve:
		r.Fault(fault.PumpIncomplete, "A pump of constant speed needs its curve.")
	case (p.Mode == pump.ConstantPressure || p.Mode == pump.ProportionalPressure) && !head:
		r.Fault(fault.PumpIncomplete, "The mode %s needs set_head.", p.Mode)
	case p.Mode == pump.ProportionalPressure && !curve && !flow:
		r.Fault(fault.PumpIncomplete, "Proportional pressure reaches its set head at a flow; give set_flow, or a curve.")
	}
	refuse := func(field string, given bool, takers ...pump.Mode) {
		for _, m := range takers {
			given = given && p.Mode != m
		}
		if given {
			r.FaultAt(field, fault.PumpIncomplete, "A pump with the mode %s takes no %s.", p.Mode, field)
		}
	}
	refuse("curve", curve, pump.ConstantSpeed, pump.ConstantPressure, pump.ProportionalPressure)
	refuse("speed", p.Speed != nil, pump.ConstantSpeed)
	refuse("set_head", head, pump.ConstantPressure, pump.ProportionalPressure)
	refuse("set_flow", flow, pump.ProportionalPressure)
}
