package economics_test

import (
	"errors"
	"math"
	"slices"
	"testing"

	"recirc/calc/economics"
)

// TestFactorsRefuse what no building has.
func TestFactorsRefuse(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, rate := range []float64{-0.51, 1.01, nan, inf, -inf} {
		_, err := economics.SinglePresentValue(rate, 5)
		wantRangeError(t, "single", err)
		_, err = economics.UniformPresentValue(rate, 5)
		wantRangeError(t, "uniform", err)
		_, err = economics.ModifiedUniformPresentValue(rate, 0, 5)
		wantRangeError(t, "modified", err)
		_, err = economics.ModifiedUniformPresentValue(0, rate, 5)
		wantRangeError(t, "escalation", err)
		_, err = economics.AnnualEquivalent(1, rate, 5)
		wantRangeError(t, "annual", err)
		_, err = economics.RealRate(rate, 0)
		wantRangeError(t, "nominal", err)
		_, err = economics.RealRate(0, rate)
		wantRangeError(t, "inflation", err)
		_, err = economics.NominalRate(rate, 0)
		wantRangeError(t, "real", err)
		_, err = economics.PresentValue([]float64{1}, rate)
		wantRangeError(t, "present value", err)
	}
	for _, n := range []int{0, -1, economics.MostYears + 1} {
		_, err := economics.UniformPresentValue(0.05, n)
		wantRangeError(t, "years", err)
		_, err = economics.ModifiedUniformPresentValue(0.05, 0, n)
		wantRangeError(t, "years", err)
		_, err = economics.AnnualEquivalent(1, 0.05, n)
		wantRangeError(t, "years", err)
	}
	_, err := economics.SinglePresentValue(0.05, -1)
	wantRangeError(t, "year", err)
	for _, flows := range [][]float64{nil, {1, nan}, {inf}, make([]float64, economics.MostYears+2)} {
		_, err = economics.PresentValue(flows, 0.05)
		wantRangeError(t, "flows", err)
		_, err = economics.PaybackOf(flows)
		wantRangeError(t, "payback", err)
	}
}

// TestEveryFaultAtOnce: of study and alternative, each at its place.
func TestEveryFaultAtOnce(t *testing.T) {
	s := economics.Study{Years: 20, Service: 20, Basis: "dollars", Rate: 3, Inflation: math.NaN()}
	_, err := s.LifeCycle(&economics.Alternative{
		Investment:    []economics.Dated{{Amount: math.Inf(1)}, {Amount: 1, Year: 21}},
		Energy:        []economics.Yearly{{Amount: 1}, {Amount: math.NaN(), Escalation: economics.EscalatingAt(2)}},
		Water:         []economics.Yearly{{Amount: 1e13}},
		Maintenance:   []economics.Yearly{{Escalation: economics.EscalatingAt(math.NaN())}},
		MaintenanceAt: []economics.Dated{{Year: -1}},
		Replacements:  []economics.Dated{{Life: -1}},
		Residual:      math.Inf(-1),
	})
	want := []string{
		"study -1 service out_of_range", "study -1 rate out_of_range", "study -1 inflation not_finite", "study -1 basis basis_unknown",
		"energy 1 amount not_finite", "energy 1 escalation out_of_range", "water 0 amount out_of_range", "maintenance 0 escalation not_finite",
		"investment 0 amount not_finite", "investment 1 year year_out_of_study", "maintenance_at 0 year year_out_of_study",
		"replacement 0 life out_of_range", "residual -1 amount not_finite",
	}
	if got := faults(t, err); !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestStudyFaults(t *testing.T) {
	for _, c := range []struct {
		s    economics.Study
		want string
	}{
		{economics.Study{Basis: economics.ConstantDollar}, "study -1 years out_of_range"},
		{economics.Study{Years: economics.MostYears + 1, Basis: economics.ConstantDollar}, "study -1 years out_of_range"},
		{economics.Study{Years: 5, Service: -1, Basis: economics.CurrentDollar}, "study -1 service out_of_range"},
		{economics.Study{Years: 5, Basis: economics.ConstantDollar, Inflation: 0.02}, "study -1 inflation inflation_unused"},
	} {
		_, err := c.s.YearlyFactor(economics.Escalation{})
		if got := faults(t, err); !slices.Equal(got, []string{c.want}) {
			t.Errorf("%+v: %q", c.s, got)
		}
	}
}

// TestFaultsAreBounded, and lists are too.
func TestFaultsAreBounded(t *testing.T) {
	s := economics.Study{Years: 5, Basis: economics.ConstantDollar}
	_, err := s.LifeCycle(&economics.Alternative{
		Energy: make([]economics.Yearly, economics.MaxItems+1), Investment: make([]economics.Dated, economics.MaxItems+1),
		Replacements: slices.Repeat([]economics.Dated{{Year: 9}}, economics.MaxFaults),
	})
	var list *economics.FaultError
	if !errors.As(err, &list) || len(list.Faults) != economics.MaxFaults || list.Dropped != 2 {
		t.Fatalf("%v", err)
	}
	if list.Faults[0].Name != economics.TooMany || list.Faults[1].Of != "investment" {
		t.Errorf("%+v", list.Faults[:2])
	}
}

func TestStudiesMustBeTheSame(t *testing.T) {
	s := economics.Study{Years: 5, Basis: economics.ConstantDollar}
	a := must(s.LifeCycle(&economics.Alternative{}))
	s.Rate = 0.01
	_, err := must(s.LifeCycle(&economics.Alternative{})).Against(a)
	if got := faults(t, err); !slices.Equal(got, []string{"study -1  studies_differ"}) {
		t.Errorf("%q", got)
	}
}

// FuzzLifeCycle wants numbers or an error, of whatever is given.
func FuzzLifeCycle(f *testing.F) {
	for _, x := range []float64{0, 1e-320, 1e308, math.NaN(), math.Inf(1), -0.5, 1e12} {
		f.Add(20, 0, 5, 8, x, x, x, x, true)
	}
	f.Add(100, 0, 100, 1000, 1e12, -0.5, 1.0, 1.0, false) // the greatest there can be
	f.Fuzz(func(t *testing.T, years, service, year, life int, amount, rate, inflation, e float64, constant bool) {
		s := economics.Study{Years: years, Service: service, Basis: economics.CurrentDollar, Rate: rate, Inflation: inflation}
		if constant {
			s.Basis, s.Inflation = economics.ConstantDollar, 0
		}
		part := economics.Dated{Amount: amount, Year: year, Life: life, Escalation: economics.EscalatingAt(e)}
		l, err := s.LifeCycle(&economics.Alternative{
			Investment: []economics.Dated{part}, Replacements: economics.ReplacedAfterLife(part, s), Residual: amount,
			Energy: []economics.Yearly{{Amount: amount, Escalation: economics.EscalatingAt(e)}}, Water: []economics.Yearly{{Amount: -amount}},
		})
		if err != nil {
			return
		}
		none := must(s.LifeCycle(&economics.Alternative{}))
		saved, err := l.Against(none)
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range append(l.Costs, l.NetPresentCost, l.AnnualEquivalent, saved.Net, saved.Ratio, saved.AdjustedReturn, saved.Simple.Years, saved.Discounted.Lasting) {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%+v\n%+v", l, saved)
			}
		}
	})
}
