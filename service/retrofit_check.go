package service

import (
	"recirc/calc/fault"
)

// arrangementsAt is where comparisons have their arrangements.
const arrangementsAt = "/arrangements"

// check refuses what contradicts itself in a comparison, beside its arrangements.
func (q *comparison) check() {
	seen := map[string]bool{}
	for i := range q.req.Arrangements {
		id := q.req.Arrangements[i].ID
		if seen[id] && id != "" {
			q.faults.Add(listPointer(arrangementsAt, i, "/id"), fault.DuplicateID, "Another arrangement has the id %q too.", id)
		}
		seen[id] = true
	}
	if b := q.req.Baseline; b != "" && !seen[b] {
		q.faults.Add("/baseline", fault.ArrangementUnknown, "No arrangement has the id %q.", b)
	}
	q.checkMoney()
	q.checkStudy()
	inputs := map[RangedInput]bool{}
	for i, r := range q.req.Ranges {
		if inputs[r.Input] && r.Input != "" {
			q.faults.Add(listPointer("/ranges", i, "/input"), fault.ListedTwice, "The input %s is listed twice.", r.Input)
		}
		inputs[r.Input] = true
	}
}

// checkStudy looks at life cycle and ranking.
func (q *comparison) checkStudy() {
	if l := q.req.LifeCycle; l != nil {
		switch {
		case l.Nominal && l.Inflation == nil:
			q.faults.Add("/life_cycle/inflation", fault.LifeCycleIncomplete, "Nominal rates contain inflation; give it, or choose the basis real.")
		case !l.Nominal && l.Inflation != nil:
			q.faults.Add("/life_cycle/inflation", fault.LifeCycleIncomplete, "Real rates are above inflation and do not use it; leave it out, or choose the basis nominal.")
		}
		for i := range q.req.Arrangements {
			for k, r := range q.req.Arrangements[i].Replacements {
				if l.Years > 0 && r.Year > l.Years {
					q.faults.Add(listPointer(listPointer(arrangementsAt, i, "/replacements"), k, "/year"), fault.LifeCycleIncomplete, "The study ends after %d years; what is replaced later does not count.", l.Years)
				}
			}
		}
	}
	r := &q.req.Ranking
	sum := 0.0
	for _, w := range r.Weights {
		sum += w
	}
	switch {
	case r.By == ByWeights && sum <= 0:
		q.faults.Add("/ranking/weights", fault.RankingIncomplete, "Ranking by weights needs weights, one of them above 0.")
	case r.By != ByWeights && r.Weights != nil:
		q.faults.Add("/ranking/weights", fault.RankingIncomplete, "Weights are only for a ranking by weights; leave them out, or choose it.")
	}
}

// checkMoney wants one currency, and costs that are not below zero.
func (q *comparison) checkMoney() {
	var one oneCurrency
	money := func(m *Money, at string) {
		if m != nil {
			one.take(m.Currency, at+"/currency", q.faults)
		}
	}
	p := &q.req.Prices
	if p.Electricity != nil {
		one.take(p.Electricity.Currency, "/prices/electricity/currency", q.faults)
	}
	if p.Heater != nil {
		one.take(p.Heater.Currency, "/prices/heater_energy/currency", q.faults)
	}
	if p.Water != nil {
		one.take(p.Water.Currency, "/prices/water/currency", q.faults)
	}
	if p.Sewer != nil {
		one.take(p.Sewer.Currency, "/prices/sewer/currency", q.faults)
	}
	for i := range q.req.Arrangements {
		a, at := &q.req.Arrangements[i], listPointer(arrangementsAt, i, "")
		if c := a.Install; c != nil {
			money(c.Sum, at+"/install_cost/sum")
			money(c.Labour, at+"/install_cost/labour")
			for k := range c.Materials {
				money(&c.Materials[k].Cost, listPointer(at+"/install_cost/materials", k, "/cost"))
			}
		}
		money(a.Maintenance, at+"/yearly_maintenance")
		for k := range a.Replacements {
			money(&a.Replacements[k].Cost, listPointer(at+"/replacements", k, "/cost"))
		}
		money(a.Residual, at+"/residual_value")
	}
	q.a.Currency = one.code
	if h := q.req.HeaterEnergy; h != nil && h.Carrier == electricity && p.Heater != nil {
		q.faults.Add("/prices/heater_energy", fault.CostAmbiguous, "The heater takes electricity, whose price is prices.electricity; leave this out.")
	}
	if h := q.req.HeaterEnergy; h != nil && h.Carrier == electricity && q.req.Emissions.Heater != nil {
		q.faults.Add("/emission_factors/heater_energy", fault.CostAmbiguous, "The heater takes electricity, whose factor is emission_factors.electricity; leave this out.")
	}
}
