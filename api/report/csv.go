package report

import (
	"bytes"
	"encoding/csv"
	"strconv"
)

// Columns are those of CSV, in order.
func Columns() []string {
	return []string{
		"file", "line", "column", "status", "severity", "rule", "set", "document", "edition", "clause", "element", "name", "detail",
		"value", "value_unit", "limit", "limit_unit", "limit_is", "measured_from", "fails", "known", "waiver_state", "waiver_reason", "waived_until", "advice", "source", "fingerprint",
	}
}

// CSV writes a line for each finding (RFC 4180), under a line of names. What is
// wrong with a file has the status error and its code in the place of the rule.
func CSV(r *Report) ([]byte, error) {
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	w.UseCRLF = true
	row := Columns()
	if err := w.Write(row); err != nil {
		return nil, err
	}
	for i := range r.Files {
		f := &r.Files[i]
		for j := range f.Faults {
			x := &f.Faults[j]
			clear(row)
			row[0], row[1], row[2], row[3], row[5], row[10], row[12] = f.Name, number(x.At.Line), number(x.At.Column), "error", x.Code, x.Element, x.Detail
			if err := w.Write(row); err != nil {
				return nil, err
			}
		}
		for j := range f.Findings {
			if err := w.Write(csvRow(r, f, &f.Findings[j])); err != nil {
				return nil, err
			}
		}
	}
	w.Flush()
	return out.Bytes(), w.Error()
}

func csvRow(r *Report, f *File, x *Finding) []string {
	rule := &r.Rules[x.Rule]
	var waiver Waiver
	if x.Waiver != nil {
		waiver = *x.Waiver
	}
	known := ""
	if r.Compared && x.Status == NotMet {
		known = strconv.FormatBool(x.Known)
	}
	return []string{
		f.Name, number(x.At.Line), number(x.At.Column), string(x.Status), string(rule.Severity), rule.ID, rule.Set, rule.Document, rule.Edition, rule.Clause, x.Element, x.Name, x.Detail,
		x.Value.Number, x.Value.Unit, x.Limit.Number, x.Limit.Unit, x.LimitIs, x.From, strconv.FormatBool(x.Fails), known, string(waiver.State), waiver.Reason, waiver.Until, x.Advice, rule.Source, x.Fingerprint,
	}
}

// number is empty for none.
func number(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}
