package main

import (
	"encoding/json"
	"encoding/xml"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// repository is a copy of three designs as a team keeps them.
func repository(t *testing.T) string {
	t.Helper()
	folder := t.TempDir()
	if err := os.CopyFS(folder, os.DirFS("testdata/repository")); err != nil {
		t.Fatal(err)
	}
	return folder
}

// changed rewrites a file of a repository.
func changed(t *testing.T, folder, name, old, text string) {
	t.Helper()
	path := filepath.Join(folder, name)
	before, err := os.ReadFile(path)
	if err != nil || !strings.Contains(string(before), old) {
		t.Fatalf("%s has no %q (%v)", name, old, err)
	}
	if err := os.WriteFile(path, []byte(strings.Replace(string(before), old, text, 1)), 0o600); err != nil {
		t.Fatal(err)
	}
}

// TestRepository checks a repository of three designs through the real binary.
// In the house the run to the guest basin is 58 ft and the plumbing code's limit
// 50 ft; the flat keeps it; the third file is wrong in two places.
func TestRepository(t *testing.T) {
	const (
		house, flat, faulty = "designs/house.json", "designs/flat.yaml", "designs/faulty.yaml"
		code                = "--rules=ipc_2018"
	)
	cases := []struct {
		name string
		args []string
		code int
		out  string // all of these lines, apart by |, stand on standard output in part
		errs string
	}{
		{"a design that keeps the code", []string{flat, code}, 0, "ipc_607_2|0 not met", ""},
		{"one that does not", []string{house, code}, 1, "violation|58 ft, at most 50 ft", "not met, violation or above: 1"},
		{"two files", []string{house, flat, code}, 1, house + "|" + flat, "not met"},
		{"a file that is wrong", []string{faulty, code}, 2, faulty, "\n" + faulty + ":11:15: \"yd\" is not a unit"},
		{"all its faults", []string{faulty, code}, 2, "unit_unknown|pipe_leads_nowhere", "\n" + faulty + ":15:11: "},
		{"the others are checked all the same", []string{faulty, house, flat, code}, 2, "58 ft, at most 50 ft", faulty + ":11:15"},
		{"no such file", []string{"designs/attic.json", house, code}, 2, "58 ft, at most 50 ft", "designs/attic.json:1:1: "},
		{"the sets of the file", []string{flat}, 0, "ipc_607_2", ""},
		{"advice does not count", []string{house, "--rules", "good_practice"}, 0, "advice", ""},
		{"unless it is asked for", []string{house, "--rules", "good_practice", "--fail-on", "advice"}, 1, "advice", "not met, advice or above"},
		{"several sets", []string{house, "--rules", "ipc_2018,good_practice"}, 1, "ipc_607_2|practice_50_ft", ""},
		{"a waiver in force", []string{house, code, "--waivers", "waivers.yaml", "--as-of", "2027-01-31"}, 0, "violation, waived", ""},
		{"a waiver that has ended", []string{house, code, "--waivers", "waivers.yaml", "--as-of", "2027-02-01"}, 1, "violation, waiver expired", ""},
		{"waivers that are wrong", []string{house, "--waivers", "waivers-wrong.yaml"}, 2, "", "waivers-wrong.yaml:2:11: There is no rule \"ipc_607\""},
		{"all that is wrong with them", []string{house, "--waivers", "waivers-wrong.yaml"}, 2, "", "waivers-wrong.yaml:5:12: \"soon\" is no date"},
		{"waivers that are none", []string{house, "--waivers", house}, 2, "", house + ":2:13: There is no field \"system\""},
		{"no such waivers", []string{house, "--waivers", "none.yaml"}, 2, "", "none.yaml"},
		{"a baseline that is none", []string{house, "--baseline", "waivers.yaml"}, 2, "", "neither a baseline nor an answer"},
		{"no such baseline", []string{house, "--baseline", "none.json"}, 2, "", "none.json"},
		{"no such set", []string{house, "--rules", "ipc"}, 2, "", "the sets are ipc_2018"},
		{"no such severity", []string{house, "--fail-on", "error"}, 2, "", "violation, caution, advice"},
		{"no such format", []string{house, "--format", "pdf"}, 2, "", "table, json, sarif, junit, csv"},
		{"no such day", []string{house, "--as-of", "2027-02-30"}, 2, "", "2027-02-30"},
		{"no file", nil, 2, "", "at least 1 arg"},
		{"help", []string{"--help"}, 0, "Exit codes", ""},
	}
	folder := repository(t)
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			code, out, errs := started(t, folder, append([]string{"check"}, c.args...)...)
			if code != c.code || !strings.Contains(errs, c.errs) {
				t.Errorf("code %d, errors %s", code, errs)
			}
			for _, part := range strings.Split(c.out, "|") {
				if !strings.Contains(out, part) {
					t.Errorf("there is no %q in\n%s", part, out)
				}
			}
		})
	}
}

