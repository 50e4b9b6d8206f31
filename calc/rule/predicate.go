package rule

import (
	"fmt"
	"slices"
	"strings"

	"recirc/calc/hydraulic"
	"recirc/calc/quantity"
)

// predicate compares a case with a rule. The conditions of the rule hold and its
// needs are known where demands says so.
type predicate struct {
	name    string
	demands bool // its needs are looked for before it is asked
	judge   func(r *Rule, k *Case, o *Outcome)
}

// predicates is every comparison that a rule can name:
//
//	limit       the dead leg against the limit of the same id in limits.csv
//	length      the developed length of the dead leg against limit
//	volume      its stored volume against limit
//	amount      the one need against limit
//	outlet      as amount, and a supply that is no hotter than the limit meets it
//	time        as amount, and plug flow that takes longer misses it
//	pair        the first need against the second
//	flag        every need is yes
//	word        the one need is one of the words in of
//	crossover   a pump that stops by temperature does so before the valves close
//	insulation  the insulation against share of the table in of
//	insulated   there is insulation
//	r_value     the R-value of the insulation against limit
//	velocity    the one need against the limit of velocity in of
//	control     the control has none of the findings in of
func predicates() []predicate {
	return []predicate{
		{"limit", false, judgeLimit},
		{"length", false, judgeLength},
		{"volume", false, judgeVolume},
		{"amount", true, judgeAmount},
		{"outlet", false, judgeOutlet},
		{"time", false, judgeTime},
		{"pair", true, judgePair},
		{"flag", true, judgeFlag},
		{"word", true, judgeWord},
		{"crossover", true, judgeCrossover},
		{"insulation", false, judgeInsulation},
		{"insulated", false, judgeInsulated},
		{"r_value", false, judgeRValue},
		{"velocity", false, judgeVelocity},
		{"control", true, judgeControl},
	}
}

// Judge compares a case with the rule and writes what comes of it. limit replaces
// the published one, in SI; nil leaves it. A rule that does not speak about the case
// gives no status. One whose inputs are missing is not assessed.
//
// The outcome is the caller's, since a building asks a million times.
func (r *Rule) Judge(k *Case, limit *float64, o *Outcome) {
	*o = Outcome{}
	for i := range r.when {
		switch r.when[i].of(k) {
		case fails:
			*o = Outcome{}
			return
		case unknown:
			o.Missing.add(r.when[i].input)
		}
	}
	if r.test.demands {
		for _, in := range r.Needs {
			if !k.knows(in) {
				o.Missing.add(in)
			}
		}
	}
	if !o.Missing.Empty() {
		o.Status = NotAssessed
		return
	}
	o.Limit, o.HasLimit = r.Limit, r.HasLimit
	if limit != nil {
		o.Limit, o.HasLimit = *limit, true
	}
	r.test.judge(r, k, o)
}

// compare sets the status by value and limit.
func (o *Outcome) compare(r *Rule, value float64) {
	o.Value, o.HasValue, o.HasLimit, o.Status = value, true, true, Met
	slack := tolerance * max(o.Limit, -o.Limit)
	if r.LimitIs == AtLeast && value < o.Limit-slack || r.LimitIs != AtLeast && value > o.Limit+slack {
		o.Status = NotMet
	}
}

func (o *Outcome) yes(ok bool) {
	o.Status = NotMet
	if ok {
		o.Status = Met
	}
}

func (o *Outcome) lacks(members string) { o.Status, o.Members = NotAssessed, members }

// judgeLimit leaves tables by size to [Limit.Judge]; an override needs no size.
func judgeLimit(r *Rule, k *Case, o *Outcome) {
	l := r.limit
	if !l.Applies(*k.Leg) || l.uninsulated && k.Leg.Insulated {
		return
	}
	if k.LengthUnknown {
		o.lacks("length")
		return
	}
	if k.TypeUnknown && l.byFixture {
		o.lacks("type")
		return
	}
	value := k.Leg.Length.Metres()
	if l.Measures == StoredVolume {
		value = k.Leg.Volume.CubicMetres()
	}
	if o.HasLimit {
		o.compare(r, value)
		return
	}
	v := l.Judge(*k.Leg)
	o.Status, o.Value, o.HasValue, o.Limit, o.HasLimit = v.Status, v.Value, true, v.Allowed, v.HasAllowed
	if v.Status == NotAssessed {
		o.Members, o.Reason = "tube", v.Reason
	}
}

func judgeLength(r *Rule, k *Case, o *Outcome) {
	if k.LengthUnknown {
		o.lacks("length")
		return
	}
	o.compare(r, k.Leg.Length.Metres())
}

func judgeVolume(r *Rule, k *Case, o *Outcome) {
	if k.LengthUnknown {
		o.lacks("length")
		return
	}
	o.compare(r, k.Leg.Volume.CubicMetres())
}

func judgeAmount(r *Rule, k *Case, o *Outcome) {
	v, _ := k.number(r.Needs[0])
	o.compare(r, v)
}

// judgeOutlet: no outlet is hotter than the supply, so a supply within the limit
// is enough to know.
func judgeOutlet(r *Rule, k *Case, o *Outcome) {
	v, known := k.number(r.Needs[0])
	if !known {
		if v, known = k.number(supplyTemperature); !known || v > o.Limit {
			o.Status = NotAssessed
			o.Missing.add(r.Needs[0])
			return
		}
		o.Bounded = true
	}
	o.compare(r, v)
}

// judgeTime: no hot water is sooner than by plug flow, so plug flow beyond the
// limit is enough to know.
func judgeTime(r *Rule, k *Case, o *Outcome) {
	v, known := k.number(r.Needs[0])
	if !known {
		if v = k.PlugFlow.Seconds(); v <= o.Limit*(1+tolerance) {
			o.Status = NotAssessed
			o.Missing.add(r.Needs[0])
			return
		}
		o.Bounded = true
	}
	o.compare(r, v)
}

