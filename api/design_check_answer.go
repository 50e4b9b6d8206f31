package api

import (
	"slices"
	"strings"

	"recirc/api/answer"
	"recirc/api/designfile"
	"recirc/calc/quantity"
	"recirc/calc/rule"
	"recirc/service"
)

// ruleDimensions are those of all that rules measure.
func ruleDimensions() []*quantity.Dimension {
	var all []*quantity.Dimension
	for _, r := range rule.Rules() {
		if r.Dimension != nil && !slices.Contains(all, r.Dimension) {
			all = append(all, r.Dimension)
		}
	}
	return all
}

func appendNew(list []string, text string) []string {
	if slices.Contains(list, text) {
		return list
	}
	return append(list, text)
}

func joined(list []string) string { return strings.Join(list, ", ") }

// findingPlace is what a file adds to a finding.
type findingPlace struct {
	designfile.Position
	known, compared bool // not met in the baseline; there is one
}

// writeDesignCheck writes the members of an answer behind its version. places are
// those of the findings in a file; nil for a request.
func writeDesignCheck(w *answer.Writer, a *service.DesignCheck, asOf string, places []findingPlace) {
	w.TextIf("as_of", asOf)
	w.OpenList("findings")
	for i := range a.Findings {
		var place *findingPlace
		if places != nil {
			place = &places[i]
		}
		writeFinding(w, &a.Findings[i], place)
	}
	w.CloseList()
	writeRuleCounts(w, a.Rules)
	writeCheckTotals(w, &a.Totals)
	writeClashes(w, a.Clashes)
	writeOverrideUses(w, a.Overrides)
	writeWaiverUses(w, a.Waivers)
	writeNotes(w, &a.Notes, nil)
}

func writeFinding(w *answer.Writer, f *service.Finding, place *findingPlace) {
	r := f.Rule
	w.OpenObject("")
	w.Text("rule", r.ID)
	w.Text("set", r.Set.ID)
	w.Text("document", r.Document())
	w.Text("edition", r.Edition())
	w.Text("clause", r.Clause)
	w.Text("severity", string(r.Severity))
	w.Text("status", string(f.Status))
	w.Text("element", f.Element)
	w.TextIf("element_id", f.ElementID)
	w.Count("elements", f.Elements)
	if place != nil {
		w.Count("line", place.Line)
		w.Count("column", place.Column)
		if place.compared {
			w.Bool("known", place.known)
		}
	}
	if f.HasValue {
		w.Amount("value", f.Dimension, f.Value)
	}
	if f.HasLimit {
		w.Amount("limit", f.Dimension, f.Limit)
		w.TextIf("limit_is", string(r.LimitIs))
	}
	w.TextIf("method", string(r.Method))
	if f.MeasuredFrom != nil {
		writeHotSource(w, "measured_from", *f.MeasuredFrom)
	}
	if len(f.Missing) > 0 {
		writeTexts(w, "missing", f.Missing)
	}
	w.Text("detail", f.Detail)
	w.TextIf("advice", f.Advice)
	if f.Waiver != nil {
		w.OpenObject("waiver")
		w.Text("state", string(f.Waiver.State))
		w.Text("reason", f.Waiver.Reason)
		w.TextIf("until", f.Waiver.Until)
		w.CloseObject()
	}
	if f.Overridden != nil {
		w.Text("overridden", f.Overridden.Reason)
	}
	w.Text("source", string(r.Source))
	w.Text("fingerprint", f.Fingerprint)
	w.CloseObject()
}

func writeTexts(w *answer.Writer, name string, texts []string) {
	w.OpenList(name)
	for _, t := range texts {
		w.Text("", t)
	}
	w.CloseList()
}

func writeRuleCounts(w *answer.Writer, counts []service.RuleCount) {
	w.OpenList("rules")
	for i := range counts {
		c := &counts[i]
		w.OpenObject("")
		w.Text("rule", c.Rule.ID)
		w.Text("requirement", c.Rule.Requirement)
		w.Count("met", c.Met)
		w.Count("not_met", c.NotMet)
		w.Count("not_assessed", c.NotAssessed)
		w.Count("waived", c.Waived)
		w.CloseObject()
	}
	w.CloseList()
}

func writeCheckTotals(w *answer.Writer, t *service.CheckTotals) {
	w.OpenObject("totals")
	w.Count("rules", t.Rules)
	w.Count("rules_assessed", t.RulesAssessed)
	w.Count("rules_not_assessed", t.RulesNotAssessed)
	w.Count("rules_without_case", t.RulesWithoutCase)
	w.Count("met", t.Met)
	w.Count("not_met", t.NotMet)
	w.Count("not_assessed", t.NotAssessed)
	w.Count("waived", t.Waived)
	w.OpenList("by_severity")
	for _, c := range t.NotMetBySeverity {
		w.OpenObject("")
		w.Text("severity", string(c.Severity))
		w.Count("not_met", c.NotMet)
		w.Count("waived", c.Waived)
		w.CloseObject()
	}
	w.CloseList()
	w.CloseObject()
}

func writeClashes(w *answer.Writer, clashes []service.Clash) {
	w.OpenList("clashes")
	for i := range clashes {
		c := &clashes[i]
		w.OpenObject("")
		w.Text("topic", c.Topic)
		w.Text("kind", string(c.Kind))
		writeTexts(w, "met", ruleIDs(c.Met))
		writeTexts(w, "not_met", ruleIDs(c.NotMet))
		writeTexts(w, "elements", c.Elements)
		w.Count("count", c.Count)
		w.CloseObject()
	}
	w.CloseList()
}

func ruleIDs(rules []*rule.Rule) []string {
	ids := make([]string, len(rules))
	for i, r := range rules {
		ids[i] = r.ID
	}
	return ids
}

func writeOverrideUses(w *answer.Writer, uses []service.OverrideUse) {
	w.OpenList("overrides")
	for i := range uses {
		u := &uses[i]
		w.OpenObject("")
		w.Text("rule", u.Rule)
		w.Amount("limit", u.Of.Dimension, u.Limit)
		if u.Of.HasLimit {
			w.Amount("published", u.Of.Dimension, u.Of.Limit)
		}
		w.Text("reason", u.Reason)
		w.Count("findings", u.Findings)
		w.CloseObject()
	}
	w.CloseList()
}

func writeWaiverUses(w *answer.Writer, uses []service.WaiverUse) {
	w.OpenList("waivers")
	for i := range uses {
		u := &uses[i]
		w.OpenObject("")
		w.Text("rule", u.Rule)
		w.TextIf("element", u.Element)
		w.Text("reason", u.Reason)
		w.TextIf("until", u.Until)
		w.Text("state", string(u.State))
		w.Count("findings", u.Findings)
		w.CloseObject()
	}
	w.CloseList()
}
