package service_test

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/fault"
	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/calc/rule"
	"recirc/service"
)

func findingsOf(a *service.DesignCheck, id string) []service.Finding {
	var of []service.Finding
	for _, f := range a.Findings {
		if f.Rule.ID == id {
			of = append(of, f)
		}
	}
	return of
}

// TestDesignCheckOverride: a local amendment replaces a limit, also one by size, and is seen.
func TestDesignCheckOverride(t *testing.T) {
	for id, want := range map[string]rule.Status{"ipc_607_2": rule.NotMet, "iecc_c404_5_1_length": rule.NotMet, "ashrae_90_1_thickness": rule.NotMet} {
		r := designOf(t, "return=yes branch=8m insulation=1in@0.25")
		limit := map[string]float64{"ashrae_90_1_thickness": 0.05}[id]
		if limit == 0 {
			limit = 7
		}
		r.Limits = []service.LimitOverride{{Rule: id, Limit: limit, Reason: "local amendment"}}
		a := mustCheck(t, r)
		f := findingsOf(a, id)[0]
		if f.Status != want || f.Limit != limit || f.Overridden == nil || a.Overrides[0].Findings == 0 || a.Overrides[0].Of != f.Rule {
			t.Errorf("%s: %s, limit %v, %+v", id, f.Status, f.Limit, a.Overrides)
		}
	}
}

// TestDesignCheckWaivers: a waiver silences until its last day, and only where the day is known.
func TestDesignCheckWaivers(t *testing.T) {
	for _, c := range []struct {
		element, until, asOf string
		want                 service.WaiverState // "": it names nothing
	}{
		{"", "", "", service.WaiverInForce},
		{"/system/fixtures/0", "2030-01-31", "2030-01-31", service.WaiverInForce},
		{"/system/fixtures/0", "2030-01-31", "2030-02-01", service.WaiverExpired},
		{"/system/fixtures/0", "2030-01-31", "", service.WaiverNotJudged},
		{"/system/fixtures/1", "", "", ""},
	} {
		r := designOf(t, "branch=60ft")
		r.Sets, r.AsOf = []string{"ipc_2018"}, c.asOf
		r.Waivers = []service.Waiver{{Rule: "ipc_607_2", Element: c.element, Reason: "agreed with the reviewer", Until: c.until}}
		a := mustCheck(t, r)
		f := findingsOf(a, "ipc_607_2")[0]
		if (f.Waiver == nil) != (c.want == "") || f.Waiver != nil && f.Waiver.State != c.want {
			t.Errorf("%+v: %+v", c, f.Waiver)
		}
		silent := c.want == service.WaiverInForce
		if f.Waived() != silent || f.CountsAgainst(rule.Violation) == silent || f.Status != rule.NotMet || (a.Totals.Waived == 1) != silent {
			t.Errorf("%+v: waived %v, counts against %v, %s, %+v", c, f.Waived(), f.CountsAgainst(rule.Violation), f.Status, a.Totals)
		}
	}
}

// TestDesignCheckRefused: every fault of a request, all at once.
func TestDesignCheckRefused(t *testing.T) {
	r := designOf(t, "")
	r.Sets = []string{"good_practice", "nowhere"}
	r.Limits = []service.LimitOverride{{Rule: "none", Limit: 1, Reason: "r"}, {Rule: "practice_check_valve", Limit: 1, Reason: "r"}, {Rule: "ipc_607_2", Limit: -1, Reason: "r"}, {Rule: "ipc_607_2", Limit: 1, Reason: "r"}}
	r.Waivers = []service.Waiver{{Rule: "none", Reason: "r"}, {Rule: "ipc_607_2", Reason: "r", Until: "2030-02-30"}}
	r.AsOf = "today"
	r.Fixtures = []service.ElementFacts{{ID: "nobody"}, {ID: "tap"}, {ID: "tap"}}
	r.Pipes = []service.ElementFacts{{ID: "nothing"}}
	var faults fault.List
	if a := service.CheckDesign(r, &faults); a != nil {
		t.Error("an answer to a wrong request")
	}
	var got []string
	for _, f := range faults.Faults() {
		got = append(got, f.Pointer+" "+string(f.Code))
	}
	want := []string{
		"/sets/1 value_not_listed", "/limits/0/rule rule_unknown", "/limits/1/rule limit_not_overridable", "/limits/2/limit out_of_physical_range",
		"/limits/3/rule listed_twice", "/as_of date_malformed", "/waivers/0/rule rule_unknown",
		"/waivers/1/until date_malformed", "/facts/fixtures/0/fixture fixture_unknown",
		"/facts/fixtures/2/fixture listed_twice",
		"/facts/pipes/0/pipe pipe_unknown",
	}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// TestDesignCheckInAnyOrder: the order of pipes and fixtures changes pointers and
// nothing else.
func TestDesignCheckInAnyOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := &service.DesignCheckRequest{System: tower(12)}
		r.EveryElement = rapid.Bool().Draw(t, "every element")
		r.System.Pipes[3].Length = quantity.Metres(rapid.Float64Range(0.1, 40).Draw(t, "length"))
		shuffled := *r
		shuffled.System.Pipes = rapid.Permutation(r.System.Pipes).Draw(t, "pipes")
		shuffled.System.Fixtures = rapid.Permutation(r.System.Fixtures).Draw(t, "fixtures")
		var faults fault.List
		a, b := service.CheckDesign(r, &faults), service.CheckDesign(&shuffled, &faults)
		if !faults.Empty() {
			t.Fatal(faults.Err())
		}
		if x, y := told(a), told(b); x != y {
			t.Fatalf("one order\n%s\nanother\n%s", x, y)
		}
	})
}

