package service

import (
	"cmp"
	"math"
	"slices"
)

// same is how near two values are one: the rounding of sums.
const same = 1e-9

// value is what an arrangement is ranked by, the least first; false if it is not
// known. Waits are ranked by the share that is not served first.
func (q *comparison) value(by ComparisonCriterion, y *simulated, p *priced) ([2]float64, bool) {
	one := func(x *float64) ([2]float64, bool) {
		if x == nil {
			return [2]float64{}, false
		}
		return [2]float64{*x}, true
	}
	switch by {
	case ByNetPresentCost:
		if p.life == nil {
			return [2]float64{}, false
		}
		return [2]float64{p.life.NetPresentCost}, true
	case ByCostOfYear:
		return one(p.cost.Total)
	case ByWater:
		return [2]float64{y.RunToWaste}, true
	case ByEnergyTaken:
		if p.energy.Total == nil {
			return [2]float64{}, false
		}
		return [2]float64{p.energy.Total.Joules()}, true
	case ByEmissions:
		return one(p.emitted)
	}
	share := 0.0
	if y.waits.Draws > 0 {
		share = y.waits.NotServed / y.waits.Draws
	}
	return [2]float64{share, y.ranked}, true
}

// ranked is an arrangement with what it is ranked by.
type ranked struct {
	index int
	value [2]float64
	known bool
}

// order ranks arrangements; those of which nothing is known come last.
func (q *comparison) order(by ComparisonCriterion, years []*simulated, costs []priced) []ranked {
	list := make([]ranked, len(years))
	for i := range years {
		list[i] = ranked{index: i}
		if by != ByWeights {
			list[i].value, list[i].known = q.value(by, years[i], &costs[i])
		}
	}
	if by == ByWeights {
		q.weigh(list, years, costs)
	}
	slices.SortFunc(list, func(a, b ranked) int {
		if a.known != b.known {
			return map[bool]int{true: -1, false: 1}[a.known]
		}
		return cmp.Or(compareNear(a.value[0], b.value[0]), compareNear(a.value[1], b.value[1]), cmp.Compare(q.req.Arrangements[a.index].ID, q.req.Arrangements[b.index].ID))
	})
	return list
}

func compareNear(a, b float64) int {
	if math.Abs(a-b) <= same*max(math.Abs(a), math.Abs(b)) {
		return 0
	}
	return cmp.Compare(a, b)
}

// weigh ranks by weights: each criterion goes from 0 for its best to 1 for its worst.
func (q *comparison) weigh(list []ranked, years []*simulated, costs []priced) {
	for i := range list {
		list[i].known = true
	}
	total := 0.0
	for _, w := range q.req.Ranking.Weights {
		total += w
	}
	for _, by := range ComparisonCriteria() { // in this order, not the map's
		w := q.req.Ranking.Weights[by] / total
		if w == 0 {
			continue
		}
		least, most := math.Inf(1), math.Inf(-1)
		each := make([]float64, len(list))
		for i := range list {
			v, known := q.value(by, years[i], &costs[i])
			list[i].known = list[i].known && known
			each[i] = v[0]
			if by == ByWaits {
				each[i] = years[i].ranked
			}
			if known {
				least, most = min(least, each[i]), max(most, each[i])
			}
		}
		for i := range list {
			if most > least {
				list[i].value[0] += w * (each[i] - least) / (most - least)
			}
		}
	}
}

// criterion is what is ranked by: waits where nothing is known of what was asked for.
func (q *comparison) criterion() ComparisonCriterion {
	by := q.req.Ranking.By
	if by == "" {
		by = ByNetPresentCost
	}
	for _, r := range q.order(by, q.years, q.costs) {
		if r.known {
			return by
		}
	}
	at := "" // not given
	if q.req.Ranking.By != "" {
		at = "/ranking"
	}
	q.a.warn("criterion_unknown", at, "Of no arrangement is "+string(by)+" known; they are ranked by the waits.")
	return ByWaits
}

// rank writes the order down; equals share a rank.
func (q *comparison) rank() {
	r := &q.a.Ranking
	r.By = q.criterion()
	list := q.order(r.By, q.years, q.costs)
	for k, one := range list {
		rank := k + 1
		if k > 0 && one.known == list[k-1].known && compareNear(one.value[0], list[k-1].value[0]) == 0 && compareNear(one.value[1], list[k-1].value[1]) == 0 {
			rank = q.a.Arrangements[list[k-1].index].Rank
		}
		q.a.Arrangements[one.index].Rank = rank
		r.Order = append(r.Order, q.a.Arrangements[one.index].ID)
	}
	for _, what := range NotAssessedItems() {
		if slices.ContainsFunc(q.costs, func(p priced) bool { return slices.Contains(p.missing, what) }) {
			r.CouldNotWeigh = append(r.CouldNotWeigh, what)
		}
	}
}

// first is the best of some outcome.
func (q *comparison) first(years []*simulated, costs []priced) int {
	return q.order(q.a.Ranking.By, years, costs)[0].index
}
