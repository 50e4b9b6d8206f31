package service

import (
	"fmt"
	"strings"

	"recirc/calc/quantity"
	"recirc/calc/rule"
)

// detail says in a sentence what was found.
func (c *designCheck) detail(f *Finding, o *rule.Outcome) string {
	about := ""
	if f.ElementID != "" {
		about = fmt.Sprintf("%s %q: ", subjectWord(f.Rule.Subject), f.ElementID)
	}
	switch {
	case f.Status == rule.NotAssessed:
		return sentence(about + lackingWords(f, o))
	case o.Finding != nil:
		return sentence(o.Finding.Detail)
	case f.HasValue && f.HasLimit:
		return sentence(about + c.measured(f, o))
	case f.Rule.Subject == rule.OfControl:
		return "The settings of the control give no reason for it."
	}
	return sentence(about + c.toldOf(f))
}

func subjectWord(s rule.Subject) string {
	switch s {
	case rule.OfFixture:
		return "fixture"
	case rule.OfPipe:
		return "pipe"
	case rule.OfReturn:
		return "return"
	}
	return "design"
}

// lackingWords says what is not known.
func lackingWords(f *Finding, o *rule.Outcome) string {
	if o.Reason != "" {
		return strings.TrimSuffix(o.Reason, ".")
	}
	var names []string
	for _, in := range o.Missing.Inputs() {
		names = append(names, in.Title)
	}
	for _, member := range strings.Fields(o.Members) {
		names = append(names, strings.ReplaceAll(member[strings.LastIndexByte(member, '/')+1:], "_", " "))
	}
	words := "not known: " + strings.Join(names, ", ")
	if f.Elements > 1 {
		words += fmt.Sprintf(", of %d elements", f.Elements)
	}
	return words
}

// measured tells value and limit.
func (c *designCheck) measured(f *Finding, o *rule.Outcome) string {
	bound := "at most"
	if f.Rule.LimitIs == rule.AtLeast {
		bound = "at least"
	}
	value := shownIn(f.Dimension, f.Value)
	if o.Bounded {
		value += " by what bounds it"
	}
	words := fmt.Sprintf("%s is %s, wanted %s %s", c.measure(f.Rule), value, bound, shownIn(f.Dimension, f.Limit))
	if f.Overridden != nil {
		words += " by a local amendment"
	}
	if f.Status == rule.Met && f.Elements > 1 {
		words += fmt.Sprintf("; it is nearest to the limit of %d", f.Elements)
	}
	return words
}

// measure names what a rule measures.
func (c *designCheck) measure(r *rule.Rule) string {
	if len(r.Needs) > 0 {
		return r.Needs[0].Title
	}
	switch r.Dimension {
	case quantity.LengthDimension:
		return "developed length from the hot source"
	case quantity.VolumeDimension:
		return "volume stored from the hot source"
	case quantity.ThermalResistanceDimension:
		return "R-value of the insulation"
	}
	return "thickness of the insulation"
}

// toldOf tells flags and words as they are known.
func (c *designCheck) toldOf(f *Finding) string {
	var words []string
	for _, in := range f.Rule.Needs {
		if w := c.facts.Word(in); w != "" {
			words = append(words, in.Title+": "+strings.ReplaceAll(w, "_", " "))
		} else if yes, known := c.facts.Flag(in); known {
			words = append(words, in.Title+": "+yesNo(yes))
		}
	}
	if len(words) == 0 { // a flag of the element itself, or insulation
		name := "insulation"
		if len(f.Rule.Needs) > 0 {
			name = f.Rule.Needs[0].Title
		}
		return name + ": " + yesNo(f.Status == rule.Met)
	}
	return strings.Join(words, "; ")
}

func yesNo(yes bool) string {
	if yes {
		return "yes"
	}
	return "no"
}

// shownIn writes an amount for a sentence, in SI and in US customary units.
func shownIn(d *quantity.Dimension, si float64) string {
	text := shown(d.SI.FromSI(si)) + " " + d.SI.Symbol
	if d.US.Symbol != d.SI.Symbol {
		text += " (" + shown(d.US.FromSI(si)) + " " + d.US.Symbol + ")"
	}
	return text
}
