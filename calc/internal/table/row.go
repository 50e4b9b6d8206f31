package table

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
)

// Row is one row of a table.
type Row struct {
	head   *header
	number int // from 1, column names not counted
	line   int // of the embedded file
	cells  []string
}

// Text gives a cell as it is written, "" if it is empty. It panics if the table
// has no such column.
func (r Row) Text(column string) string {
	i, ok := r.head.index[column]
	if !ok {
		panic(fmt.Sprintf("table: %s: no such column", r.at(column)))
	}
	return r.cells[i]
}

// Number gives a cell as a finite decimal number, in whatever unit its column
// states. It panics if the cell is empty or anything else, with the row and the
// column, and if the table has no such column.
func (r Row) Number(column string) float64 {
	text := r.Text(column)
	value, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsInf(value, 0) || math.IsNaN(value) || !decimal(text) {
		panic(fmt.Sprintf("table: %s: %q is not a number", r.at(column), text))
	}
	return value
}

// Optional gives a cell as [Row.Number] does, and false if it is empty.
func (r Row) Optional(column string) (float64, bool) {
	if r.Text(column) == "" {
		return 0, false
	}
	return r.Number(column), true
}

func (r Row) at(column string) string {
	return fmt.Sprintf("row %d (line %d), column %q", r.number, r.line, column)
}

// decimal refuses what ParseFloat reads besides: hexadecimal numbers, which no
// print has.
func decimal(text string) bool {
	for _, c := range text {
		if c == 'x' || c == 'X' {
			return false
		}
	}
	return true
}

// header is shared by the rows of one table.
type header struct {
	columns []string
	index   map[string]int
}

func newHeader(columns []string) (*header, error) {
	h := &header{columns: columns, index: make(map[string]int, len(columns))}
	for i, name := range columns {
		if name == "" || padded(name) {
			return nil, fmt.Errorf("column %d has the name %q", i+1, name)
		}
		if _, twice := h.index[name]; twice {
			return nil, fmt.Errorf("column %q comes twice", name)
		}
		h.index[name] = i
	}
	return h, nil
}

// notEOF gives nil at the ordinary end of a table.
func notEOF(err error) error {
	if errors.Is(err, io.EOF) {
		return nil
	}
	return err
}
