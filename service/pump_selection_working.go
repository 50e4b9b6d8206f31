package service

import (
	"recirc/calc/economics"
	"recirc/calc/pump"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

// show is the working behind that of the loop: the duty, then every candidate
// where it meets the system.
func (s *pumpSelection) show() {
	if !s.work.wanted {
		return
	}
	money := &quantity.Dimension{SI: quantity.Unit{Symbol: s.a.Currency, Factor: 1}, US: quantity.Unit{Symbol: s.a.Currency, Factor: 1}}
	add := func(subject, symbol, name string, value float64, dimension *quantity.Dimension, equation string, from source.ID) {
		s.work.add(Step{subject, symbol, name, value, dimension, equation, from})
	}
	if s.a.Basis == DutyByFillTime {
		add("duty", "V", "volume to fill", s.a.Volume.CubicMetres(), quantity.VolumeDimension, "V = sum of pi d^2/4 L, or given", pump.FillSource)
		add("duty", "t", "time to fill it", s.a.Time.Seconds(), quantity.DurationDimension, "given", "common_practice")
		add("duty", "q", "flow", s.flow, quantity.FlowDimension, "q = V/t", pump.FillSource)
	} else {
		add("duty", "q", "flow", s.flow, quantity.FlowDimension, "given, or that of the loop", "common_practice")
	}
	add("duty", "H_s", "head that the system takes at it", s.taken, quantity.LengthDimension, "H_s = H_s(q), the system curve", pump.DutySource)
	add("duty", "H", "head asked for", s.head, quantity.LengthDimension, "H = the greater of that and the one given", "common_practice")
	for i := range s.a.Pumps {
		r := &s.a.Pumps[i]
		if len(s.work.steps) > maxRows {
			break
		}
		if r.At == nil {
			continue
		}
		at, subject := r.At, "candidate "+r.ID
		add(subject, "q", "flow", at.Flow.CubicMetresPerSecond(), quantity.FlowDimension, "H_pump(q) = H_s(q); H_pump = r^2 H_curve(q/(p r)), or the line of the control", pump.DutySource)
		add(subject, "H", "head", at.Head.Metres(), quantity.LengthDimension, "H = H_curve between its points, monotone cubic", pump.CurveSource)
		add(subject, "P_h", "hydraulic power", at.Hydraulic.Watts(), quantity.PowerDimension, "P_h = rho g q H", pump.PowerSource)
		if r.Energy == nil {
			continue
		}
		add(subject, "P", "electrical power", at.Electrical.Watts(), quantity.PowerDimension, "P = p r^3 P_curve(q/(p r)), monotone cubic", pump.CurveSource)
		add(subject, "eta", "efficiency, motor included", at.Efficiency, ratioDimension, "eta = P_h/P; 0 where the power of the curve is wrong", pump.PowerSource)
		add(subject, "E", "energy in a year", r.Energy.Joules(), quantity.EnergyDimension, "E = P t", "common_practice")
		if r.Cost != nil {
			add(subject, "C", "cost of it", *r.Cost, money, "C = E times the price", "common_practice")
		}
	}
	if k := &s.req.Ranking; k.Years > 0 {
		factor, _ := economics.UniformPresentValue(*k.Rate, k.Years) // as it was read
		add("ranking", "F", "present value of equal yearly amounts", factor, ratioDimension, "F = (1 - (1 + r)^-n)/r; life-cycle cost = price + F yearly cost", economics.PresentValueSource)
	}
	s.a.Working = s.work.steps
}

// ratioDimension is that of a bare ratio.
var ratioDimension = &quantity.Dimension{SI: quantity.Unit{Symbol: "1", Factor: 1}, US: quantity.Unit{Symbol: "1", Factor: 1}}
