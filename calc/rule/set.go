package rule

import (
	_ "embed"
	"slices"

	"recirc/calc/internal/table"
)

//go:embed data/sets.csv
var setsCSV string

var (
	sets  = readSets()
	rules []*Rule
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
	i := slices.IndexFunc(rules, func(r *Rule) bool { return r.ID == id })
	if i < 0 {
		return nil, false
	}
	return rules[i], true
}

func readSets() []*Set {
	var all []*Set
	for _, r := range table.MustRead(setsCSV) {
		all = append(all, &Set{ID: r.Text("id"), Title: r.Text("title"), Document: r.Text("document"), Edition: r.Text("edition"), Note: r.Text("note")})
	}
	return all
}
