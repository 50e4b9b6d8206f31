package service

import (
	"recirc/calc/fault"
	"recirc/calc/quantity"
)

// checkDuty refuses a duty that lacks what its basis needs, or that comes with
// what its basis would not look at.
func (s *pumpSelection) checkDuty(faults *fault.List) {
	d := &s.req.Duty
	if d.Basis == "" {
		return
	}
	refuse := func(given bool, pointer, why string) {
		if given {
			faults.Add(pointer, fault.DutyContradicts, "A duty with the basis %s %s.", d.Basis, why)
		}
	}
	need := func(given bool, what string) {
		if !given {
			faults.Add("/duty", fault.DutyIncomplete, "A duty with the basis %s needs %s.", d.Basis, what)
		}
	}
	flow, head, pressure := d.Flow != quantity.Flow{}, d.Head != quantity.Length{}, d.Pressure != quantity.Pressure{}
	time, volume, fixture := d.Time != quantity.Duration{}, d.Volume != quantity.Volume{}, d.Fixture != ""
	refuse(head && pressure, "/duty/pressure", "takes a head or a pressure, not both")
	switch d.Basis {
	case DutyGiven:
		need(flow, "flow")
		need(head || pressure || s.req.Curve != nil, "head or pressure, or a system_curve that tells it")
	case DutyByFillTime:
		need(time, "time")
		need(volume || fixture, "volume, or a fixture of the system")
		need(!fixture || s.req.HasSystem, "the system in which the fixture is")
		need(head || pressure || fixture || s.req.Curve != nil, "head or pressure, a system_curve, or a fixture whose pipes tell it")
		refuse(volume && fixture, "/duty/volume", "takes a volume or a fixture, not both")
	case DutyByHeatLoss:
		need(s.req.HasSystem, "the system whose loop is designed")
		refuse(head, "/duty/head", "follows from the loop and takes no head")
		refuse(pressure, "/duty/pressure", "follows from the loop and takes no pressure")
	}
	refuse(flow && d.Basis != DutyGiven, "/duty/flow", "takes no flow; it is found")
	refuse(time && d.Basis != DutyByFillTime, "/duty/time", "fills nothing and takes no time")
	refuse(volume && d.Basis != DutyByFillTime, "/duty/volume", "fills nothing and takes no volume")
	refuse(fixture && d.Basis != DutyByFillTime, "/duty/fixture", "fills nothing and takes no fixture")
	refuse(s.req.HasSystem && (d.Basis == DutyGiven || d.Basis == DutyByFillTime && !fixture), systemPointer, "without a fixture does not look at a system; leave it out, or choose heat_loss")
	for _, member := range s.req.LoopGiven {
		refuse(d.Basis == DutyGiven || d.Basis == DutyByFillTime && !(member == "losses" && fixture), "/"+member, "designs no loop and does not look at this")
	}
	l := &s.req.Limits
	if l.Velocity != (quantity.Velocity{}) && l.Bore == (quantity.Length{}) && !s.req.HasSystem {
		faults.Add("/limits/greatest_velocity", fault.LimitsIncomplete, "A velocity needs a bore: give tightest_inside_diameter, or a system.")
	}
}

// checkMoney wants one currency.
func (s *pumpSelection) checkMoney(faults *fault.List) {
	var one oneCurrency
	if p := s.req.Electricity; p != nil {
		one.take(p.Currency, "/electricity_price/currency", faults)
	}
	for i := range s.req.Candidates {
		if p := s.req.Candidates[i].Price; p != nil {
			one.take(p.Currency, listPointer("/candidates", i, "/price/currency"), faults)
		}
	}
	s.a.Currency = one.code
}

func (s *pumpSelection) checkRanking(faults *fault.List) {
	r := &s.req.Ranking
	if r.By == "" {
		r.By = ByYearlyCost
	}
	switch {
	case (r.Years == 0) != (r.Rate == nil):
		faults.Add("/ranking", fault.RankingIncomplete, "A life-cycle cost needs both years and discount_rate.")
	case r.By == ByLifeCycleCost && r.Years == 0:
		faults.Add("/ranking", fault.RankingIncomplete, "Ranking by life_cycle_cost needs years and discount_rate.")
	case r.By == ByLifeCycleCost && s.req.Electricity == nil:
		faults.Add("/ranking", fault.RankingIncomplete, "Ranking by life_cycle_cost needs electricity_price.")
	}
}

// mostLooks is how often the pipes of a system may be asked in one request, but
// for the dozen times that each meeting takes: some seconds of work.
const mostLooks = 1_000_000

// checkSize refuses more candidates than can be looked at in a long circuit.
func (s *pumpSelection) checkSize(faults *fault.List) {
	settings := 0
	for i := range s.req.Candidates {
		settings += max(1, len(s.req.Candidates[i].Speeds))
	}
	if settings*s.parts > mostLooks {
		faults.Add("/candidates", fault.TooManyCandidates, "%d settings of pumps on a way of %d pipes are more than this service looks at; send fewer candidates, or a system_curve.", settings, s.parts)
	}
}
