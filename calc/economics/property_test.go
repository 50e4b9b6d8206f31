package economics_test

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/economics"
)

func rates(t *rapid.T, name string) float64 { return rapid.Float64Range(-0.2, 0.4).Draw(t, name) }
func years(t *rapid.T, name string) int     { return rapid.IntRange(1, 60).Draw(t, name) }

// escalations are with general prices or at a rate of their own.
func escalations(t *rapid.T) economics.Escalation {
	if rapid.Bool().Draw(t, "own") {
		return economics.EscalatingAt(rapid.Float64Range(-0.1, 0.15).Draw(t, "e"))
	}
	return economics.Escalation{}
}

func studies(t *rapid.T) economics.Study {
	s := economics.Study{Years: years(t, "years"), Basis: economics.ConstantDollar, Rate: rates(t, "rate")}
	s.Service = rapid.IntRange(0, s.Years-1).Draw(t, "service")
	if rapid.Bool().Draw(t, "current") {
		s.Basis, s.Inflation = economics.CurrentDollar, rapid.Float64Range(-0.05, 0.15).Draw(t, "inflation")
	}
	return s
}

func yearly(t *rapid.T) []economics.Yearly {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) economics.Yearly {
		return economics.Yearly{Amount: rapid.Float64Range(-1e3, 1e4).Draw(t, "amount"), Escalation: escalations(t)}
	}), 0, 3).Draw(t, "yearly")
}

func dated(t *rapid.T, s economics.Study) []economics.Dated {
	return rapid.SliceOfN(rapid.Custom(func(t *rapid.T) economics.Dated {
		return economics.Dated{
			Amount: rapid.Float64Range(-1e3, 1e5).Draw(t, "amount"), Year: rapid.IntRange(0, s.Years).Draw(t, "year"),
			Life: rapid.IntRange(0, 30).Draw(t, "life"), Escalation: escalations(t),
		}
	}), 0, 3).Draw(t, "dated")
}

func alternatives(t *rapid.T, s economics.Study) *economics.Alternative {
	return &economics.Alternative{
		Investment: dated(t, s), Energy: yearly(t), Water: yearly(t), Maintenance: yearly(t),
		MaintenanceAt: dated(t, s), Replacements: dated(t, s), Residual: rapid.Float64Range(-1e4, 1e4).Draw(t, "residual"),
	}
}

// size is what rounding is measured by: the sum of the amounts, each at its present value.
func size(l *economics.LifeCycle) float64 {
	sum := 1.0
	for _, v := range must(economics.Discounted(l.Costs, l.Study.Rate)) {
		sum += math.Abs(v)
	}
	return sum + math.Abs(l.Investment) + math.Abs(l.Energy) + math.Abs(l.Water) + math.Abs(l.Maintenance) + math.Abs(l.Replacements) + math.Abs(l.Residual)
}

// TestFactorsAreSumsOfTheirYears, and so are those that escalate.
func TestFactorsAreSumsOfTheirYears(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, e, n := rates(t, "r"), rates(t, "e"), years(t, "n")
		uniform, modified := 0.0, 0.0
		for y := 1; y <= n; y++ {
			uniform += must(economics.SinglePresentValue(r, y))
			modified += math.Pow((1+e)/(1+r), float64(y))
		}
		near(t, "uniform", must(economics.UniformPresentValue(r, n)), uniform, 1e-11)
		near(t, "modified", must(economics.ModifiedUniformPresentValue(r, e, n)), modified, 1e-11)
	})
}

// TestFactorIdentities: no escalation gives the uniform factor, an escalation of
// the discount rate gives the years, no rate at all gives the years too.
func TestFactorIdentities(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r, n := rates(t, "r"), years(t, "n")
		near(t, "no escalation", must(economics.ModifiedUniformPresentValue(r, 0, n)), must(economics.UniformPresentValue(r, n)), 1e-12)
		near(t, "as the rate", must(economics.ModifiedUniformPresentValue(r, r, n)), float64(n), 0)
		near(t, "no rate", must(economics.UniformPresentValue(0, n)), float64(n), 0)
		near(t, "base date", must(economics.SinglePresentValue(r, 0)), 1, 0)
	})
}

