package scan_test

import (
	"errors"
	"strings"
	"testing"

	"github.com/go-json-experiment/json/jsontext"
	"pgregory.net/rapid"

	"recirc/api/scan"
)

// texts are good and bad in every way that the grammar knows.
var texts = []string{
	``, ` `, `null`, ` true `, `false`, `nul`, `nulL`, `tru`, `falsy`, `"x"`, `"x`, `x`, "\ufeff{}", "\x00", "{\x00}", "[\x00]",
	`{}`, `[]`, `{`, `[`, `}`, `]`, `{]`, `[}`, `{}}`, `{} x`, `{}{}`, `1 2`, `,`, `:`, `,1`, `:1`,
	`{"a":1}`, `{"a":1,}`, `{"a":1 ,  }`, `{"a":1,,"b":2}`, `{,"a":1}`, `{:}`, `{"a"}`, `{"a":}`, `{"a":]`, `{"a"]`, `{"a"`, `{"a":`, `{"a":1`, `{"a":1,`, `{"a",1}`, `{"a" 1}`, `{"a"::1}`,
	`{"a":1:"b":2}`, `{"a":1 "b":2}`, `{"a":1,2}`, `{"a":1,{}}`, `{1:2}`, `{null:1}`, `{nul:1}`, `{-x:1}`, `{"x":{"a":1]}`, `{"x":[{"a":1]]}`, `{"x":[1}}`, `{"a":[}`,
	`[1,2]`, `[1,]`, `[1,}`, `[1 2]`, `[1:2]`, `[,1]`, `[:1]`, `[:`, `[,`, `[1,`, `[1,,2]`, `[1,:2]`, `[1`, `[[1],[2,[3]]]`, `[[1],[2,[x]]]`,
	`{"a":1,"a":2}`, `{"a":{"b":1,"b":2}}`, `{"a":1,"\u0061":2}`, `{"\u0061":1,"a":2}`, `[{"a":1},{"a":1}]`, `{"":1,"":2}`, `{"a":{"a":{"a":1}},"b":{"a":1}}`, `{"a/b~":{"x":y}}`,
	`"\"\\\/\b\f\n\r\t"`, `"\x"`, `"\`, `"\u`, `"\u00`, `"\u00e9"`, `"\u00E9\u00eF"`, `"\u00g9"`, `"\ud83d\udebf"`, `"\ud83d"`, `"\ud83d\u0041"`, `"\udebf"`, `"\ud83d\ud83d"`, `"\ud83d\n"`, `"\ud83d\u`, `"\ud83d`, `"\ud83dx"`,
	"\"\xff\"", "\"\xc3\"", "\"\xc3", "\"\xc0\xaf\"", "\"\xed\xa0\xbd\"", "\"\xf4\x90\x80\x80\"", "\"é€\U0001F6BF\"", "\"\x7f\"", "\"a\nb\"", "\"a\tb\"", "\"\x1f\"", "{\"\xff\":1}", "{\"a\nb\":1}", `{"a`, `{"\ud800":1}`,
	`"eight ch"`, `"eight ch\n and more"`, `"seven c"`, "\"eight ch\xff\"", "\"01234567\x01\"", "\"0123456\x1f7\"", "\"!#[]^~\x7f!!\"", `"\\\\\\\\\\\\"`, `"!\"#$%&'()"`,
	`0`, `-0`, `-`, `- 1`, `+1`, `00`, `01`, `-01`, `1.`, `.5`, `1.5`, `1.e1`, `1e`, `1e+`, `1e-`, `1E+2`, `1e400`, `-1e400`, `1e-400`, `1e22`, `1e23`, `123456789012345678`, `1234567890123456789`, `12345678901234567890`, `0.1`, `0.30000000000000004`, `9007199254740993`, `9007199254740992`, `9007199254740991e22`,
	`1e99999999999999999999`, `1e-99999999999999999999`, `0e99999999999999999999`, `0.000000000000000000000000000000001`, `1x`, `1-2`, `[1.5.2]`, `{"a":-}`, `{"a":1.}`, `2.2250738585072011e-308`, `4.9e-324`, `1.7976931348623159e308`,
	`{"a" : [ 1 , true , "x" , { "b" : null } ] , "c" : -1.5e3 }`, "\t{\r\n}\n", "{\v}", "[1,\u00a02]",
}

func TestReadsAsTheLibrary(t *testing.T) {
	for _, text := range texts {
		agree(t, text)
		agree(t, `{"around":[7,`+text+`]}`)
		agree(t, text+text)
		for i := range text {
			agree(t, text[:i])
		}
	}
}

func TestReasons(t *testing.T) {
	for text, want := range map[string]string{
		`{"a":1 "b":2}`: `a comma or '}' is needed`,
		`[1 2]`:         `a comma or ']' is needed`,
		`[1,]`:          `nothing stands behind this comma`,
		`[,1]`:          `nothing stands before this`,
		`{"a" 1}`:       `a colon is needed behind a name`,
		`{1:2}`:         `the name of a member is needed`,
		`{"a":1,"a":2}`: `the object has this name twice`,
		`[x]`:           `a value is needed here`,
		`[tru]`:         `true is needed here`,
		`[1.]`:          `a digit is needed in a number`,
		`["\x"]`:        `this is no escape in a string`,
		"[\"\n\"]":      `a control character stands in a string`,
		"[\"\xff\"]":    `a string is not UTF-8`,
		`["x`:           `the text ends too early`,
		``:              `the text ends too early`,
	} {
		s := scan.New(text)
		if s.Skip() || s.Err() == nil || s.Err().Reason != want {
			t.Errorf("%s: got %v, want %q", text, s.Err(), want)
		}
	}
}

// TestRefusesWhatIsNotThere asks for one kind of value where another stands, which
// is still there then.
func TestRefusesWhatIsNotThere(t *testing.T) {
	reads := map[string]func(*scan.Scanner) bool{
		`{`: (*scan.Scanner).OpenObject, `[`: (*scan.Scanner).OpenList, `n`: (*scan.Scanner).Null,
		`"`: func(s *scan.Scanner) bool { _, ok := s.Text(); return ok },
		`0`: func(s *scan.Scanner) bool { _, _, ok := s.Number(); return ok },
		`t`: func(s *scan.Scanner) bool { _, ok := s.Bool(); return ok },
	}
	values := map[string]string{`{`: `{}`, `[`: `[]`, `n`: `null`, `"`: `"x"`, `0`: `1`, `t`: `true`}
	for asked, read := range reads {
		for stands, text := range values {
			s := scan.New(text)
			if ok := read(s); ok != (asked == stands) || s.Err() != nil || !ok && !s.Skip() {
				t.Errorf("%s read as %s: %v, %v", text, asked, ok, s.Err())
			}
			s = scan.New("x" + text)
			s.Skip()
			if at := *s.Err(); read(s) || s.Skip() || *s.Err() != at {
				t.Errorf("%s is read behind a fault", text)
			}
		}
	}
}

func TestNesting(t *testing.T) {
	for _, depth := range []int{1, scan.MostDeep, scan.MostDeep + 1, 3_000_000} {
		for _, text := range []string{
			strings.Repeat(`[`, depth) + strings.Repeat(`]`, depth),
			strings.Repeat(`{"":`, depth) + `0` + strings.Repeat(`}`, depth),
			strings.Repeat(`[`, depth), strings.Repeat(`{"":`, depth),
		} {
			s := scan.New(text)
			var want *jsontext.SyntacticError
			broken := errors.As(jsontext.NewDecoder(strings.NewReader(text)).SkipValue(), &want)
			if ok := s.Skip(); ok == broken || broken && (s.Err().Offset != int(want.ByteOffset) || s.Err().Pointer != string(want.JSONPointer)) {
				t.Errorf("%d deep, %.8s: got %.80v, want %.80v", depth, text, s.Err(), want)
			}
		}
	}
}

// TestManyNames has as many as are looked through, and more.
func TestManyNames(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		names := rapid.SliceOfN(rapid.StringMatching(`[a-z\\\\]{0,2}`), 0, 60).Draw(t, "names")
		if rapid.Bool().Draw(t, "distinct") {
			names = rapid.SliceOfNDistinct(rapid.StringMatching(`[a-z]{0,3}`), 0, 60, rapid.ID).Draw(t, "names")
		}
		var b strings.Builder
		for i, name := range names {
			if i > 0 {
				b.WriteByte(',')
			}
			b.WriteString(`"` + name + `":{"x":[],"y":0}`)
		}
		agree(t, `{"in":{`+b.String()+`}}`)
	})
}

