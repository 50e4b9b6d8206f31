package report

import (
	"bytes"
	"cmp"
	"fmt"
	"strconv"
	"strings"
	"text/tabwriter"
	"unicode"
)

// Table writes the findings for a person at a terminal: by file, what is not met
// first, then what could not be assessed, then what is met; and how many there
// are.
func Table(r *Report) ([]byte, error) {
	var out bytes.Buffer
	for i := range r.Files {
		r.tableOf(&out, &r.Files[i])
	}
	c := r.Count()
	fmt.Fprintf(&out, "%d not met (%d waived", c.NotMet, c.Waived)
	if r.Compared {
		fmt.Fprintf(&out, ", %d in the baseline", c.Known)
	}
	fmt.Fprintf(&out, "), %d not assessed, %d met; %d against the run.\n", c.NotAssessed, c.Met, c.Fail)
	if c.Faults > 0 {
		fmt.Fprintf(&out, "%d faults kept files from being checked.\n", c.Faults)
	}
	out.WriteString("What is met is not said to comply: local codes and the authority having jurisdiction decide.\n")
	return out.Bytes(), nil
}

func (r *Report) tableOf(out *bytes.Buffer, f *File) {
	if f.Name != "" {
		fmt.Fprintln(out, printable(f.Name))
	}
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	for i := range f.Faults {
		x := &f.Faults[i]
		fmt.Fprintf(w, "  %s\twrong\t%s\t%s\t\t%s\n", lineAndColumn(x.At), x.Code, printable(x.Element), printable(x.Detail))
	}
	for _, status := range []Status{NotMet, NotAssessed, Met} {
		for i := range f.Findings {
			x := &f.Findings[i]
			if x.Status != status {
				continue
			}
			rule := &r.Rules[x.Rule]
			said := x.Detail
			if status == NotMet {
				said = strings.Join(nonEmpty(x.Detail, x.Advice, "["+rule.place()+"]"), " ")
			}
			fmt.Fprintf(w, "  %s\t%s\t%s\t%s\t%s\t%s\n", lineAndColumn(x.At), state(x, rule), rule.ID, subject(x), measured(x), printable(said))
		}
	}
	_ = w.Flush() // into memory
	out.WriteByte('\n')
}

func state(x *Finding, rule *Rule) string {
	switch {
	case x.Status == Met:
		return "met"
	case x.Status == NotAssessed:
		return "not assessed"
	case x.Waived():
		return string(rule.Severity) + ", waived"
	case x.Known:
		return string(rule.Severity) + ", known"
	case x.Waiver != nil && x.Waiver.State == Expired:
		return string(rule.Severity) + ", waiver expired"
	case x.Waiver != nil:
		return string(rule.Severity) + ", waiver without a day to judge it by"
	}
	return string(rule.Severity)
}

func subject(x *Finding) string {
	name := printable(cmp.Or(x.Name, x.Element, "design"))
	if x.Elements > 1 {
		return name + " and " + strconv.Itoa(x.Elements-1) + " more"
	}
	return name
}

// measured is value and limit; empty where nothing is measured.
func measured(x *Finding) string {
	limit := x.Limit.String()
	if limit != "" {
		limit = strings.ReplaceAll(x.LimitIs, "_", " ") + " " + limit
	}
	return strings.Join(nonEmpty(x.Value.String(), limit), ", ")
}

func lineAndColumn(at Position) string {
	if at.Line == 0 {
		return ""
	}
	return strconv.Itoa(at.Line) + ":" + strconv.Itoa(at.Column)
}

// printable keeps what a caller wrote from steering the terminal: whatever does
// not show becomes an escape.
func printable(text string) string {
	text = strings.ToValidUTF8(text, "\ufffd")
	if strings.IndexFunc(text, func(r rune) bool { return !unicode.IsPrint(r) }) < 0 {
		return text
	}
	quoted := strconv.Quote(text)
	return strings.ReplaceAll(quoted[1:len(quoted)-1], `\"`, `"`)
}
