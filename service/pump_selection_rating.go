package service

import (
	"recirc/calc/economics"
	"recirc/calc/pump"
	"recirc/calc/quantity"
)

// judgePower finds power, energy and cost.
func (s *pumpSelection) judgePower(r *RankedPump, t *pumpSetting) {
	at := r.At
	at.Hydraulic, _ = pump.HydraulicPower(at.Flow, at.Head, s.density) // of flows and heads within those of a curve
	P, err := t.power(at.Flow)
	if err != nil {
		r.notAssessed(CheckEfficiency, "Its curve came without power.")
		return
	}
	at.Electrical = P
	if at.Efficiency, err = pump.Efficiency(at.Hydraulic, P); err != nil {
		at.Efficiency = 0
		r.notAssessed(CheckEfficiency, "The water would take up more than goes into the pump; the power of its curve is wrong.")
	}
	energy, err := pump.YearlyEnergy(P, quantity.Seconds(3600*s.a.Hours))
	if err != nil {
		return
	}
	r.Energy = &energy
	if p := s.req.Electricity; p != nil {
		cost := energy.Joules() * p.PerJoule
		r.Cost = &cost
		s.lifeCycle(r)
	}
}

func (s *pumpSelection) lifeCycle(r *RankedPump) {
	k := &s.req.Ranking
	if k.Years == 0 || r.Price == nil {
		return
	}
	factor, err := economics.UniformPresentValue(*k.Rate, k.Years)
	if err == nil {
		whole := *r.Price + factor**r.Cost
		r.LifeCycle = &whole
	}
}

func (s *pumpSelection) judgeNPSH(r *RankedPump) {
	required := s.curves[r.index].npsh
	switch {
	case s.npsh == nil:
		r.notAssessed(CheckNPSH, s.noNPSH)
		return
	case required == nil:
		r.notAssessed(CheckNPSH, "No npsh_required is given.")
		return
	}
	margin, err := pump.NPSHMargin(*s.npsh, pump.Pumps{Curve: required, Parallel: r.setting.pumps.Parallel}, r.At.Flow)
	if err != nil {
		r.notAssessed(CheckNPSH, "The duty point lies outside the flows of npsh_required.")
		return
	}
	r.NPSH = &NPSH{*s.npsh, quantity.Metres(s.npsh.Metres() - margin.Metres()), margin}
	if margin.Metres() < 0 {
		r.reject(NPSHShort, quantity.LengthDimension, s.npsh.Metres(), r.NPSH.Required.Metres(), "It needs %.3g m of suction head where %.3g m stand before it; it would cavitate.", r.NPSH.Required.Metres(), s.npsh.Metres())
	}
}

// judgeRatings looks at what has nothing to do with the curve.
func (s *pumpSelection) judgeRatings(r *RankedPump) {
	c, asked := &s.req.Candidates[r.index], s.req.Limits.Approval
	if (asked == nil || *asked) && (c.Approved == nil || !*c.Approved) {
		what := "It is not approved for drinking water."
		if c.Approved == nil {
			what = "It is not known whether it is approved for drinking water, which counts as no."
		}
		r.reject(NotApproved, nil, 0, 0, "%s", what)
	}
	switch {
	case c.Temperature == quantity.Temperature{}:
		r.notAssessed(CheckTemperature, "No temperature_rating is given.")
	case s.water.Kelvin() > c.Temperature.Kelvin()*slack:
		r.reject(TemperatureRating, quantity.TemperatureDimension, s.water.Kelvin(), c.Temperature.Kelvin(), "The water has %s; it is rated for %s.", shownTemperature(s.water), shownTemperature(c.Temperature))
	}
	pressure := s.req.Conditions.Pressure
	switch {
	case c.Pressure == quantity.Pressure{}:
		r.notAssessed(CheckPressure, "No pressure_rating is given.")
	case pressure == quantity.Pressure{}:
		r.notAssessed(CheckPressure, "The greatest pressure of the system is not given.")
	case pressure.Pascals() > c.Pressure.Pascals()*slack:
		r.reject(PressureRating, quantity.PressureDimension, pressure.Pascals(), c.Pressure.Pascals(), "The system has up to %.4g kPa; it is rated for %.4g.", pressure.Pascals()/1e3, c.Pressure.Pascals()/1e3)
	}
}
