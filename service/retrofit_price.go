package service

import (
	"errors"
	"fmt"

	"recirc/calc/calendar"
	"recirc/calc/economics"
	"recirc/calc/fault"
	"recirc/calc/quantity"
)

// factors multiply inputs of a comparison.
type factors struct{ electricity, heater, water, install, rate float64 }

// asGiven leaves every input as it is.
var asGiven = factors{1, 1, 1, 1, 1}

// with changes one input.
func (f factors) with(input RangedInput, by float64) factors {
	switch input {
	case ElectricityPriceInput:
		f.electricity = by
	case HeaterPriceInput:
		f.heater = by
	case WaterPriceInput:
		f.water = by
	case InstallCostInput:
		f.install = by
	case DiscountRateInput:
		f.rate = by
	}
	return f
}

// priced is what one arrangement takes and costs.
type priced struct {
	energy  EnergyTaken
	cost    YearlyCost
	emitted *float64 // kg
	install *float64
	life    *economics.LifeCycle
	missing []NotAssessed
}

const secondsOfYear = calendar.DaysOfYear * calendar.SecondsOfDay

// price finds what the arrangements take and cost.
func (q *comparison) price(years []*simulated, f factors) []priced {
	all := make([]priced, len(years))
	for i := range years {
		p := &all[i]
		q.takeEnergy(p, i, years[i])
		q.costOfYear(p, i, years[i], f)
		q.emit(p)
		q.costOfLife(p, i, f)
	}
	return all
}

func (p *priced) lack(what NotAssessed) { p.missing = append(p.missing, what) }

// takeEnergy finds the energy that an arrangement takes in.
func (q *comparison) takeEnergy(p *priced, i int, y *simulated) {
	j := quantity.Joules
	p.energy = EnergyTaken{Pump: j(y.PumpEnergy), Trace: j(y.TraceHeat), Local: j(y.LocalHeat)}
	h := q.req.HeaterEnergy
	if h == nil {
		p.lack(NoHeaterEnergy)
		return
	}
	p.energy.Efficiency = q.efficiency(i, y)
	heater := max(0, y.HeaterHeat+h.Standby.Watts()*secondsOfYear) / p.energy.Efficiency // surroundings hotter than the heater cool nothing for it
	power := y.PumpEnergy + y.TraceHeat + y.LocalHeat
	total := j(heater + power)
	taken := j(heater)
	if h.Carrier == electricity {
		power += heater
	}
	electric := j(power)
	p.energy.Heater, p.energy.Electricity, p.energy.Total = &taken, &electric, &total
}

// leastShare is what is left of an efficiency at the least.
const leastShare = 0.1

// efficiency is that of the heater over the year: it falls with the temperature of
// what enters, mains and return mixed.
func (q *comparison) efficiency(i int, y *simulated) float64 {
	h := q.req.HeaterEnergy
	if h.Penalty == nil || y.HeaterFlow == 0 {
		return h.Efficiency
	}
	enters := q.all[i].outlet.Kelvin() - y.HeaterHeat/(q.all[i].sys.WaterHeat*y.HeaterFlow)
	share := max(leastShare, 1-h.Penalty.Share*max(0, enters-h.Penalty.From.Kelvin()))
	if h.Efficiency > 1 {
		return max(1, h.Efficiency*share)
	}
	return h.Efficiency * share
}

