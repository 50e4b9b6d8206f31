package report_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"flag"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"pgregory.net/rapid"

	"recirc/api/report"
)

var update = flag.Bool("update", false, "write the golden files anew")

// sarifSchema is testdata/sarif-schema-2.1.0.json, the schema of OASIS (errata 01),
// taken from the public-domain Go module github.com/owenrumney/go-sarif v3.3.1.
var sarifSchema = sync.OnceValues(func() (*jsonschema.Schema, error) {
	text, err := os.ReadFile("testdata/sarif-schema-2.1.0.json")
	if err != nil {
		return nil, err
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		return nil, err
	}
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	if err := c.AddResource("sarif.json", doc); err != nil {
		return nil, err
	}
	return c.Compile("sarif.json")
})

func validSARIF(t testing.TB, text []byte) error {
	t.Helper()
	schema, err := sarifSchema()
	if err != nil {
		t.Fatal(err)
	}
	v, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatalf("%v in %s", err, text)
	}
	return schema.Validate(v)
}

func written(t testing.TB, write func(*report.Report) ([]byte, error), r *report.Report) []byte {
	t.Helper()
	text, err := write(r)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func TestSARIFKeepsTheSchema(t *testing.T) {
	for name, r := range map[string]*report.Report{"files": sample(), "request": answered(), "nothing": {Version: "1.2.3"}} {
		text := written(t, report.SARIF, r)
		if err := validSARIF(t, text); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	broken := bytes.Replace(written(t, report.SARIF, sample()), []byte(`"level":"error"`), []byte(`"level":"fatal"`), 1)
	if validSARIF(t, broken) == nil {
		t.Error("a level that the standard does not know goes unnoticed")
	}
}

func TestJUnitKeepsTheSchema(t *testing.T) {
	s := readJUnitSchema(t)
	for name, r := range map[string]*report.Report{"files": sample(), "request": answered(), "nothing": {Version: "1.2.3"}} {
		if faults := s.faults(written(t, report.JUnit, r)); faults != nil {
			t.Errorf("%s: %q", name, faults)
		}
	}
}

// told is a finding as every format tells it.
type told struct {
	file, rule, element string
	status              report.Status
}

func tolds(r *report.Report) []told {
	var all []told
	for _, f := range r.Files {
		for _, x := range f.Findings {
			all = append(all, told{f.Name, r.Rules[x.Rule].ID, x.Element, x.Status})
		}
	}
	return all
}

// sarifLog is what a reader of SARIF looks at.
type sarifLog struct {
	Runs []struct {
		Tool struct {
			Driver struct {
				Rules []struct {
					ID   string
					Help struct{ Text string }
				}
			}
		}
		Invocations []struct {
			ExecutionSuccessful        bool
			ToolExecutionNotifications []struct{ Descriptor struct{ ID string } }
		}
		Results []struct {
			RuleID, Kind, Level, BaselineState string
			RuleIndex                          int
			Message                            struct{ Text string }
			Locations                          []struct {
				PhysicalLocation *struct {
					ArtifactLocation struct{ URI string }
					Region           struct{ StartLine, StartColumn int }
				}
				LogicalLocations []struct{ FullyQualifiedName string }
			}
			PartialFingerprints map[string]string
			Suppressions        []struct{ Justification, Status string }
		}
	}
}

func readSARIF(t testing.TB, text []byte) *sarifLog {
	t.Helper()
	var log sarifLog
	if err := json.Unmarshal(text, &log); err != nil {
		t.Fatal(err)
	}
	return &log
}

func toldBySARIF(t testing.TB, text []byte, names map[string]string) []told {
	var all []told
	run := readSARIF(t, text).Runs[0]
	for _, x := range run.Results {
		status := map[string]report.Status{"pass": report.Met, "fail": report.NotMet, "open": report.NotAssessed}[x.Kind]
		name := ""
		if p := x.Locations[0].PhysicalLocation; p != nil {
			name = names[p.ArtifactLocation.URI]
		}
		if run.Tool.Driver.Rules[x.RuleIndex].ID != x.RuleID || run.Tool.Driver.Rules[x.RuleIndex].Help.Text == "" || x.PartialFingerprints["finding/v1"] == "" {
			t.Errorf("%s: wrong index, no help or no fingerprint", x.RuleID)
		}
		all = append(all, told{name, x.RuleID, x.Locations[0].LogicalLocations[0].FullyQualifiedName, status})
	}
	return all
}

func toldByJUnit(t testing.TB, text []byte) []told {
	var suites struct {
		Suites []struct {
			Name  string `xml:"name,attr"`
			Cases []struct {
				Name    string    `xml:"name,attr"`
				Error   *struct{} `xml:"error"`
				Failure *struct{} `xml:"failure"`
				Skipped *struct {
					Type string `xml:"type,attr"`
				} `xml:"skipped"`
			} `xml:"testcase"`
		} `xml:"testsuite"`
	}
	if err := xml.Unmarshal(text, &suites); err != nil {
		t.Fatal(err)
	}
	var all []told
	for _, s := range suites.Suites {
		for _, c := range s.Cases {
			rule, element, _ := strings.Cut(c.Name, " ")
			x := told{strings.TrimPrefix(s.Name, "design"), rule, element, report.Met}
			switch {
			case c.Error != nil:
				continue
			case c.Failure != nil:
				x.status = report.NotMet
			case c.Skipped != nil:
				x.status = report.Status(c.Skipped.Type)
			}
			all = append(all, x)
		}
	}
	return all
}

func toldByCSV(t testing.TB, text []byte) []told {
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	at := func(row []string, column string) string { return row[slices.Index(rows[0], column)] }
	var all []told
	for _, row := range rows[1:] {
		if at(row, "status") != "error" {
			all = append(all, told{at(row, "file"), at(row, "rule"), at(row, "element"), report.Status(at(row, "status"))})
		}
	}
	return all
}

// TestFormatsTellTheSame reads every format back.
func TestFormatsTellTheSame(t *testing.T) {
	names := map[string]string{"north%20wing/house%20%C3%A9.yaml": "north wing/house é.yaml", "file:///abs/b.json": "/abs/b.json", "c.json": "c.json"}
	for name, r := range map[string]*report.Report{"files": sample(), "request": answered()} {
		want := tolds(r)
		if got := toldBySARIF(t, written(t, report.SARIF, r), names); !slices.Equal(got, want) {
			t.Errorf("%s: SARIF tells %v", name, got)
		}
		if got := toldByJUnit(t, written(t, report.JUnit, r)); !slices.Equal(got, want) {
			t.Errorf("%s: JUnit tells %v", name, got)
		}
		if got := toldByCSV(t, written(t, report.CSV, r)); !slices.Equal(got, want) {
			t.Errorf("%s: CSV tells %v", name, got)
		}
		table := string(written(t, report.Table, r))
		for _, x := range want {
			if rows := linesWith(table, x.rule); rows != count(want, x.rule) {
				t.Errorf("%s: the table has %d lines on %s", name, rows, x.rule)
			}
		}
	}
}

func linesWith(text, word string) (n int) {
	for _, line := range strings.Split(text, "\n") {
		if slices.Contains(strings.Fields(line), word) {
			n++
		}
	}
	return n
}

func count(all []told, rule string) (n int) {
	for _, x := range all {
		if x.rule == rule {
			n++
		}
	}
	return n
}

// TestSARIFTellsWaiversBaselinesAndFaults, in the words of the standard.
func TestSARIFTellsWaiversBaselinesAndFaults(t *testing.T) {
	run := readSARIF(t, written(t, report.SARIF, sample())).Runs[0]
	first, waived, met, known, open := run.Results[0], run.Results[1], run.Results[2], run.Results[3], run.Results[4]
	if p := first.Locations[0].PhysicalLocation; first.Level != "error" || first.BaselineState != "new" || p.Region.StartLine != 12 || p.Region.StartColumn != 7 {
		t.Errorf("the first: %+v", first)
	}
	if len(waived.Suppressions) != 1 || waived.Suppressions[0].Justification != "Decided by the owner; see <minutes>" || waived.Kind != "fail" {
		t.Errorf("the one that is waived: %+v", waived)
	}
	if met.Level != "none" || met.BaselineState != "" || open.Level != "none" || known.BaselineState != "unchanged" || known.Level != "warning" {
		t.Errorf("met %+v, open %+v, known %+v", met, open, known)
	}
	if waived.Suppressions[0].Status != "accepted" || run.Results[5].Suppressions[0].Status != "rejected" {
		t.Errorf("a waiver in force: %+v; one that has expired: %+v", waived, run.Results[5])
	}
	if run.Results[5].Level != "note" {
		t.Errorf("advice: %+v", run.Results[5])
	}
	if ended := run.Invocations[0]; ended.ExecutionSuccessful || len(ended.ToolExecutionNotifications) != 1 || ended.ToolExecutionNotifications[0].Descriptor.ID != "unit_unknown" {
		t.Errorf("a file that is wrong: %+v", ended)
	}
	if p := readSARIF(t, written(t, report.SARIF, answered())).Runs[0].Results[0].Locations[0].PhysicalLocation; p != nil {
		t.Error("a request has a file")
	}
}

// TestGoldenFiles compares layouts; what they say is compared elsewhere.
func TestGoldenFiles(t *testing.T) {
	for name, write := range map[string]func(*report.Report) ([]byte, error){"table.txt": report.Table, "junit.xml": report.JUnit, "findings.csv": report.CSV} {
		got := written(t, write, sample())
		path := filepath.Join("testdata", "golden", name)
		if *update {
			if err := os.WriteFile(path, got, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		if want, err := os.ReadFile(path); err != nil || !bytes.Equal(got, want) {
			t.Errorf("%s (%v); run with -update and look at the difference. Got\n%s", name, err, got)
		}
	}
}

// TestNothingSteersTheTerminal: what a caller wrote stays text.
func TestNothingSteersTheTerminal(t *testing.T) {
	text := string(written(t, report.Table, sample()))
	if strings.ContainsAny(text, "\x1b\r\x00") || !strings.Contains(text, `sink\x1b[31m\n]]>`) {
		t.Errorf("%q", text)
	}
}

// TestAnyText: whatever texts a report holds, every format is well formed, keeps
// its schema and tells all findings.
func TestAnyText(t *testing.T) {
	schema := readJUnitSchema(t)
	rapid.Check(t, func(rt *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.StringOf(rapid.RuneFrom([]rune("a<>&'\"]\x00\x1b\x07\n\r\t,;=\u2028\ufffe\U0001F6BF"))))
		r := sample()
		for i := range r.Files {
			for j := range r.Files[i].Findings {
				x := &r.Files[i].Findings[j]
				x.Name, x.Detail, x.Advice, x.From = text.Draw(rt, "name"), text.Draw(rt, "detail"), "", text.Draw(rt, "from")
				if x.Waiver != nil {
					x.Waiver.Reason = text.Draw(rt, "reason")
				}
			}
		}
		r.Rules[0].Advice, r.Rules[0].Clause = text.Draw(rt, "advice"), text.Draw(rt, "clause")
		want := tolds(r)
		sarif := written(t, report.SARIF, r)
		if err := validSARIF(t, sarif); err != nil {
			rt.Fatal(err)
		}
		if got := readSARIF(t, sarif).Runs[0].Results; len(got) != len(want) || got[0].Message.Text != strings.ToValidUTF8(r.Files[0].Findings[0].Detail, "\ufffd") {
			rt.Fatal("SARIF tells another text")
		}
		junit := written(t, report.JUnit, r)
		if faults := schema.faults(junit); faults != nil {
			rt.Fatal(faults)
		}
		if got := toldByJUnit(t, junit); !reflect.DeepEqual(got, want) {
			rt.Fatalf("JUnit tells %v", got)
		}
		if got := toldByCSV(t, written(t, report.CSV, r)); !reflect.DeepEqual(got, want) {
			rt.Fatalf("CSV tells %v", got)
		}
		if table := string(written(t, report.Table, r)); strings.ContainsAny(table, "\x00\x1b\x07") {
			rt.Fatal("the table steers a terminal")
		}
	})
}
