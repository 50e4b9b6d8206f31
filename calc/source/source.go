// Package source is the registry of published sources that formulas, tables and
// rules cite by id.
package source

import (
	"cmp"
	_ "embed"
	"slices"

	"recirc/calc/internal/table"
)

//go:embed data/sources.csv
var sourcesCSV string

// ID names a source; it is what a table or a formula cites.
type ID string

// Status says how a figure came here.
type Status string

// The statuses.
const (
	Verified Status = "verified" // read on a page, also a reprint or a quotation
	Memory   Status = "memory"   // recalled, not seen in print
)

// Source is a published document, or a practice that has none.
type Source struct {
	ID      ID
	Title   string
	Edition string // edition or year, "" if not known
	Clause  string // clause, table or page, "" if it is cited as a whole
	Kind    string // standard, code, programme, handbook, textbook, article, data_collection or practice
	Status  Status // of its figures in general; a row that cites it may have its own
	Note    string
}

var (
	sources = readSources()
	byID    = index(sources)
)

// All lists the sources by id. The list is the caller's own.
func All() []Source { return slices.Clone(sources) }

// Find finds a source, and false if the id is not registered.
func Find(id ID) (Source, bool) {
	i, ok := byID[id]
	if !ok {
		return Source{}, false
	}
	return sources[i], true
}

func readSources() []Source {
	rows := table.MustRead(sourcesCSV)
	all := make([]Source, len(rows))
	for i, r := range rows {
		all[i] = Source{
			ID: ID(r.Text("id")), Title: r.Text("title"), Edition: r.Text("edition"), Clause: r.Text("clause_or_table"),
			Kind: r.Text("kind"), Status: Status(r.Text("status")), Note: r.Text("note"),
		}
	}
	slices.SortStableFunc(all, func(a, b Source) int { return cmp.Compare(a.ID, b.ID) })
	return all
}

func index(all []Source) map[ID]int {
	m := make(map[ID]int, len(all))
	for i, s := range all {
		m[s.ID] = i
	}
	return m
}