// TestTinyRatesLoseNoDigits: near no rate the factor is n - n(n+1)/2 r.
func TestTinyRatesLoseNoDigits(t *testing.T) {
	for _, r := range []float64{1e-9, -1e-9, 1e-13, 1e-300} {
		near(t, "uniform", must(economics.UniformPresentValue(r, 20)), 20-210*r, 1e-15)
	}
}

func TestRealAndNominalRatesUndoEachOther(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d, i := rates(t, "d"), rates(t, "i")
		near(t, "real", must(economics.RealRate(must(economics.NominalRate(d, i)), i)), d, 1e-14)
	})
}

// TestPresentCostIsTheSumOfTheYears: the parts and the costs by year say the same.
func TestPresentCostIsTheSumOfTheYears(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := studies(t)
		l := must(s.LifeCycle(alternatives(t, s)))
		near(t, "by year", must(economics.PresentValue(l.Costs, s.Rate))/size(l), l.NetPresentCost/size(l), 1e-12)
		sum := 0.0
		for _, c := range l.Commodities {
			sum += c
		}
		near(t, "commodities", sum/size(l), l.Energy/size(l), 1e-12)
		near(t, "annual equivalent", l.AnnualEquivalent*must(economics.UniformPresentValue(s.Rate, s.Years)), l.NetPresentCost, 1e-12)
	})
}

// TestConstantAndCurrentDollarsAgree: NIST Handbook 135 has both give the same
// present values when every rate holds inflation or none does.
func TestConstantAndCurrentDollarsAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		i := rapid.Float64Range(-0.05, 0.15).Draw(t, "inflation")
		s := studies(t)
		s.Basis, s.Inflation = economics.ConstantDollar, 0
		current := s
		current.Basis, current.Inflation, current.Rate = economics.CurrentDollar, i, must(economics.NominalRate(s.Rate, i))
		e := rapid.Float64Range(-0.1, 0.1).Draw(t, "e")
		amount := func(e economics.Escalation) *economics.Alternative {
			return &economics.Alternative{
				Investment: []economics.Dated{{Amount: 1000, Life: 12}}, Energy: []economics.Yearly{{Amount: 90, Escalation: e}},
				Maintenance: []economics.Yearly{{Amount: 20}}, MaintenanceAt: []economics.Dated{{Amount: 150, Year: s.Years / 2, Escalation: e}}, Residual: 77,
			}
		}
		want := must(s.LifeCycle(amount(economics.EscalatingAt(e))))
		got := must(current.LifeCycle(amount(economics.EscalatingAt(must(economics.NominalRate(e, i))))))
		near(t, "present cost", got.NetPresentCost, want.NetPresentCost, 1e-11)
		near(t, "energy", got.Energy, want.Energy, 1e-11)
		near(t, "residual", got.Residual, want.Residual, 1e-11)
	})
}

// TestPresentCostIsLinear: twice the amounts cost twice, and two alternatives in one cost their sum.
func TestPresentCostIsLinear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := studies(t)
		a, b := alternatives(t, s), alternatives(t, s)
		both := &economics.Alternative{
			Investment: slices.Concat(a.Investment, b.Investment), Energy: slices.Concat(a.Energy, b.Energy), Water: slices.Concat(a.Water, b.Water),
			Maintenance: slices.Concat(a.Maintenance, b.Maintenance), MaintenanceAt: slices.Concat(a.MaintenanceAt, b.MaintenanceAt),
			Replacements: slices.Concat(a.Replacements, b.Replacements), Residual: a.Residual + b.Residual,
		}
		A, B, all := must(s.LifeCycle(a)), must(s.LifeCycle(b)), must(s.LifeCycle(both))
		whole := size(A) + size(B)
		near(t, "sum", all.NetPresentCost/whole, (A.NetPresentCost+B.NetPresentCost)/whole, 1e-12)
	})
}

// TestOrderDoesNotMatter: neither of dated nor of yearly costs.
func TestOrderDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := studies(t)
		a := alternatives(t, s)
		before := must(s.LifeCycle(a))
		for _, all := range [][]economics.Dated{a.Investment, a.MaintenanceAt, a.Replacements} {
			slices.Reverse(all)
		}
		slices.Reverse(a.Energy)
		after := must(s.LifeCycle(a))
		near(t, "reversed", after.NetPresentCost/size(before), before.NetPresentCost/size(before), 1e-12)
	})
}