// told is an answer without its pointers.
func told(a *service.DesignCheck) string {
	var b strings.Builder
	for _, f := range a.Findings {
		fmt.Fprintf(&b, "%s %s %s %d %v %v %s %s\n", f.Rule.ID, f.Status, f.ElementID, f.Elements, f.Value, f.Limit, f.Fingerprint, f.Detail)
	}
	for _, c := range a.Clashes {
		fmt.Fprintf(&b, "%s %s %d %d %d\n", c.Topic, c.Kind, len(c.Met), len(c.NotMet), c.Count)
	}
	return b.String() + fmt.Sprint(a.Totals)
}

// TestDesignCheckFingerprints: unlike findings have unlike fingerprints, and the fingerprint of
// a fixture survives another fixture before it.
func TestDesignCheckFingerprints(t *testing.T) {
	r := &service.DesignCheckRequest{System: tower(20)}
	r.EveryElement = true
	seen := map[string]string{}
	for _, f := range mustCheck(t, r).Findings {
		what := f.Rule.ID + " " + f.ElementID
		if before, twice := seen[f.Fingerprint]; twice {
			t.Fatalf("%s has the fingerprint of %s", what, before)
		}
		seen[f.Fingerprint] = what
	}
	r = designOf(t, "branch=60ft")
	atTap := func() service.Finding {
		of := findingsOf(mustCheck(t, r), "ipc_607_2")
		return of[slices.IndexFunc(of, func(f service.Finding) bool { return f.ElementID == "tap" })]
	}
	first := atTap()
	r.System.Pipes = append([]network.Pipe{{ID: "a", From: "heater", To: "a", Role: network.Supply, Length: quantity.Metres(1), Tube: r.System.Pipes[0].Tube}}, r.System.Pipes...)
	r.System.Fixtures = append([]network.Fixture{{ID: "a", Node: "a", Type: "shower"}}, r.System.Fixtures...)
	if again := atTap(); again.Fingerprint != first.Fingerprint || again.Element == first.Element {
		t.Errorf("%s at %s, then %s at %s", first.Fingerprint, first.Element, again.Fingerprint, again.Element)
	}
}

// TestDesignCheckCountsAgree: what is counted is what is found.
func TestDesignCheckCountsAgree(t *testing.T) {
	r := &service.DesignCheckRequest{System: tower(20)}
	short, long := mustCheck(t, r), func() *service.DesignCheck { r.EveryElement = true; return mustCheck(t, r) }()
	if !reflect.DeepEqual(short.Totals, long.Totals) || !reflect.DeepEqual(short.Rules, long.Rules) {
		t.Error("the counts depend on how much is listed")
	}
	for _, a := range []*service.DesignCheck{short, long} {
		n := map[rule.Status]int{}
		for _, f := range a.Findings {
			n[f.Status] += f.Elements
		}
		if want := map[rule.Status]int{rule.Met: a.Totals.Met, rule.NotMet: a.Totals.NotMet, rule.NotAssessed: a.Totals.NotAssessed}; !reflect.DeepEqual(n, want) {
			t.Errorf("found %v, counted %v", n, want)
		}
		if sum := a.Totals.RulesAssessed + a.Totals.RulesNotAssessed + a.Totals.RulesWithoutCase; sum != a.Totals.Rules || a.Totals.Rules != len(rule.Rules()) {
			t.Errorf("%+v", a.Totals)
		}
	}
}

// TestDesignCheckWithTooManyFindings: an answer that would not end is refused.
func TestDesignCheckWithTooManyFindings(t *testing.T) {
	r := &service.DesignCheckRequest{System: tower(9000)}
	r.EveryElement = true
	var faults fault.List
	if a := service.CheckDesign(r, &faults); a != nil || faults.Faults()[0].Code != fault.AnswerTooLarge {
		t.Errorf("%v", faults.Err())
	}
}

// TestDesignCheckLeavesTheRequestAlone: the facts of a request are not added to.
func TestDesignCheckLeavesTheRequestAlone(t *testing.T) {
	r := designOf(t, "return=yes outlet_temperature=50degC air_release=yes")
	in, _ := rule.FindInput("circulation")
	maintained, _ := rule.FindInput("maintained")
	mustCheck(t, r)
	if r.Facts.Knows(in) || r.Fixtures[0].Facts.Knows(maintained) {
		t.Error("the request knows more than it said")
	}
}

// TestDesignCheckClaimsNothing: no word of an answer or of a rule claims that a design complies.
func TestDesignCheckClaimsNothing(t *testing.T) {
	a := mustCheck(t, &service.DesignCheckRequest{System: tower(5)})
	texts := []string{}
	for _, f := range a.Findings {
		texts = append(texts, f.Detail, f.Advice)
	}
	for _, r := range rule.Rules() {
		texts = append(texts, r.Requirement, r.Advice, r.Note)
	}
	for _, text := range texts {
		if strings.Contains(strings.ToLower(text), "compl") && !strings.Contains(text, "complete") {
			t.Errorf("%q", text)
		}
	}
}

// TestRulesBySet: the list of rules is that of the set that is named.
func TestRulesBySet(t *testing.T) {
	if all := service.Rules(""); len(all) != len(rule.Sets()) {
		t.Errorf("%d sets", len(all))
	}
	if one := service.Rules("ipc_2018"); len(one) != 1 || one[0].ID != "ipc_2018" || len(rule.Sets()) < 2 {
		t.Errorf("%v", one)
	}
	if none := service.Rules("nowhere"); len(none) != 0 {
		t.Errorf("%v", none)
	}
}
