package api_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"net/http"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// told is a finding as every format tells it.
type told struct{ rule, element, status string }

const sarif, xmlType, csvType, text = "application/sarif+json", "application/xml", "text/csv", "text/plain"

// checkBodies are requests of design checks with findings of every status.
func checkBodies(t testing.TB) []example {
	t.Helper()
	bodies := slices.DeleteFunc(examplesOf(t, loadContract(t)), func(e example) bool { return e.path != designChecksPath })
	for _, b := range slices.Clone(bodies) {
		bodies = append(bodies, example{b.path, b.name + ", every element", edited(t, b.body, "/every_element = true")})
	}
	return append(bodies, example{designChecksPath, "full", fullRequest(t, designChecksPath)}, example{designChecksPath, "house", house})
}

func TestFormatsTellTheSameFindings(t *testing.T) {
	server := newServer(t)
	statuses := map[string]int{}
	for _, b := range checkBodies(t) {
		t.Run(b.name, func(t *testing.T) {
			var want []told
			var answer struct {
				Findings []struct{ Rule, Element, Status string }
				Totals   struct{ Rules int }
			}
			into(t, post(server, b.path, b.body), "application/json", &answer)
			for _, f := range answer.Findings {
				want = append(want, told{f.Rule, f.Element, f.Status})
				statuses[f.Status]++
			}
			if len(want) == 0 {
				t.Error("nothing is found")
			}
			for format, read := range map[string]func(*testing.T, []byte) []told{sarif: toldBySARIF, xmlType: toldByJUnit, csvType: toldByCSV} {
				got := post(server, b.path, b.body, "Accept", format)
				if kind, _, _ := strings.Cut(got.header.Get("Content-Type"), ";"); got.status != http.StatusOK || kind != format {
					t.Fatalf("%s: status %d, %s", format, got.status, kind)
				}
				if all := read(t, got.body); !slices.Equal(all, want) {
					t.Errorf("%s tells %v, JSON %v", format, all, want)
				}
			}
			lines := strings.Split(string(post(server, b.path, b.body, "Accept", text).body), "\n")
			for _, w := range want {
				if n := countWith(lines, w.rule); n != countOf(want, w.rule) {
					t.Errorf("the table has %d lines on %s", n, w.rule)
				}
			}
		})
	}
	for _, status := range []string{"met", "not_met", "not_assessed"} {
		if statuses[status] == 0 {
			t.Errorf("no request has a finding that is %s", status)
		}
	}
}

func into(t testing.TB, got answer, kind string, v any) {
	t.Helper()
	if got.status != http.StatusOK || got.header.Get("Content-Type") != kind {
		t.Fatalf("status %d, %s: %.500s", got.status, got.header.Get("Content-Type"), got.body)
	}
	if err := json.Unmarshal(got.body, v); err != nil {
		t.Fatal(err)
	}
}

func toldBySARIF(t *testing.T, body []byte) []told {
	var log struct {
		Runs []struct {
			Results []struct {
				RuleID, Kind string
				Locations    []struct {
					LogicalLocations []struct{ FullyQualifiedName string }
				}
			}
		}
	}
	if err := json.Unmarshal(body, &log); err != nil {
		t.Fatal(err)
	}
	var all []told
	for _, r := range log.Runs[0].Results {
		all = append(all, told{r.RuleID, r.Locations[0].LogicalLocations[0].FullyQualifiedName, map[string]string{"pass": "met", "fail": "not_met", "open": "not_assessed"}[r.Kind]})
	}
	return all
}

func toldByJUnit(t *testing.T, body []byte) []told {
	var suites struct {
		Cases []struct {
			Name    string    `xml:"name,attr"`
			Failure *struct{} `xml:"failure"`
			Skipped *struct {
				Type string `xml:"type,attr"`
			} `xml:"skipped"`
		} `xml:"testsuite>testcase"`
	}
	if err := xml.Unmarshal(body, &suites); err != nil {
		t.Fatal(err)
	}
	var all []told
	for _, c := range suites.Cases {
		rule, element, _ := strings.Cut(c.Name, " ")
		switch {
		case c.Failure != nil:
			all = append(all, told{rule, element, "not_met"})
		case c.Skipped != nil:
			all = append(all, told{rule, element, c.Skipped.Type})
		default:
			all = append(all, told{rule, element, "met"})
		}
	}
	return all
}

