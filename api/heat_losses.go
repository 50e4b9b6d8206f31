package api

import (
	"recirc/api/answer"
	"recirc/api/body"
	"recirc/api/picture"
	"recirc/calc/fault"
	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/calc/rule"
	"recirc/service"
)

type heatLossesBody struct {
	options
	water        quantity.Temperature
	flow         quantity.Flow
	pipeFlows    []service.PipeFlow
	coolDownTo   []quantity.Temperature
	hours        *float64
	insulateWith *network.Insulation
}

var heatLossesObject = body.NewObject("HeatLossesRequest",
	body.Required("system", func(r *body.Reader, h *heatLossesBody) { h.readSystem(r) }),
	body.Optional("water_temperature", func(r *body.Reader, h *heatLossesBody) { h.water = temperature(r, waterRange) }),
	body.Optional("flow", func(r *body.Reader, h *heatLossesBody) { h.flow = flow(r) }),
	body.Optional("pipe_flows", func(r *body.Reader, h *heatLossesBody) {
		r.List(0, 50_000, func(int) {
			var f service.PipeFlow
			pipeFlowObject.Read(r, &f)
			h.pipeFlows = append(h.pipeFlows, f)
		})
	}),
	body.Optional("cool_down_to", func(r *body.Reader, h *heatLossesBody) {
		r.List(1, 20, func(int) { h.coolDownTo = append(h.coolDownTo, temperature(r, waterRange)) })
	}),
	body.Optional("hours_per_year", func(r *body.Reader, h *heatLossesBody) { h.hours = ratio(r, 8784) }),
	body.Optional("insulate_with", func(r *body.Reader, h *heatLossesBody) { h.insulateWith = readInsulation(r) }),
	body.Optional("unit_system", func(r *body.Reader, h *heatLossesBody) { h.readUnitSystem(r) }),
	body.Optional("show_working", func(r *body.Reader, h *heatLossesBody) { h.showWorking = r.Bool() }),
)

var pipeFlowObject = body.NewObject("PipeFlow",
	body.Required("pipe", func(r *body.Reader, f *service.PipeFlow) { f.Pipe = identifier(r) }),
	body.Required("flow", func(r *body.Reader, f *service.PipeFlow) { f.Flow = flow(r) }),
)

func heatLosses(q *question) *fault.Fault {
	var d heatLossesBody
	q.begin(&d.system)
	r, broken := body.Read(q.text, heatLossesObject, &d, &q.faults)
	if broken != nil || !d.systemRead {
		return broken
	}
	a := service.HeatLosses(&service.HeatLossesRequest{
		System: d.system.System, WaterTemperature: d.water, Flow: d.flow, PipeFlows: d.pipeFlows, CoolDownTo: d.coolDownTo,
		HoursPerYear: d.hours, InsulateWith: d.insulateWith, ShowWorking: d.showWorking, USGallon: r.USGallon,
	}, &q.faults)
	if a != nil {
		give(q, d.us, a, picture.HeatLosses, writeHeatLosses)
	}
	return nil
}

func writeHeatLosses(w *answer.Writer, a *service.HeatLossesAnswer) {
	openAnswer(w)
	w.OpenList("pipes")
	for i := range a.Pipes {
		writePipeHeatLoss(w, &a.Pipes[i])
	}
	w.CloseList()
	writeHeatLossTotals(w, &a.Totals)
	writeNotes(w, &a.Notes, a.Working)
	w.CloseObject()
}

func writePipeHeatLoss(w *answer.Writer, p *service.PipeHeatLoss) {
	w.OpenObject("")
	w.Text("pipe", p.Pipe)
	w.Text("role", string(p.Role))
	w.Temperature("water_temperature", p.Water)
	w.Temperature("surroundings_temperature", p.Surroundings)
	w.HeatFlow("heat_loss", p.Total)
	w.Amount("loss_per_length", quantity.LinearHeatLossDimension, p.Loss.PerMetre.WattsPerMetre())
	w.Amount("ua_standing", quantity.LinearTransmittanceDimension, p.StandingUA)
	if p.Flow != (quantity.Flow{}) {
		w.Amount("ua_flowing", quantity.LinearTransmittanceDimension, p.FlowingUA)
	}
	w.Temperature("surface_temperature", p.Loss.Surface)
	if p.Flow != (quantity.Flow{}) {
		w.Flow("flow", p.Flow)
		w.Amount("temperature_drop", quantity.TemperatureDifferenceDimension, p.Drop.Kelvin())
	}
	w.OpenList("cool_down")
	for _, c := range p.CoolDown {
		w.OpenObject("")
		w.Temperature("to", c.To)
		w.Bool("reached", c.Reached)
		if c.Reached {
			w.Duration("time", c.After)
		}
		w.CloseObject()
	}
	w.CloseList()
	w.Energy("annual_energy", p.AnnualEnergy)
	writeWithInsulation(w, p.With)
	w.OpenList("minimum_insulation")
	for i := range p.Minimum {
		writeInsulationVerdict(w, &p.Minimum[i], p.Thickness)
	}
	w.CloseList()
	w.CloseObject()
}

func writeWithInsulation(w *answer.Writer, i *service.WithInsulation) {
	if i == nil {
		return
	}
	w.OpenObject("with_insulation")
	w.HeatFlow("heat_loss", i.Total)
	w.HeatFlow("saved", i.Saved)
	w.Energy("annual_energy_saved", i.EnergySaved)
	w.Temperature("surface_temperature", i.Surface)
	w.CloseObject()
}

func writeInsulationVerdict(w *answer.Writer, v *rule.InsulationVerdict, thickness quantity.Length) {
	w.OpenObject("")
	w.Text("rule", v.Rule.ID)
	w.Text("document", v.Rule.Document)
	w.Text("edition", v.Rule.Edition)
	w.Text("clause", v.Rule.Clause)
	w.Diameter("thickness", thickness)
	if v.Minimum != (quantity.Length{}) {
		w.Diameter("minimum", v.Minimum)
	}
	w.Text("status", string(v.Status))
	w.TextIf("reason", v.Reason)
	w.Text("source", string(v.Rule.Source))
	w.CloseObject()
}

func writeHeatLossTotals(w *answer.Writer, t *service.HeatLossTotals) {
	w.OpenObject("totals")
	w.Count("pipes", t.Pipes)
	w.HeatFlow("heat_loss", t.All)
	w.HeatFlow("supply", t.Supply)
	w.HeatFlow("return", t.Return)
	w.Energy("annual_energy", t.AnnualEnergy)
	if t.Compared {
		w.HeatFlow("saved", t.Saved)
		w.Energy("annual_energy_saved", t.EnergySaved)
	}
	w.CloseObject()
}
