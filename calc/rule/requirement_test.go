package rule_test

import (
	"math"
	"os"
	"strings"
	"testing"

	"recirc/calc/internal/table"
	"recirc/calc/quantity"
	"recirc/calc/rule"
)

// TestVerifiedRequirementsAreInRules: every number of the published requirements that
// was read in print is the limit of a rule, or is left out for a reason.
func TestVerifiedRequirementsAreInRules(t *testing.T) {
	rows := table.MustReadCited(os.DirFS("testdata"), "requirement_rows.csv")
	if len(rows) < 150 {
		t.Fatalf("only %d rows", len(rows))
	}
	for _, row := range rows {
		id, how := row.Text("row"), row.Text("how")
		if how == "left_out" {
			if row.Text("reason") == "" || row.Text("rules") != "" {
				t.Errorf("%s is left out without a reason", id)
			}
			continue
		}
		named := strings.Fields(row.Text("rules"))
		if len(named) == 0 {
			t.Errorf("%s names no rule", id)
		}
		for _, name := range named {
			r, ok := rule.Find(name)
			if !ok {
				t.Errorf("%s: there is no rule %s", id, name)
				continue
			}
			compareRequirement(t, r, row)
		}
	}
}

func compareRequirement(t *testing.T, r *rule.Rule, row table.Row) {
	t.Helper()
	id, got, want := row.Text("row"), 0.0, 0.0
	switch row.Text("how") {
	case "limit":
		got, want = r.Limit, r.Dimension.MustUnit(row.Text("unit")).ToSI(row.Number("value"))
	case "rest_of_day":
		got, want = r.Limit, 86400-r.Dimension.MustUnit(row.Text("unit")).ToSI(row.Number("value"))
	case "published_limits":
		if _, ok := rule.FindLimit(r.ID); !ok {
			t.Errorf("%s: %s is no limit by a table", id, r.ID)
		}
		return
	case "thickness":
		got = minimum(t, r.ID, rule.InsulatedPipe{
			Water: fahrenheit(row.Number("water")), NominalInches: row.Number("size"), Outside: quantity.Millimetres(30), Bore: quantity.Millimetres(27),
			Thickness: quantity.Millimetres(10), Conductivity: quantity.WattsPerMetreKelvin(quantity.ConductivityDimension.MustUnit("Btu.in/(h.ft2.degF)").ToSI(row.Number("k"))),
		})
		want = quantity.LengthDimension.MustUnit("in").ToSI(row.Number("value"))
	case "thickness_by_bore":
		got = minimum(t, r.ID, rule.InsulatedPipe{
			Water: quantity.Celsius(60), Bore: quantity.Millimetres(row.Number("size")), Outside: quantity.Millimetres(row.Number("size") + 3),
			Thickness: quantity.Millimetres(10), Conductivity: quantity.WattsPerMetreKelvin(row.Number("k")),
		})
		want = quantity.LengthDimension.MustUnit("mm").ToSI(row.Number("value"))
		if row.Text("row") == "INS-064" { // the thickness is the bore itself
			want = row.Number("size") / 1000
		}
	case "share":
		if !strings.Contains(r.Requirement, "half") && !strings.Contains(r.Requirement, "double") && !strings.Contains(r.Requirement, "twice") && !strings.Contains(r.Requirement, "%") {
			t.Errorf("%s: rule %s does not tell its share: %q", id, r.ID, r.Requirement)
		}
		return
	default: // no number to compare
		return
	}
	if math.Abs(got-want) > 1e-6*math.Abs(want) {
		t.Errorf("%s: rule %s has %v, the print %v", id, r.ID, got, want)
	}
}

// minimum is the thickness in m that a table asks for.
func minimum(t *testing.T, id string, p rule.InsulatedPipe) float64 {
	t.Helper()
	for _, r := range rule.InsulationRules() {
		if r.ID == id {
			return r.Judge(p).Minimum.Metres()
		}
	}
	t.Errorf("there is no table %s", id)
	return 0
}
