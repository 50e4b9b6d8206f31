package api

import (
	"recirc/api/answer"
	"recirc/api/body"
	"recirc/api/picture"
	"recirc/calc/fault"
	"recirc/calc/quantity"
	"recirc/service"
)

type controlSimulationsBody struct {
	options
	service.ControlSimulationRequest // but for its system and its options
}

var controlSimulationsObject = body.NewObject("ControlSimulationRequest",
	body.Required("system", func(r *body.Reader, c *controlSimulationsBody) { c.readSystem(r) }),
	body.Required("arrangement", func(r *body.Reader, c *controlSimulationsBody) { c.Arrangement = readArrangement(r, c.system.most) }),
	body.Required("draws", func(r *body.Reader, c *controlSimulationsBody) { drawPlanObject.Read(r, &c.Draws) }),
	body.Optional("conditions", func(r *body.Reader, c *controlSimulationsBody) { yearConditionsObject.Read(r, &c.Conditions) }),
	body.Optional("span", func(r *body.Reader, c *controlSimulationsBody) { c.Span = service.Span(oneOf(r, spans)) }),
	body.Optional("month", func(r *body.Reader, c *controlSimulationsBody) { c.Month, _ = r.Count(1, 12) }),
	body.Optional("nodes", func(r *body.Reader, c *controlSimulationsBody) {
		c.Nodes = []string{}
		r.List(1, 50, func(int) { c.Nodes = append(c.Nodes, identifier(r)) })
	}),
	body.Optional("propose", func(r *body.Reader, c *controlSimulationsBody) { proposalWishObject.Read(r, &c.Wish) }),
	body.Optional("unit_system", func(r *body.Reader, c *controlSimulationsBody) { c.readUnitSystem(r) }),
	body.Optional("show_working", func(r *body.Reader, c *controlSimulationsBody) { c.showWorking = r.Bool() }),
)

var proposalWishObject = body.NewObject("ProposalWish",
	body.Optional("covered_share", func(r *body.Reader, w *service.ProposalWish) { w.Covered, _ = r.Number(0.01, 1) }),
	body.Optional("before_draw", func(r *body.Reader, w *service.ProposalWish) { w.Before = durationPointer(r, beforeRange) }),
	body.Optional("after_draw", func(r *body.Reader, w *service.ProposalWish) { w.After = durationPointer(r, afterRange) }),
	body.Optional("margin", func(r *body.Reader, w *service.ProposalWish) { w.Margin = differenceWithin(r, bandRange) }),
	body.Optional("gap", func(r *body.Reader, w *service.ProposalWish) { w.Gap = differenceWithin(r, bandRange) }),
)

var (
	spans       = texts(service.Spans())
	beforeRange = body.Within(0, 43200, "0 to 12 h")
	afterRange  = body.Within(1, 43200, "1 s to 12 h")
)

func controlSimulations(q *question) *fault.Fault {
	var c controlSimulationsBody
	q.begin(&c.system)
	r, broken := body.Read(q.text, controlSimulationsObject, &c, &q.faults)
	if broken != nil || !c.systemRead {
		return broken
	}
	c.System, c.ShowWorking, c.USGallon, c.Unreadable = c.system.System, c.showWorking, r.USGallon, !q.faults.Empty()
	a := service.ControlSimulation(&c.ControlSimulationRequest, &q.faults)
	if a != nil {
		give(q, c.us, a, drawControlSimulation, writeControlSimulation)
	}
	return nil
}

// drawControlSimulation hands a picture what it draws.
func drawControlSimulation(a *service.ControlSimulationAnswer, us bool) ([]byte, error) {
	run := picture.ControlRun{Days: 1, DayName: []string{string(a.Span)}}
	if a.Span == service.WeekSpan {
		run.Days, run.DayName = 7, []string{"Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"}
	}
	for _, p := range a.Pumps {
		for _, on := range p.Runs {
			run.Running = append(run.Running, picture.Span{From: on.From, To: on.To})
		}
	}
	for _, d := range a.Draws {
		if d.Water != service.ColdWater {
			run.Draws = append(run.Draws, d.At)
		}
	}
	for _, n := range a.Nodes {
		curve := picture.NodeCurve{Name: n.Node}
		for _, p := range n.Points {
			curve.Times, curve.Temperatures = append(curve.Times, p.Time), append(curve.Temperatures, p.Temperature)
		}
		run.Nodes = append(run.Nodes, curve)
	}
	if s := a.Aquastat; s != nil {
		run.Levels = []picture.Level{{Name: "stop", At: s.Stop}}
		if s.Start != s.Stop {
			run.Levels = append(run.Levels, picture.Level{Name: "start", At: s.Start})
		}
	}
	return picture.ControlDays(&run, us)
}

