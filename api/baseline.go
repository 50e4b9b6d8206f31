package api

import (
	"errors"
	"fmt"

	"github.com/go-json-experiment/json"

	"recirc/api/answer"
	"recirc/calc/rule"
	"recirc/service"
)

// Baseline is the findings that were not met at some time: those that are let pass
// until somebody mends them.
type Baseline struct {
	known map[baselineKey]bool
}

// baselineKey is a finding of a file; without a file, of any.
type baselineKey struct{ file, fingerprint string }

func (b *Baseline) has(file, fingerprint string) bool {
	return b != nil && (b.known[baselineKey{file, fingerprint}] || b.known[baselineKey{"", fingerprint}])
}

// baselineDocument is as much of a baseline, of the JSON of a run, and of an
// answer of the service as a baseline is made of.
type baselineDocument struct {
	Findings []baselineFinding `json:"findings"`
	Files    []struct {
		File     string            `json:"file"`
		Findings []baselineFinding `json:"findings"`
	} `json:"files"`
}

type baselineFinding struct {
	File        string      `json:"file"`
	Fingerprint string      `json:"fingerprint"`
	Status      rule.Status `json:"status"` // of an answer
	Waiver      struct {
		State service.WaiverState `json:"state"`
	} `json:"waiver"`
}

// counts reports a finding that was not met, and not waived: a waiver that ends
// must not leave a finding behind that nobody sees.
func (f *baselineFinding) counts() bool {
	return (f.Status == "" || f.Status == rule.NotMet) && f.Waiver.State != service.WaiverInForce
}

// ReadBaseline reads what CheckRun.WriteBaseline wrote, the JSON of a run, or an
// answer of the service, whose findings are of any file.
func ReadBaseline(text []byte) (*Baseline, error) {
	var d baselineDocument
	if err := json.Unmarshal(text, &d); err != nil {
		return nil, fmt.Errorf("neither a baseline nor an answer: %w", err)
	}
	if d.Findings == nil && d.Files == nil {
		return nil, errors.New("neither a baseline nor an answer: it has no findings")
	}
	b := &Baseline{map[baselineKey]bool{}}
	add := func(file string, findings []baselineFinding) {
		for i := range findings {
			if f := &findings[i]; f.counts() && f.Fingerprint != "" {
				b.known[baselineKey{file + f.File, f.Fingerprint}] = true
			}
		}
	}
	add("", d.Findings)
	for _, f := range d.Files {
		add(f.File, f.Findings)
	}
	return b, nil
}

// remember notes a finding for the next baseline.
func (run *CheckRun) remember(file string, f *service.Finding) {
	w := &run.baseline
	w.OpenObject("")
	w.Text("file", file)
	w.Text("rule", f.Rule.ID)
	w.Text("element", f.Element)
	w.Text("fingerprint", f.Fingerprint)
	w.CloseObject()
}

// WriteBaseline gives the baseline that this run makes, as JSON: what is not met
// and not waived now.
func (run *CheckRun) WriteBaseline() ([]byte, error) {
	findings := run.baseline
	findings.CloseList()
	listed, err := findings.Bytes()
	if err != nil {
		return nil, err
	}
	var w answer.Writer
	w.OpenObject("")
	w.Text("version", service.Version)
	w.Members(listed)
	w.CloseObject()
	text, err := w.Bytes()
	return append(text, '\n'), err
}
