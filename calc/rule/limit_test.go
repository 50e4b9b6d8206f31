package rule_test

import (
	_ "embed"
	"encoding/csv"
	"strconv"
	"strings"
	"testing"

	"recirc/calc/quantity"
	"recirc/calc/rule"
	"recirc/calc/source"
)

//go:embed testdata/published_limits.csv
var published string

type publishedLimit struct {
	rule, name string
	leg        rule.DeadLeg
	limit      float64 // SI
}

func readPublished(t *testing.T) []publishedLimit {
	t.Helper()
	r := csv.NewReader(strings.NewReader(published))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	number := func(s string) float64 {
		if s == "" {
			return 0
		}
		x, err := strconv.ParseFloat(s, 64)
		if err != nil {
			t.Fatal(err)
		}
		return x
	}
	var all []publishedLimit
	for _, row := range rows[1:] {
		l, ok := rule.FindLimit(row[0])
		if !ok {
			t.Fatalf("no rule %q", row[0])
		}
		u, ok := l.Measures.Dimension().Unit(row[6])
		if !ok || row[7] == "" || row[8] == "" {
			t.Fatalf("row without unit, source or status: %v", row)
		}
		all = append(all, publishedLimit{
			rule: row[0], name: strings.Join(row[:6], " "), limit: u.ToSI(number(row[5])),
			leg: rule.DeadLeg{PublicLavatory: row[1] == "public_lavatory", Maintained: row[2] == "maintained", NominalInches: number(row[3]), Outside: quantity.Millimetres(number(row[4]))},
		})
	}
	return all
}

// at gives the dead leg a length and a volume of so much of the limit.
func (p publishedLimit) at(share float64) rule.DeadLeg {
	leg := p.leg
	leg.Length, leg.Volume = quantity.Metres(share*p.limit), quantity.CubicMetres(share*p.limit)
	return leg
}

// TestPublishedLimits: each rule, at its published limit and just above.
func TestPublishedLimits(t *testing.T) {
	spoken := map[string]bool{}
	for _, p := range readPublished(t) {
		l, _ := rule.FindLimit(p.rule)
		spoken[p.rule] = true
		if !l.Applies(p.at(1)) {
			t.Errorf("%s: does not apply", p.name)
		}
		if v := l.Judge(p.at(1)); v.Status != rule.Met {
			t.Errorf("%s: at the limit %s (%s)", p.name, v.Status, v.Reason)
		}
		if v := l.Judge(p.at(1.001)); v.Status != rule.NotMet {
			t.Errorf("%s: above the limit %s (%s)", p.name, v.Status, v.Reason)
		}
	}
	for _, l := range rule.Limits() {
		if !spoken[l.ID] {
			t.Errorf("%s has no published row", l.ID)
		}
		if _, ok := source.Find(l.Source); !ok || l.Document == "" || l.Edition == "" || l.Clause == "" || l.Status == "" {
			t.Errorf("%s lacks a registered source, document, edition, clause or status", l.ID)
		}
	}
}

// TestNotAssessed: a rule whose input is missing is never passed in silence.
func TestNotAssessed(t *testing.T) {
	long := quantity.Metres(5)
	cases := []struct {
		rule string
		leg  rule.DeadLeg
		want string
	}{
		{"iecc_c404_5_1_length", rule.DeadLeg{Length: long}, "nominal size"},
		{"leed_v4_homes_length", rule.DeadLeg{Length: long, NominalInches: 0.375}, "no row"},
		{"uk_uninsulated_length", rule.DeadLeg{Length: long}, "outside diameter"},
		{"uk_uninsulated_length", rule.DeadLeg{Length: long, Outside: quantity.Millimetres(15), Insulated: true}, "insulated"},
		{"nspc_10_15_2_heater", rule.DeadLeg{Length: long, Maintained: true}, "starts at the heater"},
		{"nspc_10_15_2_maintained", rule.DeadLeg{Length: long}, "starts at a circulated"},
		{"iecc_c404_5_maintained_volume", rule.DeadLeg{Length: long, Volume: quantity.CubicMetres(1)}, "starts at a circulated"},
	}
	for _, c := range cases {
		l, _ := rule.FindLimit(c.rule)
		if v := l.Judge(c.leg); v.Status != rule.NotAssessed || !strings.Contains(v.Reason, c.want) {
			t.Errorf("%s: %s (%s), want not assessed for %q", c.rule, v.Status, v.Reason, c.want)
		}
	}
}

// TestNoPipeAtAll: where the hot source is at the fixture, every limit is met.
func TestNoPipeAtAll(t *testing.T) {
	for _, l := range rule.Limits() {
		leg := rule.DeadLeg{Maintained: true}
		if v := l.Judge(leg); l.Applies(leg) && v.Status != rule.Met {
			t.Errorf("%s: %s (%s)", l.ID, v.Status, v.Reason)
		}
	}
}

// TestDocumentsClash: 36 ft of 1/2 in to a public lavatory passes the plumbing
// code (50 ft) and fails the energy code (2 ft); both verdicts stand.
func TestDocumentsClash(t *testing.T) {
	leg := rule.DeadLeg{PublicLavatory: true, NominalInches: 0.5, Length: quantity.Metres(36 * 0.3048)}
	plumbing, _ := rule.FindLimit("ipc_607_2")
	energy, _ := rule.FindLimit("iecc_c404_5_1_length")
	if p, e := plumbing.Judge(leg).Status, energy.Judge(leg).Status; p != rule.Met || e != rule.NotMet {
		t.Errorf("plumbing code %s, energy code %s", p, e)
	}
}
