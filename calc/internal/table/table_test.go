package table_test

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"recirc/calc/internal/table"
)

const tubes = "# Tubes of a test.\n# Second note, with a comma.\n" +
	"nominal,wall_mm,note\n" +
	"3/4,1.143,\"a note, with a comma\"\n" +
	"1,,# not a comment here\n"

func TestRowsInOrder(t *testing.T) {
	rows := table.MustRead(tubes)
	if len(rows) != 2 {
		t.Fatalf("%d rows, want 2", len(rows))
	}
	for i, want := range []string{"3/4", "1"} {
		if got := rows[i].Text("nominal"); got != want {
			t.Errorf("row %d: nominal %q, want %q", i, got, want)
		}
	}
	if got := rows[0].Text("note"); got != "a note, with a comma" {
		t.Errorf("quoted cell: %q", got)
	}
	if got := rows[1].Text("note"); got != "# not a comment here" {
		t.Errorf("# inside a row: %q", got)
	}
}

func TestNumbers(t *testing.T) {
	rows := table.MustRead(tubes)
	if got := rows[0].Number("wall_mm"); got != 1.143 {
		t.Errorf("Number: %v, want 1.143", got)
	}
	if got, ok := rows[0].Optional("wall_mm"); !ok || got != 1.143 {
		t.Errorf("Optional of a number: %v, %v", got, ok)
	}
	if got, ok := rows[1].Optional("wall_mm"); ok || got != 0 {
		t.Errorf("Optional of an empty cell: %v, %v", got, ok)
	}
}

func TestReadsWithoutComments(t *testing.T) {
	if got := table.MustRead("a\n1\n")[0].Number("a"); got != 1 {
		t.Errorf("%v, want 1", got)
	}
}

func TestMalformedTablesPanic(t *testing.T) {
	for name, data := range map[string]string{
		"empty":                  "",
		"comments only":          "# a\n# b",
		"no rows":                "a,b\n",
		"cell missing":           "a,b\n1\n",
		"cell too many":          "a,b\n1,2,3\n",
		"stray quote":            "a,b\n1\",2\n",
		"quote not closed":       "a,b\n\"1,2\n",
		"column twice":           "a,a\n1,2\n",
		"column without a name":  "a,\n1,2\n",
		"space around a name":    "a, b\n1,2\n",
		"space around a cell":    "a,b\n1, 2\n",
		"comment below the head": "a,b\n# note\n1,2\n",
	} {
		t.Run(name, func(t *testing.T) {
			if message := panics(func() { table.MustRead(data) }); !strings.HasPrefix(message, "table: ") {
				t.Errorf("panic %q, want one that starts with the package name", message)
			}
		})
	}
}

func TestBadCellsPanicWithTheirPlace(t *testing.T) {
	for _, cell := range []string{"abc", "", "1,5", "NaN", "Inf", "-inf", "0x1p4", "1e999", "1 2"} {
		row := table.MustRead("# note\nid,wall_mm\na,1\nb,\"" + cell + "\"\n")[1]
		message := panics(func() { row.Number("wall_mm") })
		for _, want := range []string{"row 2", "line 4", `"wall_mm"`, fmt.Sprintf("%q", cell)} {
			if !strings.Contains(message, want) {
				t.Errorf("cell %q: panic %q lacks %s", cell, message, want)
			}
		}
	}
}

func TestMalformedRowPanicsWithItsLine(t *testing.T) {
	message := panics(func() { table.MustRead("# note\n# note\na,b\n1,2\n3\n") })
	if !strings.Contains(message, "line 5") {
		t.Errorf("panic %q does not name line 5", message)
	}
}

func TestUnknownColumnPanics(t *testing.T) {
	row := table.MustRead(tubes)[0]
	for name, use := range map[string]func(){
		"Text":     func() { row.Text("bore_mm") },
		"Number":   func() { row.Number("bore_mm") },
		"Optional": func() { row.Optional("bore_mm") },
	} {
		if message := panics(use); !strings.Contains(message, `"bore_mm": no such column`) {
			t.Errorf("%s: panic %q", name, message)
		}
	}
}

// TestCheckValuesCiteTheirSource: a row of expected values that names no source, a
// file without the column and a missing file are refused.
func TestCheckValuesCiteTheirSource(t *testing.T) {
	files := fstest.MapFS{
		"good.csv":    {Data: []byte("value,source\n1,handbook\n")},
		"uncited.csv": {Data: []byte("value,source\n1,handbook\n2,\n")},
		"column.csv":  {Data: []byte("value\n1\n")},
	}
	if rows := table.MustReadCited(files, "good.csv"); len(rows) != 1 || rows[0].Number("value") != 1 {
		t.Errorf("rows %v", rows)
	}
	for name, want := range map[string]string{
		"uncited.csv": `uncited.csv: row 2 (line 3), column "source" is empty`,
		"column.csv":  `"source": no such column`,
		"missing.csv": "missing.csv",
	} {
		if message := panics(func() { table.MustReadCited(files, name) }); !strings.Contains(message, want) {
			t.Errorf("%s: panic %q, want one with %q", name, message, want)
		}
	}
}

// panics gives the text a function panics with, "" if it does not.
func panics(f func()) (message string) {
	defer func() {
		if r := recover(); r != nil {
			message = fmt.Sprint(r)
		}
	}()
	f()
	return ""
}
