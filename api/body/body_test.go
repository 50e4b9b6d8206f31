package body_test

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"recirc/api/body"
	"recirc/calc/fault"
	"recirc/calc/quantity"
)

// shed is an object of the tests' own, with every kind of member.
type shed struct {
	Name   string
	Colour string
	Width  float64 // m
	Doors  int
	Lit    bool
	Shelf  []shelf
}

type shelf struct{ Label string }

var colours = []string{"red", "green", "gr\u00fcn"}

var shelfObject = body.NewObject("Shelf",
	body.Required("label", func(r *body.Reader, s *shelf) { s.Label, _ = r.Text(0, 5) }),
)

var shedObject = body.NewObject("Shed",
	body.Required("name", func(r *body.Reader, s *shed) { s.Name, _ = r.Text(1, 8) }),
	body.Optional("colour", func(r *body.Reader, s *shed) { s.Colour, _ = r.OneOf(colours, nil) }),
	body.Optional("width", func(r *body.Reader, s *shed) {
		s.Width, _ = r.Amount(quantity.LengthDimension, body.Above(0, 10, "above 0 to 10 m"))
	}),
	body.Optional("doors", func(r *body.Reader, s *shed) { s.Doors, _ = r.Count(0, 4) }),
	body.Optional("lit", func(r *body.Reader, s *shed) { s.Lit = r.Bool() }),
	body.Optional("shelves", func(r *body.Reader, s *shed) {
		r.List(1, 2, func(int) {
			var one shelf
			shelfObject.Read(r, &one)
			s.Shelf = append(s.Shelf, one)
		})
	}),
)

func read(text string) (s shed, faults []string, broken *fault.Fault) {
	var list fault.List
	_, broken = body.Read(text, shedObject, &s, &list)
	for _, f := range list.Faults() {
		faults = append(faults, f.Pointer+" "+string(f.Code))
	}
	return s, faults, broken
}

func TestReadsWhatIsThere(t *testing.T) {
	text := `{"shelves":[{"label":"a\u00e9"},{"label":""}],"lit":true,"doors":2.0,"width":{"unit":"cm","value":2.5e2},"colour":"gr\u00fcn","name":"\"\ud83d\udebf\""}`
	got, faults, broken := read(text)
	want := shed{"\"\U0001F6BF\"", "gr\u00fcn", 2.5, 2, true, []shelf{{"a\u00e9"}, {""}}}
	if broken != nil || faults != nil || fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("got %v with %q, %v; want %v", got, faults, broken, want)
	}
}

// TestKeepsItsTexts changes the buffer that a body was read from.
func TestKeepsItsTexts(t *testing.T) {
	text := []byte(`{"name":"tool","shelves":[{"label":"na\u0069l"}]}`)
	var s shed
	if _, broken := body.Read(string(text), shedObject, &s, new(fault.List)); broken != nil {
		t.Fatal(broken)
	}
	clear(text)
	if s.Name != "tool" || s.Shelf[0].Label != "nail" {
		t.Errorf("the texts are %q and %q once the buffer is used again", s.Name, s.Shelf[0].Label)
	}
}

func TestGathersFaults(t *testing.T) {
	cases := []struct{ text, faults string }{
		{`{}`, "/name field_missing"},
		{`[]`, " type_wrong"},
		{`{"name":"x","Name":"y"}`, "/Name field_unknown"},
		{`{"a/b":{"c":[1,{"d":2}]},"name":"x"}`, "/a~1b field_unknown"},
		{`{"name":""}`, "/name text_length"},
		{`{"name":"123456789"}`, "/name text_length"},
		{`{"name":1}`, "/name type_wrong"},
		{`{"name":"x","colour":"blue"}`, "/colour value_not_listed"},
		{`{"name":"x","colour":["red"]}`, "/colour type_wrong"},
		{`{"name":"x","doors":5}`, "/doors count_range"},
		{`{"name":"x","doors":-1}`, "/doors count_range"},
		{`{"name":"x","doors":0.5}`, "/doors type_wrong"},
		{`{"name":"x","doors":1e999}`, "/doors number_not_finite"},
		{`{"name":"x","doors":"1"}`, "/doors type_wrong"},
		{`{"name":"x","lit":1}`, "/lit type_wrong"},
		{`{"name":"x","lit":null}`, "/lit type_wrong"},
		{`{"name":"x","shelves":[]}`, "/shelves list_length"},
		{`{"name":"x","shelves":[{"label":"a"},{"label":"b"},7]}`, "/shelves list_length"},
		{`{"name":"x","shelves":{"label":"a"}}`, "/shelves type_wrong"},
		{`{"name":"x","shelves":[{"label":"too long"},{}]}`, "/shelves/0/label text_length, /shelves/1/label field_missing"},
		{`{"name":"x","width":3}`, "/width type_wrong"},
		{`{"name":"x","width":{}}`, "/width/value field_missing, /width/unit field_missing"},
		{`{"name":"x","width":{"value":"3","unit":3}}`, "/width/value type_wrong, /width/unit type_wrong"},
		{`{"name":"x","width":{"value":3,"unit":"s","note":1}}`, "/width/unit unit_not_of_dimension, /width/note field_unknown"},
		{`{"name":"x","width":{"value":3,"unit":"yd"}}`, "/width/unit unit_unknown"},
		{`{"name":"x","width":{"value":0,"unit":"m"}}`, "/width/value out_of_physical_range"},
		{`{"name":"x","width":{"value":1001,"unit":"cm"}}`, "/width/value out_of_physical_range"},
		{`{"name":"x","width":{"value":1e308,"unit":"km"}}`, "/width/value out_of_physical_range"},
		{`{"lit":0,"doors":9,"name":null}`, "/lit type_wrong, /doors count_range, /name type_wrong"},
	}
	for _, row := range cases {
		_, faults, broken := read(row.text)
		if got := strings.Join(faults, ", "); got != row.faults || broken != nil {
			t.Errorf("%s: got %q, %v; want %q", row.text, got, broken, row.faults)
		}
	}
}

