package rule

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"

	"recirc/calc/internal/table"
	"recirc/calc/source"
)

//go:embed data/sets.csv
var setsCSV string

//go:embed data/rules.csv
var rulesCSV string

// Set is the rules of one document in one edition.
type Set struct {
	ID       string
	Title    string // what it is, in our words
	Document string
	Edition  string
	Note     string
	Rules    []*Rule
}

var (
	sets    = readSets()
	rules   = readRules()
	ruleIDs = indexRules(rules)

	supplyTemperature = mustInput("supply_temperature")
	pumpStop          = mustInput("pump_stop_temperature")
)

// Sets lists the sets in the order of the table.
func Sets() []*Set { return sets }

// FindSet finds a set by its id.
func FindSet(id string) (*Set, bool) {
	i := slices.IndexFunc(sets, func(s *Set) bool { return s.ID == id })
	if i < 0 {
		return nil, false
	}
	return sets[i], true
}

// Rules lists every rule, set by set.
func Rules() []*Rule { return rules }

// Find finds a rule by its id.
func Find(id string) (*Rule, bool) {
	r, ok := ruleIDs[id]
	return r, ok
}

func readSets() []*Set {
	var all []*Set
	for _, r := range table.MustRead(setsCSV) {
		all = append(all, &Set{ID: r.Text("id"), Title: r.Text("title"), Document: r.Text("document"), Edition: r.Text("edition"), Note: r.Text("note")})
	}
	return all
}

func readRules() []*Rule {
	for _, row := range table.MustRead(rulesCSV) {
		r := readRule(row)
		r.Set.Rules = append(r.Set.Rules, r)
	}
	var all []*Rule
	for _, s := range sets {
		all = append(all, s.Rules...)
	}
	return all
}

func readRule(row table.Row) *Rule {
	set, ok := FindSet(row.Text("set"))
	if !ok {
		panic(fmt.Sprintf("rule: %s: there is no set %q", row.Text("id"), row.Text("set")))
	}
	r := &Rule{
		ID: row.Text("id"), Set: set, Clause: row.Text("clause"), Requirement: row.Text("requirement"), Advice: row.Text("advice"),
		Subject: Subject(row.Text("subject")), Severity: Severity(row.Text("severity")), Topic: row.Text("topic"), Method: Method(row.Text("method")),
		LimitIs: Bound(row.Text("bound")), Predicate: row.Text("predicate"), Source: source.ID(row.Text("source")), Status: source.Status(row.Text("status")),
		Note: row.Text("note"), when: readConditions(row.Text("when")), share: 1,
	}
	for _, name := range strings.Fields(row.Text("needs")) {
		r.Needs = append(r.Needs, mustInput(name))
	}
	r.bind(row.Text("of"))
	if value, given := row.Optional("limit"); given {
		r.Limit, r.HasLimit = r.Dimension.MustUnit(row.Text("unit")).ToSI(value), true
	}
	if share, given := row.Optional("share"); given {
		r.share = share
	}
	return r
}

func indexRules(all []*Rule) map[string]*Rule {
	byID := make(map[string]*Rule, len(all))
	for _, r := range all {
		byID[r.ID] = r
	}
	return byID
}