// TestZeroRateAddsUp: without rates the present cost is the sum of what is paid.
func TestZeroRateAddsUp(t *testing.T) {
	s := economics.Study{Years: 10, Service: 2, Basis: economics.ConstantDollar}
	l := must(s.LifeCycle(&economics.Alternative{
		Investment: []economics.Dated{{Amount: 600}, {Amount: 400, Year: 1, Life: 12}},
		Energy:     []economics.Yearly{{Amount: 50}, {Amount: 25}}, Water: []economics.Yearly{{Amount: 10}},
		Maintenance: []economics.Yearly{{Amount: 5}}, MaintenanceAt: []economics.Dated{{Amount: 30, Year: 4}},
		Replacements: []economics.Dated{{Amount: 100, Year: 6, Life: 5}}, Residual: 7,
	}))
	// 8 years of service; of 12 years of life 3 are left, of 5 one
	near(t, "residual", l.Residual, 7+400*3.0/12+100/5.0, 1e-14)
	near(t, "present cost", l.NetPresentCost, 1000+8*(75+10+5)+30+100-127, 1e-14)
	near(t, "annual", l.AnnualEquivalent, l.NetPresentCost/10, 1e-15)
	for year, want := range []float64{600, 400, 0, 90, 120, 90, 190, 90, 90, 90, 90 - 127} {
		near(t, "year", l.Costs[year], want, 1e-14)
	}
}

// TestSavingsHaveASign: an alternative against a baseline saves what the baseline
// loses against it, and against itself nothing.
func TestSavingsHaveASign(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := studies(t)
		A, B := must(s.LifeCycle(alternatives(t, s))), must(s.LifeCycle(alternatives(t, s)))
		there, back, self := must(B.Against(A)), must(A.Against(B)), must(A.Against(A))
		whole := size(A) + size(B)
		near(t, "back", there.Net/whole, -back.Net/whole, 1e-12)
		near(t, "parts", there.Net/whole, (there.Operating-there.ExtraInvestment)/whole, 1e-12)
		near(t, "by year", must(economics.PresentValue(there.ByYear, s.Rate))/whole, there.Net/whole, 1e-11)
		if self.Net != 0 || self.RatioDefined || self.AdjustedReturnDefined || self.Simple.State != economics.Immediate || self.Discounted.State != economics.Immediate {
			t.Fatalf("against itself: %+v", self)
		}
		if there.RatioDefined && back.RatioDefined {
			t.Fatal("both invest more than the other")
		}
		if there.AdjustedReturnDefined { // what is invested grows to what the savings come to at the end
			n := float64(s.Years)
			near(t, "adjusted return", there.ExtraInvestment*math.Pow(1+there.AdjustedReturn, n)/whole, there.Operating*math.Pow(1+s.Rate, n)/whole, 1e-9)
		}
	})
}

// TestRatioAboveOneSaves: the ratio is above 1, and the adjusted return above the
// discount rate, where there are net savings, and nowhere else.
func TestRatioAboveOneSaves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := economics.Study{Years: years(t, "n"), Basis: economics.ConstantDollar, Rate: rates(t, "r")}
		base := must(s.LifeCycle(&economics.Alternative{Energy: []economics.Yearly{{Amount: 100}}}))
		other := must(s.LifeCycle(&economics.Alternative{
			Investment: []economics.Dated{{Amount: rapid.Float64Range(1, 3000).Draw(t, "cost")}},
			Energy:     []economics.Yearly{{Amount: rapid.Float64Range(0, 99).Draw(t, "energy")}},
		}))
		got := must(other.Against(base))
		if math.Abs(got.Net) < 1e-6 {
			return
		}
		if saves := got.Net > 0; saves != (got.Ratio > 1) || saves != (got.AdjustedReturn > s.Rate) || saves != (got.Discounted.State == economics.Reached) {
			t.Fatalf("%+v", got)
		}
	})
}

