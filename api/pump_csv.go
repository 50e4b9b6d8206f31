package api

import (
	"encoding/csv"
	"math"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"
)

// PumpColumns explains the columns of a catalogue of pumps, as the help says them.
const PumpColumns = `Columns of FILE.csv, by the names in its first line, in any order; lines that begin with # are left out:
  id                                         in every line; the lines of one pump stand together
  flow, flow_unit, head, head_unit           a point of the curve of one pump at its full speed, a line each
  power, power_unit                          electrical, at this point
  npsh_required, npsh_required_unit          net positive suction head required, at this point
and, in the first line of each pump, the rest of a candidate:
  speeds                                     ratios apart by semicolons: 0.6;0.8;1
  least_speed, greatest_speed                ratios
  control                                    constant_speed, constant_pressure or proportional_pressure
  set_head, set_head_unit, set_flow, set_flow_unit, adjustable
  arrangement                                single, two_in_parallel or duty_and_standby
  drinking_water_approved                    true or false
  temperature_rating, temperature_rating_unit, pressure_rating, pressure_rating_unit
  price, currency, connection
Only id, flow, flow_unit, head and head_unit must be there. An empty cell is not given. A unit column may be left out if
no cell of its amount is filled. Units and ranges are those of POST /v1/pump-selections.`

// PumpTable is a catalogue of pumps read from CSV, as the candidates of a request.
type PumpTable struct {
	json   []byte
	points [][]int // by candidate, the line of each point
	npsh   [][]int // by candidate, the line of each point of npsh_required
}

// CSVFault is one thing that is wrong in a table.
type CSVFault struct {
	Line   int // from 1
	Detail string
}

// cellKind is what stands in a column.
type cellKind int

const (
	textCell cellKind = iota
	numberCell
	boolCell
	numbersCell // apart by semicolons
)

// columnKinds are the columns that may be there.
var columnKinds = map[string]cellKind{
	"id": textCell, "flow": numberCell, "flow_unit": textCell, "head": numberCell, "head_unit": textCell, "power": numberCell, "power_unit": textCell,
	"npsh_required": numberCell, "npsh_required_unit": textCell,
	"speeds": numbersCell, "least_speed": numberCell, "greatest_speed": numberCell, "control": textCell, "set_head": numberCell, "set_head_unit": textCell,
	"set_flow": numberCell, "set_flow_unit": textCell, "adjustable": boolCell, "arrangement": textCell, "drinking_water_approved": boolCell,
	"temperature_rating": numberCell, "temperature_rating_unit": textCell, "pressure_rating": numberCell, "pressure_rating_unit": textCell,
	"price": numberCell, "currency": textCell, "connection": textCell,
}

// neededColumns must be there, and filled in every line.
var neededColumns = []string{"id", "flow", "flow_unit", "head", "head_unit"}

// pointColumns have their say in every line.
var pointColumns = []string{"id", "flow", "flow_unit", "head", "head_unit", "power", "power_unit", "npsh_required", "npsh_required_unit"}

// PumpsFromCSV reads a catalogue. It gives every fault with its line.
func PumpsFromCSV(text string) (*PumpTable, []CSVFault) {
	r := csv.NewReader(strings.NewReader(strings.TrimPrefix(text, "\ufeff")))
	r.Comment, r.FieldsPerRecord = '#', -1
	p := &pumpTableReader{csv: r, seen: map[string]bool{}}
	if p.header() {
		p.rows()
	}
	if len(p.faults) > 0 {
		return nil, p.faults
	}
	return p.table(), nil
}

// cellJSON writes a cell as JSON, or says what is needed in its place.
func cellJSON(kind cellKind, cell string) (value, needed string) {
	switch kind {
	case numberCell:
		x, err := strconv.ParseFloat(cell, 64)
		if err != nil || math.IsInf(x, 0) || math.IsNaN(x) {
			return "", "a number, with a point,"
		}
		return strconv.FormatFloat(x, 'g', -1, 64), ""
	case numbersCell:
		parts := strings.Split(cell, ";")
		for i, part := range parts {
			var needed string
			if parts[i], needed = cellJSON(numberCell, strings.TrimSpace(part)); needed != "" {
				return "", "numbers apart by semicolons"
			}
		}
		return "[" + strings.Join(parts, ",") + "]", ""
	case boolCell:
		if cell != "true" && cell != "false" {
			return "", "true or false"
		}
		return cell, ""
	}
	quoted, err := jsontext.AppendQuote(nil, cell)
	if err != nil {
		return "", "text in UTF-8"
	}
	return string(quoted), ""
}
