// Package rule holds what codes, programmes and published practice ask for, as
// data, and compares a design with it. It reports each rule beside the others
// and never says that a design complies.
package rule

import (
	_ "embed"
	"fmt"
	"strings"

	"recirc/calc/internal/table"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

//go:embed data/limits.csv
var limitsCSV string

//go:embed data/limit_tables.csv
var limitTablesCSV string

// Limit is a published limit on the pipe between a source of hot water and a
// fixture, by developed length or by stored volume.
type Limit struct {
	ID, Document, Edition, Clause string
	Measures                      Measure
	Source                        source.ID
	Status                        source.Status
	Note                          string

	forms []form
	rows  []row

	byFixture   bool // it treats fixtures in different ways
	uninsulated bool // it is for uninsulated pipe alone
}

// flat is the one limit in SI of a rule that has no other.
func (l *Limit) flat() (float64, bool) {
	return l.forms[0].limit, len(l.forms) == 1 && l.forms[0].hasLimit
}

// Measure is what a limit compares.
type Measure string

// The measures.
const (
	DevelopedLength Measure = "developed_length"
	StoredVolume    Measure = "stored_volume"
)

// Dimension is that of the measured value.
func (m Measure) Dimension() *quantity.Dimension {
	if m == StoredVolume {
		return quantity.VolumeDimension
	}
	return quantity.LengthDimension
}

// scope is which fixtures and which sources of hot water a form is for.
type scope struct{ fixtures, from string }

// form is one limit of a rule; without a value the rule goes by its rows.
type form struct {
	scope
	limit    float64 // SI
	hasLimit bool
}

// row is one line of a table by size.
type row struct {
	scope
	match string
	size  float64
	limit float64 // SI
}

var (
	limits   = readLimits()
	limitIDs = indexLimits(limits)
)

// Limits lists the rules in their published order.
func Limits() []*Limit { return limits }

// FindLimit finds a rule by id.
func FindLimit(id string) (*Limit, bool) {
	l, ok := limitIDs[id]
	return l, ok
}

func indexLimits(all []*Limit) map[string]*Limit {
	byID := make(map[string]*Limit, len(all))
	for _, l := range all {
		byID[l.ID] = l
	}
	return byID
}

func readLimits() []*Limit {
	var all []*Limit
	byID := map[string]*Limit{}
	for _, r := range table.MustRead(limitsCSV) {
		id := r.Text("id")
		l := byID[id]
		if l == nil {
			l = &Limit{
				ID: id, Document: r.Text("document"), Edition: r.Text("edition"), Clause: r.Text("clause"),
				Measures: Measure(r.Text("measures")), Source: source.ID(r.Text("source")), Status: source.Status(r.Text("status")), Note: r.Text("note"),
			}
			byID[id] = l
			all = append(all, l)
		}
		f := form{scope: scope{r.Text("fixtures"), r.Text("from")}}
		if value, ok := r.Optional("limit"); ok {
			f.limit, f.hasLimit = inSI(l.Measures, value, r.Text("unit")), true
		}
		l.forms = append(l.forms, f)
		l.byFixture = l.byFixture || f.fixtures != "any"
	}
	for _, r := range table.MustRead(limitTablesCSV) {
		l := byID[r.Text("rule")]
		l.rows = append(l.rows, row{
			scope: scope{r.Text("fixtures"), r.Text("from")}, match: r.Text("match"), size: r.Number("size"),
			limit: inSI(l.Measures, r.Number("limit"), r.Text("unit")),
		})
		l.byFixture = l.byFixture || r.Text("fixtures") != "any"
		l.uninsulated = strings.HasPrefix(r.Text("match"), "outside_mm")
	}
	return all
}

func inSI(m Measure, value float64, symbol string) float64 {
	u, ok := m.Dimension().Unit(symbol)
	if !ok {
		panic(fmt.Sprintf("rule: limits.csv: unit %q is not of %s", symbol, m))
	}
	return u.ToSI(value)
}
