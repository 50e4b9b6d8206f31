package service

import (
	"fmt"
	"strconv"
	"strings"

	"recirc/calc/quantity"
	"recirc/calc/rule"
)

// detail says in a sentence what was found. A building has tens of thousands of
// findings, so words are appended and made a text once.
func (c *designCheck) detail(f *Finding, o *rule.Outcome) string {
	if o.Finding != nil {
		return sentence(o.Finding.Detail)
	}
	b := c.text[:0]
	if f.ElementID != "" {
		b = append(b, subjectWord(f.Rule.Subject)...)
		b = append(strconv.AppendQuote(append(b, ' '), f.ElementID), ": "...)
	}
	switch {
	case f.Status == rule.NotAssessed:
		b = append(b, lackingWords(f, o)...)
	case f.HasValue && f.HasLimit:
		b = c.appendMeasured(b, f, o)
	case f.Rule.Subject == rule.OfControl:
		b = append(b, "the settings of the control give no reason for it"...)
	default:
		b = append(b, c.toldOf(f)...)
	}
	if b[0] >= 'a' && b[0] <= 'z' {
		b[0] -= 'a' - 'A'
	}
	c.text = append(b, '.')
	return string(c.text)
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

// appendMeasured tells value and limit.
func (c *designCheck) appendMeasured(b []byte, f *Finding, o *rule.Outcome) []byte {
	b = append(append(b, measureOf(f.Rule)...), " is "...)
	b = appendIn(b, f.Dimension, f.Value)
	if o.Bounded {
		b = append(b, " by what bounds it"...)
	}
	bound := ", wanted at most "
	if f.Rule.LimitIs == rule.AtLeast {
		bound = ", wanted at least "
	}
	b = appendIn(append(b, bound...), f.Dimension, f.Limit)
	if f.Overridden != nil {
		b = append(b, " by a local amendment"...)
	}
	if f.Status == rule.Met && f.Elements > 1 {
		b = fmt.Appendf(b, "; it is nearest to the limit of %d", f.Elements)
	}
	return b
}

// measureOf names what a rule measures.
func measureOf(r *rule.Rule) string {
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

// appendIn writes an amount for a sentence, in SI and in US customary units.
func appendIn(b []byte, d *quantity.Dimension, si float64) []byte {
	b = append(append(appendShown(b, d.SI.FromSI(si)), ' '), d.SI.Symbol...)
	if d.US.Symbol == d.SI.Symbol {
		return b
	}
	b = append(append(appendShown(append(b, " ("...), d.US.FromSI(si)), ' '), d.US.Symbol...)
	return append(b, ')')
}
