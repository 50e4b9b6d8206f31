package pipe

import (
	_ "embed"
	"slices"

	"recirc/calc/internal/table"
)

//go:embed data/series.csv
var seriesCSV string

// Series is a family of tubes to one standard, one size system and one wall.
//
// A series whose id does not end in _min_wall has the wall that the published
// code volume table (fluid ounces per foot) follows.
type Series struct {
	ID, Title     string
	Material      Material
	Standard      string
	NominalSystem string // inch, mm or dn: how the nominal sizes are written
	BoreBasis     BoreBasis
	Note          string
}

var (
	allSeries  = readSeries()
	seriesByID = indexSeries(allSeries)
)

// AllSeries lists the series by id. The list is the caller's own.
func AllSeries() []Series { return slices.Clone(allSeries) }

// FindSeries finds a series by its exact id, and false if there is none.
func FindSeries(id string) (Series, bool) {
	i, ok := seriesByID[id]
	if !ok {
		return Series{}, false
	}
	return allSeries[i], true
}

func readSeries() []Series {
	rows := table.MustRead(seriesCSV)
	all := make([]Series, len(rows))
	for i, r := range rows {
		all[i] = Series{
			ID: r.Text("id"), Title: r.Text("title"), Material: Material(r.Text("material")), Standard: r.Text("standard"),
			NominalSystem: r.Text("nominal_system"), BoreBasis: BoreBasis(r.Text("bore_basis")), Note: r.Text("note"),
		}
	}
	return all
}

func indexSeries(all []Series) map[string]int {
	m := make(map[string]int, len(all))
	for i, s := range all {
		m[s.ID] = i
	}
	return m
}
