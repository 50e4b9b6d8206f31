package scan_test

import (
	"errors"
	"io"
	"strconv"
	"strings"

	"github.com/go-json-experiment/json/jsontext"
	"pgregory.net/rapid"

	"recirc/api/scan"
)

// reading is what was read of a text: its tokens, and where it breaks.
type reading struct {
	tokens  []string
	broken  bool
	offset  int
	pointer string
}

// ours walks a text value by value.
func ours(text string) (r reading) {
	s := scan.New(text)
	r.walk(s)
	if s.Err() == nil && !s.AtEnd() {
		r.broken, r.offset, r.pointer = true, -1, ""
	}
	if err := s.Err(); err != nil {
		r.broken, r.offset, r.pointer = true, err.Offset, err.Pointer
	}
	return r
}

func (r *reading) walk(s *scan.Scanner) {
	at := s.Pointer()
	note := func(token string) { r.tokens = append(r.tokens, at+" "+token) }
	switch s.Kind() {
	case '{':
		note("{")
		s.OpenObject()
		for guess := ""; ; {
			name, ok := s.Member(guess)
			if !ok {
				break
			}
			guess = name
			if scan.PlainEnd(guess, 0) < len(guess) {
				guess = ""
			}
			note(strconv.Quote(name))
			r.walk(s)
		}
	case '[':
		note("[")
		s.OpenList()
		for s.Item() {
			r.walk(s)
		}
	case '"':
		if text, ok := s.Text(); ok {
			note(strconv.Quote(text))
		}
	case '0':
		if x, digits, ok := s.Number(); ok {
			note(digits + " = " + strconv.FormatFloat(x, 'g', -1, 64))
		}
	case 't', 'f':
		if yes, ok := s.Bool(); ok {
			note(strconv.FormatBool(yes))
		}
	case 'n':
		if s.Null() {
			note("null")
		}
	default:
		s.Skip()
	}
}

// theirs reads a text with the general library that this package stands in for.
func theirs(text string) (r reading) {
	d := jsontext.NewDecoder(strings.NewReader(text))
	for {
		kind, before := d.PeekKind(), int(d.InputOffset())
		inObject, length := d.StackIndex(d.StackDepth())
		named := inObject == '{' && length%2 == 0
		at := string(d.StackPointer())
		token, err := d.ReadToken()
		switch {
		case err == nil && d.StackDepth() == 0 && kind != '{' && kind != '[':
			r.note(at, named, kind, token, d)
			return r.end(d)
		case err == nil:
			r.note(at, named, kind, token, d)
			if d.StackDepth() == 0 {
				return r.end(d)
			}
		default:
			if inObject == '{' && !named && !strings.HasPrefix(strings.TrimLeft(text[before:], blanks), ":") {
				r.tokens = r.tokens[:len(r.tokens)-1] // a name counts with its colon
			}
			r.fail(text, before, named && kind != '"', err)
			return r
		}
	}
}

func (r *reading) note(at string, named bool, kind jsontext.Kind, token jsontext.Token, d *jsontext.Decoder) {
	if !named && kind != '}' && kind != ']' {
		at = string(d.StackPointer())
	}
	note := func(token string) { r.tokens = append(r.tokens, at+" "+token) }
	switch kind {
	case '{', '[', 't', 'f', 'n':
		note(token.String())
	case '"':
		if named {
			at = parent(string(d.StackPointer()))
		}
		note(strconv.Quote(token.String()))
	case '0':
		x, _ := strconv.ParseFloat(token.String(), 64)
		note(token.String() + " = " + strconv.FormatFloat(x, 'g', -1, 64))
	}
}

const blanks = " \t\r\n"

// parent leaves the last token off a pointer.
func parent(pointer string) string { return pointer[:strings.LastIndexByte(pointer, '/')] }

func (r reading) end(d *jsontext.Decoder) reading {
	if _, err := d.ReadToken(); !errors.Is(err, io.EOF) {
		r.broken, r.offset, r.pointer = true, -1, ""
	}
	return r
}

// fail notes where the library stops. Ours differs in two places. Where a name
// is needed, it stops at the start of what stands there, even if that is no
// value either. A bracket of the wrong kind is a fault of what it stands in; the
// library names what is around that.
func (r *reading) fail(text string, before int, notName bool, err error) {
	r.broken, r.offset = true, len(text)
	var syntax *jsontext.SyntacticError
	if !errors.As(err, &syntax) {
		return
	}
	r.offset, r.pointer = int(syntax.ByteOffset), string(syntax.JSONPointer)
	rest := strings.TrimLeft(strings.TrimPrefix(strings.TrimLeft(text[before:], blanks), ","), blanks)
	if notName && rest != "" {
		r.offset = min(r.offset, len(text)-len(rest))
	}
	if strings.Contains(err.Error(), "(expecting ',' or") || strings.Contains(err.Error(), "mismatching") {
		r.pointer = "?"
	}
}

func agree(t rapid.TB, text string) {
	t.Helper()
	got, want := ours(text), theirs(text)
	if want.pointer == "?" {
		want.pointer = got.pointer
	}
	if got.broken != want.broken || got.offset != want.offset || got.pointer != want.pointer {
		t.Fatalf("%q: broken %v at %d in %q; the library: %v at %d in %q", text, got.broken, got.offset, got.pointer, want.broken, want.offset, want.pointer)
	}
	if a, b := strings.Join(got.tokens, "\n"), strings.Join(want.tokens, "\n"); a != b {
		t.Fatalf("%q is read as\n%s\nby the library as\n%s", text, a, b)
	}
	s := scan.New(text)
	if skipped := s.Skip(); skipped != (!got.broken || got.offset == -1) {
		t.Fatalf("%q: skipping gives %v", text, skipped)
	}
	if err := s.Err(); err != nil && (err.Offset != got.offset || err.Pointer != got.pointer) {
		t.Fatalf("%q: skipping breaks at %d in %q, reading at %d in %q", text, err.Offset, err.Pointer, got.offset, got.pointer)
	}
}