// lineOf is the line of a text in a file, and the column at which it starts.
func lineOf(t *testing.T, folder, name, text string) (line, column int) {
	t.Helper()
	whole, err := os.ReadFile(filepath.Join(folder, name))
	if err != nil {
		t.Fatal(err)
	}
	for i, l := range strings.Split(string(whole), "\n") {
		if at := strings.Index(l, text); at >= 0 {
			return i + 1, at + 1
		}
	}
	t.Fatalf("%s has no %s", name, text)
	return 0, 0
}

// TestFormatsOfARepository: what SARIF, JUnit, CSV and JSON say of the guest basin.
func TestFormatsOfARepository(t *testing.T) {
	folder := repository(t)
	line, column := lineOf(t, folder, "designs/house.json", `{"id": "guest basin"`)
	check := func(format string) []byte {
		code, out, errs := started(t, folder, "check", "--rules", "ipc_2018", "--format", format, "designs/house.json", "designs/flat.yaml")
		if code != 1 {
			t.Fatalf("%s: code %d, %s", format, code, errs)
		}
		return []byte(out)
	}
	var sarif struct {
		Runs []struct {
			Results []struct {
				RuleID, Level string
				Locations     []struct {
					PhysicalLocation struct {
						ArtifactLocation struct{ URI string }
						Region           struct{ StartLine, StartColumn int }
					}
				}
			}
		}
	}
	if err := json.Unmarshal(check("sarif"), &sarif); err != nil {
		t.Fatal(err)
	}
	marked := 0
	for _, r := range sarif.Runs[0].Results {
		at := r.Locations[0].PhysicalLocation
		if r.Level != "error" {
			continue
		}
		marked++
		if r.RuleID != "ipc_607_2" || at.ArtifactLocation.URI != "designs/house.json" || at.Region.StartLine != line || at.Region.StartColumn != column {
			t.Errorf("SARIF marks %+v, want line %d, column %d", r, line, column)
		}
	}
	if marked != 1 {
		t.Errorf("SARIF marks %d places", marked)
	}
	var junit struct {
		Failures int `xml:"failures,attr"`
		Suites   []struct {
			Name     string `xml:"name,attr"`
			Failures int    `xml:"failures,attr"`
		} `xml:"testsuite"`
	}
	if err := xml.Unmarshal(check("junit"), &junit); err != nil || junit.Failures != 1 || len(junit.Suites) != 2 || junit.Suites[0].Name != "designs/house.json" || junit.Suites[0].Failures != 1 {
		t.Errorf("JUnit: %+v (%v)", junit, err)
	}
	if csv := string(check("csv")); !strings.Contains(csv, "\ndesigns/house.json,"+itoa(line)+","+itoa(column)+",not_met,violation,ipc_607_2,") {
		t.Errorf("CSV: %s", csv)
	}
	var asJSON struct {
		Fails int
		Files []struct {
			File     string
			Findings []struct {
				Rule, Status string
				Line, Column int
			}
		}
	}
	if err := json.Unmarshal(check("json"), &asJSON); err != nil || asJSON.Fails != 1 || len(asJSON.Files) != 2 {
		t.Fatalf("JSON: %+v (%v)", asJSON, err)
	}
	found := slices.ContainsFunc(asJSON.Files[0].Findings, func(f struct {
		Rule, Status string
		Line, Column int
	}) bool {
		return f.Rule == "ipc_607_2" && f.Status == "not_met" && f.Line == line && f.Column == column
	})
	if !found {
		t.Errorf("JSON: %+v", asJSON.Files[0])
	}
}

