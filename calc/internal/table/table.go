// Package table reads the reference tables that packages embed: `#` comment
// lines with the source first, then a line of column names, then rows. It is
// strict, because a slip in a reference table must not pass for a value.
//
// A malformed table panics: the text is part of the program, so the slip is the
// programmer's, and every test of the package that embeds it finds it.
package table

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
)

// MustRead gives the rows of a table in their order. It panics if the text has
// no column names or no rows, a column name that is empty or comes twice, a row
// with too many or too few cells, a stray quote, or a cell with space around it.
func MustRead(data string) []Row {
	rows, err := read(data)
	if err != nil {
		panic("table: " + err.Error())
	}
	return rows
}

// MustReadCited gives the rows of a file of check values, as [MustRead] does. A row
// without a source is refused too: an expected value that nobody else found is not
// one.
func MustReadCited(files fs.FS, name string) []Row {
	data, err := fs.ReadFile(files, name)
	if err != nil {
		panic("table: " + err.Error())
	}
	rows := MustRead(string(data))
	for _, r := range rows {
		if r.Text("source") == "" {
			panic(fmt.Sprintf("table: %s: %s is empty", name, r.at("source")))
		}
	}
	return rows
}

func read(data string) ([]Row, error) {
	records, lines, err := readRecords(csv.NewReader(strings.NewReader(blankComments(data))))
	if err != nil {
		return nil, err
	}
	if len(records) < 2 {
		return nil, errors.New("needs column names and at least one row")
	}
	head, err := newHeader(records[0])
	if err != nil {
		return nil, err
	}
	rows := make([]Row, 0, len(records)-1)
	for i, cells := range records[1:] {
		row := Row{head: head, number: i + 1, line: lines[i+1], cells: cells}
		if bad := slices.IndexFunc(cells, padded); bad >= 0 {
			return nil, fmt.Errorf("%s: space around %q", row.at(head.columns[bad]), cells[bad])
		}
		rows = append(rows, row)
	}
	return rows, nil
}

// blankComments empties the comment lines at the top. It leaves the lines
// themselves, so that a panic names the line of the file.
func blankComments(data string) string {
	lines := 0
	for strings.HasPrefix(data, "#") {
		_, data, _ = strings.Cut(data, "\n")
		lines++
	}
	return strings.Repeat("\n", lines) + data
}

func readRecords(r *csv.Reader) (records [][]string, lines []int, err error) {
	for {
		record, err := r.Read()
		if record == nil {
			return records, lines, notEOF(err)
		}
		if err != nil {
			return nil, nil, err
		}
		line, _ := r.FieldPos(0)
		records, lines = append(records, record), append(lines, line)
	}
}

func padded(cell string) bool { return strings.TrimSpace(cell) != cell }
