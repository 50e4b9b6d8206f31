package service

import (
	"cmp"
	"errors"
	"slices"

	"recirc/calc/calendar"
	"recirc/calc/draw"
	"recirc/calc/fault"
	"recirc/calc/quantity"
	"recirc/calc/year"
)

// What a plan takes where it does not say.
var (
	defaultBegins      = quantity.Seconds(6 * 3600)
	defaultLongestWait = quantity.Seconds(300)
)

// drawing turns a plan into the draws of days.
type drawing struct {
	notes    *Notes
	faults   *fault.List
	plan     *DrawPlan
	fixtures []draw.Fixture // of the pattern
	flows    []hotFlow
	place    map[string]int
	usable   quantity.Temperature
	hot      quantity.Temperature
}

// drawsAt is where requests have their draws.
const drawsAt = "/draws"

// prepareDraws checks a plan and fills in what it does not say.
func (s *arranging) prepareDraws(plan *DrawPlan) *drawing {
	d := &drawing{notes: s.notes, faults: s.faults, plan: plan, flows: s.flows, place: make(map[string]int), usable: plan.Usable, hot: outletOf(s.system)}
	for i := range s.system.Fixtures {
		d.place[s.system.Fixtures[i].ID] = i
	}
	if plan.Weekday.Pattern == "" {
		d.refusePatternTerms()
	}
	if plan.Weekday.Pattern == "" && len(plan.Events) == 0 {
		s.faults.Add(drawsAt, fault.DrawsIncomplete, "Nobody draws: give a pattern, or events.")
	}
	if d.usable == (quantity.Temperature{}) {
		d.usable = usableByDefault
		s.notes.assume(Assumption{Code: "default_usable_temperature", Detail: "No usable temperature is given; water of 40 degC is warm enough to wash in.", Value: "40 degC", Pointers: []string{drawsAt}, Source: "common_practice"})
	}
	if plan.LongestWait == (quantity.Duration{}) {
		s.notes.assume(Assumption{Code: "default_longest_wait", Detail: "No longest wait is given; after five minutes a draw is given up.", Value: "300 s", Pointers: []string{drawsAt}, Source: "common_practice"})
	}
	if plan.Weekday.Pattern != "" {
		d.share(s)
		d.begin("/begins_at", plan.Weekday)
		if plan.Weekend != (PatternDay{}) {
			d.begin("/weekend/begins_at", PatternDay{Pattern: d.weekend().Pattern, Begins: plan.Weekend.Begins})
		}
	}
	d.checkEvents()
	return d
}

// refusePatternTerms refuses what only a pattern takes.
func (d *drawing) refusePatternTerms() {
	refuse := func(given bool, member string) {
		if given {
			d.faults.Add(drawsAt+"/"+member, fault.DrawsContradict, "Only a pattern takes %s; give pattern too, or leave it out.", member)
		}
	}
	refuse(d.plan.Weekday.Daily != (quantity.Volume{}), "daily_volume")
	refuse(d.plan.Weekday.Begins != nil, "begins_at")
	refuse(d.plan.Weekend != (PatternDay{}), "weekend")
	refuse(d.plan.Shares != nil, "shares")
}

// share spreads the pattern over the fixtures by their shares, and by what fixtures
// of their type are used for.
func (d *drawing) share(s *arranging) {
	d.fixtures = make([]draw.Fixture, len(s.system.Fixtures))
	for i := range s.system.Fixtures {
		f := &s.system.Fixtures[i]
		d.fixtures[i] = draw.Fixture{ID: f.ID, Flow: d.flows[i].flow, Uses: usesOf(f.Type), Share: 1}
		if d.plan.Shares != nil {
			d.fixtures[i].Share = 0
		}
	}
	if d.plan.Shares == nil {
		d.notes.assume(Assumption{Code: "default_draw_shares", Detail: "No shares are given; all fixtures take part in the pattern alike.", Value: "equal", Pointers: []string{drawsAt}, Source: "common_practice"})
	}
	d.notes.assume(Assumption{Code: "uses_by_fixture_type", Detail: "Draws of a pattern that name a use go to fixtures whose type has that use.", Value: "by type", Pointers: []string{drawsAt + "/pattern"}, Source: draw.UseSource})
	listed := map[string]bool{}
	total := 0.0
	for i, share := range d.plan.Shares {
		at := listPointer(drawsAt+"/shares", i, "/fixture")
		f, known := d.place[share.Fixture]
		switch {
		case !known:
			d.faults.Add(at, fault.FixtureUnknown, "The system has no fixture %q.", share.Fixture)
		case listed[share.Fixture]:
			d.faults.Add(at, fault.ListedTwice, "The fixture %q is listed twice.", share.Fixture)
		default:
			d.fixtures[f].Share = share.Share
			total += share.Share
		}
		listed[share.Fixture] = true
	}
	if d.plan.Shares != nil && d.faults.Empty() && total <= 0 {
		d.faults.Add(drawsAt+"/shares", fault.DrawsIncomplete, "No fixture has a share above 0.")
	}
}

// usesOf is what fixtures of a type are used for.
func usesOf(fixtureType string) []draw.Use {
	switch fixtureType {
	case "shower":
		return []draw.Use{draw.Shower}
	case "bathtub":
		return []draw.Use{draw.Bath, draw.Shower}
	case "kitchen_faucet", "bar_sink_faucet":
		return []draw.Use{draw.Dishwashing, draw.Small, draw.HouseholdCleaning}
	case "dishwasher":
		return []draw.Use{draw.Dishwashing}
	case "service_sink_faucet", "laundry_tray_faucet":
		return []draw.Use{draw.FloorCleaning, draw.HouseholdCleaning}
	case "lavatory_faucet", "public_lavatory_faucet", "bidet":
		return []draw.Use{draw.Small}
	}
	return nil
}