func itoa(n int) string { text, _ := json.Marshal(n); return string(text) }

// TestBaseline: from the day of the baseline on only new findings count, whatever
// moves in the file, and whichever of three ways the baseline was made in.
func TestBaseline(t *testing.T) {
	for name, make := range map[string]func(folder string){
		"written": func(folder string) {
			if code, _, errs := started(t, folder, "check", "--rules", "ipc_2018", "--write-baseline", "baseline.json", "designs/house.json"); code != 0 {
				t.Fatalf("code %d, %s", code, errs)
			}
		},
		"a former run": func(folder string) {
			_, out, _ := started(t, folder, "check", "--rules", "ipc_2018", "--format", "json", "designs/house.json")
			written(t, folder, "baseline.json", out)
		},
		"a former answer": func(folder string) {
			_, out, errs := started(t, folder, "calc", "design-checks", "designs/house.json")
			if out == "" {
				t.Fatal(errs)
			}
			written(t, folder, "baseline.json", out)
		},
	} {
		t.Run(name, func(t *testing.T) {
			folder := repository(t)
			make(folder)
			check := func(want int, what string) {
				t.Helper()
				code, out, errs := started(t, folder, "check", "--rules", "ipc_2018", "--baseline", "baseline.json", "designs/house.json")
				if code != want || !strings.Contains(out, "violation, known") {
					t.Errorf("%s: code %d, %s\n%s", what, code, errs, out)
				}
			}
			check(0, "as it was")
			changed(t, folder, "designs/house.json", `    "fixtures": [`, "    \"fixtures\": [\n      {\"id\": \"bar\", \"node\": \"kitchen\", \"type\": \"bar_sink_faucet\"},\n")
			check(0, "a fixture before the others")
			changed(t, folder, "designs/house.json", `"value": 12,`, `"value": 72,`)
			check(1, "the kitchen is too far now")
		})
	}
	folder := repository(t)
	written(t, folder, "baseline.json", `{"findings":[]}`)
	if code, _, _ := started(t, folder, "check", "--rules", "ipc_2018", "--baseline", "baseline.json", "designs/house.json"); code != 1 {
		t.Errorf("an empty baseline: code %d", code)
	}
	// What is waived does not enter the baseline: it counts when the waiver has ended.
	started(t, folder, "check", "--rules", "ipc_2018", "--waivers", "waivers.yaml", "--as-of", "2027-01-01", "--write-baseline", "baseline.json", "designs/house.json")
	if code, _, _ := started(t, folder, "check", "--rules", "ipc_2018", "--baseline", "baseline.json", "designs/house.json"); code != 1 {
		t.Errorf("a waived finding hides in the baseline: code %d", code)
	}
}

func written(t *testing.T, folder, name, text string) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

// TestYAMLFindsTheSame: one design in both spellings has the same findings.
func TestYAMLFindsTheSame(t *testing.T) {
	prints := func(file string) []string {
		code, out, errs := call(t, "", "check", "--format", "json", file)
		var answer struct {
			Files []struct {
				Findings []struct{ Rule, Status, Element, Fingerprint string }
			}
		}
		if err := json.Unmarshal([]byte(out), &answer); err != nil || code != 1 {
			t.Fatalf("%s: code %d, %v, %s", file, code, err, errs)
		}
		var all []string
		for _, f := range answer.Files[0].Findings {
			all = append(all, strings.Join([]string{f.Rule, f.Status, f.Element, f.Fingerprint}, " "))
		}
		return all
	}
	const example = examples + "design-checks.house.json"
	if a, b := prints(example), prints(fileOf(t, "house.yml", asYAML(t, example))); len(a) < 20 || !slices.Equal(a, b) {
		t.Errorf("as JSON\n%q\nas YAML\n%q", a, b)
	}
}

// TestCheckReadsStandardInput for -.
func TestCheckReadsStandardInput(t *testing.T) {
	text, err := os.ReadFile("testdata/repository/designs/house.json")
	if err != nil {
		t.Fatal(err)
	}
	if code, out, errs := call(t, string(text), "check", "--rules", "ipc_2018", "-"); code != 1 || !strings.Contains(out, "58 ft, at most 50 ft") {
		t.Errorf("code %d, %s", code, errs)
	}
}
