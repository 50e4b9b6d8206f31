package api

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"
)

// table writes the candidates that the lines tell, as the contract has them, so
// that a catalogue is read and judged as a request is.
func (p *pumpTableReader) table() *PumpTable {
	t := &PumpTable{}
	var all []string
	for i := range p.pumps {
		pump := &p.pumps[i]
		var curve, npsh []string
		var points, npshPoints []int
		for _, l := range pump.lines {
			flow := l.amount("flow", "flow")
			curve, points = append(curve, object(flow, l.amount("head", "head"), l.amount("power", "power"))), append(points, l.number)
			if required := l.amount("head", "npsh_required"); required != "" {
				npsh, npshPoints = append(npsh, object(flow, required)), append(npshPoints, l.number)
			}
		}
		t.points, t.npsh = append(t.points, points), append(t.npsh, npshPoints)
		all = append(all, pump.lines[0].candidate(curve, npsh))
	}
	t.json = []byte("[" + strings.Join(all, ",") + "]")
	return t
}

// candidate writes one candidate; what is for the whole pump is in this line.
func (l *csvLine) candidate(curve, npsh []string) string {
	members := []string{l.member("id", "id"), `"curve":[` + strings.Join(curve, ",") + "]"}
	if npsh != nil {
		members = append(members, `"npsh_required":[`+strings.Join(npsh, ",")+"]")
	}
	if speeds := object(l.member("least", "least_speed"), l.member("greatest", "greatest_speed")); speeds != "{}" {
		members = append(members, `"speed_range":`+speeds)
	}
	if control := object(l.member("mode", "control"), l.amount("set_head", "set_head"), l.amount("set_flow", "set_flow"), l.member("adjustable", "adjustable")); control != "{}" {
		members = append(members, `"control":`+control)
	}
	if price := object(l.member("amount", "price"), l.member("currency", "currency")); price != "{}" {
		members = append(members, `"price":`+price)
	}
	members = append(members, l.amount("temperature_rating", "temperature_rating"), l.amount("pressure_rating", "pressure_rating"))
	for _, name := range []string{"speeds", "arrangement", "drinking_water_approved", "connection"} {
		members = append(members, l.member(name, name))
	}
	return object(members...)
}

// member writes a cell as a member; empty if it is not filled.
func (l *csvLine) member(name, column string) string {
	if l.cells[column] == "" {
		return ""
	}
	return strconv.Quote(name) + ":" + l.cells[column]
}

// amount writes a cell and that of its unit as an amount; empty if neither is
// filled.
func (l *csvLine) amount(name, column string) string {
	amount := object(l.member("value", column), l.member("unit", column+"_unit"))
	if amount == "{}" {
		return ""
	}
	return strconv.Quote(name) + ":" + amount
}

// object joins the members that are filled.
func object(members ...string) string {
	var filled []string
	for _, m := range members {
		if m != "" {
			filled = append(filled, m)
		}
	}
	return "{" + strings.Join(filled, ",") + "}"
}

// Into puts the catalogue into a request, in the place of its candidates. A text
// that is no JSON object stays as it is, for the reader of requests to refuse.
func (t *PumpTable) Into(request string) string {
	d := jsontext.NewDecoder(strings.NewReader(request))
	if token, err := d.ReadToken(); err != nil || token.Kind() != '{' {
		return request
	}
	members := 0
	for d.PeekKind() == '"' {
		name, err := d.ReadToken()
		if err != nil {
			return request
		}
		isCandidates := name.String() == "candidates"
		value, err := d.ReadValue()
		if err != nil {
			return request
		}
		if end := d.InputOffset(); isCandidates {
			return request[:end-int64(len(value))] + string(t.json) + request[end:]
		}
		members++
	}
	if token, err := d.ReadToken(); err != nil || token.Kind() != '}' {
		return request
	}
	end := d.InputOffset() - 1
	comma := ","
	if members == 0 {
		comma = ""
	}
	return request[:end] + comma + `"candidates":` + string(t.json) + request[end:]
}

// Locate says in every fault of the catalogue where it stands in the table, and
// reports whether there is any.
func (t *PumpTable) Locate(p *Problem, file string) bool {
	found := false
	for i := range p.Errors {
		f := &p.Errors[i]
		if f.Pointer == nil {
			continue
		}
		if line, ok := t.line(*f.Pointer); ok {
			f.Detail, found = fmt.Sprintf("Line %d of %s: %s", line, file, f.Detail), true
		}
	}
	return found
}

// line finds the line that a pointer into the candidates speaks of.
func (t *PumpTable) line(pointer string) (int, bool) {
	parts := strings.Split(pointer, "/") // "", candidates, number, member, number
	if len(parts) < 3 || parts[1] != "candidates" {
		return 0, false
	}
	i, err := strconv.Atoi(parts[2])
	if err != nil || i >= len(t.points) {
		return 0, false
	}
	lines := t.points[i]
	first := lines[0]
	if len(parts) < 5 {
		return first, true
	}
	if parts[3] == "npsh_required" {
		lines = t.npsh[i]
	}
	if k, err := strconv.Atoi(parts[4]); err == nil && k < len(lines) && (parts[3] == "curve" || parts[3] == "npsh_required") {
		return lines[k], true
	}
	return first, true
}
