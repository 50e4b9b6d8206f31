package service

import (
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"strings"

	"recirc/calc/rule"
)

// gather makes findings of what was tallied, in the order of sets, rules and ids.
func (c *designCheck) gather() {
	rows := 0
	for i := range c.tallies {
		rows += len(c.tallies[i].rows)
	}
	c.a.Findings = make([]Finding, 0, rows)
	c.a.Rules = make([]RuleCount, 0, len(c.rules))
	for i, r := range c.rules {
		t := &c.tallies[i]
		count := RuleCount{Rule: r, Met: t.met, NotMet: t.notMet, NotAssessed: t.notAssessed}
		for k := range t.rows {
			f := c.finding(r, &t.rows[k])
			if f.Waived() {
				count.Waived++
			}
			c.a.Findings = append(c.a.Findings, f)
		}
		c.a.Rules = append(c.a.Rules, count)
	}
	c.total()
	c.a.Clashes = c.clashes.list()
}

func (c *designCheck) finding(r *rule.Rule, row *ruleRow) Finding {
	o := &row.outcome
	f := Finding{
		Rule: r, Status: o.Status, Elements: row.elements, Element: row.at.pointer, ElementID: row.at.id,
		Dimension: r.Dimension, Value: o.Value, HasValue: o.HasValue && r.Dimension != nil, Limit: o.Limit, HasLimit: o.HasLimit && r.Dimension != nil,
	}
	if row.at.fixture >= 0 && r.Topic == deadLegTopic {
		from := c.g.HotSourceAt(c.legs[c.g.FixtureNode(row.at.fixture)].Source)
		f.MeasuredFrom = &from
	}
	if o.Finding != nil {
		f.Element = settingPointer(o.Finding)
	}
	if u := c.overrides[r]; u != nil {
		f.Overridden = &u.LimitOverride
	}
	f.Missing = c.missing(o, row.at)
	f.Detail = c.detail(&f, o)
	switch o.Status {
	case rule.NotMet:
		f.Advice = r.Advice
		f.Waiver = c.waived(r, &f)
	case rule.NotAssessed:
		f.Advice = "Give what is missing, or check this by hand."
	}
	f.Fingerprint = c.fingerprint(&f, o.Reason)
	return f
}

// deadLegTopic is that of rules which measure from the last hot source.
const deadLegTopic = "dead_leg"

// missing lists where in the request to give what is not known.
func (c *designCheck) missing(o *rule.Outcome, at element) []string {
	var all []string
	for _, in := range o.Missing.Inputs() {
		all = append(all, asks(in, at))
	}
	for _, member := range strings.Fields(o.Members) {
		all = append(all, at.pointer+"/"+member)
	}
	return all
}

// waived finds the waiver that names a finding, one in force before one that is not.
func (c *designCheck) waived(r *rule.Rule, f *Finding) *WaiverUse {
	for _, w := range c.waivers[r] {
		if w.Element == "" || w.Element == f.Element {
			w.Findings++
			return w
		}
	}
	return nil
}

// fingerprint hashes what a finding is about, by names and not by places. What
// several elements lack has no element, so the inputs, and the reason if there is
// one, stand for it.
func (c *designCheck) fingerprint(f *Finding, reason string) string {
	parts := append(make([]string, 0, 8), f.Rule.ID, string(f.Rule.Subject), f.ElementID)
	if f.Status == rule.NotAssessed {
		if !c.req.EveryElement {
			parts = parts[:2]
		}
		parts = append(parts, string(f.Status))
		for _, m := range f.Missing {
			parts = append(parts, m[strings.LastIndexByte(m, '/')+1:])
		}
		if reason != "" {
			parts = append(parts, reason)
		}
	}
	var room [256]byte
	text := room[:0]
	for _, part := range parts {
		text = append(append(text, part...), 0)
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:16])
}

// total counts rules and elements.
func (c *designCheck) total() {
	t := &c.a.Totals
	t.Rules = len(c.a.Rules)
	for _, s := range rule.Severities() {
		t.NotMetBySeverity = append(t.NotMetBySeverity, SeverityCount{Severity: s})
	}
	for i := range c.a.Rules {
		n := &c.a.Rules[i]
		switch {
		case n.Met+n.NotMet > 0:
			t.RulesAssessed++
		case n.NotAssessed > 0:
			t.RulesNotAssessed++
		default:
			t.RulesWithoutCase++
		}
		t.Met += n.Met
		t.NotMet += n.NotMet
		t.NotAssessed += n.NotAssessed
		t.Waived += n.Waived
		k := slices.Index(rule.Severities(), n.Rule.Severity)
		t.NotMetBySeverity[k].NotMet += n.NotMet
		t.NotMetBySeverity[k].Waived += n.Waived
	}
}