// TestPaybackMeetsTheRunningSum: at the payback the running sum, drawn with straight
// lines, is zero; it is below before, and at or above from the lasting one on.
func TestPaybackMeetsTheRunningSum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		flows := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) float64 { return float64(rapid.IntRange(-50, 60).Draw(t, "flow")) }), 1, 30).Draw(t, "flows")
		p, sums := must(economics.PaybackOf(flows)), economics.Cumulative(flows)
		lowest, end := slices.Min(sums), sums[len(sums)-1]
		if (p.State == economics.Immediate) != (lowest >= 0) || p.Lasts != (end >= 0) {
			t.Fatalf("%v: %+v", sums, p)
		}
		if p.State == economics.Reached {
			near(t, "running sum at the payback", between(sums, p.Years), 0, 1e-9)
		}
		below := false
		for year, sum := range sums {
			below = below || sum < 0
			switch {
			case p.State == economics.Reached && float64(year) < p.Years && below && sum >= 0:
				t.Fatalf("%v comes up before %+v", sums, p)
			case p.State == economics.Never && below && sum >= 0:
				t.Fatalf("%v comes up, and not %+v", sums, p)
			case p.Lasts && float64(year) >= p.Lasting && sum < 0:
				t.Fatalf("%v does not stay up from %+v", sums, p)
			}
		}
		if p.Lasts && p.Lasting > 0 {
			near(t, "running sum at the lasting payback", between(sums, p.Lasting), 0, 1e-9)
		}
	})
}

// between gives the running sum within a year, on a straight line.
func between(sums []float64, at float64) float64 {
	year := int(at)
	if year+1 >= len(sums) {
		return sums[year]
	}
	return sums[year] + (at-float64(year))*(sums[year+1]-sums[year])
}

func TestPaybackStates(t *testing.T) {
	for _, c := range []struct {
		what  string
		flows []float64
		want  economics.Payback
	}{
		{"nothing at all", []float64{0, 0}, economics.Payback{State: economics.Immediate, Lasts: true}},
		{"cheaper from the start", []float64{100, 0, 10}, economics.Payback{State: economics.Immediate, Lasts: true}},
		{"within a year", []float64{-100, 50, 100}, economics.Payback{State: economics.Reached, Years: 1.5, Lasts: true, Lasting: 1.5}},
		{"at the end to the last bit", []float64{-0.3, 0.1, 0.1, 0.1}, economics.Payback{State: economics.Reached, Years: 3, Lasts: true, Lasting: 3}},
		{"never", []float64{-100, 10}, economics.Payback{State: economics.Never}},
		{"cheaper at first, dearer at last", []float64{100, -60, -60}, economics.Payback{State: economics.Never}},
		{"lost again", []float64{-100, 200, -150}, economics.Payback{State: economics.Reached, Years: 0.5}},
		{"lost and won again", []float64{-100, 200, -150, 100}, economics.Payback{State: economics.Reached, Years: 0.5, Lasts: true, Lasting: 2.5}},
	} {
		got := must(economics.PaybackOf(c.flows))
		if got.State != c.want.State || got.Lasts != c.want.Lasts || math.Abs(got.Years-c.want.Years) > 1e-12 || math.Abs(got.Lasting-c.want.Lasting) > 1e-12 {
			t.Errorf("%s: %+v, want %+v", c.what, got, c.want)
		}
	}
}

func TestReplacedAfterLife(t *testing.T) {
	part := economics.Dated{Name: "pump", Amount: 250, Life: 8}
	var at []int
	for _, d := range economics.ReplacedAfterLife(part, economics.Study{Years: 24}) {
		at = append(at, d.Year)
		if d.Amount != 250 || d.Life != 8 || d.Name != "pump" {
			t.Errorf("%+v", d)
		}
	}
	if !slices.Equal(at, []int{8, 16}) { // none in year 24, when the study ends
		t.Errorf("replaced in %v", at)
	}
	for _, none := range []economics.Dated{{}, {Life: 24}, {Life: -1}, {Year: 20, Life: 4}, {Life: math.MaxInt, Year: 1}} {
		if got := economics.ReplacedAfterLife(none, economics.Study{Years: 24}); got != nil {
			t.Errorf("%+v: %v", none, got)
		}
	}
}
