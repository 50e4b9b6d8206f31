package api

import (
	"fmt"
	"slices"

	"recirc/api/answer"
	"recirc/api/designfile"
	"recirc/api/report"
	"recirc/calc/fault"
	"recirc/calc/rule"
	"recirc/service"
)

// CheckSettings is how many design files are checked at once, beside what each of
// them says itself.
type CheckSettings struct {
	Sets     []string         // in place of those of a file; none: as the file says
	AsOf     string           // in place of that of a file; empty: as the file says
	Today    string           // for files that say nothing; empty: no day
	Waivers  []service.Waiver // with those of a file
	Baseline *Baseline        // nil: none
	FailOn   string           // the least severity that lets the run fail
	Limits   Limits
}

// CheckFormats are those that a run is written in.
func CheckFormats() []string { return []string{"table", "json", "sarif", "junit", "csv"} }

// IsCheckFormat gives an error for what is none of them.
func IsCheckFormat(format string) error {
	if !slices.Contains(CheckFormats(), format) {
		return fmt.Errorf("%q is no format; they are %s", format, joined(CheckFormats()))
	}
	return nil
}

// CheckSeverities are the levels at which a run may fail, the heaviest first.
func CheckSeverities() []string {
	var all []string
	for _, s := range rule.Severities() {
		all = append(all, string(s))
	}
	return all
}

// CheckRun is the checks of many files, gathered into one report.
type CheckRun struct {
	settings CheckSettings
	report   *checkReport
	json     answer.Writer // of the files so far
	baseline answer.Writer
}

// NewCheckRun begins a run. It gives an error if the settings make no sense.
func NewCheckRun(s *CheckSettings) (*CheckRun, error) {
	for _, id := range s.Sets {
		if !slices.Contains(ruleSetIDs, id) {
			return nil, fmt.Errorf("there is no set of rules %q; the sets are %s", id, joined(ruleSetIDs))
		}
	}
	if !slices.Contains(CheckSeverities(), s.FailOn) {
		return nil, fmt.Errorf("%q is no severity; they are %s", s.FailOn, joined(CheckSeverities()))
	}
	for _, day := range []string{s.AsOf, s.Today} {
		if day != "" && !isDay(day) {
			return nil, fmt.Errorf("%q is no day of the calendar, written as 2026-11-25", day)
		}
	}
	run := &CheckRun{settings: *s, report: newReport(s.AsOf)}
	run.report.Compared = s.Baseline != nil
	run.json.OpenList("files")
	run.baseline.OpenList("findings")
	return run, nil
}

// Add checks the text of a file.
func (run *CheckRun) Add(name, text string) {
	if int64(len(text)) > run.settings.Limits.BodyBytes {
		run.wrong(name, []report.Fault{{Code: string(fault.BodyTooLarge), Detail: bodyTooLarge(run.settings.Limits).Detail, At: report.Position{Line: 1, Column: 1}}})
		return
	}
	file, broken := designfile.Read(name, text, int(run.settings.Limits.BodyBytes))
	if broken != nil {
		run.wrong(name, []report.Fault{{Code: string(fault.MalformedJSON), Detail: broken.Detail, At: report.Position(broken.Position)}})
		return
	}
	q := &question{text: file.JSON, limits: run.settings.Limits} // whose lists the answer keeps
	d, _ := readDesignCheck(q)                                   // its grammar was looked at above
	if d != nil {
		run.settings.apply(d)
		if a := service.CheckDesign(&d.DesignCheckRequest, &q.faults); a != nil && q.faults.Empty() {
			run.found(name, file, d, a)
			return
		}
	}
	run.wrong(name, faultsIn(file, fromFaults(&q.faults)))
}

// Unreadable notes a file that could not be read at all.
func (run *CheckRun) Unreadable(name string, err error) {
	run.wrong(name, []report.Fault{{Code: "unreadable", Detail: err.Error(), At: report.Position{Line: 1, Column: 1}}})
}

// apply puts what the run says to what the file says.
func (s *CheckSettings) apply(d *designChecksBody) {
	if len(s.Sets) > 0 {
		d.Sets = s.Sets
	}
	switch {
	case s.AsOf != "":
		d.AsOf = s.AsOf
	case d.AsOf == "":
		d.AsOf = s.Today
	}
	d.Waivers = append(d.Waivers, s.Waivers...)
}