func toldByCSV(t *testing.T, body []byte) []told {
	rows, err := csv.NewReader(bytes.NewReader(body)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var all []told
	for _, row := range rows[1:] {
		at := func(name string) string { return row[slices.Index(rows[0], name)] }
		all = append(all, told{at("rule"), at("element"), at("status")})
	}
	return all
}

func countWith(lines []string, word string) (n int) {
	for _, l := range lines {
		if fields := strings.Fields(l); len(fields) > 1 && slices.Contains(fields[:min(len(fields), 8)], word) {
			n++
		}
	}
	return n
}

func countOf(all []told, rule string) (n int) {
	for _, x := range all {
		if x.rule == rule {
			n++
		}
	}
	return n
}

// TestSARIFOfRulesKeepsTheSchema: with the rules' own texts, the log is valid by
// the schema of OASIS (see report/testdata).
func TestSARIFOfRulesKeepsTheSchema(t *testing.T) {
	file, err := os.Open("report/testdata/sarif-schema-2.1.0.json")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = file.Close() }()
	doc, err := jsonschema.UnmarshalJSON(file)
	if err != nil {
		t.Fatal(err)
	}
	compiler := jsonschema.NewCompiler()
	compiler.AssertFormat()
	if err := compiler.AddResource("sarif.json", doc); err != nil {
		t.Fatal(err)
	}
	schema := compiler.MustCompile("sarif.json")
	server := newServer(t)
	for _, b := range checkBodies(t) {
		log, err := jsonschema.UnmarshalJSON(bytes.NewReader(post(server, b.path, b.body, "Accept", sarif).body))
		if err != nil {
			t.Fatal(err)
		}
		if err := schema.Validate(log); err != nil {
			t.Errorf("%s: %v", b.name, err)
		}
		rules := valueAt(log, pathTo("/runs/0/tool/driver/rules")).([]any)
		for _, r := range rules {
			for _, at := range []string{"/help/text", "/shortDescription/text", "/fullDescription/text"} {
				if text, _ := valueAt(r, pathTo(at)).(string); len(text) < 10 {
					t.Errorf("a rule has %s %q", at, text)
				}
			}
		}
	}
}

// TestAcceptChoosesAFormat of findings.
func TestAcceptChoosesAFormat(t *testing.T) {
	server := newServer(t)
	const json, none = "application/json", "application/problem+json"
	for _, row := range []struct{ accept, want string }{
		{"*/*", json}, {"application/*", json}, {sarif, sarif}, {sarif + ", " + json, json}, {json + ";q=0.5, " + sarif, sarif},
		{xmlType, xmlType}, {"text/*", csvType}, {text, text}, {"text/csv;q=0.2, text/plain", text}, {"APPLICATION/SARIF+JSON", sarif},
		{"image/svg+xml", none}, {"text/html", none}, {"application/junit+xml", none}, {"application/sarif+json;q=0", none}, {"text/xml", none},
	} {
		got := post(server, designChecksPath, house, "Accept", row.accept)
		if kind, _, _ := strings.Cut(got.header.Get("Content-Type"), ";"); kind != row.want || (got.status == http.StatusNotAcceptable) != (row.want == none) {
			t.Errorf("Accept: %s: status %d, %s", row.accept, got.status, kind)
		}
	}
	// A problem is a problem in every format.
	for _, accept := range []string{json, sarif, xmlType, csvType, text} {
		if got := post(server, designChecksPath, `{}`, "Accept", accept); got.status != http.StatusUnprocessableEntity {
			t.Errorf("Accept: %s: status %d", accept, got.status)
		} else {
			got.problem(t)
		}
	}
}
