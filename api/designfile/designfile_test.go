package designfile_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
	"pgregory.net/rapid"

	"recirc/api/designfile"
	"recirc/api/scan"
)

const most = 1 << 20

func read(t *testing.T, name, text string) *designfile.File {
	t.Helper()
	f, fault := designfile.Read(name, text, most)
	if fault != nil {
		t.Fatalf("%s: %+v", text, fault)
	}
	return f
}

// TestYAMLSaysWhatJSONSays: what stands on the right is how YAML 1.2 (its core
// schema) reads what stands on the left.
func TestYAMLSaysWhatJSONSays(t *testing.T) {
	cases := []struct{ name, text, want string }{
		{"block style", "system:\n  pipes:\n    - id: main\n      length: {value: 28, unit: ft}\n", `{"system":{"pipes":[{"id":"main","length":{"value":28,"unit":"ft"}}]}}`},
		{"JSON", `{"a": [1, -2.5e-3, true, null, "x"]}`, `{"a":[1,-2.5e-3,true,null,"x"]}`},
		{"a comment", "# the house\na: 1 # one\n", `{"a":1}`},
		{"a marker before the document", "---\na: 1\n...\n", `{"a":1}`},
		{"a nominal size is no number and no date", "nominal: 3/4\n", `{"nominal":"3/4"}`},
		{"a quoted number is a text", "nominal: \"22\"\n", `{"nominal":"22"}`},
		{"a date is a text", "as_of: 2026-11-25\n", `{"as_of":"2026-11-25"}`},
		{"what YAML 1.1 took for a boolean is a text", "id: no\non: off\n", `{"id":"no","on":"off"}`},
		{"booleans", "[true, True, FALSE]", `[true,true,false]`},
		{"nothing", "a:\nb: ~\nc: Null\n", `{"a":null,"b":null,"c":null}`},
		{"a text over lines", "note: |\n  one\n  two\n", `{"note":"one\ntwo\n"}`},
		{"an alias", "tube: &t {series: pex_sdr9}\nother: *t\n", `{"tube":{"series":"pex_sdr9"},"other":{"series":"pex_sdr9"}}`},
		{"a tag that says what stands there", "a: !!str 5\n", `{"a":"5"}`},
		{"a number too large for any float64", "a: 1e999\n", `{"a":1e999}`},
		{"such digits between quotation marks", "a: '1e999'\n", `{"a":"1e999"}`},
		{"letters beyond ASCII", "id: caf\u00e9 \u6c34\n", `{"id":"café 水"}`},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			if got := read(t, "x.yaml", c.text).JSON; got != c.want {
				t.Errorf("got %s", got)
			}
		})
	}
}