func TestSaysWhereTheTextBreaks(t *testing.T) {
	cases := []struct{ text, pointer, where string }{
		{``, "", "line 1, column 1"},
		{`{`, "", "line 1, column 2"},
		{"{\n \"name\":x}", "/name", "line 2, column 9"},
		{"{\n\n\"name\":\"a\"\n,}", "", "line 4, column 1"},
		{`{"name":"x"`, "", "line 1, column 12"},
		{`{"shelves":[{"label":"a"},{"label":tru}]}`, "/shelves/1/label", "line 1, column 39"},
	}
	for _, row := range cases {
		_, _, broken := read(row.text)
		if broken == nil || broken.Code != fault.MalformedJSON || broken.Pointer != row.pointer || !strings.Contains(broken.Detail, row.where) {
			t.Errorf("%q: got %v, want %q at %s", row.text, broken, row.pointer, row.where)
		}
	}
	if _, _, broken := read(`{"name":"x"} 1`); broken == nil || !strings.Contains(broken.Detail, "more text") {
		t.Errorf("text behind the value: %v", broken)
	}
}

func TestNotesTheUSGallon(t *testing.T) {
	object := body.NewObject("Tank", body.Optional("volume", func(r *body.Reader, v *float64) {
		*v, _ = r.Amount(quantity.VolumeDimension, body.Within(0, 1, "0 to 1 m3"))
	}))
	for unit, us := range map[string]bool{"gal": true, "gal_imp": false, "L": false, "fl_oz": false} {
		var v float64
		r, _ := body.Read(fmt.Sprintf(`{"volume":{"value":1,"unit":%q}}`, unit), object, &v, new(fault.List))
		if r.USGallon != us {
			t.Errorf("%s is taken for a US gallon: %v", unit, r.USGallon)
		}
	}
}

func TestNames(t *testing.T) {
	all, required := shedObject.Names()
	if !slices.Equal(all, []string{"name", "colour", "width", "doors", "lit", "shelves"}) || !slices.Equal(required, []string{"name"}) {
		t.Errorf("got %q, of them required %q", all, required)
	}
}

// FuzzRead reads any text beside the standard library: what ours takes, the
// library takes too and reads the same; what is no JSON, ours calls broken.
func FuzzRead(f *testing.F) {
	for _, text := range []string{
		`{"name":"x"}`, `{"name":"x","colour":"red","width":{"value":1,"unit":"ft"},"doors":3,"lit":false,"shelves":[{"label":"a"}]}`,
		`{"name":"\u00e9\ud83d\udebf","doors":1.0}`, `{"n\u0061me":"x"}`, `{"name":"x","width":{"value":1e-320,"unit":"mm"}}`,
		`{"name":"x","width":{"value":1e308,"unit":"mm"}}`, `{"name":"x","width":{"value":-0,"unit":"mm"}}`, `{"name":"x","width":{"value":1e999,"unit":"mm"}}`,
		``, `null`, `{`, `{"name":"x","name":"y"}`, `{"name":"\xff"}`, "{\"name\":\"\xff\"}", `{"name":"\ud800"}`, `{"name":"x"}{}`, "\ufeff{}", `[[[[[[]]]]]]`, `{"":{"":{"":1}}}`,
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got, faults, broken := read(text)
		if broken == nil && !json.Valid([]byte(text)) {
			t.Fatalf("%q is read, and is no JSON", text)
		}
		if broken != nil || faults != nil {
			return
		}
		var want struct {
			Name   string
			Colour string
			Width  struct {
				Value float64
				Unit  string
			}
			Doors   float64
			Lit     bool
			Shelves []shelf
		}
		if err := json.Unmarshal([]byte(text), &want); err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		if got.Name != want.Name || got.Colour != want.Colour || float64(got.Doors) != want.Doors || got.Lit != want.Lit || !slices.Equal(got.Shelf, want.Shelves) {
			t.Fatalf("%q is read as %v, by the library as %v", text, got, want)
		}
		unit, _ := quantity.LengthDimension.Unit(want.Width.Unit)
		if si := unit.ToSI(want.Width.Value); got.Width != si || math.IsNaN(got.Width) || got.Width < 0 || got.Width > 10 {
			t.Fatalf("%q is read as %v m, by the library as %v m", text, got.Width, si)
		}
	})
}
