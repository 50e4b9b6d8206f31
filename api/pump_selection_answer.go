package api

import (
	"recirc/api/answer"
	"recirc/calc/pump"
	"recirc/calc/quantity"
	"recirc/service"
)

func writePumpSelection(w *answer.Writer, a *service.PumpSelectionAnswer) {
	openAnswer(w)
	w.OpenObject("duty")
	w.Text("basis", string(a.Basis))
	writePumpDuty(w, &a.Duty)
	if a.Basis == service.DutyByFillTime {
		w.Volume("volume", a.Volume)
		w.Duration("time", a.Time)
	}
	w.Text("statement", a.Statement)
	w.CloseObject()
	if a.Circulation != nil {
		writeCirculation(w, a.Circulation)
	}
	writeSystemCurve(w, &a.Curve)
	if t := a.Tightest; t != nil {
		w.OpenObject("tightest_pipe")
		w.TextIf("pipe", t.Pipe)
		w.Diameter("inside_diameter", t.Bore)
		w.Velocity("velocity", t.Velocity)
		w.CloseObject()
	}
	w.Number("hours_per_year", a.Hours)
	w.OpenList("candidates")
	for i := range a.Pumps {
		writeRankedPump(w, &a.Pumps[i], i+1, a.Currency)
	}
	w.CloseList()
	if a.Miss != nil {
		w.OpenObject("nearest_miss")
		w.Text("id", a.Miss.ID)
		w.OpenList("changes")
		for _, c := range a.Miss.Changes {
			w.Text("", c)
		}
		w.CloseList()
		w.CloseObject()
	}
	writeNotes(w, &a.Notes, a.Working)
	w.CloseObject()
}

func writeSystemCurve(w *answer.Writer, c *service.SystemCurveFound) {
	w.OpenObject("system_curve")
	w.Text("derived_from", string(c.Origin))
	w.Text("statement", c.Statement)
	w.OpenList("points")
	for _, p := range c.Points {
		w.OpenObject("")
		w.Flow("flow", p.Flow)
		w.Length("head", p.Head)
		w.CloseObject()
	}
	w.CloseList()
	w.CloseObject()
}

func writeRankedPump(w *answer.Writer, r *service.RankedPump, rank int, currency string) {
	w.OpenObject("")
	w.Text("id", r.ID)
	w.Bool("accepted", r.Accepted)
	w.Count("rank", rank)
	w.TextIf("connection", r.Connection)
	if r.At != nil {
		writeDutyPoint(w, r.At)
	}
	writeIntersections(w, r.Others)
	writeRatio(w, "excess_flow", r.Excess)
	writeRatio(w, "excess_head", r.ExcessHead)
	if r.Velocity != (quantity.Velocity{}) {
		w.Velocity("velocity", r.Velocity)
	}
	if r.Energy != nil {
		w.AmountIn("yearly_energy", &quantity.EnergyDimension.SI, r.Energy.Joules()) // electricity is in kWh everywhere
	}
	writeMoney(w, "yearly_cost", r.Cost, currency)
	writeMoney(w, "purchase_price", r.Price, currency)
	writeMoney(w, "life_cycle_cost", r.LifeCycle, currency)
	if n := r.NPSH; n != nil {
		w.OpenObject("npsh")
		w.Length("available", n.Available)
		w.Length("required", n.Required)
		w.Length("margin", n.Margin)
		w.CloseObject()
	}
	writeReach(w, &r.Reach)
	writeRejections(w, r.Rejections)
	w.OpenList("not_assessed")
	for _, n := range r.NotAssessed {
		w.OpenObject("")
		w.Text("check", string(n.Check))
		w.Text("reason", n.Reason)
		w.CloseObject()
	}
	w.CloseList()
	w.CloseObject()
}

func writeDutyPoint(w *answer.Writer, p *service.PumpDutyPoint) {
	w.OpenObject("duty_point")
	w.Flow("flow", p.Flow)
	w.Length("head", p.Head)
	w.Number("speed", p.Speed)
	if p.SetHead != (quantity.Length{}) {
		w.Length("set_head", p.SetHead)
	}
	w.Bool("stable", p.Stable)
	w.Amount("hydraulic_power", quantity.PowerDimension, p.Hydraulic.Watts())
	if p.Electrical != (quantity.Power{}) {
		w.Amount("electrical_power", quantity.PowerDimension, p.Electrical.Watts())
	}
	w.NumberIf("efficiency", p.Efficiency)
	w.Flow("largest_curve_flow", p.LargestOn)
	w.CloseObject()
}

func writeIntersections(w *answer.Writer, all []pump.Duty) {
	if len(all) == 0 {
		return
	}
	w.OpenList("other_intersections")
	for _, d := range all {
		w.OpenObject("")
		w.Flow("flow", d.Flow)
		w.Length("head", d.Head)
		w.Bool("stable", d.Stable)
		w.CloseObject()
	}
	w.CloseList()
}

// writeReach writes what would bring a pump to the duty, if anything would.
func writeReach(w *answer.Writer, to *service.ReachDuty) {
	if *to == (service.ReachDuty{}) {
		return
	}
	w.OpenObject("to_reach_duty")
	if to.Kv != (quantity.FlowCoefficient{}) {
		w.AmountIn("kv", &quantity.FlowCoefficientDimension.SI, to.Kv.SI())
		w.AmountIn("cv", &quantity.FlowCoefficientDimension.US, to.Kv.SI())
		w.Amount("wasted_power", quantity.PowerDimension, to.Wasted.Watts())
	}
	w.NumberIf("speed", to.Speed)
	if to.SetHead != (quantity.Length{}) {
		w.Length("set_head", to.SetHead)
	}
	w.CloseObject()
}

func writeRejections(w *answer.Writer, all []service.PumpRejection) {
	w.OpenList("rejections")
	for i := range all {
		r := &all[i]
		w.OpenObject("")
		w.Text("code", string(r.Code))
		w.Text("detail", r.Detail)
		if r.Dimension != nil {
			w.Amount("value", r.Dimension, r.Value)
			w.Amount("limit", r.Dimension, r.Limit)
		}
		w.CloseObject()
	}
	w.CloseList()
}

func writeRatio(w *answer.Writer, name string, x *float64) {
	if x != nil {
		w.Number(name, *x)
	}
}

func writeMoney(w *answer.Writer, name string, amount *float64, currency string) {
	if amount != nil {
		w.Money(name, *amount, currency)
	}
}