func TestWrongFiles(t *testing.T) {
	bomb := "a: &a [x,x,x,x,x,x,x,x,x]\n"
	for _, letter := range "bcdefgh" {
		bomb += string(letter) + ": &" + string(letter) + " [" + strings.TrimSuffix(strings.Repeat("*"+string(letter-1)+",", 9), ",") + "]\n"
	}
	cases := []struct {
		name, file, text string
		line, column     int
		detail           string
	}{
		{"nothing", "x.yaml", "", 1, 1, "empty"},
		{"a comment only", "x.yml", "# nothing\n", 1, 1, "empty"},
		{"no YAML", "x.yaml", "a: 1\nb: [1\nc: 2\n", 3, 2, "flow sequence"},
		{"a tab", "x.yaml", "a:\n\tb: 1\n", 2, 1, "Not valid YAML"},
		{"two documents", "x.yaml", "a: 1\n---\nb: 2\n", 2, 1, "second document"},
		{"a broken second document", "x.yaml", "a: 1\n---\nb: [\n", 4, 1, "Not valid YAML"},
		{"a name twice", "x.yaml", "a: 1\nb: 2\na: 3\n", 3, 1, `"a" stands here twice`},
		{"a number as a name", "x.yaml", "a: 1\n2: x\n", 2, 1, "quotation marks"},
		{"a number too large as a name", "x.yaml", "1e999: x\n", 1, 1, "quotation marks"},
		{"a list as a name", "x.yaml", "? [a]\n: 1\n", 1, 3, "quotation marks"},
		{"a truth as a name", "x.yaml", "true: 1\n", 1, 1, "quotation marks"},
		{"a merge", "x.yaml", "a: &a {x: 1}\nb:\n  <<: *a\n", 3, 3, "quotation marks"},
		{"infinity", "x.yaml", "a: .inf\n", 1, 4, "no number"},
		{"no number at all", "x.yaml", "a: {b: .NaN}\n", 1, 8, "no number"},
		{"a number that readers take for eight or ten", "x.yaml", "a: 010\n", 1, 4, "no number"},
		{"a hexadecimal number", "x.yaml", "a: 0x10\n", 1, 4, "no number"},
		{"a number without a zero", "x.yaml", "a: .5\n", 1, 4, "no number"},
		{"a number with lines in it", "x.yaml", "a: 1_000\n", 1, 4, "no number"},
		{"a tag of a set", "x.yaml", "a: !!set {b, c}\n", 1, 4, "tag !!set"},
		{"a tag of ours", "x.yaml", "a: !length 5\n", 1, 4, "tag !length"},
		{"a tag of a list", "x.yaml", "a: !x [5]\n", 1, 4, "tag !x"},
		{"bytes", "x.yaml", "a: !!binary aGk=\n", 1, 4, "tag !!binary"},
		{"aliases of aliases", "x.yaml", bomb, 0, 0, "aliases written out"},
		{"an alias in what it names", "x.yaml", "a: &a [*a]\n", 1, 8, "stand in each other"},
		{"an unknown alias", "x.yaml", "a: *b\n", 1, 4, "unknown anchor"},
		{"more than YAML is taken for", "x.yaml", strings.Repeat("# a\n", 1<<21+1), 1, 1, "as JSON"},
		{"nothing as JSON", "x.json", "", 1, 1, "ends too early"},
		{"broken JSON", "x.json", "{\n  \"é\": 1,\n  \"è\": [2,]}", 3, 10, "comma"},
		{"a name twice in JSON", "x.json", "{\n  \"é\": 1, \"é\": 2}", 2, 11, "twice"},
		{"JSON behind JSON", "x.json", "{}\n {}", 2, 2, "more text"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			f, fault := designfile.Read(c.file, c.text, most)
			if fault == nil {
				t.Fatalf("it is read as %.200s", f.JSON)
			}
			if c.line > 0 && (fault.Line != c.line || fault.Column != c.column) || !strings.Contains(fault.Detail, c.detail) {
				t.Errorf("line %d, column %d: %s", fault.Line, fault.Column, fault.Detail)
			}
		})
	}
}