// TestRandomTexts puts pieces of JSON together, well formed or not.
func TestRandomTexts(t *testing.T) {
	pieces := append([]string{`{`, `}`, `[`, `]`, `,`, `:`, ` `, `"a"`, `"b"`, `"a":`, `"b":`, `1`, `-`, `\`, `"`}, texts...)
	rapid.Check(t, func(t *rapid.T) {
		agree(t, strings.Join(rapid.SliceOfN(rapid.SampledFrom(pieces), 0, 12).Draw(t, "pieces"), ""))
	})
}

// TestChangedTexts changes one byte of a text that is JSON.
func TestChangedTexts(t *testing.T) {
	const text = `{"a" : [ 1 , true , "x\u00e9\ud83d\udebfy" , { "b" : null } ] , "c" : -1.5e-3 , "d":["é€",false,{},[[0]]] }`
	rapid.Check(t, func(t *rapid.T) {
		b := []byte(text)
		b[rapid.IntRange(0, len(b)-1).Draw(t, "at")] = rapid.Byte().Draw(t, "byte")
		agree(t, string(b))
	})
	for i := range text {
		agree(t, text[:i])
		agree(t, text[:i]+text[i+1:])
		agree(t, text[:i]+text[i:i+1]+text[i:])
	}
}

// TestNumbers compares with the library for every size of number.
func TestNumbers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		agree(t, rapid.StringMatching(`-?(0|[1-9][0-9]{0,20})(\.[0-9]{1,24})?([eE][+-]?[0-9]{1,3})?`).Draw(t, "number"))
	})
}

// TestStrings compares with the library for strings of any characters, also
// broken ones.
func TestStrings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		agree(t, `"`+rapid.String().Draw(t, "characters")+`"`)
		agree(t, `"`+string(rapid.SliceOf(rapid.Byte()).Draw(t, "bytes"))+`"`)
		agree(t, `"`+rapid.StringMatching(`([a-z"]|\\[bfnrt/"x]|\\u[0-9a-fA-F]{4}|\\u[dD][89a-fA-F][0-9a-f]{2}){0,9}`).Draw(t, "escapes")+`"`)
	})
}

func FuzzScan(f *testing.F) {
	for _, text := range texts {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) { agree(t, text) })
}

func BenchmarkSkip(b *testing.B) {
	text := `[` + strings.Repeat(`{"id":"main-17","from":"tee-16","to":"tee-17","length":{"value":12.5,"unit":"ft"},"lit":true,"list":[1,2]},`, 1000) + `{}]`
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		if s := scan.New(text); !s.Skip() {
			b.Fatal(s.Err())
		}
	}
}
