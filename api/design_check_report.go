package api

import (
	"recirc/api/answer"
	"recirc/api/report"
	"recirc/calc/quantity"
	"recirc/calc/rule"
	"recirc/service"
)

// giveDesignCheck writes an answer in the medium asked for.
func giveDesignCheck(q *question, d *designChecksBody, a *service.DesignCheck) {
	if q.asJSON() {
		openAnswer(&q.answer)
		writeDesignCheck(&q.answer, a, d.AsOf, nil)
		q.answer.CloseObject()
		return
	}
	told := newReport(d.AsOf)
	file := told.file("", a, d.us)
	for i := range a.Findings {
		file.Findings[i].Fails = a.Findings[i].CountsAgainst(rule.Advice)
	}
	told.Files = append(told.Files, file)
	q.other, q.otherError = reportWriters[q.media](&told.Report)
}

// reportWriters are the media of findings beside JSON.
var reportWriters = map[string]func(*report.Report) ([]byte, error){
	mediaSARIF: report.SARIF, mediaXML: report.JUnit, mediaCSV: report.CSV, mediaText: report.Table,
}

// checkReport is a report that is being gathered.
type checkReport struct {
	report.Report
	index map[string]int // of rules, by id
}

func newReport(asOf string) *checkReport {
	return &checkReport{report.Report{Version: service.Version, AsOf: asOf}, map[string]int{}}
}

// file makes a file of the report of an answer. Where the findings stand in it, and
// which of them let the run fail, is for the caller to add.
func (c *checkReport) file(name string, a *service.DesignCheck, us bool) report.File {
	f := report.File{Name: name, Findings: make([]report.Finding, len(a.Findings))}
	for _, count := range a.Rules {
		c.rule(count.Rule)
	}
	for i := range a.Findings {
		f.Findings[i] = c.finding(&a.Findings[i], us)
	}
	for _, caution := range a.Cautions {
		f.Notes = append(f.Notes, caution.Detail)
	}
	return f
}

// rule gives the place of a rule in the report.
func (c *checkReport) rule(r *rule.Rule) int {
	i, known := c.index[r.ID]
	if known {
		return i
	}
	i = len(c.Rules)
	c.index[r.ID] = i
	c.Rules = append(c.Rules, report.Rule{
		ID: r.ID, Set: r.Set.ID, Document: r.Document(), Edition: r.Edition(), Clause: r.Clause,
		Requirement: r.Requirement, Advice: r.Advice, Severity: report.Severity(r.Severity),
		Source: string(r.Source), Reading: string(r.Status), Note: r.Note,
	})
	return i
}

func (c *checkReport) finding(f *service.Finding, us bool) report.Finding {
	x := report.Finding{
		Rule: c.rule(f.Rule), Status: report.Status(f.Status), Element: f.Element, Name: f.ElementID, Elements: f.Elements,
		Detail: f.Detail, Advice: f.Advice, Fingerprint: f.Fingerprint,
	}
	if f.HasValue {
		x.Value = amountText(f.Dimension, f.Value, us)
	}
	if f.HasLimit {
		x.Limit, x.LimitIs = amountText(f.Dimension, f.Limit, us), string(f.Rule.LimitIs)
	}
	if f.MeasuredFrom != nil {
		x.From = f.MeasuredFrom.Node
	}
	if f.Waiver != nil {
		x.Waiver = &report.Waiver{Reason: f.Waiver.Reason, Until: f.Waiver.Until, State: report.WaiverState(f.Waiver.State)}
	}
	return x
}

func amountText(d *quantity.Dimension, si float64, us bool) report.Amount {
	w := answer.Writer{US: us}
	unit := w.UnitOf(d)
	return report.Amount{Number: answer.NumberText(unit.FromSI(si)), Unit: unit.Symbol}
}
