package economics

import "math"

// Savings is one alternative against a baseline. What it saves is positive.
type Savings struct {
	Net float64 // net savings: present cost of the baseline less that of the alternative

	Operating       float64 // present value of energy, water and maintenance saved
	ExtraInvestment float64 // present value of investment and replacements less residual, above the baseline's

	// Ratio is the savings-to-investment ratio, Operating over ExtraInvestment. It
	// is defined if there is an extra investment.
	Ratio        float64
	RatioDefined bool

	// AdjustedReturn is the adjusted internal rate of return a year: what is saved
	// is put out again at the discount rate. It is defined if the ratio is, and
	// above zero.
	AdjustedReturn        float64
	AdjustedReturnDefined bool

	// Paybacks count from the base date, in the terms of the study: in current
	// dollars the simple one counts inflation as savings.
	Simple, Discounted Payback

	ByYear []float64 // costs of the baseline less those of the alternative, not discounted
}

// Against compares an alternative with a baseline of the same study
//
//	NS   = LCC(baseline) - LCC
//	SIR  = operating savings/extra investment, both in present value
//	AIRR = (1 + r) SIR^(1/n) - 1
//
//	r  discount rate
//	n  years of the study
//
// Replacements and residual value belong to the investment, maintenance to the
// operation.
//
// Errors: a [*FaultError] if the studies differ.
//
// Source: NIST Handbook 135, net savings, savings-to-investment ratio and adjusted
// internal rate of return, from memory.
func (l *LifeCycle) Against(baseline *LifeCycle) (*Savings, error) {
	if l.Study != baseline.Study {
		var faults FaultError
		faults.add(Fault{Of: "study", Index: -1, Name: StudiesDiffer}, "the alternative and its baseline are of different studies")
		return nil, faults.err()
	}
	s := &Savings{
		Net:             without(baseline.NetPresentCost-l.NetPresentCost, l.NetPresentCost),
		Operating:       without(baseline.operation()-l.operation(), l.operation()),
		ExtraInvestment: without(l.capital()-baseline.capital(), l.capital()),
		ByYear:          make([]float64, len(l.Costs)),
	}
	for t := range l.Costs {
		s.ByYear[t] = without(baseline.Costs[t]-l.Costs[t], l.Costs[t])
	}
	if s.ExtraInvestment > 0 {
		s.Ratio, s.RatioDefined = s.Operating/s.ExtraInvestment, true
	}
	if s.Ratio > 0 {
		n := float64(l.Study.Years)
		s.AdjustedReturn, s.AdjustedReturnDefined = (1+l.Study.Rate)*math.Pow(s.Ratio, 1/n)-1, true
	}
	var err error
	if s.Simple, err = PaybackOf(s.ByYear); err != nil {
		return nil, err
	}
	discounted, err := Discounted(s.ByYear, l.Study.Rate)
	if err != nil {
		return nil, err
	}
	s.Discounted, err = PaybackOf(discounted)
	return s, err
}

func (l *LifeCycle) operation() float64 { return l.Energy + l.Water + l.Maintenance }
func (l *LifeCycle) capital() float64   { return l.Investment + l.Replacements - l.Residual }

// without gives 0 for a difference that is only rounding of what it is taken from.
func without(difference, of float64) float64 {
	if math.Abs(difference) <= rounding*math.Abs(of) {
		return 0
	}
	return difference
}

// rounding is the share below which a difference of two sums is none.
const rounding = 1e-12
