package api

import (
	"recirc/api/answer"
	"recirc/calc/quantity"
	"recirc/service"
)

func writeRetrofitComparison(w *answer.Writer, a *service.RetrofitComparisonAnswer) {
	openAnswer(w)
	w.Text("baseline", a.Baseline)
	w.OpenList("arrangements")
	for i := range a.Arrangements {
		writeComparedArrangement(w, &a.Arrangements[i], a.Currency)
	}
	w.CloseList()
	writeRankingResult(w, &a.Ranking)
	w.OpenList("sensitivity")
	for i := range a.Sensitivity {
		writeWinnerRange(w, &a.Sensitivity[i])
	}
	w.CloseList()
	if a.Ranges != nil {
		w.OpenList("ranges")
		for i := range a.Ranges {
			w.OpenObject("")
			w.Text("input", string(a.Ranges[i].Input))
			writeRangedOutcome(w, "low", &a.Ranges[i].Low, a.Currency)
			writeRangedOutcome(w, "high", &a.Ranges[i].High, a.Currency)
			w.CloseObject()
		}
		w.CloseList()
	}
	writeNotes(w, &a.Notes, a.Working)
	w.CloseObject()
}

func writeComparedArrangement(w *answer.Writer, c *service.ComparedArrangement, currency string) {
	w.OpenObject("")
	w.Text("id", c.ID)
	w.Text("type", string(c.Type))
	w.Count("rank", c.Rank)
	w.Text("reason", c.Reason)
	writeWaitDistribution(w, &c.Waits)
	if f := c.Farthest; f != nil {
		w.OpenObject("farthest")
		w.Text("fixture", f.Fixture)
		w.Number("draws", f.Draws)
		writeDurationIf(w, "median", f.Median)
		writeDurationIf(w, "percentile_90", f.Tenth)
		w.CloseObject()
	}
	writeWaterBalance(w, &c.Water)
	writeHeatBalance(w, &c.Heat)
	w.Energy("useful_heat", c.Useful)
	w.TemperatureIf("return_temperature", c.Returned)
	writeEnergyTaken(w, &c.Energy)
	if p := c.Pump; p != nil {
		w.OpenObject("pump")
		w.Number("hours_per_year", p.Hours)
		w.Number("starts_per_year", p.Starts)
		w.CloseObject()
	}
	writeYearlyCost(w, &c.Cost, currency)
	writeMassIf(w, "emissions", c.Emitted)
	writeLifeCycle(w, c.Life, currency)
	writeSavings(w, &c.Savings, currency)
	w.OpenList("not_assessed")
	for _, m := range c.Missing {
		w.Text("", string(m))
	}
	w.CloseList()
	writeControlFindings(w, c.Findings)
	w.Number("balance", c.Balance)
	w.CloseObject()
}

func writeEnergyTaken(w *answer.Writer, e *service.EnergyTaken) {
	w.OpenObject("energy")
	if e.Heater != nil {
		w.Energy("heater", *e.Heater)
		w.Number("heater_efficiency", e.Efficiency)
	}
	writeElectricity(w, "pump", e.Pump)
	writeElectricity(w, "trace", e.Trace)
	writeElectricity(w, "local_heater", e.Local)
	if e.Electricity != nil {
		writeElectricity(w, "electricity", *e.Electricity)
	}
	if e.Total != nil {
		w.Energy("total", *e.Total)
	}
	w.CloseObject()
}

func writeYearlyCost(w *answer.Writer, c *service.YearlyCost, currency string) {
	w.OpenObject("yearly_cost")
	writeMoneyIf(w, "electricity", c.Electricity, currency)
	writeMoneyIf(w, "heater_energy", c.Heater, currency)
	writeMoneyIf(w, "water", c.Water, currency)
	writeMoneyIf(w, "sewer", c.Sewer, currency)
	writeMoneyIf(w, "maintenance", c.Maintenance, currency)
	writeMoneyIf(w, "total", c.Total, currency)
	w.CloseObject()
}

func writeMoneyIf(w *answer.Writer, name string, amount *float64, currency string) {
	if amount != nil {
		w.Money(name, *amount, currency)
	}
}

func writeMassIf(w *answer.Writer, name string, m *quantity.Mass) {
	if m != nil {
		w.Amount(name, quantity.MassDimension, m.Kilograms())
	}
}

func writeLifeCycle(w *answer.Writer, l *service.LifeCycleResult, currency string) {
	if l == nil {
		return
	}
	w.OpenObject("life_cycle")
	w.Money("install_cost", l.Install, currency)
	w.Money("net_present_cost", l.NetPresent, currency)
	w.Money("annual_equivalent", l.Annual, currency)
	w.OpenList("cumulative_cost")
	for _, c := range l.Cumulative {
		w.Money("", c, currency)
	}
	w.CloseList()
	w.CloseObject()
}

func writeSavings(w *answer.Writer, s *service.Savings, currency string) {
	w.OpenObject("savings")
	w.Volume("water", s.Water)
	w.Energy("heat_lost", s.Lost)
	if s.Energy != nil {
		w.Energy("energy", *s.Energy)
	}
	writeMassIf(w, "emissions", s.Emitted)
	writeMoneyIf(w, "yearly_cost", s.Cost, currency)
	writeMoneyIf(w, "net_present", s.NetPresent, currency)
	if s.Ratio != nil {
		w.Number("savings_to_investment_ratio", *s.Ratio)
	}
	writePayback(w, "simple_payback", s.Simple)
	writePayback(w, "discounted_payback", s.Discounted)
	w.CloseObject()
}

func writePayback(w *answer.Writer, name string, p *service.Payback) {
	if p == nil {
		return
	}
	w.OpenObject(name)
	w.Text("state", p.State)
	if p.State == service.PaidBackAfter {
		w.Number("years", p.Years)
	}
	w.CloseObject()
}

func writeRankingResult(w *answer.Writer, r *service.RankingResult) {
	w.OpenObject("ranking")
	w.Text("by", string(r.By))
	w.OpenList("order")
	for _, id := range r.Order {
		w.Text("", id)
	}
	w.CloseList()
	w.OpenList("could_not_weigh")
	for _, m := range r.CouldNotWeigh {
		w.Text("", string(m))
	}
	w.CloseList()
	w.CloseObject()
}

func writeWinnerRange(w *answer.Writer, r *service.WinnerRange) {
	w.OpenObject("")
	w.Text("input", string(r.Input))
	if r.From != nil {
		w.Number("from", *r.From)
	}
	if r.To != nil {
		w.Number("to", *r.To)
	}
	w.TextIf("below", r.Below)
	w.TextIf("above", r.Above)
	w.CloseObject()
}

func writeRangedOutcome(w *answer.Writer, name string, o *service.RangedOutcome, currency string) {
	w.OpenObject(name)
	w.Number("ratio", o.Ratio)
	w.Text("first", o.First)
	w.OpenList("arrangements")
	for i := range o.Arrangements {
		a := &o.Arrangements[i]
		w.OpenObject("")
		w.Text("id", a.ID)
		w.Volume("run_to_waste", a.RunToWaste)
		w.Energy("heat_lost", a.Lost)
		if a.Energy != nil {
			w.Energy("energy", *a.Energy)
		}
		writeMoneyIf(w, "yearly_cost", a.Cost, currency)
		writeMoneyIf(w, "net_present_cost", a.NetPresent, currency)
		w.CloseObject()
	}
	w.CloseList()
	w.CloseObject()
}