func TestPositions(t *testing.T) {
	const asJSON = `{
  "sys~t/em": {
    "pipes": [
      {"id": "é", "length": {"value": 28, "unit": "ft"}},
      {"id": "b"}
    ]
  }
}`
	const asYAML = `# a house
sys~t/em:
  pipes:
    - id: "é"
      length: {value: 28, unit: ft}
    - &b
      id: b
    - *b
`
	cases := []struct {
		pointer        string
		inJSON, inYAML [2]int
		name           string
	}{
		{"", [2]int{1, 1}, [2]int{2, 1}, "the whole"},
		{"/sys~0t~1em", [2]int{2, 15}, [2]int{3, 3}, "a name with signs of pointers"},
		{"/sys~0t~1em/pipes/0", [2]int{4, 7}, [2]int{4, 7}, "an item"},
		{"/sys~0t~1em/pipes/0/length/value", [2]int{4, 39}, [2]int{5, 23}, "a value behind a letter of two bytes"},
		{"/sys~0t~1em/pipes/1/id", [2]int{5, 14}, [2]int{7, 11}, "the second item"},
		{"/sys~0t~1em/pipes/1/tube", [2]int{5, 7}, [2]int{6, 7}, "a member that is not there"},
		{"/sys~0t~1em/pipes/9/tube/nominal", [2]int{3, 14}, [2]int{4, 5}, "an item that is not there"},
		{"/sys~0t~1em/pipes/01", [2]int{3, 14}, [2]int{4, 5}, "no number of an item"},
		{"/sys~0t~1em/pipes/1/id/x", [2]int{5, 14}, [2]int{7, 11}, "behind a value that holds none"},
	}
	jsonFile, yamlFile := read(t, "x.json", asJSON), read(t, "x.yaml", asYAML)
	var pointers []string
	for _, c := range cases {
		pointers = append(pointers, c.pointer)
	}
	inJSON, inYAML := jsonFile.Positions(pointers), yamlFile.Positions(pointers)
	for i, c := range cases {
		if got := inJSON[i]; got != (designfile.Position{Line: c.inJSON[0], Column: c.inJSON[1]}) {
			t.Errorf("%s: in JSON %v, want %v", c.name, got, c.inJSON)
		}
		if got := inYAML[i]; got != (designfile.Position{Line: c.inYAML[0], Column: c.inYAML[1]}) {
			t.Errorf("%s: in YAML %v, want %v", c.name, got, c.inYAML)
		}
	}
	if got := yamlFile.Positions([]string{"/sys~0t~1em/pipes/2/id"})[0]; got != (designfile.Position{Line: 7, Column: 11}) {
		t.Errorf("behind an alias: %v", got)
	}
}

// TestEveryPosition finds every value of real requests where their text has it:
// a position leads to a text that reads as the value.
func TestEveryPosition(t *testing.T) {
	files, err := filepath.Glob("../../openapi/examples/*.json")
	if err != nil || len(files) < 10 {
		t.Fatal(files, err)
	}
	for _, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		var root any
		if err := json.Unmarshal(text, &root); err != nil {
			t.Fatal(err)
		}
		ways := map[string]any{}
		collect(root, "", ways)
		var pointers []string
		for p := range ways {
			pointers = append(pointers, p)
		}
		slices.Sort(pointers)
		for i, at := range read(t, name, string(text)).Positions(pointers) {
			var got any
			if err := json.NewDecoder(strings.NewReader(textAt(string(text), at))).Decode(&got); err != nil || !reflect.DeepEqual(got, ways[pointers[i]]) {
				t.Errorf("%s: %s is not at %v", name, pointers[i], at)
			}
		}
	}
}

func collect(v any, pointer string, into map[string]any) {
	into[pointer] = v
	switch v := v.(type) {
	case map[string]any:
		for name, child := range v {
			collect(child, pointer+"/"+strings.NewReplacer("~", "~0", "/", "~1").Replace(name), into)
		}
	case []any:
		for i, child := range v {
			collect(child, pointer+"/"+strconv.Itoa(i), into)
		}
	}
}

// textAt is the text from a position on, found by going through its characters.
func textAt(text string, at designfile.Position) string {
	line, column := 1, 1
	for i, r := range text {
		if line == at.Line && column == at.Column {
			return text[i:]
		}
		column++
		if r == '\n' {
			line, column = line+1, 1
		}
	}
	return ""
}

