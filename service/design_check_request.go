package service

import (
	"cmp"
	"math"
	"slices"
	"time"

	"recirc/calc/fault"
	"recirc/calc/rule"
)

// choose finds what the request names, and every fault of it.
func (c *designCheck) choose(faults *fault.List) {
	c.chooseSets(faults)
	c.chooseLimits(faults)
	c.chooseWaivers(faults)
	c.fixtureOwn = c.stated(c.req.Fixtures, fixtureFactsPointer, faults, fault.FixtureUnknown, "fixture", len(c.req.System.Fixtures), func(i int) string { return c.req.System.Fixtures[i].ID })
	c.pipeOwn = c.stated(c.req.Pipes, pipeFactsPointer, faults, fault.PipeUnknown, "pipe", len(c.req.System.Pipes), func(i int) string { return c.req.System.Pipes[i].ID })
}

func (c *designCheck) chooseSets(faults *fault.List) {
	for i, id := range c.req.Sets {
		if _, ok := rule.FindSet(id); !ok {
			faults.Add(listPointer("/sets", i, ""), fault.ValueNotListed, "There is no set of rules %q; GET /v1/rules lists them.", id)
		}
	}
	for _, s := range rule.Sets() {
		if len(c.req.Sets) == 0 || slices.Contains(c.req.Sets, s.ID) {
			c.rules = append(c.rules, s.Rules...)
		}
	}
}

func (c *designCheck) chooseLimits(faults *fault.List) {
	c.overrides = map[*rule.Rule]*OverrideUse{}
	c.a.Overrides = make([]OverrideUse, len(c.req.Limits))
	for i, l := range c.req.Limits {
		at := func(field string) string { return listPointer("/limits", i, field) }
		r, ok := rule.Find(l.Rule)
		switch {
		case l.Rule == "": // it could not be read
		case !ok:
			faults.Add(at("/rule"), fault.RuleUnknown, "There is no rule %q; GET /v1/rules lists them.", l.Rule)
		case !r.Overridable():
			faults.Add(at("/rule"), fault.LimitNotOverridable, "Rule %q compares nothing with a number, so it takes no limit; waive it instead.", l.Rule)
		case c.overrides[r] != nil:
			faults.Add(at("/rule"), fault.ListedTwice, "Rule %q is given another limit before.", l.Rule)
		case !(l.Limit > 0) || math.IsInf(l.Limit, 0):
			faults.Add(at("/limit"), fault.OutOfRange, "A limit is a number above zero.")
		}
		c.a.Overrides[i] = OverrideUse{LimitOverride: l, Of: r}
		if r != nil {
			c.overrides[r] = &c.a.Overrides[i]
		}
	}
}

func (c *designCheck) chooseWaivers(faults *fault.List) {
	if c.req.AsOf != "" && !isDate(c.req.AsOf) {
		faults.Add("/as_of", fault.DateMalformed, "%.40q is no date; write it as 2006-01-02.", c.req.AsOf)
	}
	c.waivers = map[*rule.Rule][]*WaiverUse{}
	c.a.Waivers = make([]WaiverUse, len(c.req.Waivers))
	for i, w := range c.req.Waivers {
		at := func(field string) string { return listPointer("/waivers", i, field) }
		r, ok := rule.Find(w.Rule)
		if !ok && w.Rule != "" {
			faults.Add(at("/rule"), fault.RuleUnknown, "There is no rule %q; GET /v1/rules lists them.", w.Rule)
		}
		if w.Until != "" && !isDate(w.Until) {
			faults.Add(at("/until"), fault.DateMalformed, "%.40q is no date; write it as 2006-01-02.", w.Until)
		}
		c.a.Waivers[i] = WaiverUse{Waiver: w, State: w.stateOn(c.req.AsOf)}
		c.waivers[r] = append(c.waivers[r], &c.a.Waivers[i])
	}
	for _, of := range c.waivers { // one in force before one that is not
		slices.SortStableFunc(of, func(a, b *WaiverUse) int { return cmp.Compare(a.State.rank(), b.State.rank()) })
	}
}

// stateOn judges the waiver on a date, "" if none is given. Dates written in this
// way compare as texts.
func (w *Waiver) stateOn(date string) WaiverState {
	switch {
	case w.Until == "":
		return WaiverInForce
	case date == "":
		return WaiverNotJudged
	case date > w.Until:
		return WaiverExpired
	}
	return WaiverInForce
}

func (s WaiverState) rank() int {
	return slices.Index([]WaiverState{WaiverInForce, WaiverNotJudged, WaiverExpired}, s)
}

func isDate(text string) bool {
	_, err := time.Parse(time.DateOnly, text)
	return err == nil
}

// stated sorts what is stated about single elements by their index.
func (c *designCheck) stated(facts []ElementFacts, list string, faults *fault.List, code fault.Code, what string, n int, id func(int) string) map[int]*rule.Facts {
	if len(facts) == 0 {
		return nil
	}
	index := make(map[string]int, n)
	for i := range n {
		index[id(i)] = i
	}
	own := make(map[int]*rule.Facts, len(facts))
	for i := range facts {
		at, ok := index[facts[i].ID]
		switch {
		case facts[i].ID == "": // it could not be read
		case !ok:
			faults.Add(listPointer(list, i, "/"+what), code, "The system has no %s %q.", what, facts[i].ID)
		case own[at] != nil:
			faults.Add(listPointer(list, i, "/"+what), fault.ListedTwice, "Facts of %s %q are listed before.", what, facts[i].ID)
		default:
			own[at] = &facts[i].Facts
		}
	}
	return own
}
