package service

import (
	"math"
	"slices"

	"recirc/calc/economics"
	"recirc/calc/quantity"
	"recirc/calc/year"
)

// sensitivity finds for each input the range in which the first stays the first.
func (q *comparison) sensitivity() {
	by := q.a.Ranking.By
	if len(q.all) < 2 {
		return
	}
	inputs := []RangedInput{ElectricityPriceInput, HeaterPriceInput, WaterPriceInput}
	switch by {
	case ByNetPresentCost:
		inputs = append(inputs, InstallCostInput, DiscountRateInput)
	case ByCostOfYear:
	default:
		return // no price moves it
	}
	for _, input := range inputs {
		if !q.has(input) {
			continue
		}
		if input == DiscountRateInput {
			q.a.Sensitivity = append(q.a.Sensitivity, q.rateRange())
		} else {
			q.a.Sensitivity = append(q.a.Sensitivity, q.priceRange(input))
		}
	}
}

// has tells whether an input is given and not zero.
func (q *comparison) has(input RangedInput) bool {
	p := &q.req.Prices
	switch input {
	case ElectricityPriceInput:
		return p.Electricity != nil && p.Electricity.PerJoule > 0
	case HeaterPriceInput:
		return p.Heater != nil && p.Heater.PerJoule > 0
	case WaterPriceInput:
		return p.Water != nil && p.Water.PerCubicMetre > 0 || p.Sewer != nil && p.Sewer.PerCubicMetre > 0
	case InstallCostInput:
		return slices.ContainsFunc(q.costs, func(c priced) bool { return c.install != nil && *c.install > 0 })
	case DiscountRateInput:
		return q.req.LifeCycle != nil && q.req.LifeCycle.Rate > 0
	}
	return true
}

// known lists the arrangements whose cost is known, and the place of the first among
// them.
func (q *comparison) known() (list []int, first int) {
	for i := range q.costs {
		if _, known := q.value(q.a.Ranking.By, q.years[i], &q.costs[i]); known {
			list = append(list, i)
		}
	}
	return list, slices.Index(list, q.first(q.years, q.costs))
}

// priceRange is exact, since every cost is linear in a price: two points make the
// line.
func (q *comparison) priceRange(input RangedInput) WinnerRange {
	out := WinnerRange{Input: input}
	list, first := q.known()
	free := q.price(q.years, asGiven.with(input, 0))
	lines := make([]economics.Line, len(list))
	for k, i := range list {
		at0, _ := q.value(q.a.Ranking.By, q.years[i], &free[i])
		at1, _ := q.value(q.a.Ranking.By, q.years[i], &q.costs[i])
		lines[k] = economics.Line{Fixed: at0[0], Slope: at1[0] - at0[0]}
	}
	r, ok, err := economics.LeastWithin(lines, first)
	if err != nil || !ok {
		return out
	}
	if !r.FromOpen && r.From > 0 {
		out.From, out.Below = &r.From, q.nameOf(list, r.BelowFrom)
	}
	if !r.ToOpen {
		out.To, out.Above = &r.To, q.nameOf(list, r.AboveTo)
	}
	return out
}

func (q *comparison) nameOf(list []int, k int) string {
	if k < 0 {
		return ""
	}
	return q.req.Arrangements[list[k]].ID
}

// rateRange looks along the discount rate, up to 100 %, and closes in on the ends.
func (q *comparison) rateRange() WinnerRange {
	out := WinnerRange{Input: DiscountRateInput}
	winner := q.first(q.years, q.costs)
	firstAt := func(by float64) int { return q.first(q.years, q.price(q.years, asGiven.with(DiscountRateInput, by))) }
	const steps = 24
	most := 1 / q.req.LifeCycle.Rate
	search := func(to float64) (*float64, string) {
		from := 1.0
		for k := 1; k <= steps; k++ {
			at := 1 + (to-1)*float64(k)/steps
			if other := firstAt(at); other != winner {
				end := closeIn(from, at, func(by float64) bool { return firstAt(by) == winner })
				return &end, q.req.Arrangements[other].ID
			}
			from = at
		}
		return nil, ""
	}
	out.From, out.Below = search(0)
	out.To, out.Above = search(most)
	return out
}

// closeIn finds where something that holds at in ceases to hold on the way to out.
func closeIn(in, out float64, holds func(float64) bool) float64 {
	for range 40 {
		middle := (in + out) / 2
		if holds(middle) {
			in = middle
		} else {
			out = middle
		}
		if math.Abs(out-in) < 1e-9*max(1, math.Abs(in)) {
			break
		}
	}
	return in
}

