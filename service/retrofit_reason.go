package service

import (
	"fmt"
	"math"
	"strings"

	"recirc/calc/arrival"
	"recirc/calc/heat"
)

// reasons says of the first why it is first, and of the others why they are not.
func (q *comparison) reasons() {
	winner := q.first(q.years, q.costs)
	for i := range q.a.Arrangements {
		out := &q.a.Arrangements[i]
		switch {
		case i == winner:
			out.Reason = q.whyFirst(i)
		case out.Rank == q.a.Arrangements[winner].Rank:
			out.Reason = fmt.Sprintf("%q is as good as the first by %s. %s", out.ID, criterionWords(q.a.Ranking.By), q.effects(i))
		default:
			out.Reason = q.whyNot(i, winner)
		}
	}
}

func criterionWords(by ComparisonCriterion) string {
	switch by {
	case ByNetPresentCost:
		return "net present cost"
	case ByCostOfYear:
		return "the cost of a year"
	case ByWater:
		return "the water run to waste"
	case ByEnergyTaken:
		return "the energy taken in"
	case ByEmissions:
		return "emissions"
	case ByWeights:
		return "the weights given"
	}
	return "the waits"
}

// amount writes what an arrangement is ranked by.
func (q *comparison) amount(by ComparisonCriterion, x float64) string {
	switch by {
	case ByNetPresentCost, ByCostOfYear:
		return fmt.Sprintf("%.0f %s", x, q.a.Currency)
	case ByWater:
		return shown(x) + " m3"
	case ByEnergyTaken:
		return shown(x/3.6e6) + " kWh"
	case ByEmissions:
		return shown(x) + " kg"
	case ByWeights:
		return shown(x)
	}
	return shown(x) + " s"
}

// measure is the one number of an arrangement's rank that a sentence can tell.
func (q *comparison) measure(i int) float64 {
	list := q.order(q.a.Ranking.By, q.years, q.costs)
	for _, r := range list {
		if r.index == i {
			if q.a.Ranking.By == ByWaits {
				return r.value[1]
			}
			return r.value[0]
		}
	}
	return 0
}

func (q *comparison) whyFirst(i int) string {
	by := q.a.Ranking.By
	return fmt.Sprintf("%q is first by %s, with %s. %s", q.a.Arrangements[i].ID, criterionWords(by), q.amount(by, q.measure(i)), q.effects(i))
}

func (q *comparison) whyNot(i, winner int) string {
	by, id := q.a.Ranking.By, q.a.Arrangements[i].ID
	if by != ByWeights {
		if _, known := q.value(by, q.years[i], &q.costs[i]); !known {
			return fmt.Sprintf("%q comes last: its %s is not known, for lack of %s. %s", id, strings.TrimPrefix(criterionWords(by), "the "), lacking(q.costs[i].missing), q.effects(i))
		}
	}
	if by == ByWaits && q.years[i].waits.NotServed > q.years[winner].waits.NotServed {
		return fmt.Sprintf("%q is behind %q: of its draws %s a year are not served. %s", id, q.a.Arrangements[winner].ID, shown(q.years[i].waits.NotServed), q.effects(i))
	}
	return fmt.Sprintf("%q is behind %q by %s, by %s. %s", id, q.a.Arrangements[winner].ID, q.amount(by, q.measure(i)-q.measure(winner)), criterionWords(by), q.effects(i))
}

func lacking(missing []NotAssessed) string {
	words := make([]string, len(missing))
	for i, m := range missing {
		words[i] = string(m)
	}
	return strings.Join(words, ", ")
}

// effects tells what an arrangement does against the baseline, with its sign.
func (q *comparison) effects(i int) string {
	if i == q.baseline {
		return "It is the baseline."
	}
	s := &q.a.Arrangements[i].Savings
	text := fmt.Sprintf("Against %q it runs %s to waste and loses %s in its pipes", q.a.Baseline,
		moreOrLess(-s.Water.CubicMetres(), "m3", "water"), moreOrLess(-s.Lost.Joules()/3.6e6, "kWh", "heat"))
	if s.Energy != nil {
		text += ", and takes " + moreOrLess(-s.Energy.Joules()/3.6e6, "kWh", "energy")
	}
	text += " a year"
	switch p := s.Simple; {
	case p == nil:
	case p.State == PaidBackAfter:
		text += fmt.Sprintf("; its extra cost comes back after %s years", shown(p.Years))
	case p.State == neverPaidBack:
		text += "; its extra cost does not come back within the study"
	}
	return text + "."
}

func moreOrLess(x float64, unit, of string) string {
	switch {
	case math.Abs(x) < 1e-9:
		return "as much " + of
	case x > 0:
		return fmt.Sprintf("%s %s more %s", shown(x), unit, of)
	}
	return fmt.Sprintf("%s %s less %s", shown(-x), unit, of)
}

// noteComparison says what the comparison rests on, and where it can mislead or hurt.
func (q *comparison) noteComparison() {
	q.notePipes(q.all)
	q.noteHeaterStart()
	for i, d := range q.all {
		q.noteArranged(d, &q.years[i].Totals)
	}
	if len(q.all) > 1 {
		q.a.warn("behaviour_not_counted", drawsAt, "Water run to waste counts only until usable water comes. Who runs more once it comes sooner, or leaves it running meanwhile, changes the saving; studies found behaviour as large as the waiting itself.")
	}
	q.noteLosses()
	q.cautionArranged(q.all)
	q.a.use(arrival.HotFrontSource, heat.ConductionSource, heat.AlongSource)
}

// noteLosses speaks of arrangements that lose more heat than they save.
func (q *comparison) noteLosses() {
	ranged := false
	for _, r := range q.req.Ranges {
		ranged = ranged || r.Input == PipeHeatLossInput
	}
	circulates := false
	for i, d := range q.all {
		circulates = circulates || d.a.Type == DedicatedReturn
		if e := q.a.Arrangements[i].Savings.Energy; i != q.baseline && e != nil && e.Joules() < 0 && q.a.Arrangements[i].Savings.Water.CubicMetres() > 0 {
			q.a.warn("loses_more_than_it_saves", q.arrangementPointer(i), fmt.Sprintf("Arrangement %q saves water and takes %s kWh more energy a year than %q: it loses more heat than the water that it saves held.", d.a.ID, shown(-e.Joules()/3.6e6), q.a.Baseline))
		}
		if h := q.req.HeaterEnergy; h != nil && h.Efficiency > 1 && h.Penalty == nil && q.years[i].ReturnVolume > 0 {
			q.a.warn("return_penalty_missing", "/heater_energy", fmt.Sprintf("Arrangement %q brings water of %s back to a heat pump, and no return_penalty is given: its efficiency is taken as without a loop.", d.a.ID, shownTemperature(q.a.Arrangements[i].Returned)))
		}
	}
	if circulates && !ranged {
		q.a.warn("loop_loss_uncertain", arrangementsAt, "Losses of loops measured in buildings spread widely about what is calculated, with poor insulation on site as the main reason: give ranges for pipe_heat_loss, or look at the losses with a measurement.")
	}
}