// documents draws values as designs hold them.
func documents() *rapid.Generator[any] {
	leaf := rapid.OneOf(
		rapid.Just[any](nil), rapid.Map(rapid.Bool(), func(b bool) any { return b }),
		rapid.Map(rapid.Float64Range(-1e9, 1e9), func(x float64) any { return x }),
		rapid.Map(rapid.IntRange(-1e6, 1e6), func(n int) any { return float64(n) }),
		rapid.Map(rapid.StringOfN(rapid.RuneFrom([]rune("ab 1/'\":#-{}[],&*!|>%@`~.=?\\\n\té水")), 0, 12, -1), func(s string) any { return s }),
	)
	name := rapid.StringMatching(`[a-z_ :#-]{1,8}`)
	grow := func(inner *rapid.Generator[any]) *rapid.Generator[any] {
		return rapid.OneOf(leaf,
			rapid.Map(rapid.SliceOfN(inner, 0, 4), func(l []any) any { return append([]any{}, l...) }),
			rapid.Map(rapid.MapOfN(name, inner, 0, 4), func(m map[string]any) any { return m }))
	}
	return grow(grow(grow(leaf)))
}

// TestOneDesignInThreeSpellings: as JSON in a JSON file, as JSON in a YAML file
// and as the library writes YAML, a document says the same.
func TestOneDesignInThreeSpellings(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		want := documents().Draw(rt, "document")
		compact, err := json.Marshal(want)
		if err != nil {
			rt.Fatal(err)
		}
		indented, _ := json.MarshalIndent(want, "", "  ")
		asYAML, err := yaml.Marshal(want)
		if err != nil {
			rt.Fatal(err)
		}
		for name, text := range map[string]string{"x.json": string(indented), "compact.yaml": string(compact), "indented.yaml": string(indented), "block.yaml": string(asYAML)} {
			f, fault := designfile.Read(name, text, most)
			if fault != nil {
				rt.Fatalf("%s: %+v in %s", name, fault, text)
			}
			var got any
			if err := json.Unmarshal([]byte(f.JSON), &got); err != nil || !reflect.DeepEqual(got, want) {
				rt.Fatalf("%s: got %s (%v) from %s", name, f.JSON, err, text)
			}
		}
	})
}

// FuzzYAML reads any bytes as YAML: it never panics, what comes out is strict
// JSON, and a text that is JSON too says the same by both ways.
func FuzzYAML(f *testing.F) {
	for _, text := range []string{
		"a: 1\n", "a: &a [*a]\n", "? a\n: b\n", "{\"a\": [1, 2.5e3, null]}", "--- |\n x\n", "a: *b", "%YAML 1.2\n---\na", "\ufeffa: 1", "- - - x", "a: !!binary aGk=",
		"&a : *a", "{a: {b: {c: 010}}}", "x: >-\n  a\n\n  b", "\"\\ud83d\\udebf\": 1", "[~, 2026-11-25, 0x1F, .inf]", "<<: {a: 1}", "a: 1\n---\nb: 2", "\t", "a:\r\n  b: 1\r\n", "\x00", "88888888E8888888888888", "{\"a\":\"\x7f\"}",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		file, fault := designfile.Read("x.yaml", text, 1<<16)
		if (file == nil) == (fault == nil) {
			t.Fatal("neither read nor refused, or both")
		}
		if fault != nil {
			if fault.Line < 1 || fault.Column < 1 || fault.Detail == "" {
				t.Fatalf("%q: %+v", text, fault)
			}
			return
		}
		if s := scan.New(file.JSON); !s.Skip() || !s.AtEnd() {
			t.Fatalf("%q becomes %q, which is no JSON: %v", text, file.JSON, s.Err())
		}
		if at := file.Positions([]string{"", "/a", "/0"}); at[0].Line < 1 || at[1].Column < 1 || at[2].Column < 1 {
			t.Fatalf("%q: positions %v", text, at)
		}
		if !utf8.ValidString(text) {
			return
		}
		if _, fault := designfile.Read("x.json", text, 0); fault != nil {
			return
		}
		var asYAML, asJSON any
		if err := json.Unmarshal([]byte(file.JSON), &asYAML); err != nil {
			return // a number that no float64 holds
		}
		if err := json.Unmarshal([]byte(text), &asJSON); err != nil || !reflect.DeepEqual(asYAML, asJSON) {
			t.Fatalf("%q is %v as JSON, and %v as YAML", text, asJSON, asYAML)
		}
	})
}
