package api

import (
	"math"

	"recirc/api/answer"
	"recirc/api/body"
	"recirc/api/picture"
	"recirc/calc/fault"
	"recirc/calc/quantity"
	"recirc/service"
)

type loopSimulationsBody struct {
	options
	service.LoopSimulationRequest // but for its system and its options
}

var loopSimulationsObject = body.NewObject("LoopSimulationRequest",
	body.Required("system", func(r *body.Reader, d *loopSimulationsBody) { d.readSystem(r) }),
	body.Required("pump", func(r *body.Reader, d *loopSimulationsBody) { readLoopPump(r, &d.Pump) }),
	body.Optional("draws", func(r *body.Reader, d *loopSimulationsBody) {
		d.Draws = readNamed(r, drawObject, 50_000, "fixture", func(t *service.Draw) string { return t.Fixture })
	}),
	body.Optional("node_elevations", func(r *body.Reader, d *loopSimulationsBody) {
		d.Elevations = readNamed(r, nodeElevationObject, 100_000, "node", func(e *service.NodeElevation) string { return e.Node })
	}),
	body.Optional("target", func(r *body.Reader, d *loopSimulationsBody) { d.Target = readLoopTarget(r) }),
	body.Optional("measured_returns", func(r *body.Reader, d *loopSimulationsBody) {
		d.Measured = readNamed(r, measuredReturnObject, 50_000, "pipe", func(m *service.MeasuredReturn) string { return m.Pipe })
	}),
	body.Optional("velocity_rule", func(r *body.Reader, d *loopSimulationsBody) { d.VelocityRule = oneOf(r, sizingRules) }),
	body.Optional("losses", func(r *body.Reader, d *loopSimulationsBody) { d.Losses = readLossMethods(r) }),
	body.Optional("unit_system", func(r *body.Reader, d *loopSimulationsBody) { d.readUnitSystem(r) }),
	body.Optional("show_working", func(r *body.Reader, d *loopSimulationsBody) { d.showWorking = r.Bool() }),
)

var drawObject = body.NewObject("Draw",
	body.Required("fixture", func(r *body.Reader, d *service.Draw) { d.Fixture = identifier(r) }),
	body.Optional("flow", func(r *body.Reader, d *service.Draw) { d.Flow = flow(r) }),
)

var nodeElevationObject = body.NewObject("NodeElevation",
	body.Required("node", func(r *body.Reader, e *service.NodeElevation) { e.Node = identifier(r) }),
	body.Required("elevation", func(r *body.Reader, e *service.NodeElevation) { e.Elevation = length(r, elevationRange) }),
)

var measuredReturnObject = body.NewObject("MeasuredReturn",
	body.Required("pipe", func(r *body.Reader, m *service.MeasuredReturn) { m.Pipe = identifier(r) }),
	body.Required("temperature", func(r *body.Reader, m *service.MeasuredReturn) { m.Temperature = temperature(r, waterRange) }),
)

var elevationRange = body.Within(-1000, 1000, "-1000 to 1000 m")

func loopSimulations(q *question) *fault.Fault {
	var d loopSimulationsBody
	q.begin(&d.system)
	r, broken := body.Read(q.text, loopSimulationsObject, &d, &q.faults)
	if broken != nil || !d.systemRead {
		return broken
	}
	d.System, d.ShowWorking, d.USGallon = d.system.System, d.showWorking, r.USGallon
	a := service.LoopSimulation(&d.LoopSimulationRequest, &q.faults)
	if a != nil {
		give(q, d.us, a, drawLoopSimulation, writeLoopSimulation)
	}
	return nil
}

func drawLoopSimulation(a *service.LoopSimulationAnswer, us bool) ([]byte, error) {
	return picture.Loop(a.Circuits, len(a.Connections), "", us)
}

func writeLoopSimulation(w *answer.Writer, a *service.LoopSimulationAnswer) {
	openAnswer(w)
	writeCirculation(w, &a.Circulation)
	w.OpenObject("pump")
	w.Text("mode", string(a.Mode))
	writePumpDuty(w, &a.Pump)
	w.CloseObject()
	w.OpenList("connections")
	for i := range a.Connections {
		writeSimulatedConnection(w, &a.Connections[i])
	}
	w.CloseList()
	writeLoopPipes(w, a.Pipes)
	writeLoopNodes(w, a.Nodes)
	w.OpenList("draws")
	for i := range a.Draws {
		writeDrawState(w, &a.Draws[i])
	}
	w.CloseList()
	writeMixingState(w, a.Mixing)
	if a.Fit != nil {
		w.OpenList("fit")
		for i := range a.Fit {
			writeFittedConnection(w, &a.Fit[i])
		}
		w.CloseList()
	}
	writeSolutionBalance(w, &a.Balance)
	writeNotes(w, &a.Notes, a.Working)
	w.CloseObject()
}

func writeSimulatedConnection(w *answer.Writer, c *service.SimulatedConnection) {
	w.OpenObject("")
	w.Text("pipe", c.Pipe)
	w.Text("node", c.Node)
	w.Flow("flow", c.Flow)
	if c.Needed != (quantity.Flow{}) {
		w.Flow("needed_flow", c.Needed)
		share := c.Flow.CubicMetresPerSecond() / c.Needed.CubicMetresPerSecond()
		if !math.IsInf(share, 0) { // next to nothing is needed
			w.Number("share_of_needed", share)
		}
	}
	w.Text("state", string(c.State))
	writeConnectionTemperatures(w, c.Target, c.Temperature, c.ReturnEnd)
	w.Length("developed_length", c.Length)
	writeBalancingValve(w, &c.Valve)
	w.CloseObject()
}

func writeDrawState(w *answer.Writer, d *service.DrawState) {
	w.OpenObject("")
	w.Text("fixture", d.Fixture)
	w.Flow("flow", d.Flow)
	w.Temperature("temperature", d.Temperature)
	w.FlowIf("backwards_flow", d.Backwards)
	w.CloseObject()
}

func writeFittedConnection(w *answer.Writer, f *service.FittedConnection) {
	w.OpenObject("")
	w.Text("pipe", f.Pipe)
	w.Temperature("measured_temperature", f.Measured)
	w.FlowIf("flow", f.Flow)
	w.FlowIf("needed_flow", f.Needed)
	w.Text("change", f.Change)
	w.FlowCoefficientIf("kv", f.Kv)
	w.FlowCoefficientIf("wanted_kv", f.WantedKv)
	w.Text("detail", f.Detail)
	w.CloseObject()
}

func writeSolutionBalance(w *answer.Writer, b *service.SolutionBalance) {
	w.OpenObject("balance")
	w.Count("rounds", b.Rounds)
	w.Number("mass_residual", b.Mass)
	w.Number("pressure_residual", b.Pressure)
	w.Number("energy_residual", b.Energy)
	w.CloseObject()
}
