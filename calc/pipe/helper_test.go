package pipe_test

import (
	"math"
	"os"
	"testing"

	"recirc/calc/internal/table"
	"recirc/calc/pipe"
	"recirc/calc/quantity"
)

// published reads a table of testdata. A row without a source or a status is
// refused: an expected value that nobody printed is not one.
func published(t *testing.T, name string) []table.Row {
	t.Helper()
	rows := table.MustReadCited(os.DirFS("testdata"), name)
	for _, r := range rows {
		if s := r.Text("status"); s != "verified" && s != "memory" {
			t.Fatalf("%s: %s has status %q", name, r.Text("id"), s)
		}
	}
	return rows
}

// allTubes lists every tube of every series.
func allTubes() []pipe.Tube {
	var all []pipe.Tube
	for _, s := range pipe.AllSeries() {
		all = append(all, pipe.Tubes(s.ID)...)
	}
	return all
}

func mustFind(t *testing.T, series, nominal string) pipe.Tube {
	t.Helper()
	tube, ok := pipe.Find(series, nominal)
	if !ok {
		t.Fatalf("no tube %s %s", series, nominal)
	}
	return tube
}

func millimetres(l quantity.Length) float64 { return 1000 * l.Metres() }

// within reports that a value is off by no more than a tolerance; the last
// factor is for a print that ends in a 5 exactly half way.
func within(got, want, tolerance float64) bool {
	return math.Abs(got-want) <= tolerance*(1+1e-9)
}
