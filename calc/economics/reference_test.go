package economics_test

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"recirc/calc/economics"
	"recirc/calc/internal/table"
)

const close = 1e-9 // the rows print ten digits

// TestComputedFlows compares lists of flows: plain, escalated and in real terms.
// Source: computed reference, life_cycle.csv (numpy, scipy).
func TestComputedFlows(t *testing.T) {
	kinds := map[string]int{}
	for _, r := range cited("life_cycle.csv") {
		kind := r.Text("kind")
		kinds[kind]++
		switch kind {
		case "factors", "compare_two":
			continue
		}
		t.Run(r.Text("case_id"), func(t *testing.T) { checkFlows(t, r, rateOf(r), flowsOf(t, r)) })
	}
	for _, want := range []string{"cash_flows", "several_sign_changes", "never_pays_back", "escalated_savings", "real_terms", "compare_two", "factors"} {
		if kinds[want] == 0 {
			t.Errorf("no row of kind %s", want)
		}
	}
}

// rateOf gives the discount rate with all its digits.
func rateOf(r table.Row) float64 {
	if r.Text("kind") == "real_terms" {
		return must(economics.RealRate(r.Number("nominal_discount_rate"), r.Number("inflation_rate")))
	}
	return r.Number("discount_rate")
}

// flowsOf gives the flows of a row, worked out anew where it says how.
func flowsOf(t *testing.T, r table.Row) []float64 {
	printed := list(t, r.Text("cash_flows"))
	first, ok := r.Optional("first_cost")
	if !ok {
		return printed
	}
	g := r.Number("escalation_rate")
	s := economics.Study{Years: len(printed) - 1, Basis: economics.ConstantDollar, Rate: rateOf(r)}
	saved := must(s.LifeCycle(&economics.Alternative{
		Investment: []economics.Dated{{Amount: first}},
		Energy:     []economics.Yearly{{Amount: -r.Number("annual_amount_year1") / (1 + g), Escalation: economics.EscalatingAt(g)}},
	}))
	flows := make([]float64, len(printed))
	for i, c := range saved.Costs {
		flows[i] = -c
		near(t, "flow of year "+strconv.Itoa(i), -c, printed[i], close)
	}
	return flows
}

func checkFlows(t *testing.T, r table.Row, rate float64, flows []float64) {
	years := int(r.Number("years"))
	npv := must(economics.PresentValue(flows, rate))
	near(t, "present value", npv, r.Number("npv"), close)
	near(t, "annual equivalent", must(economics.AnnualEquivalent(npv, rate, years)), r.Number("annual_equivalent"), close)
	checkPayback(t, "simple", r, must(economics.PaybackOf(flows)))
	checkPayback(t, "discounted", r, must(economics.PaybackOf(must(economics.Discounted(flows, rate)))))
	if text := r.Text("irr_all"); text != "" {
		for _, internal := range list(t, text) { // at its internal rate of return a list is worth nothing
			near(t, "present value over the largest flow, at the internal rate", must(economics.PresentValue(flows, internal))/slices.MaxFunc(flows, byAbs), 0, close)
		}
	}
}

func byAbs(a, b float64) int {
	switch {
	case a*a < b*b:
		return -1
	case a*a > b*b:
		return 1
	}
	return 0
}

func checkPayback(t *testing.T, kind string, r table.Row, got economics.Payback) {
	first, reached := r.Optional(kind + "_payback_years")
	last, lasts := r.Optional(kind + "_payback_last_years")
	if reached != (got.State == economics.Reached) || lasts != got.Lasts {
		t.Errorf("%s payback %+v, want reached %v, lasts %v", kind, got, reached, lasts)
	}
	near(t, kind+" payback", got.Years, first, close)
	near(t, kind+" payback that lasts", got.Lasting, last, close)
}

// TestComputedFactors: source as above.
func TestComputedFactors(t *testing.T) {
	for _, r := range cited("life_cycle.csv") {
		if r.Text("kind") != "factors" {
			continue
		}
		years, rate, g := int(r.Number("years")), r.Number("discount_rate"), r.Number("escalation_rate")
		near(t, r.Text("case_id")+" single", must(economics.SinglePresentValue(rate, years)), r.Number("single_present_value_factor"), close)
		near(t, r.Text("case_id")+" uniform", must(economics.UniformPresentValue(rate, years)), r.Number("uniform_present_value_factor"), close)
		near(t, r.Text("case_id")+" recovery", must(economics.AnnualEquivalent(1, rate, years)), r.Number("capital_recovery_factor"), close)
		// the row's first year has not escalated
		near(t, r.Text("case_id")+" escalated", must(economics.ModifiedUniformPresentValue(rate, g, years))/(1+g), r.Number("escalated_present_value_factor"), close)
	}
}

// TestComputedComparisons: two alternatives with energy, maintenance, replacements
// and residual value. Source as above.
func TestComputedComparisons(t *testing.T) {
	for _, r := range cited("life_cycle.csv") {
		if r.Text("kind") != "compare_two" {
			continue
		}
		t.Run(r.Text("case_id"), func(t *testing.T) {
			s := economics.Study{Years: int(r.Number("years")), Basis: economics.ConstantDollar, Rate: r.Number("discount_rate")}
			A, B := must(s.LifeCycle(alternative(t, r, "A"))), must(s.LifeCycle(alternative(t, r, "B")))
			near(t, "cost of A", A.NetPresentCost, r.Number("lcc_A"), close)
			near(t, "cost of B", B.NetPresentCost, r.Number("lcc_B"), close)
			near(t, "annual cost of A", A.AnnualEquivalent, r.Number("lcc_A_annual"), close)
			near(t, "annual cost of B", B.AnnualEquivalent, r.Number("lcc_B_annual"), close)
			got := must(B.Against(A))
			near(t, "net savings", got.Net, r.Number("npv"), close)
			if !got.RatioDefined {
				t.Error("no savings-to-investment ratio")
			}
			near(t, "savings-to-investment ratio", got.Ratio, r.Number("savings_to_investment_ratio"), close)
			for year, printed := range list(t, r.Text("cash_flows")) {
				near(t, "savings of year "+strconv.Itoa(year), got.ByYear[year], printed, close)
			}
			checkPayback(t, "simple", r, got.Simple)
			checkPayback(t, "discounted", r, got.Discounted)
			checkFlows(t, r, s.Rate, got.ByYear)
		})
	}
}

func alternative(t *testing.T, r table.Row, of string) *economics.Alternative {
	column := func(name string) string { return "alternative_" + of + "_" + name }
	e, m := r.Number("energy_escalation_rate"), r.Number("maintenance_escalation_rate")
	a := &economics.Alternative{
		Investment:  []economics.Dated{{Amount: r.Number(column("first_cost"))}},
		Energy:      []economics.Yearly{{Amount: r.Number(column("energy_year1")) / (1 + e), Escalation: economics.EscalatingAt(e)}},
		Maintenance: []economics.Yearly{{Amount: r.Number(column("maintenance_year1")) / (1 + m), Escalation: economics.EscalatingAt(m)}},
		Residual:    r.Number(column("residual")),
	}
	if text := r.Text(column("replacement")); text != "" {
		for _, part := range strings.Split(text, ";") {
			year, amount, _ := strings.Cut(part, ":")
			a.Replacements = append(a.Replacements, economics.Dated{Year: int(list(t, year)[0]), Amount: list(t, amount)[0]})
		}
	}
	return a
}