// costOfYear is what an arrangement costs in the first year. The water that is drawn
// for use counts too, since some arrangements draw more of it.
func (q *comparison) costOfYear(p *priced, i int, y *simulated, f factors) {
	prices, c := &q.req.Prices, &p.cost
	times := func(amount, price float64) *float64 {
		cost := amount * price
		return &cost
	}
	switch {
	case prices.Electricity == nil:
		p.lack(NoElectricityPrice)
	case p.energy.Electricity != nil:
		c.Electricity = times(p.energy.Electricity.Joules(), f.electricity*prices.Electricity.PerJoule)
	}
	byHeater := q.req.HeaterEnergy != nil && q.req.HeaterEnergy.Carrier != electricity
	switch {
	case !byHeater:
	case prices.Heater == nil:
		p.lack(NoHeaterPrice)
	default:
		c.Heater = times(p.energy.Heater.Joules(), f.heater*prices.Heater.PerJoule)
	}
	water := y.HotDrawn + y.RunToWaste
	if prices.Water == nil {
		p.lack(NoWaterPrice)
	} else {
		c.Water = times(water, f.water*prices.Water.PerCubicMetre)
	}
	if prices.Sewer == nil {
		p.lack(NoSewerPrice)
	} else {
		c.Sewer = times(water, f.water*prices.Sewer.PerCubicMetre)
	}
	if m := q.req.Arrangements[i].Maintenance; m != nil {
		c.Maintenance = times(m.Amount, 1)
	}
	if c.Electricity == nil || byHeater && c.Heater == nil || c.Water == nil && c.Sewer == nil {
		return
	}
	total := 0.0
	for _, part := range []*float64{c.Electricity, c.Heater, c.Water, c.Sewer, c.Maintenance} {
		if part != nil {
			total += *part
		}
	}
	c.Total = &total
}

// emit finds the carbon dioxide of a year.
func (q *comparison) emit(p *priced) {
	h := q.req.HeaterEnergy
	if h == nil {
		return
	}
	e := &q.req.Emissions
	fuel := 0.0
	if h.Carrier != electricity {
		factor, ok := q.heaterFactor()
		if !ok {
			p.lack(NoHeaterEmissions)
			return
		}
		fuel = factor * p.energy.Heater.Joules()
	}
	if e.Electricity == nil && p.energy.Electricity.Joules() > 0 {
		p.lack(NoElectricityEmissions)
		return
	}
	kg := fuel
	if e.Electricity != nil {
		kg += e.Electricity.KilogramsPerJoule() * p.energy.Electricity.Joules()
	}
	p.emitted = &kg
}

// publishedFactor is the factor of a carrier where none is given.
var publishedFactor = map[string]string{"natural_gas": "natural_gas_co2", "liquefied_petroleum_gas": "lpg_co2", "fuel_oil": "fuel_oil_2_co2"}

func (q *comparison) heaterFactor() (float64, bool) {
	if f := q.req.Emissions.Heater; f != nil {
		return f.KilogramsPerJoule(), true
	}
	f, ok := economics.FindEmissionFactor(publishedFactor[q.req.HeaterEnergy.Carrier])
	return f.KilogramsPerJoule, ok
}

// study is the study of costs, with its discount rate changed.
func (q *comparison) study(f factors) economics.Study {
	l := q.req.LifeCycle
	s := economics.Study{Years: l.Years, Basis: economics.ConstantDollar, Rate: f.rate * l.Rate}
	if l.Nominal {
		s.Basis, s.Inflation = economics.CurrentDollar, *l.Inflation
	}
	return s
}

// costOfLife is what an arrangement costs over the years of the study.
func (q *comparison) costOfLife(p *priced, i int, f factors) {
	a := &q.req.Arrangements[i]
	p.install = installed(a)
	if p.install == nil && a.Type != NoCirculation {
		p.lack(NoInstallCost)
	}
	if q.req.LifeCycle == nil {
		p.lack(NoLifeCycle)
	}
	if q.req.LifeCycle == nil || p.cost.Total == nil || p.install == nil && a.Type != NoCirculation {
		return
	}
	life, err := q.study(f).LifeCycle(q.alternative(p, a, f))
	if err != nil {
		q.untenable(i, err)
		return
	}
	p.life = life
}

// installed is an install cost; nil if it is not given.
func installed(a *Arrangement) *float64 {
	c := a.Install
	if c == nil {
		return nil
	}
	sum := 0.0
	for _, m := range []*Money{c.Sum, c.Labour} {
		if m != nil {
			sum += m.Amount
		}
	}
	for i := range c.Materials {
		sum += c.Materials[i].Cost.Amount
	}
	return &sum
}

