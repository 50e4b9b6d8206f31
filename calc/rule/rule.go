package rule

import (
	"cmp"

	"recirc/calc/hydraulic"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

// Rule is one requirement of a document, or one of good practice, with the
// predicate that compares a design with it.
type Rule struct {
	ID          string // our own; never renamed or used again
	Set         *Set
	Clause      string // of the document; the practice that it is, where there is no document
	Requirement string // in our words
	Advice      string // what to do where it is not met

	Subject  Subject  // what is judged, one at a time
	Severity Severity // where it is not met
	Topic    string   // what it is about; rules of one topic can clash
	Method   Method   // where its document has two

	// Limit is the flat limit in SI of Dimension, if HasLimit. A rule that goes by
	// a table of sizes has none; Dimension is nil where nothing is measured.
	Limit     float64
	HasLimit  bool
	Dimension *quantity.Dimension
	LimitIs   Bound

	Needs     []*Input // without which it is not assessed
	Predicate string   // name of the comparison

	Source source.ID
	Status source.Status
	Note   string

	when       []condition
	test       predicate
	words      []string // of the predicates word and control
	limit      *Limit
	insulation *InsulationRule
	share      float64 // of the thickness in its table
	velocity   hydraulic.VelocityLimit
}

// CommonPractice is the status of what has no published source.
const CommonPractice source.Status = "common_practice"

// take fills what the row of a rule leaves to the table that it goes by.
func (r *Rule) take(clause string, from source.ID, status source.Status, note string) {
	r.Clause, r.Source, r.Status, r.Note = cmp.Or(r.Clause, clause), cmp.Or(r.Source, from), cmp.Or(r.Status, status), cmp.Or(r.Note, note)
}

// Document, with Edition, is what the rule is of.
func (r *Rule) Document() string { return r.Set.Document }

// Edition is that of the document.
func (r *Rule) Edition() string { return r.Set.Edition }

// Overridable reports that a request may put a limit of its own in place of the
// published one: there is one, and it is no other part of the design.
func (r *Rule) Overridable() bool {
	return r.Dimension != nil && r.Predicate != "pair" && r.Predicate != "crossover"
}

// Bound says on which side of its limit a value is to be.
type Bound string

// The bounds.
const (
	AtMost  Bound = "at_most"
	AtLeast Bound = "at_least"
)

// Severity is how much a finding weighs.
type Severity string

// The severities, the heaviest first.
const (
	Violation Severity = "violation" // a code, or a rule that is adopted, says must
	Caution   Severity = "caution"   // a standard, guidance or programme says so, or someone can be hurt
	Advice    Severity = "advice"
)

// Severities lists them, the heaviest first.
func Severities() []Severity { return []Severity{Violation, Caution, Advice} }

// AtLeast reports whether a severity weighs as much as another or more.
func (s Severity) AtLeast(other Severity) bool { return s.rank() <= other.rank() }

func (s Severity) rank() int {
	switch s {
	case Violation:
		return 0
	case Caution:
		return 1
	}
	return 2
}

// Subject is the kind of element that a rule judges.
type Subject string

// The subjects.
const (
	OfDesign  Subject = "design"  // once
	OfFixture Subject = "fixture" // each
	OfPipe    Subject = "pipe"    // each
	OfReturn  Subject = "return"  // each connection of a return to the supply
	OfControl Subject = "control" // once, with the control's settings
)

// Method is one of two ways that a document offers for the same requirement.
type Method string

// The methods.
const (
	ByLengthTable Method = "length_table"
	ByVolume      Method = "volume"
)