// begin says when a pattern by elapsed time begins, and refuses it where a pattern
// has times of day.
func (d *drawing) begin(member string, of PatternDay) {
	p, _ := draw.PatternOf(of.Pattern)
	switch {
	case p.Basis == draw.Clock && of.Begins != nil:
		d.faults.Add(drawsAt+member, fault.DrawsContradict, "The pattern %s has times of day; it begins at midnight.", of.Pattern)
	case p.Basis == draw.Elapsed && of.Begins == nil && d.plan.Weekday.Begins == nil:
		d.notes.assume(Assumption{Code: "default_pattern_start", Detail: "A pattern by elapsed time does not say when it begins.", Value: "06:00", Pointers: []string{drawsAt}, Source: "common_practice"})
	}
}

// checkEvents looks at the caller's own draws.
func (d *drawing) checkEvents() {
	for i := range d.plan.Events {
		e := &d.plan.Events[i]
		if _, known := d.place[e.Fixture]; !known && e.Fixture != "" {
			d.faults.Add(listPointer(drawsAt+"/events", i, "/fixture"), fault.FixtureUnknown, "The system has no fixture %q.", e.Fixture)
		}
		if e.At.Seconds() >= calendar.SecondsOfDay {
			d.faults.Add(listPointer(drawsAt+"/events", i, "/at"), fault.OutOfRange, "A draw begins within its day; 24:00 is 00:00 of the next.")
		}
	}
}

// alike tells whether two months have the same draws.
func (d *drawing) alike(a, b calendar.Month, months *[calendar.Months]monthly) bool {
	if f := d.plan.Factors; f != nil && f[a] != f[b] {
		return false
	}
	return d.plan.Weekday.Pattern == "" || months[a].mains == months[b].mains
}

// on gives the draws of a day of a type in a month, sorted by time.
func (d *drawing) on(t calendar.DayType, m calendar.Month, mains quantity.Temperature) []year.Event {
	factor := 1.0
	if d.plan.Factors != nil {
		factor = d.plan.Factors[m]
	}
	var hot, asItComes, cold []draw.Event
	for i := range d.plan.Events {
		e := &d.plan.Events[i]
		if factor == 0 || e.Days != "" && e.Days != string(t) {
			continue
		}
		f := d.place[e.Fixture]
		one := draw.Event{At: e.At, Volume: quantity.CubicMetres(factor * e.Volume.CubicMetres()), Flow: e.Flow, Fixture: f}
		if e.Flow == (quantity.Flow{}) {
			one.Flow = d.flows[f].flow
		}
		switch e.Water {
		case HotAsItIs:
			asItComes = append(asItComes, one)
		case ColdWater:
			cold = append(cold, one)
		default:
			hot = append(hot, one)
		}
	}
	hot = append(hot, d.patternOn(t, factor, mains)...)
	var all []year.Event
	add := func(events []draw.Event, asItComes, cold bool) {
		if len(events) == 0 {
			return
		}
		sorted, err := draw.Timeline(events, len(d.flows))
		d.told(err)
		for _, e := range sorted {
			if e.Volume.CubicMetres() < leastDraw {
				continue
			}
			all = append(all, year.Event{Event: e, Usable: d.usable, AsItComes: asItComes, Cold: cold})
		}
	}
	add(hot, false, false)
	add(asItComes, true, false)
	add(cold, false, true)
	slices.SortStableFunc(all, func(a, b year.Event) int { return cmp.Compare(a.At.Seconds(), b.At.Seconds()) })
	return all
}

// leastDraw in m3 is that of a drop.
const leastDraw = 1e-8

// patternOn gives the draws of the pattern on a day of a type.
func (d *drawing) patternOn(t calendar.DayType, factor float64, mains quantity.Temperature) []draw.Event {
	day := d.plan.Weekday
	if t == calendar.Weekend {
		day = d.weekend()
	}
	if day.Pattern == "" || factor == 0 {
		return nil
	}
	p, _ := draw.PatternOf(day.Pattern)
	d.notes.use(p.Source)
	c := draw.Conditions{Hot: d.hot, Cold: mains}
	if p.Basis == draw.Elapsed {
		c.Shift = defaultBegins
		if day.Begins != nil {
			c.Shift = *day.Begins
		}
	}
	events, err := p.Events(c)
	if err == nil {
		daily := draw.Total(events).CubicMetres()
		if day.Daily != (quantity.Volume{}) {
			daily = day.Daily.CubicMetres()
		}
		events, err = draw.Scale(events, quantity.CubicMetres(factor*daily))
	}
	if err == nil {
		events, err = draw.Spread(events, d.fixtures)
	}
	d.told(err)
	return events
}

// weekend is the pattern of weekend days, what it leaves out as on weekdays.
func (d *drawing) weekend() PatternDay {
	day := d.plan.Weekend
	if day.Pattern == "" {
		day.Pattern = d.plan.Weekday.Pattern
	}
	if day.Daily == (quantity.Volume{}) && d.plan.Weekend.Pattern == "" {
		day.Daily = d.plan.Weekday.Daily
	}
	if day.Begins == nil {
		day.Begins = d.plan.Weekday.Begins
	}
	return day
}

// told passes on what is wrong with draws, once.
func (d *drawing) told(err error) {
	if err == nil || !d.faults.Empty() {
		return
	}
	if list := (*draw.FaultError)(nil); errors.As(err, &list) {
		for _, f := range list.Faults {
			d.faults.Add(drawsAt, fault.DrawsContradict, "These draws cannot be made: %s.", f.Detail)
		}
		return
	}
	d.faults.Add(drawsAt, fault.OutOfRange, "These draws cannot be made: %s.", reasonOf(err))
}
