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
		f := &r.Files[i]
		if i > 0 {
			out.WriteByte('\n')
		}
		if f.Name != "" {
			fmt.Fprintln(&out, printable(f.Name))
		}
		for j := range f.Faults {
			x := &f.Faults[j]
			fmt.Fprintf(&out, "  %s  wrong  %s  %s\n", cmp.Or(lineAndColumn(x.At), printable(x.Element)), x.Code, printable(x.Detail))
		}
		for _, status := range []Status{NotMet, NotAssessed, Met} {
			r.block(&out, f, status)
		}
	}
	c := r.Count()
	fmt.Fprintf(&out, "\n%d not met", c.NotMet)
	if c.Waived > 0 {
		fmt.Fprintf(&out, " (%d waived)", c.Waived)
	}
	if r.Compared {
		fmt.Fprintf(&out, " (%d in the baseline)", c.Known)
	}
	fmt.Fprintf(&out, ", %d not assessed, %d met; %d count.", c.NotAssessed, c.Met, c.Fail)
	if c.Faults > 0 {
		fmt.Fprintf(&out, " %d faults kept files from being checked.", c.Faults)
	}
	out.WriteString("\nWhat is met is not said to comply: local codes and the authority having jurisdiction decide.\n")
	return out.Bytes(), nil
}

// block writes the findings of one status, in columns.
func (r *Report) block(out *bytes.Buffer, f *File, status Status) {
	w := tabwriter.NewWriter(out, 0, 0, 2, ' ', 0)
	for i := range f.Findings {
		x := &f.Findings[i]
		if x.Status != status {
			continue
		}
		rule := &r.Rules[x.Rule]
		fmt.Fprintf(w, "  %s\t%s\t%s\t%s\t%s\t%s\n", lineAndColumn(x.At), state(x, rule), rule.ID, subject(x), measured(x), printable(x.Detail))
		if status == NotMet && rule.Advice != "" && x.Fails {
			// A line without a cell ends the columns, so advice stands in the last one.
			fmt.Fprintf(w, "  \t\t\t\t\t%s\n", printable(rule.Advice))
		}
	}
	_ = w.Flush() // into memory
}

func state(x *Finding, rule *Rule) string {
	switch {
	case x.Status == Met:
		return "met"
	case x.Status == NotAssessed:
		return "not assessed"
	case x.Waiver != nil:
		return string(rule.Severity) + ", waived"
	case x.Known:
		return string(rule.Severity) + ", known"
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
	switch value, limit := x.Value.String(), x.Limit.String(); {
	case limit == "":
		return value
	case value == "":
		return "limit " + limit
	default:
		return value + ", limit " + limit
	}
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
	if strings.IndexFunc(text, func(r rune) bool { return !unicode.IsPrint(r) }) < 0 {
		return text
	}
	quoted := strconv.Quote(text)
	return strings.ReplaceAll(quoted[1:len(quoted)-1], `\"`, `"`)
}
