package api

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"recirc/api/body"
)

// pumpTableReader reads the lines of a catalogue.
type pumpTableReader struct {
	csv     *csv.Reader
	columns []string
	faults  []CSVFault
	seen    map[string]bool // ids
	pumps   []csvPump
}

// csvPump is one pump of a table.
type csvPump struct {
	id    string
	lines []csvLine
}

// csvLine is the cells of a line that are filled, as JSON.
type csvLine struct {
	number int
	cells  map[string]string
}

func (p *pumpTableReader) fault(line int, format string, args ...any) {
	if len(p.faults) < mostCSVFaults {
		p.faults = append(p.faults, CSVFault{line, fmt.Sprintf(format, args...)})
	}
}

const mostCSVFaults = 100

// next reads a record; nil at the end, or if the text is no CSV.
func (p *pumpTableReader) next() (record []string, line int) {
	record, err := p.csv.Read()
	var wrong *csv.ParseError
	switch {
	case errors.As(err, &wrong):
		p.fault(wrong.Line, "This is not CSV: %v.", wrong.Err)
		return nil, 0
	case err != nil:
		if err != io.EOF {
			p.fault(1, "The table cannot be read: %v.", err)
		}
		return nil, 0
	}
	line, _ = p.csv.FieldPos(0)
	return record, line
}

func (p *pumpTableReader) header() bool {
	record, line := p.next()
	if record == nil {
		if p.faults == nil {
			p.fault(1, "The table is empty; its first line names the columns.")
		}
		return false
	}
	for _, name := range record {
		name = strings.TrimSpace(name)
		if _, known := columnKinds[name]; !known {
			p.fault(line, "There is no column %s.", body.Shown(name))
		} else if slices.Contains(p.columns, name) {
			p.fault(line, "The column %s is there twice.", name)
		}
		p.columns = append(p.columns, name)
	}
	for _, name := range neededColumns {
		if !slices.Contains(p.columns, name) {
			p.fault(line, "The column %s is missing.", name)
		}
	}
	return p.faults == nil
}

func (p *pumpTableReader) rows() {
	for {
		record, line := p.next()
		if record == nil {
			return
		}
		if len(record) != len(p.columns) {
			p.fault(line, "The line has %d cells, and the first line %d.", len(record), len(p.columns))
			continue
		}
		p.row(record, line)
	}
}

func (p *pumpTableReader) row(record []string, line int) {
	l := csvLine{line, map[string]string{}}
	for i, name := range p.columns {
		cell := strings.TrimSpace(record[i])
		if cell == "" {
			continue
		}
		value, what := cellJSON(columnKinds[name], cell)
		if what != "" {
			p.fault(line, "%s is %s; %s is needed.", name, body.Shown(cell), what)
			value = `""` // filled, though wrongly
		}
		l.cells[name] = value
	}
	for _, name := range neededColumns {
		if l.cells[name] == "" {
			p.fault(line, "%s is empty.", name)
		}
	}
	id := l.cells["id"]
	if n := len(p.pumps); n > 0 && p.pumps[n-1].id == id {
		for name := range l.cells {
			if !slices.Contains(pointColumns, name) && l.cells[name] != p.pumps[n-1].lines[0].cells[name] {
				p.fault(line, "%s speaks of the whole pump; it stands in its first line.", name)
			}
		}
		p.pumps[n-1].lines = append(p.pumps[n-1].lines, l)
		return
	}
	if id != "" && p.seen[id] {
		p.fault(line, "The lines of one pump stand together; %s was there before.", id)
	}
	p.seen[id] = true
	p.pumps = append(p.pumps, csvPump{id, []csvLine{l}})
}
