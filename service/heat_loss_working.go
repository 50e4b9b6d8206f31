package service

import (
	"recirc/calc/heat"
	"recirc/calc/quantity"
)

// showPipe shows how the loss of one pipe came about.
func (q *heatLosses) showPipe(p *PipeHeatLoss, model heat.Pipe) {
	if !q.work.wanted {
		return
	}
	subject := "pipe " + p.Pipe
	l := &p.Loss
	resistance := func(symbol, name string, value float64, equation string) {
		q.work.add(Step{subject, symbol, name, value, quantity.LinearResistanceDimension, equation, heat.ConductionSource})
	}
	q.work.add(Step{subject, "T_w", "water temperature", p.Water.Kelvin(), quantity.TemperatureDimension, "given", "common_practice"})
	q.work.add(Step{subject, "T_a", "temperature of the surroundings", p.Surroundings.Kelvin(), quantity.TemperatureDimension, "given", "common_practice"})
	if p.Flow != (quantity.Flow{}) {
		resistance("R_i", "inside film", l.InsideFilm, "R_i = 1/(pi d h_i)")
	}
	resistance("R_w", "wall", l.Wall, "R_w = ln(D/d)/(2 pi k_w)")
	if len(model.Layers) > 0 {
		resistance("R_ins", "insulation", l.Insulation, "R_ins = sum ln(r_o/r_i)/(2 pi k)")
	}
	resistance("R_o", "outside film or ground", l.Outside, outsideEquation(model.Surroundings.Kind))
	q.work.add(Step{subject, "T_s", "surface temperature", l.Surface.Kelvin(), quantity.TemperatureDimension, "T_s = T_a + q' R_o", heat.ConductionSource})
	q.work.add(Step{subject, "q'", "heat loss by length", l.PerMetre.WattsPerMetre(), quantity.LinearHeatLossDimension, "q' = (1 + f) (T_w - T_a)/(R_i + R_w + R_ins + R_o)", heat.ConductionSource})
	q.work.add(Step{subject, "Q", "heat loss", p.Total.Watts(), quantity.HeatFlowDimension, "Q = q' L", heat.ConductionSource})
	q.work.add(Step{subject, "E", "energy in the hours given", p.AnnualEnergy.Joules(), quantity.EnergyDimension, "E = Q t", heat.ConductionSource})
	q.work.add(Step{subject, "U'", "UA by length, standing", p.StandingUA, quantity.LinearTransmittanceDimension, "U' = q'/(T_w - T_a), without flow", heat.ConductionSource})
	q.showFlowing(subject, p)
	q.showCoolDown(subject, p)
	q.showInsulation(subject, p)
}

func (q *heatLosses) showFlowing(subject string, p *PipeHeatLoss) {
	if p.Flow == (quantity.Flow{}) {
		return
	}
	q.work.add(Step{subject, "U'_f", "UA by length, flowing", p.FlowingUA, quantity.LinearTransmittanceDimension, "U'_f = q'/(T_w - T_a)", heat.ConductionSource})
	q.work.add(Step{subject, "q_w", "flow", p.Flow.CubicMetresPerSecond(), quantity.FlowDimension, "given", "common_practice"})
	q.work.add(Step{subject, "dT", "temperature drop", p.Drop.Kelvin(), quantity.TemperatureDifferenceDimension, "dT = (T_w - T_a) (1 - exp(-U'_f L/(q_w rho c)))", heat.AlongSource})
}

func (q *heatLosses) showCoolDown(subject string, p *PipeHeatLoss) {
	for _, c := range p.CoolDown {
		if c.Reached {
			q.work.add(Step{subject, "t", "time to cool down to " + shownTemperature(c.To), c.After.Seconds(), quantity.DurationDimension, "t = integral of C dT/q' from the temperature to T_w", heat.CoolingSource})
		}
	}
}

func (q *heatLosses) showInsulation(subject string, p *PipeHeatLoss) {
	if p.With != nil {
		q.work.add(Step{subject, "Q_i", "heat loss with the other insulation", p.With.Total.Watts(), quantity.HeatFlowDimension, "Q_i = q' L, with its R_ins and R_o", heat.ConductionSource})
		q.work.add(Step{subject, "dQ", "heat loss saved", p.With.Saved.Watts(), quantity.HeatFlowDimension, "dQ = Q - Q_i", heat.ConductionSource})
	}
	for i := range p.Minimum {
		if v := &p.Minimum[i]; v.Minimum != (quantity.Length{}) {
			q.work.add(Step{subject, "s_min", "minimum thickness, " + v.Rule.Document, v.Minimum.Metres(), quantity.DiameterDimension, "as printed, or of equal resistance at this conductivity", v.Rule.Source})
		}
	}
}

func outsideEquation(k heat.Kind) string {
	switch k {
	case heat.Buried:
		return "R_o = arccosh(2 z/D)/(2 pi k_g)"
	case heat.InSlab:
		return "R_o = 1/(S k_g), S the shape factor"
	case heat.GivenCoefficient:
		return "R_o = 1/(pi D h), h given"
	case heat.MovingAir:
		return "R_o = 1/(pi D (h_c + h_r)), h_c by Churchill and Bernstein"
	}
	return "R_o = 1/(pi D (h_c + h_r)), h_c by Churchill and Chu"
}
