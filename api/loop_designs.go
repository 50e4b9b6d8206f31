package api

import (
	"recirc/api/answer"
	"recirc/api/body"
	"recirc/api/picture"
	"recirc/calc/fault"
	"recirc/calc/quantity"
	"recirc/service"
)

type loopDesignsBody struct {
	options
	service.LoopDesignRequest // but for its system and its options
}

var loopDesignsObject = body.NewObject("LoopDesignRequest",
	body.Required("system", func(r *body.Reader, d *loopDesignsBody) { d.readSystem(r) }),
	body.Optional("target", func(r *body.Reader, d *loopDesignsBody) { d.Target = readLoopTarget(r) }),
	body.Optional("least_connection_flow", func(r *body.Reader, d *loopDesignsBody) { d.LeastFlow = flow(r) }),
	body.Optional("connections", func(r *body.Reader, d *loopDesignsBody) { readConnectionLimits(r, &d.LoopDesignRequest) }),
	body.Optional("return_sizing", func(r *body.Reader, d *loopDesignsBody) { returnSizingObject.Read(r, &d.Sizing) }),
	body.Optional("losses", func(r *body.Reader, d *loopDesignsBody) { d.Losses = readLossMethods(r) }),
	body.Optional("activation_margin", func(r *body.Reader, d *loopDesignsBody) { readActivationMargin(r, &d.LoopDesignRequest) }),
	body.Optional("unit_system", func(r *body.Reader, d *loopDesignsBody) { d.readUnitSystem(r) }),
	body.Optional("show_working", func(r *body.Reader, d *loopDesignsBody) { d.showWorking = r.Bool() }),
)

func readConnectionLimits(r *body.Reader, d *service.LoopDesignRequest) {
	d.Connections = readNamed(r, connectionLimitObject, 50_000, "pipe", func(c *service.ConnectionLimit) string { return c.Pipe })
}

func readActivationMargin(r *body.Reader, d *service.LoopDesignRequest) {
	if x, ok := r.Number(1, 3); ok {
		d.ActivationMargin = &x
	}
}

var connectionLimitObject = body.NewObject("ConnectionLimit",
	body.Required("pipe", func(r *body.Reader, c *service.ConnectionLimit) { c.Pipe = identifier(r) }),
	body.Optional("least_flow", func(r *body.Reader, c *service.ConnectionLimit) { c.LeastFlow = flow(r) }),
	body.Optional("least_temperature", func(r *body.Reader, c *service.ConnectionLimit) { c.LeastTemperature = temperature(r, waterRange) }),
)

var returnSizingObject = body.NewObject("ReturnSizing",
	body.Optional("rule", func(r *body.Reader, s *service.ReturnSizing) { s.Rule = oneOf(r, sizingRules) }),
	body.Optional("series", func(r *body.Reader, s *service.ReturnSizing) { s.Series = series(r) }),
	body.Optional("greatest_velocity", func(r *body.Reader, s *service.ReturnSizing) { s.GreatestVelocity = velocity(r) }),
	body.Optional("least_velocity", func(r *body.Reader, s *service.ReturnSizing) { s.LeastVelocity = velocity(r) }),
	body.Optional("greatest_friction", func(r *body.Reader, s *service.ReturnSizing) {
		g, _ := r.Amount(quantity.PressureGradientDimension, frictionRange)
		s.GreatestFriction = quantity.PascalsPerMetre(g)
	}),
	body.Optional("least_inside_diameter", func(r *body.Reader, s *service.ReturnSizing) { s.LeastBore = length(r, diameterRange) }),
)

var frictionRange = body.Above(0, 1e5, "above 0 to 100 kPa/m")

func loopDesigns(q *question) *fault.Fault {
	var d loopDesignsBody
	q.begin(&d.system)
	r, broken := body.Read(q.text, loopDesignsObject, &d, &q.faults)
	if broken != nil || !d.systemRead {
		return broken
	}
	d.System, d.ShowWorking, d.USGallon = d.system.System, d.showWorking, r.USGallon
	a := service.LoopDesign(&d.LoopDesignRequest, &q.faults)
	if a != nil {
		give(q, d.us, a, drawLoopDesign, writeLoopDesign)
	}
	return nil
}

func drawLoopDesign(a *service.LoopDesignAnswer, us bool) ([]byte, error) {
	return picture.Loop(a.Circuits, len(a.Connections), a.Critical.Connection, us)
}

func writeLoopDesign(w *answer.Writer, a *service.LoopDesignAnswer) {
	openAnswer(w)
	writeCirculation(w, &a.Circulation)
	w.OpenObject("pump_duty")
	writePumpDuty(w, &a.Duty)
	w.Text("statement", a.Statement)
	w.CloseObject()
	writeCriticalCircuit(w, &a.Critical)
	w.OpenList("connections")
	for i := range a.Connections {
		writeDesignedConnection(w, &a.Connections[i])
	}
	w.CloseList()
	writeLoopPipes(w, a.Pipes)
	writeLoopNodes(w, a.Nodes)
	writeMixingState(w, a.Mixing)
	w.OpenList("comparisons")
	for i := range a.Comparisons {
		writeShortRule(w, &a.Comparisons[i])
	}
	w.CloseList()
	writeNotes(w, &a.Notes, a.Working)
	w.CloseObject()
}

func writeCriticalCircuit(w *answer.Writer, c *service.CriticalCircuit) {
	w.OpenObject("critical_circuit")
	w.Text("connection", c.Connection)
	w.OpenList("pipes")
	for _, p := range c.Pipes {
		w.Text("", p)
	}
	w.CloseList()
	w.Length("developed_length", c.Length)
	w.Pressure("pressure_drop", c.Drop)
	w.OpenList("parts")
	for _, p := range c.Parts {
		w.OpenObject("")
		w.Text("part", p.Part)
		w.Pressure("pressure_drop", p.Drop)
		w.CloseObject()
	}
	w.CloseList()
	w.CloseObject()
}

func writeDesignedConnection(w *answer.Writer, c *service.DesignedConnection) {
	w.OpenObject("")
	w.Text("pipe", c.Pipe)
	w.Text("node", c.Node)
	w.Flow("flow", c.Flow)
	w.Flow("heat_loss_flow", c.HeatLossFlow)
	w.Text("governed_by", string(c.GovernedBy))
	writeConnectionTemperatures(w, c.Target, c.Temperature, c.ReturnEnd)
	w.Length("developed_length", c.Length)
	w.Pressure("circuit_pressure_drop", c.CircuitDrop)
	w.Bool("critical", c.Critical)
	writeBalancingValve(w, &c.Valve)
	w.CloseObject()
}

// writeShortRule writes a short rule about flows, or one about heads.
func writeShortRule(w *answer.Writer, c *service.ShortRuleComparison) {
	w.OpenObject("")
	w.Text("rule", c.Rule)
	w.Text("detail", c.Detail)
	if c.Flow != (quantity.Flow{}) || c.ComputedFlow != (quantity.Flow{}) {
		w.Flow("flow", c.Flow)
		w.Flow("computed_flow", c.ComputedFlow)
	}
	if c.Head != (quantity.Length{}) || c.ComputedHead != (quantity.Length{}) {
		w.Length("head", c.Head)
		w.Length("computed_head", c.ComputedHead)
	}
	w.Text("source", string(c.Source))
	w.CloseObject()
}