func judgePair(r *Rule, k *Case, o *Outcome) {
	v, _ := k.number(r.Needs[0])
	o.Limit, _ = k.number(r.Needs[1])
	o.compare(r, v)
}

func judgeFlag(r *Rule, k *Case, o *Outcome) {
	all := true
	for _, in := range r.Needs {
		v, _ := k.number(in)
		all = all && v != 0
	}
	o.yes(all)
}

func judgeWord(r *Rule, k *Case, o *Outcome) {
	o.yes(slices.Contains(r.words, k.word(r.Needs[0])))
}

// judgeCrossover: only an aquastat and the sensor of a demand pump stop a pump by
// temperature.
func judgeCrossover(r *Rule, k *Case, o *Outcome) {
	stop, by := k.number(pumpStop)
	if !by {
		o.yes(false)
		return
	}
	o.Limit, _ = k.number(r.Needs[1])
	o.compare(r, stop)
}

func judgeInsulation(r *Rule, k *Case, o *Outcome) {
	switch {
	case k.Insulation == NothingSaid:
		o.lacks("insulation")
		return
	case k.Pipe.Outside == (quantity.Length{}):
		o.lacks("tube/outside_diameter")
		return
	case k.Pipe.NominalInches == 0 && r.insulation.bySize():
		o.lacks("tube/nominal")
		return
	}
	if o.HasLimit { // an override
		o.compare(r, k.Pipe.Thickness.Metres())
		return
	}
	v := r.insulation.Judge(*k.Pipe)
	if v.Status == NotAssessed {
		o.Status, o.Reason, o.Members = NotAssessed, v.Reason, "insulation"
		if v.NothingAsked {
			*o = Outcome{}
		}
		return
	}
	o.Limit = r.share * v.Minimum.Metres()
	o.compare(r, k.Pipe.Thickness.Metres())
}

func judgeInsulated(_ *Rule, k *Case, o *Outcome) {
	if k.Insulation == NothingSaid {
		o.lacks("insulation")
		return
	}
	o.yes(k.Insulation == InsulationGiven)
}

func judgeRValue(r *Rule, k *Case, o *Outcome) {
	switch {
	case k.Insulation == NothingSaid:
		o.lacks("insulation")
		return
	case k.Pipe.Outside == (quantity.Length{}) && k.Insulation == InsulationGiven:
		o.lacks("tube/outside_diameter")
		return
	}
	o.compare(r, k.RValue.SquareMetreKelvinPerWatt())
}

func judgeVelocity(r *Rule, k *Case, o *Outcome) {
	water, known := k.number(supplyTemperature)
	if !known && (r.velocity.Above != quantity.Temperature{} || r.velocity.UpTo != quantity.Temperature{}) {
		o.Status = NotAssessed
		o.Missing.add(supplyTemperature)
		return
	}
	if !r.velocity.Applies(k.Material, quantity.Kelvin(water)) || r.velocity.Nominal != "" && r.velocity.Nominal != k.Nominal {
		*o = Outcome{}
		return
	}
	v, known := k.number(r.Needs[0])
	if !known {
		o.Status = NotAssessed
		o.Missing.add(r.Needs[0])
		return
	}
	o.compare(r, v)
}

func judgeControl(r *Rule, k *Case, o *Outcome) {
	o.Status = Met
	for i := range k.Control {
		if slices.Contains(r.words, string(k.Control[i].Name)) {
			o.Status, o.Finding = NotMet, &k.Control[i]
			return
		}
	}
}

// bind joins a rule to its predicate and to the table that it goes by.
func (r *Rule) bind(of string) {
	i := slices.IndexFunc(predicates(), func(p predicate) bool { return p.name == r.Predicate })
	if i < 0 {
		panic(fmt.Sprintf("rule: %s: there is no predicate %q", r.ID, r.Predicate))
	}
	r.test = predicates()[i]
	known := true
	switch r.Predicate {
	case "limit":
		if r.limit, known = FindLimit(of); known {
			r.Dimension, r.LimitIs = r.limit.Measures.Dimension(), AtMost
			r.take(r.limit.Clause, r.limit.Source, r.limit.Status, r.limit.Note)
			if l, flat := r.limit.flat(); flat {
				r.Limit, r.HasLimit = l, true
			}
		}
	case "length":
		r.Dimension = quantity.LengthDimension
	case "volume":
		r.Dimension = quantity.VolumeDimension
	case "r_value":
		r.Dimension = quantity.ThermalResistanceDimension
	case "insulation":
		if r.insulation, known = findInsulation(of); known {
			r.Dimension, r.LimitIs = quantity.DiameterDimension, AtLeast
			r.take(r.insulation.Clause, r.insulation.Source, r.insulation.Status, "")
		}
	case "velocity":
		if r.velocity, known = hydraulic.VelocityLimitOf(of); known {
			r.Limit, r.HasLimit, r.Dimension = r.velocity.Greatest.MetresPerSecond(), true, quantity.VelocityDimension
			if r.LimitIs == AtLeast {
				r.Limit = r.velocity.Least.MetresPerSecond()
			}
			r.take("", r.velocity.Source, r.velocity.Status, r.velocity.Note)
		}
	case "amount", "outlet", "time", "pair":
		r.Dimension = r.Needs[0].Dimension
	case "crossover":
		r.Dimension, r.LimitIs = quantity.TemperatureDimension, AtMost
	case "word", "control":
		r.words = strings.Fields(of)
	}
	if !known {
		panic(fmt.Sprintf("rule: %s: there is no %s %q", r.ID, r.Predicate, of))
	}
}
