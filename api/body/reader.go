// Package body reads a JSON request body strictly and in one pass: unknown
// members, wrong types, missing members, values outside their list or range are
// all gathered, each with its JSON Pointer, and reading goes on behind them.
//
// What an object may hold is a table of fields ([Object]); a test compares the
// tables with the contract.
package body

import (
	"bytes"
	"errors"
	"io"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"

	"recirc/calc/fault"
)

// Reader walks one JSON text. After a syntax error every read is a no-op.
type Reader struct {
	dec    *jsontext.Decoder
	text   string // the whole body: what is kept of it are parts of this one string
	faults *fault.List
	broken *fault.Fault

	// USGallon notes that the text used a unit with the US gallon, which the
	// answer then states as an assumption.
	USGallon bool
}

// Read reads text with the given root object into root. It gives the reader for
// what was noticed on the way, and the syntax error, if the text is not one
// JSON value; faults of form are added to faults.
func Read[T any](text string, object *Object[T], root *T, faults *fault.List) (*Reader, *fault.Fault) {
	r := &Reader{dec: jsontext.NewDecoder(strings.NewReader(text)), text: text, faults: faults}
	object.Read(r, root)
	if r.broken == nil {
		if _, err := r.dec.ReadToken(); !errors.Is(err, io.EOF) {
			r.broken = &fault.Fault{Pointer: "", Code: fault.MalformedJSON, Detail: "There is more text behind the JSON value."}
		}
	}
	return r, r.broken
}

// Pointer is the place of the value read last.
func (r *Reader) Pointer() string { return string(r.dec.StackPointer()) }

// Fault notes a fault at the value read last.
func (r *Reader) Fault(code fault.Code, format string, args ...any) {
	if r.broken == nil {
		r.faults.Add(r.Pointer(), code, format, args...)
	}
}

// FaultAt notes a fault at a member of the object read last.
func (r *Reader) FaultAt(member string, code fault.Code, format string, args ...any) {
	if r.broken == nil {
		r.faults.Add(r.Pointer()+"/"+member, code, format, args...)
	}
}

// FaultCount is how many faults were noted so far.
func (r *Reader) FaultCount() int { return len(r.faults.Faults()) + r.faults.Dropped() }

func (r *Reader) fail(err error) {
	if r.broken != nil {
		return
	}
	f := fault.Fault{Code: fault.MalformedJSON, Pointer: r.Pointer()}
	offset := int64(len(r.text))
	var syntax *jsontext.SyntacticError
	if errors.As(err, &syntax) {
		offset, f.Pointer = syntax.ByteOffset, string(syntax.JSONPointer)
	}
	line, column := position(r.text, offset)
	reason := "the text ends too early"
	if syntax != nil && !errors.Is(err, io.ErrUnexpectedEOF) {
		reason = syntax.Err.Error()
	}
	f.Detail = "Not valid JSON at line " + strconv.Itoa(line) + ", column " + strconv.Itoa(column) + ": " + reason + "."
	r.broken = &f
}

// position turns a byte offset into line and column, both from 1.
func position(text string, offset int64) (line, column int) {
	before := text[:min(offset, int64(len(text)))]
	return 1 + strings.Count(before, "\n"), len(before) - strings.LastIndexByte(before, '\n')
}

// kind peeks at what comes next.
func (r *Reader) kind() jsontext.Kind {
	if r.broken != nil {
		return 0
	}
	return r.dec.PeekKind()
}

// value reads the next value whole; the bytes are good until the next read.
func (r *Reader) value() jsontext.Value {
	if r.broken != nil {
		return nil
	}
	v, err := r.dec.ReadValue()
	if err != nil {
		r.fail(err)
		return nil
	}
	return v
}

// Skip reads the next value and forgets it.
func (r *Reader) Skip() { r.value() }

// token reads one delimiter.
func (r *Reader) token() bool {
	if r.broken != nil {
		return false
	}
	if _, err := r.dec.ReadToken(); err != nil {
		r.fail(err)
		return false
	}
	return true
}

// wrongType skips the next value and says what was expected in its place.
func (r *Reader) wrongType(want string) {
	kind := r.kind()
	if r.value() == nil {
		return
	}
	r.Fault(fault.TypeWrong, "Here stands %s; %s is needed.", kindName(kind), want)
}

func kindName(k jsontext.Kind) string {
	switch k {
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
	case '[':
		return "a list"
	}
	return "nothing"
}

// plain gives the characters of a JSON string; they are good until the next
// read.
func plain(v jsontext.Value) []byte {
	raw := v[1 : len(v)-1]
	if bytes.IndexByte(raw, '\\') >= 0 {
		raw, _ = jsontext.AppendUnquote(nil, v)
	}
	return raw
}

// kept gives the characters of the JSON string just read as a string that
// lasts.
func (r *Reader) kept(v jsontext.Value) string {
	if bytes.IndexByte(v, '\\') >= 0 {
		return string(plain(v))
	}
	end := r.dec.InputOffset()
	return r.text[end-int64(len(v))+1 : end-1]
}

// Occurrences is at most how often a member of this name occurs in the whole
// text, to size a list before reading it.
func (r *Reader) Occurrences(name string) int { return strings.Count(r.text, `"`+name+`"`) }

// shown shortens a caller's text for use in a sentence.
func shown[T string | []byte](text T) string {
	s := strings.ToValidUTF8(string(text), "?")
	if runes := []rune(s); len(runes) > 64 {
		s = string(runes[:64]) + "..."
	}
	return strconv.Quote(s)
}