func faultsIn(file *designfile.File, p *Problem) []report.Fault {
	pointers := make([]string, len(p.Errors))
	for i := range p.Errors {
		pointers[i] = *p.Errors[i].Pointer
	}
	all := make([]report.Fault, len(p.Errors))
	for i, at := range file.Positions(pointers) {
		f := &p.Errors[i]
		all[i] = report.Fault{Code: string(f.Code), Element: pointers[i], Detail: f.Detail, At: report.Position(at)}
	}
	return all
}

// wrong notes a file that cannot be checked.
func (run *CheckRun) wrong(name string, faults []report.Fault) {
	run.report.Files = append(run.report.Files, report.File{Name: name, Faults: faults})
	w := &run.json
	w.OpenObject("")
	w.Text("file", name)
	w.OpenList("faults")
	for i := range faults {
		f := &faults[i]
		w.OpenObject("")
		w.Text("pointer", f.Element)
		w.Text("code", f.Code)
		w.Text("detail", f.Detail)
		w.Count("line", f.At.Line)
		w.Count("column", f.At.Column)
		w.CloseObject()
	}
	w.CloseList()
	w.CloseObject()
}

// found notes what was found in a file.
func (run *CheckRun) found(name string, file *designfile.File, d *designChecksBody, a *service.DesignCheck) {
	pointers := make([]string, len(a.Findings))
	for i := range a.Findings {
		pointers[i] = a.Findings[i].Element
	}
	told := run.report.file(name, a, d.us)
	places := make([]findingPlace, len(a.Findings))
	for i, at := range file.Positions(pointers) {
		f, x := &a.Findings[i], &told.Findings[i]
		x.At = report.Position(at)
		x.Known = f.Status == rule.NotMet && run.settings.Baseline.has(name, f.Fingerprint)
		x.Fails = f.CountsAgainst(rule.Severity(run.settings.FailOn)) && !x.Known
		places[i] = findingPlace{at, x.Known, run.report.Compared}
		if f.CountsAgainst(rule.Advice) {
			run.remember(name, f)
		}
	}
	run.report.Files = append(run.report.Files, told)
	w := &run.json
	w.US = d.us
	w.OpenObject("")
	w.Text("file", name)
	w.Text("unit_system", unitSystemOf(w))
	writeDesignCheck(w, a, d.AsOf, places)
	w.CloseObject()
}

// Write gives the report in one of the formats.
func (run *CheckRun) Write(format string) ([]byte, error) {
	if format == "json" {
		return run.asJSON()
	}
	return checkFormats[format](&run.report.Report)
}

var checkFormats = map[string]func(*report.Report) ([]byte, error){"sarif": report.SARIF, "junit": report.JUnit, "csv": report.CSV, "table": report.Table}

// asJSON gives the answers of all files, each as the service gives it, with the line
// and column of every finding.
func (run *CheckRun) asJSON() ([]byte, error) {
	files := run.json
	files.CloseList()
	listed, err := files.Bytes()
	if err != nil {
		return nil, err
	}
	c := run.report.Count()
	var w answer.Writer
	w.OpenObject("")
	w.Text("version", service.Version)
	w.Text("fail_on", run.settings.FailOn)
	w.Count("fails", c.Fail)
	w.Count("wrong_files", len(run.wrongFiles()))
	w.Members(listed)
	w.CloseObject()
	text, err := w.Bytes()
	return append(text, '\n'), err
}

// Outcome is how a run ended.
type Outcome struct {
	Fails int      // findings that let it fail
	Wrong []string // what is wrong with files, as file:line:column: sentence
}

// Outcome tells how the run ended.
func (run *CheckRun) Outcome() Outcome {
	o := Outcome{Fails: run.report.Count().Fail}
	for _, f := range run.wrongFiles() {
		for _, x := range f.Faults {
			o.Wrong = append(o.Wrong, fmt.Sprintf("%s:%d:%d: %s", f.Name, x.At.Line, x.At.Column, x.Detail))
		}
	}
	return o
}

func (run *CheckRun) wrongFiles() []report.File {
	var all []report.File
	for _, f := range run.report.Files {
		if len(f.Faults) > 0 {
			all = append(all, f)
		}
	}
	return all
}
