// Package body reads a JSON request body strictly and in one pass: unknown
// members, wrong types, missing members, values outside their list or range are
// all gathered, each with its JSON Pointer, and reading goes on behind them.
//
// What an object may hold is a table of fields ([Object]); a test compares the
// tables with the contract.
package body

import (
	"strconv"
	"strings"

	"recirc/api/scan"
	"recirc/calc/fault"
)

// Reader walks one JSON text. After a syntax error every read is a no-op.
type Reader struct {
	scan   *scan.Scanner
	text   string // the whole body: what is kept of it are parts of this one string
	faults *fault.List

	// USGallon notes that the text used a unit with the US gallon, which the
	// answer then states as an assumption.
	USGallon bool
}

// Read reads text with the given root object into root. It gives the reader for
// what was noticed on the way, and the syntax error, if the text is not one
// JSON value; faults of form are added to faults.
func Read[T any](text string, object *Object[T], root *T, faults *fault.List) (*Reader, *fault.Fault) {
	r := &Reader{scan: scan.New(text), text: text, faults: faults}
	object.Read(r, root)
	if err := r.scan.Err(); err != nil {
		return r, r.malformed(err)
	}
	if !r.scan.AtEnd() {
		return r, &fault.Fault{Pointer: "", Code: fault.MalformedJSON, Detail: "There is more text behind the JSON value."}
	}
	return r, nil
}

// malformed is a syntax error as a fault.
func (r *Reader) malformed(err *scan.SyntaxError) *fault.Fault {
	line, column := position(r.text, err.Offset)
	return &fault.Fault{
		Pointer: err.Pointer, Code: fault.MalformedJSON,
		Detail: "Not valid JSON at line " + strconv.Itoa(line) + ", column " + strconv.Itoa(column) + ": " + err.Reason + ".",
	}
}

// position turns a byte offset into line and column, both from 1.
func position(text string, offset int) (line, column int) {
	before := text[:offset]
	return 1 + strings.Count(before, "\n"), len(before) - strings.LastIndexByte(before, '\n')
}

// Pointer is the place of the value read last.
func (r *Reader) Pointer() string { return r.scan.Pointer() }

// Offset is where the text goes on, in bytes.
func (r *Reader) Offset() int { return r.scan.Offset() }

// Fault notes a fault at the value read last.
func (r *Reader) Fault(code fault.Code, format string, args ...any) {
	if r.scan.Err() == nil {
		r.faults.Add(r.Pointer(), code, format, args...)
	}
}

// FaultAt notes a fault at a member of the object read last.
func (r *Reader) FaultAt(member string, code fault.Code, format string, args ...any) {
	if r.scan.Err() == nil {
		r.faults.Add(r.Pointer()+"/"+member, code, format, args...)
	}
}

// FaultCount is how many faults were noted so far.
func (r *Reader) FaultCount() int { return len(r.faults.Faults()) + r.faults.Dropped() }

// Skip reads the next value and forgets it.
func (r *Reader) Skip() { r.scan.Skip() }

// wrongType skips the value that stands here, unless the text breaks, and says
// what was expected in its place.
func (r *Reader) wrongType(want string) {
	kind := r.scan.Kind()
	if r.scan.Skip() {
		r.Fault(fault.TypeWrong, "Here stands %s; %s is needed.", kindName(kind), want)
	}
}

func kindName(kind byte) string {
	switch kind {
	case 'n':
		return "null"
	case 't', 'f':
		return "a boolean"
	case '"':
		return "a string"
	case '0':
		return "a number"
	case '{':
		return "an object"
	default:
		return "a list"
	}
}

// Shown shortens a caller's text for use in a sentence.
func Shown(text string) string {
	s := strings.ToValidUTF8(text, "?")
	if runes := []rune(s); len(runes) > 64 {
		s = string(runes[:64]) + "..."
	}
	return strconv.Quote(s)
}