// ranges gives the results with the low and the high value of each input asked for.
func (q *comparison) ranges() {
	for _, r := range q.req.Ranges {
		low, high := q.outcome(r.Input, r.Low), q.outcome(r.Input, r.High)
		if !q.faults.Empty() {
			return
		}
		q.a.Ranges = append(q.a.Ranges, RangedResult{Input: r.Input, Low: low.told, High: high.told})
		if r.Input == PipeHeatLossInput || r.Input == DrawVolumeInput {
			q.a.Sensitivity = append(q.a.Sensitivity, q.simulatedRange(r, low, high))
		}
	}
}

// outcome is what comes out with one value of an input.
type outcome struct {
	told   RangedOutcome
	values [][2]float64
	first  int
}

// outcome prices, or simulates, with an input multiplied.
func (q *comparison) outcome(input RangedInput, by float64) outcome {
	years, f := q.years, asGiven.with(input, by)
	if input == PipeHeatLossInput || input == DrawVolumeInput {
		if years = q.varied(input, by); years == nil {
			return outcome{}
		}
	}
	costs := q.price(years, f)
	if !q.faults.Empty() {
		return outcome{}
	}
	out := outcome{first: q.first(years, costs)}
	out.told = RangedOutcome{Ratio: by, First: q.req.Arrangements[out.first].ID}
	for i := range years {
		v, _ := q.value(q.a.Ranking.By, years[i], &costs[i])
		out.values = append(out.values, v)
		a := RangedArrangement{
			ID: q.req.Arrangements[i].ID, RunToWaste: quantity.CubicMetres(years[i].RunToWaste), Lost: quantity.Joules(years[i].Lost.Sum()),
			Energy: costs[i].energy.Total, Cost: costs[i].cost.Total,
		}
		if l := costs[i].life; l != nil {
			a.NetPresent = &l.NetPresentCost
		}
		out.told.Arrangements = append(out.told.Arrangements, a)
	}
	return out
}

// varied simulates the year anew with every loss, or every draw, multiplied.
func (q *comparison) varied(input RangedInput, by float64) []*simulated {
	if input == PipeHeatLossInput {
		all := make([]*arranged, len(q.all))
		for i, d := range q.all {
			copied := *d
			copied.sys.Pipes = slices.Clone(d.sys.Pipes)
			for p := range copied.sys.Pipes {
				copied.sys.Pipes[p].UA *= by
			}
			all[i] = &copied
		}
		return q.simulate(all, q.days)
	}
	days := make([][]year.Day, len(q.days))
	for m := range q.days {
		days[m] = slices.Clone(q.days[m])
		for k := range days[m] {
			if m > 0 && shared(q.days[m-1][k].Draws, q.days[m][k].Draws) {
				days[m][k].Draws = days[m-1][k].Draws
			} else {
				days[m][k].Draws = multiplied(q.days[m][k].Draws, by)
			}
		}
	}
	return q.simulate(q.all, days)
}

// shared tells whether two days have their draws in one place.
func shared(a, b []year.Event) bool { return len(a) > 0 && len(b) > 0 && &a[0] == &b[0] }

// multiplied gives draws of other volumes; none is left where nothing is drawn.
func multiplied(draws []year.Event, by float64) []year.Event {
	if by == 0 {
		return nil
	}
	out := slices.Clone(draws)
	for i := range out {
		out[i].Volume = quantity.CubicMetres(by * out[i].Volume.CubicMetres())
	}
	return out
}

// simulatedRange is where the first stays the first between the values simulated,
// by straight lines between them.
func (q *comparison) simulatedRange(r InputRange, low, high outcome) WinnerRange {
	out := WinnerRange{Input: r.Input}
	list, first := q.known()
	given := make([][2]float64, len(q.all))
	for _, i := range list {
		given[i], _ = q.value(q.a.Ranking.By, q.years[i], &q.costs[i])
	}
	if q.a.Ranking.By == ByWeights || q.a.Ranking.By == ByWaits {
		return out
	}
	crossing := func(far outcome, ratio float64) (*float64, string) {
		end, who := 0.0, ""
		for _, i := range list {
			w := list[first]
			now, then := given[i][0]-given[w][0], far.values[i][0]-far.values[w][0]
			if i == w || then >= 0 {
				continue
			}
			if part := now / (now - then); who == "" || part < end {
				end, who = part, q.req.Arrangements[i].ID
			}
		}
		if who == "" {
			return nil, ""
		}
		at := 1 + end*(ratio-1)
		return &at, who
	}
	out.From, out.Below = crossing(low, r.Low)
	out.To, out.Above = crossing(high, r.High)
	return out
}