// alternative is an arrangement as life-cycle costing sees it.
func (q *comparison) alternative(p *priced, a *Arrangement, f factors) *economics.Alternative {
	rise := &q.req.Prices.Escalation
	out := &economics.Alternative{}
	if p.install != nil {
		out.Investment = []economics.Dated{{Name: "install", Amount: f.install * *p.install}}
	}
	yearly := func(list *[]economics.Yearly, name string, amount, escalation *float64) {
		if amount != nil {
			*list = append(*list, economics.Yearly{Name: name, Amount: *amount, Escalation: escalates(escalation)})
		}
	}
	yearly(&out.Energy, "electricity", p.cost.Electricity, rise.Electricity)
	yearly(&out.Energy, "heater", p.cost.Heater, rise.Heater)
	yearly(&out.Water, "water", p.cost.Water, rise.Water)
	yearly(&out.Water, "sewer", p.cost.Sewer, rise.Water)
	yearly(&out.Maintenance, "maintenance", p.cost.Maintenance, rise.Maintenance)
	for _, r := range a.Replacements {
		out.Replacements = append(out.Replacements, economics.Dated{Name: "replacement", Amount: r.Cost.Amount, Year: r.Year, Escalation: escalates(rise.Maintenance)})
	}
	if a.Residual != nil {
		out.Residual = a.Residual.Amount
	}
	return out
}

func escalates(rate *float64) economics.Escalation {
	if rate == nil {
		return economics.Escalation{}
	}
	return economics.EscalatingAt(*rate)
}

// untenable turns an error of life-cycle costing into faults.
func (q *comparison) untenable(i int, err error) {
	if list := (*economics.FaultError)(nil); errors.As(err, &list) {
		for _, f := range list.Faults {
			q.faults.Add(q.arrangementPointer(i), fault.OutOfRange, "The costs of this arrangement cannot be valued: %s.", f.Detail)
		}
		return
	}
	q.faults.Add(q.arrangementPointer(i), fault.OutOfRange, "The costs of this arrangement cannot be valued: %s.", reasonOf(err))
}

// lifeResult is the life-cycle cost as it is told.
func (p *priced) lifeResult() *LifeCycleResult {
	if p.life == nil {
		return nil
	}
	r := &LifeCycleResult{NetPresent: p.life.NetPresentCost, Annual: p.life.AnnualEquivalent}
	if p.install != nil {
		r.Install = *p.install
	}
	sum := 0.0
	for _, c := range p.life.Costs {
		sum += c
		r.Cumulative = append(r.Cumulative, sum)
	}
	return r
}

func paybackOf(p economics.Payback) *Payback {
	switch p.State {
	case economics.Reached:
		return &Payback{State: PaidBackAfter, Years: p.Years}
	case economics.Immediate:
		return &Payback{State: paidAtOnce}
	}
	return &Payback{State: neverPaidBack}
}

// noteMoney says what was taken for what is not given.
func (q *comparison) noteMoney() {
	if h := q.req.HeaterEnergy; h != nil && h.Carrier != electricity && q.req.Emissions.Heater == nil {
		if f, ok := economics.FindEmissionFactor(publishedFactor[h.Carrier]); ok {
			q.a.assume(Assumption{Code: "default_emission_factor", Detail: fmt.Sprintf("No emission factor is given for %s; the published one of burning it is taken.", h.Carrier), Value: f.Published, Pointers: []string{"/heater_energy/carrier"}, Source: f.Source})
		}
	}
	for i := range q.req.Arrangements {
		a := &q.req.Arrangements[i]
		switch {
		case a.Type == NoCirculation && a.Install == nil && q.req.LifeCycle != nil:
			q.a.assume(Assumption{Code: "nothing_installed", Detail: fmt.Sprintf("Arrangement %q gives no install cost; nothing is installed for none.", a.ID), Value: "0", Pointers: []string{q.arrangementPointer(i)}, Source: "common_practice"})
		case a.Install != nil && a.Maintenance == nil && a.Type != NoCirculation && q.req.LifeCycle != nil:
			q.a.assume(Assumption{Code: "no_maintenance", Detail: fmt.Sprintf("Arrangement %q gives no maintenance; none is counted.", a.ID), Value: "0", Pointers: []string{q.arrangementPointer(i)}, Source: "common_practice"})
		}
	}
	if q.req.LifeCycle != nil {
		q.a.use(economics.HandbookSource, economics.PresentValueSource)
	}
}
