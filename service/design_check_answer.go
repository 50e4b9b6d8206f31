package service

import (
	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/calc/rule"
)

// DesignCheckRequest asks what codes, programmes and good practice say about a
// design.
type DesignCheckRequest struct {
	System   network.System
	Control  *Control       // nil: not given
	Facts    rule.Facts     // of the design: inputs with Of == rule.OfDesign
	Fixtures []ElementFacts // of single fixtures
	Pipes    []ElementFacts // of single pipes

	Sets    []string // ids of sets of rules; empty: all
	Limits  []LimitOverride
	Waivers []Waiver

	// AsOf is the date on which waivers are judged, as 2006-01-02; "": not given, and a waiver
	// with an end is then not judged. The answer depends on no clock.
	AsOf string

	// EveryElement lists what each element meets and cannot be assessed for, too.
	// Without it a rule that is met has one finding, for the element nearest to the
	// limit, and a rule that cannot be assessed has one for all elements that lack
	// the same.
	EveryElement bool

	USGallon bool // the request used a unit with the US gallon
}

// ElementFacts is what is stated about one fixture or pipe, by its id.
type ElementFacts struct {
	ID    string
	Facts rule.Facts
}

// LimitOverride puts the limit of a local amendment in place of a published one,
// for every element and size.
type LimitOverride struct {
	Rule   string
	Limit  float64 // SI, of the rule's dimension
	Reason string
}

// Waiver silences findings of one rule, which stay visible.
type Waiver struct {
	Rule    string
	Element string // JSON Pointer of the element; "": everywhere
	Reason  string
	Until   string // last day of it, as 2006-01-02; "": no end
}

// WaiverState says whether a waiver silences.
type WaiverState string

// The states.
const (
	WaiverInForce   WaiverState = "in_force"
	WaiverExpired   WaiverState = "expired"    // does not silence
	WaiverNotJudged WaiverState = "not_judged" // has an end and the request no date; does not silence
)

// WaiverUse is one waiver of the request and what came of it.
type WaiverUse struct {
	Waiver
	State    WaiverState
	Findings int // that it names, of those that are not met
}

// OverrideUse is one override of the request and what came of it.
type OverrideUse struct {
	LimitOverride
	Of       *rule.Rule
	Findings int // that were judged by it
}

// DesignCheck is what was found, in the order of sets, rules within a set and
// elements within a rule.
type DesignCheck struct {
	Findings  []Finding
	Rules     []RuleCount // one a rule of the sets, in the order of the findings
	Totals    CheckTotals
	Clashes   []Clash
	Overrides []OverrideUse // in the order of the request
	Waivers   []WaiverUse   // in the order of the request
	Notes
}

// Finding is one rule against one element, or against several that fare alike.
type Finding struct {
	Rule   *rule.Rule
	Status rule.Status

	// Elements is for how many elements it speaks; Element is the one nearest to
	// the limit or farthest beyond it, the first of several.
	Elements  int
	Element   string // JSON Pointer in the request, "" for the whole design
	ElementID string // what the request calls it, "" if it has no id

	Dimension *quantity.Dimension // of value and limit; nil: nothing is measured
	Value     float64             // SI
	Limit     float64             // SI; the override's if there is one
	HasValue  bool
	HasLimit  bool

	MeasuredFrom *network.HotSource // of a dead leg, else nil
	Missing      []string           // JSON Pointers of what is to be given
	Detail       string             // what was found
	Advice       string             // what to do, "" if the rule is met

	Waiver     *WaiverUse     // nil: none names it
	Overridden *LimitOverride // nil: the published limit was used

	// Fingerprint is the same in another run as long as rule and element are
	// called the same, wherever in the list the element stands.
	Fingerprint string
}

// Waived reports that a waiver in force silences the finding.
func (f *Finding) Waived() bool { return f.Waiver != nil && f.Waiver.State == WaiverInForce }

// Counts against: not met, as heavy as a severity or more, and not waived.
func (f *Finding) CountsAgainst(least rule.Severity) bool {
	return f.Status == rule.NotMet && f.Rule.Severity.AtLeast(least) && !f.Waived()
}

// RuleCount says how the elements of one rule fared. All are zero where the rule
// speaks about nothing in this design.
type RuleCount struct {
	Rule                     *rule.Rule
	Met, NotMet, NotAssessed int
	Waived                   int // of those not met
}

// CheckTotals counts rules and findings. It says nothing about what was not
// looked at.
type CheckTotals struct {
	Rules            int // of the sets
	RulesAssessed    int // for at least one element
	RulesNotAssessed int // that speak about this design and could be assessed nowhere
	RulesWithoutCase int // that speak about nothing in this design

	Met, NotMet, NotAssessed int             // elements by rule, as in RuleCount
	NotMetBySeverity         []SeverityCount // the heaviest first
	Waived                   int
}

// SeverityCount counts what is not met by severity.
type SeverityCount struct {
	Severity rule.Severity
	NotMet   int // waived ones included
	Waived   int
}

// Clash is rules of one topic that come to different ends for the same elements.
// Which of them counts is not decided here.
type Clash struct {
	Topic    string
	Kind     ClashKind
	Met      []*rule.Rule
	NotMet   []*rule.Rule
	Elements []string // JSON Pointers, the first of them
	Count    int      // of elements
}

// ClashKind says what disagrees.
type ClashKind string

// The kinds.
const (
	DocumentsClash ClashKind = "documents" // two documents
	MethodsClash   ClashKind = "methods"   // two methods of one document
)
