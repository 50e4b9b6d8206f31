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
