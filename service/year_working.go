package service

import (
	"fmt"

	"recirc/calc/control"

	"recirc/calc/heat"
	"recirc/calc/quantity"
	"recirc/calc/source"
	"recirc/calc/year"
)

// showBalance gives the heat and the water of some time.
func (w *working) showBalance(subject string, t *year.Totals) {
	add := func(symbol, name string, value float64, d *quantity.Dimension, equation string) {
		w.add(Step{subject, symbol, name, value, d, equation, heat.AlongSource})
	}
	add("V_u", "hot water drawn for use", t.HotDrawn, quantity.VolumeDimension, "sum of the draws")
	add("V_w", "run to waste", t.RunToWaste, quantity.VolumeDimension, "sum of q t until usable water runs")
	add("Q_u", "heat drawn for use, above mains", t.HeatDrawn+t.HeatCold, quantity.EnergyDimension, "Q_u = sum rho c V (T - T_m)")
	add("Q_w", "heat run to waste, above mains", t.HeatWasted, quantity.EnergyDimension, "Q_w = sum rho c V (T - T_m)")
	add("Q_l", "lost by pipes and local heaters", t.Lost.Sum(), quantity.EnergyDimension, "Q_l = sum UA L (T - T_a) t")
	add("Q_h", "heat from the heater", t.HeaterHeat, quantity.EnergyDimension, "Q_h = Q_u + Q_w + Q_l + Q_stored - Q_pump - Q_trace - Q_local")
}

// show gives the working of a day.
func (q *controlDay) show(r *year.Result) {
	w := working{wanted: q.req.ShowWorking}
	subject := "arrangement " + q.d.a.ID
	w.showBalance(subject, &r.Year)
	add := func(symbol, name string, value float64, d *quantity.Dimension, equation string, id source.ID) {
		w.add(Step{subject, symbol, name, value, d, equation, id})
	}
	if p := q.a.Proposals.Aquastat; p != nil {
		add("T_s", "arrives at the sensor, steadily", p.Arrives.Kelvin(), quantity.TemperatureDimension, "T = T_a + (T_in - T_a) exp(-UA L/(q rho c)), pipe by pipe", heat.AlongSource)
		add("T_stop", "stop of the aquastat", p.Aquastat.Stop.Kelvin(), quantity.TemperatureDimension, "T_stop = T_s - margin", "common_practice")
	}
	if p := q.a.Proposals.Cycle; p != nil {
		add("t_c", "time to cool to usable", p.Cool.Seconds(), quantity.DurationDimension, "t_c = C/UA ln((T - T_a)/(T_u - T_a)), the least of the pipes", heat.CoolingSource)
		add("t_r", "time to renew", p.Renew.Seconds(), quantity.DurationDimension, "t_r = V/q", "plug_flow")
	}
	q.a.Working = w.steps
	q.a.use(heat.AlongSource, heat.CoolingSource, "plug_flow", control.ChanceSource)
}

// show gives the working of a comparison.
func (q *comparison) show() {
	for i := range q.all {
		q.showYear(i)
	}
	q.a.Working = q.work.steps
	q.a.use(heat.AlongSource)
}

func (q *comparison) showYear(i int) {
	subject, p := "arrangement "+q.req.Arrangements[i].ID, &q.costs[i]
	q.work.showBalance(subject, &q.years[i].Totals)
	add := func(symbol, name string, value float64, equation string) {
		q.work.add(Step{subject, symbol, name, value, quantity.EnergyDimension, equation, "common_practice"})
	}
	if p.energy.Heater != nil {
		add("E_h", "energy taken by the heater", p.energy.Heater.Joules(), fmt.Sprintf("E_h = (Q_h + Q_standby)/%.4g", p.energy.Efficiency))
		add("E_e", "electricity", p.energy.Electricity.Joules(), "pump, trace and local heaters, and the heater if it takes electricity")
	}
}
