package report

import (
	"encoding/xml"
	"fmt"
	"strings"
)

// JUnit writes the XML that test reports are kept in: a suite for each file and a
// test case for each finding. A case fails just where the finding counts; one that
// is not met and lets the run pass is skipped, and says why. A rule that could not
// be assessed is skipped too, what is wrong with a file is an error.
func JUnit(r *Report) ([]byte, error) {
	all := junitSuites{Name: "recirc"}
	for i := range r.Files {
		suite := junitSuiteOf(r, &r.Files[i])
		all.Tests += suite.Tests
		all.Failures += suite.Failures
		all.Errors += suite.Errors
		all.Suites = append(all.Suites, suite)
	}
	text, err := xml.MarshalIndent(&all, "", " ")
	return []byte(xml.Header + string(text) + "\n"), err
}

func junitSuiteOf(r *Report, f *File) junitSuite {
	s := junitSuite{Name: f.Name}
	if s.Name == "" {
		s.Name = "design"
	}
	for i := range f.Faults {
		x := &f.Faults[i]
		s.Errors++
		s.Cases = append(s.Cases, junitCase{Name: "can be checked: " + printable(x.Element), Class: x.Code, Error: &junitOutcome{Type: x.Code, Message: x.Detail, Text: place(f, x.At)}})
	}
	for i := range f.Findings {
		c := junitCaseOf(r, f, &f.Findings[i])
		s.Failures += one(c.Failure != nil)
		s.Skipped += one(c.Skipped != nil)
		s.Cases = append(s.Cases, c)
	}
	s.Tests = len(s.Cases)
	return s
}

func junitCaseOf(r *Report, f *File, x *Finding) junitCase {
	rule := &r.Rules[x.Rule]
	c := junitCase{Name: rule.ID + " " + x.Element, Class: rule.Set}
	told := junitOutcome{Message: x.Detail, Text: strings.Join(nonEmpty(place(f, x.At), x.Name, rule.Requirement, x.Advice), "\n")}
	switch {
	case x.Status == Met:
	case x.Status == NotAssessed:
		told.Type = string(NotAssessed)
		c.Skipped = &told
	case x.Fails:
		told.Type = string(rule.Severity)
		c.Failure = &told
	default:
		told.Type = string(NotMet)
		told.Message = whyPassed(x, rule) + ": " + told.Message
		c.Skipped = &told
	}
	return c
}

// whyPassed says why a rule that is not met does not count.
func whyPassed(x *Finding, rule *Rule) string {
	switch {
	case x.Waived() && x.Waiver.Until == "":
		return "Waived (" + x.Waiver.Reason + ")"
	case x.Waived():
		return "Waived until " + x.Waiver.Until + " (" + x.Waiver.Reason + ")"
	case x.Known:
		return "Not met in the baseline already"
	}
	return "Counts as " + string(rule.Severity) + " only"
}

func nonEmpty(texts ...string) []string {
	var all []string
	for _, t := range texts {
		if t != "" {
			all = append(all, t)
		}
	}
	return all
}

// place is where something stands, as compilers write it; empty without a file.
func place(f *File, at Position) string {
	switch {
	case f.Name == "":
		return ""
	case at.Line == 0:
		return f.Name
	}
	return fmt.Sprintf("%s:%d:%d", f.Name, at.Line, at.Column)
}

type junitSuites struct {
	XMLName  xml.Name     `xml:"testsuites"`
	Name     string       `xml:"name,attr"`
	Tests    int          `xml:"tests,attr"`
	Failures int          `xml:"failures,attr"`
	Errors   int          `xml:"errors,attr"`
	Suites   []junitSuite `xml:"testsuite"`
}

type junitSuite struct {
	Name     string      `xml:"name,attr"`
	Tests    int         `xml:"tests,attr"`
	Failures int         `xml:"failures,attr"`
	Errors   int         `xml:"errors,attr"`
	Skipped  int         `xml:"skipped,attr"`
	Cases    []junitCase `xml:"testcase"`
}

type junitCase struct {
	Name    string        `xml:"name,attr"`
	Class   string        `xml:"classname,attr"`
	Error   *junitOutcome `xml:"error"`
	Failure *junitOutcome `xml:"failure"`
	Skipped *junitOutcome `xml:"skipped"`
}

type junitOutcome struct {
	Type    string `xml:"type,attr"`
	Message string `xml:"message,attr"`
	Text    string `xml:",chardata"`
}
