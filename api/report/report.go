// Package report writes the findings of design checks in formats that other
// programs and people read: SARIF 2.1.0, JUnit XML, CSV and a plain table. JSON is
// the contract's own and is written by package api.
package report

// Report is the findings of one run, of one file or of many.
type Report struct {
	Version string // of the calculation core
	AsOf    string // the date that waivers were judged by; may be empty
	Rules   []Rule // those that findings name
	Files   []File

	// Compared says that a baseline was there, so that Known of a finding means
	// something.
	Compared bool
}

// Rule is what holds for every finding of it.
type Rule struct {
	ID, Set, Document, Edition, Clause string
	Requirement                        string
	Advice                             string // what to do where it is not met
	Severity                           Severity
	Source, Reading                    string // Reading: verified or memory
	Note                               string
}

// place is where a rule is written.
func (r *Rule) place() string { return r.Document + " " + r.Edition + ", " + r.Clause }

// File is a design that was checked. Without a name it is the body of a request.
type File struct {
	Name     string
	Findings []Finding
	Faults   []Fault  // why it was not checked
	Notes    []string // what else is to be told of it
}

// Finding is one rule against one element.
type Finding struct {
	Rule        int // of the report's rules
	Status      Status
	Element     string // JSON Pointer
	Name        string // what the element is called
	Elements    int    // that it speaks for
	Detail      string // a sentence
	Advice      string // what to do; may be empty
	Value       Amount // what was found; zero where nothing was measured
	Limit       Amount // what is asked for
	LimitIs     string // at_most or at_least
	From        string // where it was measured from; may be empty
	Waiver      *Waiver
	Fingerprint string
	At          Position // zero where no file is known

	Fails bool // not met, not waived, not known, and heavy enough
	Known bool // not met in the baseline already
}

// Status is that of the contract.
type Status string

// The statuses.
const (
	Met         Status = "met"
	NotMet      Status = "not_met"
	NotAssessed Status = "not_assessed"
)

// Severity is that of the contract.
type Severity string

// The severities, the heaviest first.
const (
	Violation Severity = "violation"
	Caution   Severity = "caution"
	Advice    Severity = "advice"
)

// Amount is a number as it is written, and its unit, which may be empty.
type Amount struct{ Number, Unit string }

// String is the amount as a person writes it.
func (a Amount) String() string {
	if a.Unit == "" {
		return a.Number
	}
	return a.Number + " " + a.Unit
}

// Waiver is why a finding is let pass for a time.
type Waiver struct {
	Reason, Until string // Until is empty where it has no end
	State         WaiverState
}

// WaiverState is that of the contract. Only the first silences.
type WaiverState string

// The states.
const (
	InForce   WaiverState = "in_force"
	Expired   WaiverState = "expired"
	NotJudged WaiverState = "not_judged"
)

// Waived reports that a waiver silences the finding.
func (x *Finding) Waived() bool { return x.Waiver != nil && x.Waiver.State == InForce }

// Fault is one thing that is wrong with a file.
type Fault struct {
	Code, Element, Detail string
	At                    Position
}

// Position is a line and a column, both from 1, the column in characters; zero if
// there is none.
type Position struct{ Line, Column int }

// Counts is how many findings of each kind there are.
type Counts struct {
	Met, NotMet, NotAssessed int
	Waived, Known            int // of those not met
	Fail                     int // of those not met
	Faults                   int
}

// Count counts the findings of all files.
func (r *Report) Count() Counts {
	var c Counts
	for i := range r.Files {
		c.add(&r.Files[i])
	}
	return c
}

func (c *Counts) add(f *File) {
	c.Faults += len(f.Faults)
	for i := range f.Findings {
		switch x := &f.Findings[i]; x.Status {
		case Met:
			c.Met++
		case NotAssessed:
			c.NotAssessed++
		default:
			c.NotMet++
			c.Waived += one(x.Waived())
			c.Known += one(x.Known)
			c.Fail += one(x.Fails)
		}
	}
}

func one(yes bool) int {
	if yes {
		return 1
	}
	return 0
}
