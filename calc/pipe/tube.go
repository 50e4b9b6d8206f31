package pipe

import (
	_ "embed"
	"fmt"
	"slices"

	"recirc/calc/internal/table"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

//go:embed data/tubes.csv
var tubesCSV string

// Tube is a tube of the catalogue, or a caller's own. A zero outside diameter
// or wall of a caller's own tube is not known.
type Tube struct {
	Series, Nominal string // "" for a caller's own tube
	Material        Material

	OutsideDiameter, Wall quantity.Length
	Bore                  quantity.Length // inside diameter; the one that volumes are found from
	BoreBasis             BoreBasis

	Source source.ID
	Status source.Status
	Note   string
}

type tubeKey struct{ series, nominal string }

var (
	tubesBySeries = readTubes()
	tubesByKey    = indexTubes(tubesBySeries)
)

// Tubes lists the tubes of a series by outside diameter, then by wall; none if
// there is no such series. The list is the caller's own.
func Tubes(seriesID string) []Tube { return slices.Clone(tubesBySeries[seriesID]) }

// Find finds a tube by the exact id of its series and its nominal size as the
// series writes it, and false if there is none.
func Find(seriesID, nominal string) (Tube, bool) {
	t, ok := tubesByKey[tubeKey{seriesID, nominal}]
	if !ok {
		return Tube{}, false
	}
	return *t, true
}

// Nominals lists the nominal sizes of a series in the order of [Tubes].
func Nominals(seriesID string) []string {
	tubes := tubesBySeries[seriesID]
	nominals := make([]string, len(tubes))
	for i := range tubes {
		nominals[i] = tubes[i].Nominal
	}
	return nominals
}

func readTubes() map[string][]Tube {
	all := make(map[string][]Tube, len(allSeries))
	for _, r := range table.MustRead(tubesCSV) {
		id := r.Text("series")
		series, ok := FindSeries(id)
		if !ok {
			panic(fmt.Sprintf("pipe: tubes.csv: series %q is not in series.csv", id))
		}
		all[id] = append(all[id], Tube{
			Series: series.ID, Nominal: r.Text("nominal"), Material: series.Material,
			OutsideDiameter: quantity.Millimetres(r.Number("outside_diameter_mm")),
			Wall:            quantity.Millimetres(r.Number("wall_mm")),
			Bore:            quantity.Millimetres(r.Number("inside_diameter_mm")),
			BoreBasis:       BoreBasis(r.Text("bore_basis")),
			Source:          source.ID(r.Text("source")), Status: source.Status(r.Text("status")), Note: r.Text("note"),
		})
	}
	return all
}

// indexTubes points into the lists of the series, so that finding a tube copies
// it once and allocates nothing.
func indexTubes(bySeries map[string][]Tube) map[tubeKey]*Tube {
	m := make(map[tubeKey]*Tube)
	for id, tubes := range bySeries {
		for i := range tubes {
			m[tubeKey{id, tubes[i].Nominal}] = &tubes[i]
		}
	}
	return m
}