func writeControlSimulation(w *answer.Writer, a *service.ControlSimulationAnswer) {
	openAnswer(w)
	w.Text("arrangement", a.Arrangement)
	w.Text("span", string(a.Span))
	w.Count("month", a.Month)
	w.OpenList("pumps")
	for i := range a.Pumps {
		writePumpDay(w, &a.Pumps[i])
	}
	w.CloseList()
	w.OpenList("nodes")
	for i := range a.Nodes {
		writeNodeDay(w, &a.Nodes[i])
	}
	w.CloseList()
	w.OpenList("draws")
	for i := range a.Draws {
		writeDrawServed(w, &a.Draws[i])
	}
	w.CloseList()
	writeWaitDistribution(w, &a.Waits)
	writeWaterBalance(w, &a.Water)
	writeHeatBalance(w, &a.Heat)
	if a.HasPump {
		writeElectricity(w, "pump_energy", a.PumpEnergy)
	}
	w.Number("balance", a.Balance)
	writeControlFindings(w, a.Findings)
	writeProposals(w, &a.Proposals)
	writeNotes(w, &a.Notes, a.Working)
	w.CloseObject()
}

func writePumpDay(w *answer.Writer, p *service.PumpDay) {
	w.OpenObject("")
	w.TextIf("fixture", p.Fixture)
	w.OpenList("runs")
	for _, r := range p.Runs {
		w.OpenObject("")
		w.Duration("from", r.From)
		w.Duration("to", r.To)
		w.CloseObject()
	}
	w.CloseList()
	w.Duration("run_time", p.RunTime)
	w.Count("starts", p.Starts)
	w.CloseObject()
}

func writeNodeDay(w *answer.Writer, n *service.NodeDay) {
	w.OpenObject("")
	w.Text("node", n.Node)
	w.Temperature("lowest", n.Lowest)
	w.Temperature("highest", n.Highest)
	w.OpenList("temperatures")
	for _, p := range n.Points {
		w.OpenObject("")
		w.Duration("time", p.Time)
		w.Temperature("temperature", p.Temperature)
		w.CloseObject()
	}
	w.CloseList()
	w.CloseObject()
}

func writeDrawServed(w *answer.Writer, d *service.DrawServed) {
	w.OpenObject("")
	w.Text("fixture", d.Fixture)
	w.Duration("at", d.At)
	w.Text("water", string(d.Water))
	w.Duration("wait", d.Wait)
	w.Bool("served", d.Served)
	w.Volume("run_to_waste", d.RunToWaste)
	w.Temperature("temperature", d.Mean)
	w.CloseObject()
}

func writeProposals(w *answer.Writer, p *service.ControlProposals) {
	w.OpenObject("proposals")
	if t := p.Timer; t != nil {
		w.OpenObject("timer")
		w.OpenList("windows")
		for _, one := range t.Windows {
			w.OpenObject("")
			w.TextIf("days", one.Days)
			w.Text("from", writeClock(one.From))
			w.Text("to", writeClock(one.To))
			w.CloseObject()
		}
		w.CloseList()
		w.Duration("run_time", t.RunTime)
		w.Number("covered_share", t.Covered)
		w.CloseObject()
	}
	if s := p.Aquastat; s != nil {
		w.OpenObject("aquastat")
		w.Temperature("arrives", s.Arrives)
		w.Temperature("start", s.Aquastat.Start)
		w.Temperature("stop", s.Aquastat.Stop)
		w.CloseObject()
	}
	if c := p.Cycle; c != nil {
		w.OpenObject("duty_cycle")
		w.Duration("time_to_cool", c.Cool)
		w.Duration("time_to_renew", c.Renew)
		w.Duration("on", c.Cycle.On)
		w.Duration("off", c.Cycle.Off)
		w.CloseObject()
	}
	w.CloseObject()
}

// writeElectricity is in kWh in every unit system.
func writeElectricity(w *answer.Writer, name string, e quantity.Energy) {
	w.AmountIn(name, &quantity.EnergyDimension.SI, e.Joules())
}
