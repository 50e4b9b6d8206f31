package service

import (
	"cmp"
	"slices"

	"recirc/calc/control"
	"recirc/calc/fault"
	"recirc/calc/network"
	"recirc/calc/rule"
)

// CheckDesign compares a design with rules. It gives nil and adds to faults if
// the request is wrong. It never says that a design complies: it counts what it
// assessed.
//
// Findings are in the order of the sets, of the rules within a set, and of the
// ids of the elements within a rule. What does not name places in the request does not
// depend on the order of pipes and fixtures.
func CheckDesign(req *DesignCheckRequest, faults *fault.List) *DesignCheck {
	g := build(&req.System, faults)
	c := designCheck{req: req, g: g, a: &DesignCheck{}}
	c.choose(faults)
	if !faults.Empty() {
		return nil
	}
	c.completeFacts()
	c.judge()
	if !c.fits(faults) {
		return nil
	}
	c.gather()
	c.note()
	return c.a
}

// designCheck is one request on its way to an answer.
type designCheck struct {
	req *DesignCheckRequest
	g   *network.Graph
	a   *DesignCheck

	rules     []*rule.Rule
	tallies   []ruleTally // by rule
	overrides map[*rule.Rule]*OverrideUse
	waivers   map[*rule.Rule][]*WaiverUse

	legs        []network.DeadLeg
	circulation network.Circulation
	facts       rule.Facts             // of the design, completed
	from        map[*rule.Input]string // where a completed fact is from
	settings    []control.Finding
	fixtureOwn  map[int]*rule.Facts // stated about single ones, by index
	pipeOwn     map[int]*rule.Facts
	clashes     clashes
	outcome     rule.Outcome // of the rule at hand
	text        []byte       // of the sentence at hand
}

// Where the facts of a design check stand in the request.
const (
	factsPointer        = "/facts"
	fixtureFactsPointer = factsPointer + "/fixtures"
	pipeFactsPointer    = factsPointer + "/pipes"
	controlPointer      = "/control"
)

// element is what a finding is about.
type element struct {
	pointer, id string
	fixture     int // its place in the list; -1 for what is none
}

// judge looks at every element of every kind, in the order of ids.
func (c *designCheck) judge() {
	c.tallies = make([]ruleTally, len(c.rules))
	c.judgeDesign()
	c.judgeFixtures()
	c.judgePipes()
	c.judgeReturns()
	c.judgeControl()
}

// ofSubject lists the rules that judge such elements, by index.
func (c *designCheck) ofSubject(s rule.Subject) []int {
	var of []int
	for i, r := range c.rules {
		if r.Subject == s {
			of = append(of, i)
		}
	}
	return of
}

// byID orders elements by what the request calls them.
func byID(n int, id func(int) string) []int {
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(id(a), id(b)) })
	return order
}

// try judges one element by the rules given.
func (c *designCheck) try(rules []int, k *rule.Case, at element) {
	c.clashes.next()
	for _, i := range rules {
		r := c.rules[i]
		var limit *float64
		o := c.overrides[r]
		if o != nil {
			limit = &o.Limit
		}
		outcome := &c.outcome
		r.Judge(k, limit, outcome)
		if outcome.Status == "" {
			continue
		}
		if o != nil {
			o.Findings++
		}
		c.clashes.add(r, outcome.Status)
		c.tallies[i].add(r, outcome, at, c.req.EveryElement)
	}
	c.clashes.close(at)
}

// fits refuses an answer with too many findings.
func (c *designCheck) fits(faults *fault.List) bool {
	rows := 0
	for i := range c.tallies {
		rows += len(c.tallies[i].rows)
	}
	if rows > maxRows {
		faults.Add("/sets", fault.AnswerTooLarge, "The answer would hold %d findings; at most %d are given. Name fewer sets, or send parts of the building.", rows, maxRows)
	}
	return faults.Empty()
}
