package economics

// LifeCycle is what one alternative costs over the years of a study. A cost is
// positive, and a residual value too, which is subtracted.
type LifeCycle struct {
	Study Study

	// Present values at the base date.
	Investment, Energy, Water, Maintenance, Replacements, Residual float64

	Commodities []float64 // the parts of Energy, in the order of the alternative

	NetPresentCost   float64 // also life-cycle cost
	AnnualEquivalent float64 // level in the terms of the study, over all its years

	// Costs by year, 0 to Years, not discounted: in prices of the base date in
	// constant dollars, in prices of the year in current ones. [Cumulative] and
	// [Discounted] make pictures of them.
	Costs []float64
}

// LifeCycle gives the net present cost of an alternative
//
//	LCC = I + E + W + OM&R + Repl - Res
//
// each in present value: what falls due at the end of year t is
//
//	A (1 + e)^t/(1 + r)^t
//
//	A  amount in prices of the base date
//	e  its escalation
//	r  discount rate
//
// so that the first year's energy has escalated once. Yearly costs run from the
// year after the service date to the end. The residual value is at the end.
//
// Errors: a [*FaultError] with every fault.
//
// Source: NIST Handbook 135, life-cycle cost, from memory.
func (s Study) LifeCycle(a *Alternative) (*LifeCycle, error) {
	var faults FaultError
	faults.study(s)
	faults.alternative(a, s)
	if err := faults.err(); err != nil {
		return nil, err
	}
	l := &LifeCycle{Study: s, Costs: make([]float64, s.Years+1)}
	l.Investment = l.dated(a.Investment)
	for _, c := range a.Energy {
		l.Commodities = append(l.Commodities, l.yearly(c))
		l.Energy += l.Commodities[len(l.Commodities)-1]
	}
	for _, c := range a.Water {
		l.Water += l.yearly(c)
	}
	l.Maintenance = l.dated(a.MaintenanceAt)
	for _, c := range a.Maintenance {
		l.Maintenance += l.yearly(c)
	}
	l.Replacements = l.dated(a.Replacements)
	l.Residual -= l.add(s.Years, -a.Residual, Escalation{}) + l.left(a.Investment) + l.left(a.Replacements)
	l.NetPresentCost = l.Investment + l.Energy + l.Water + l.Maintenance + l.Replacements - l.Residual
	l.AnnualEquivalent = l.NetPresentCost / uniform(s.Rate, s.Years)
	return l, nil
}

// YearlyFactor gives the present value of 1 a year in prices of the base date, from
// the service date to the end of the study. A net present cost rises by quantity
// times factor with the price of a commodity, which is the slope of a [Line].
//
// Errors: a [*FaultError].
func (s Study) YearlyFactor(e Escalation) (float64, error) {
	one, err := s.LifeCycle(&Alternative{Energy: []Yearly{{Amount: 1, Escalation: e}}})
	if err != nil {
		return 0, err
	}
	return one.Energy, nil
}

// add enters an amount into the costs of a year and gives its present value.
func (l *LifeCycle) add(year int, amount float64, e Escalation) float64 {
	due := amount * grown(l.Study.escalation(e), year)
	l.Costs[year] += due
	return due * grown(l.Study.Rate, -year)
}

func (l *LifeCycle) yearly(y Yearly) float64 {
	sum := 0.0
	for year := l.Study.Service + 1; year <= l.Study.Years; year++ {
		sum += l.add(year, y.Amount, y.Escalation)
	}
	return sum
}

func (l *LifeCycle) dated(all []Dated) float64 {
	sum := 0.0
	for _, d := range all {
		sum += l.add(d.Year, d.Amount, d.Escalation)
	}
	return sum
}

// left enters what parts are worth at the end, and gives its present value, below
// zero as it is no cost.
func (l *LifeCycle) left(parts []Dated) float64 {
	sum := 0.0
	for _, d := range parts {
		if age := l.Study.Years - d.Year; age < d.Life {
			sum += l.add(l.Study.Years, -d.Amount*float64(d.Life-age)/float64(d.Life), d.Escalation)
		}
	}
	return sum
}
