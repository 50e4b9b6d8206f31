package api_test

import (
	"net/http"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"recirc/api"
)

// badInput is one wrong request and what is to be said about it: every fault, as
// place and code, in the order found.
type badInput struct {
	name   string // what is wrong, with the reason where it is not plain
	path   string
	body   string
	status int
	faults string // separated by ", "
}

// TestBadInput sends every wrong request of this package's tables.
func TestBadInput(t *testing.T) {
	t.Parallel()
	c, server := loadContract(t), newServer(t)
	rows := slices.Concat(textInputs(), systemInputs(t), largeInputs(), longLists(), longComparisonLists())
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			got := post(server, row.path, row.body)
			checkBadInput(t, got, row.status, row.faults)
			c.allowsAnswer(t, http.MethodPost, row.path, got)
		})
	}
	t.Logf("%d wrong requests", len(rows))
	for _, code := range c.schema(t, "Fault").Properties["code"].Value.Enum {
		provokes := func(row badInput) bool { return strings.Contains(row.faults+",", " "+code.(string)+",") }
		if !slices.ContainsFunc(rows, provokes) && !slices.Contains(provokedElsewhere, code.(string)) {
			t.Errorf("no wrong request is answered with %s", code)
		}
	}
}

// provokedElsewhere are the codes of TestSizeLimits and TestBadParameters.
var provokedElsewhere = []string{"body_too_large", "too_many_pipes", "too_many_fixtures", "parameter_unknown"}

// leaks are the traces of a program that a caller must never see.
var leaks = regexp.MustCompile(`\b(api|body|picture|answer|fault|network|quantity|service|heat|arrival|water|air|solve|json|jsontext|pipe|rule|strconv|errors|http|io)\.[A-Z]|\b(heat|arrival|water|air|solve): |\bHorizon\b|jsontext:|json:|\[\d*\]|map\[|(struct|interface) ?\{|0x[0-9a-f]{6}|%!|panic|goroutine|\bnil\b|\.go:`)

func checkBadInput(t *testing.T, got answer, status int, faults string) {
	t.Helper()
	p := got.problem(t)
	if got.status != status || status < 400 || status > 499 {
		t.Errorf("status %d, want %d", got.status, status)
	}
	if list := strings.Join(inOrder(p.faults()), ", "); list != strings.Join(inOrder(strings.Split(faults, ", ")), ", ") {
		t.Errorf("faults\n%s\nwant\n%s", list, faults)
	}
	if !utf8.Valid(got.body) {
		t.Error("the answer is not UTF-8")
	}
	details := []string{p.Detail}
	for _, f := range p.Errors {
		details = append(details, f.Detail)
	}
	for _, d := range details {
		if leak := leaks.FindString(d); leak != "" {
			t.Errorf("%q shows %q of the program", d, leak)
		}
		if !sentence.MatchString(d) || strings.Contains(d, " .") || strings.Contains(d, "  ") {
			t.Errorf("%q is no sentence, or has a gap", d)
		}
	}
}

var sentence = regexp.MustCompile(`(?s).[.?]$`)

// inOrder sorts a list: the contract promises every fault, and not in which
// order the checks behind the text find them.
func inOrder(list []string) []string {
	list = slices.Clone(list)
	slices.Sort(list)
	return list
}

// house is a small system, invented: a main to a tee, and two runs from there.
const house = `{"system":{
"heater":{"node":"h","type":"storage"},
"pipes":[
{"id":"main","from":"h","to":"t","role":"supply","length":{"value":8,"unit":"m"},"tube":{"series":"copper_type_l","nominal":"3/4"}},
{"id":"kitchen","from":"t","to":"k","role":"supply","length":{"value":4,"unit":"m"},"tube":{"series":"pex_sdr9","nominal":"1/2"}},
{"id":"bath","from":"t","to":"b","role":"supply","length":{"value":12,"unit":"ft"},"tube":{"inside_diameter":{"value":13,"unit":"mm"}}}],
"fixtures":[
{"id":"sink","node":"k","type":"kitchen_faucet"},
{"id":"basin","node":"b","type":"lavatory_faucet","hot_flow":{"value":3,"unit":"L/min"}}]}}`

// houseWith puts a text in the place of the first of another.
func houseWith(old, text string) string {
	if !strings.Contains(house, old) {
		panic("the house has no " + old)
	}
	return strings.Replace(house, old, text, 1)
}

// textInputs are wrong before anybody looks at the system.
func textInputs() []badInput {
	const root = "root malformed_json"
	brackets := func(n int) string { return strings.Repeat("[", n) + strings.Repeat("]", n) }
	return []badInput{
		{"empty", deadLegsPath, "", 400, root},
		{"blank", deadLegsPath, " \n\t", 400, root},
		{"truncated in an amount, which the pointer names", deadLegsPath, house[:strings.Index(house, `,"unit":"m"`)], 400, "/system/pipes/0/length malformed_json"},
		{"truncated before the last brace", waitTimesPath, house[:len(house)-1], 400, root},
		{"text behind the value", deadLegsPath, house + "x", 400, root},
		{"a second value behind the first", deadLegsPath, house + house, 400, root},
		{"a byte order mark, which RFC 8259 forbids to send", deadLegsPath, "\uFEFF" + house, 400, root},
		{"no UTF-8 in a text", deadLegsPath, houseWith("sink", "s\xffnk"), 400, "/system/fixtures/0/id malformed_json"},
		{"no UTF-8 in a name, which a pointer could not hold", deadLegsPath, houseWith(`"heater"`, `"h\xffater"`), 400, "/system malformed_json"},
		{"half a surrogate pair", deadLegsPath, houseWith("sink", `\ud83d`), 400, "/system/fixtures/0/id malformed_json"},
		{"a name twice: readers differ in which they take", deadLegsPath, houseWith(`"node":"h"`, `"node":"h","node":"x"`), 400, "/system/heater/node malformed_json"},
		{"a name twice, once escaped", deadLegsPath, houseWith(`"node":"h"`, `"node":"h","n\u006fde":"x"`), 400, "/system/heater/node malformed_json"},
		{"an unknown name twice", deadLegsPath, `{"a":1,"a":2}`, 400, "/a malformed_json"},
		{"a comma too many", deadLegsPath, houseWith(`"type":"storage"}`, `"type":"storage",}`), 400, "/system/heater malformed_json"},
		{"a comment", deadLegsPath, "/* house */" + house, 400, root},
		{"single quotes", deadLegsPath, `{'system':{}}`, 400, root},
		{"NaN", deadLegsPath, houseWith(`"value":8`, `"value":NaN`), 400, "/system/pipes/0/length/value malformed_json"},
		{"a leading zero", deadLegsPath, houseWith(`"value":8`, `"value":08`), 400, "/system/pipes/0/length malformed_json"},
		{"20,000 brackets, deeper than the reader follows", deadLegsPath, brackets(20_000), 400, strings.Repeat("/0", 10_000) + " malformed_json"},
		{"9,000 brackets, which are JSON", deadLegsPath, brackets(9_000), 422, "root type_wrong"},
		{"9,000 brackets in a place of no meaning", deadLegsPath, houseWith(`"node":"h"`, `"node":"h","x":`+brackets(9_000)), 422, "/system/heater/x field_unknown"},
		{"null", deadLegsPath, "null", 422, "root type_wrong"},
		{"null for the other calculation", waitTimesPath, "null", 422, "root type_wrong"},
		{"a list", deadLegsPath, "[" + house + "]", 422, "root type_wrong"},
		{"a string", deadLegsPath, `"house"`, 422, "root type_wrong"},
		{"a number too large", deadLegsPath, "1e999", 422, "root type_wrong"},
		{"an empty object", deadLegsPath, "{}", 422, "/system field_missing"},
		{"an empty object for the other calculation", waitTimesPath, "{}", 422, "/system field_missing"},
		{"an empty system", deadLegsPath, `{"system":{}}`, 422, "/system/heater field_missing, /system/pipes field_missing"},
		{"a member of the other calculation", deadLegsPath, `{"method":"plug_flow"}`, 422, "/method field_unknown, /system field_missing"},
		{"null for heat losses", heatLossesPath, "null", 422, "root type_wrong"},
		{"an empty object for heat losses", heatLossesPath, "{}", 422, "/system field_missing"},
		{"members of the other calculations", heatLossesPath, `{"limits":["ipc_607_2"],"usable_rise":{"value":5,"unit":"K"}}`, 422, "/limits field_unknown, /usable_rise field_unknown, /system field_missing"},
		{"null for checks", designChecksPath, "null", 422, "root type_wrong"},
		{"an empty object for checks", designChecksPath, "{}", 422, "/system field_missing"},
		{"a check that breaks off in its facts", designChecksPath, `{"facts":{"air_release":tru`, 400, "/facts/air_release malformed_json"},
		{"null for designs", loopDesignsPath, "null", 422, "root type_wrong"},
		{"an empty object for designs", loopDesignsPath, "{}", 422, "/system field_missing"},
		{"an empty object for simulations", loopSimulationsPath, "{}", 422, "/system field_missing, /pump field_missing"},
		{"a fault in the pump of a text that breaks off: the text comes first", loopSimulationsPath, `{"pump":{"mode":"off","speed":1},`, 400, "root malformed_json"},
		{"a target that breaks off", loopDesignsPath, `{"target":{"at":"heater"`, 400, "/target malformed_json"},
		{"truncated behind one of two points", heatLossesPath, `{"system":{"defaults":{"insulation":{"conductivity_points":[` + point, 400, "/system/defaults/insulation/conductivity_points malformed_json"},
		{"members of the other calculation", waitTimesPath, `{"limits":["ipc_607_2"],"detail":"pipes"}`, 422, "/limits field_unknown, /detail field_unknown, /system field_missing"},
		{"one fault behind another", deadLegsPath, `{"system":{"heater":7,"pipes":{},"colour":"red"},"show_working":"yes"}`, 422,
			"/system/heater type_wrong, /system/pipes type_wrong, /system/colour field_unknown, /show_working type_wrong, /system/fixtures fixtures_missing"},
		{"a fault in a text that breaks off: the text comes first", deadLegsPath, `{"system":{"heater":7,`, 400, "/system malformed_json"},
	}
}

// TestSizeLimits sends more than a small server takes.
func TestSizeLimits(t *testing.T) {
	server := newServer(t, withLimits(api.Limits{BodyBytes: 2000, MostPipes: 3}))
	fixture := `/system/fixtures/- = {"id":"third","node":"k","type":"shower"}`
	cases := []struct {
		name, body string
		status     int
		faults     string
	}{
		{"as many pipes as it takes", house, 200, ""},
		{"as many fixtures as it takes", edited(t, house, fixture), 200, ""},
		{"a pipe too many", edited(t, house, pipeOf("fourth", "supply", "t", "k2")), 413, "/system/pipes too_many_pipes"},
		{"a pipe too many, and a fault within those read", edited(t, house, `/system/pipes/0/role = "up"`, pipeOf("fourth", "supply", "t", "k2")), 413, "/system/pipes/0/role value_not_listed, /system/pipes too_many_pipes"},
		{"a fixture too many", edited(t, house, fixture, fixture), 413, "/system/fixtures too_many_fixtures"},
		{"a pipe too many: a fixture behind it is no second fault", edited(t, house, pipeOf("fourth", "supply", "t", "k2"), `/system/fixtures/1/node = "k2"`), 413, "/system/pipes too_many_pipes"},
		{"a fixture too many: a pipe to it is no second fault", edited(t, house, `/system/fixtures = [{"id":"1","node":"k","type":"shower"},{"id":"2","node":"k","type":"shower"},{"id":"3","node":"k","type":"shower"},{"id":"4","node":"b","type":"shower"}]`), 413, "/system/fixtures too_many_fixtures"},
		{"pipes beyond the limit are skipped, whatever they are", edited(t, house, `/system/pipes/- = null`), 413, "/system/pipes too_many_pipes"},
		{"a body of just the limit", house + strings.Repeat(" ", 2000-len(house)), 200, ""},
		{"a body one byte over the limit", house + strings.Repeat(" ", 2001-len(house)), 413, "root body_too_large"},
	}
	for _, row := range cases {
		t.Run(row.name, func(t *testing.T) {
			got := post(server, deadLegsPath, row.body)
			if row.status != http.StatusOK {
				checkBadInput(t, got, row.status, row.faults)
			} else if got.status != row.status {
				t.Errorf("status %d: %s", got.status, got.body)
			}
		})
	}
}

// TestBadParameters sends wrong queries to the tables.
func TestBadParameters(t *testing.T) {
	c, server := loadContract(t), newServer(t)
	cases := []struct{ name, target, faults string }{
		{"an unknown parameter", "/v1/tubes?material=copper", "?material parameter_unknown"},
		{"a parameter of another table", "/v1/tubes?type=elbow_90", "?type parameter_unknown"},
		{"a table without parameters", "/v1/sources?unit_system=si", "?unit_system parameter_unknown"},
		{"a name in capitals", "/v1/tubes?Series=pex_sdr9", "?Series parameter_unknown"},
		{"a parameter twice", "/v1/tubes?series=pex_sdr9&series=copper_type_l", "?series list_length"},
		{"a parameter twice with one value", "/v1/fittings?unit_system=si&unit_system=si", "?unit_system list_length"},
		{"a series that is not listed", "/v1/tubes?series=pex", "?series value_not_listed"},
		{"a type that is not listed", "/v1/fittings?type=elbow", "?type value_not_listed"},
		{"a pattern that is not listed", "/v1/draw-patterns?pattern=eu_xxxl", "?pattern value_not_listed"},
		{"a pattern by another name", "/v1/draw-patterns?id=eu_m", "?id parameter_unknown"},
		{"a unit system that is not listed", "/v1/fixture-types?unit_system=imperial", "?unit_system value_not_listed"},
		{"an empty value", "/v1/tubes?series=", "?series value_not_listed"},
		{"a name without a value", "/v1/fittings?type", "?type value_not_listed"},
		{"a value that is not UTF-8", "/v1/tubes?series=%ff", "?series value_not_listed"},
		{"a name that is not UTF-8", "/v1/tubes?%ff=1", "?? parameter_unknown"},
		{"all at once, in the order of the names", "/v1/tubes?z=1&series=a&y=1&x=1&unit_system=b&c=1&b=1&a=1", "?a parameter_unknown, ?b parameter_unknown, ?c parameter_unknown, ?x parameter_unknown, ?y parameter_unknown, ?z parameter_unknown, ?series value_not_listed, ?unit_system value_not_listed"},
		{"a value that is no URL text must not be taken for none", "/v1/tubes?series=%zz", "?series=%zz parameter_unknown"},
		{"a semicolon separates nothing and must not hide a parameter", "/v1/tubes?series=pex_sdr9;unit_system=si", "?series=pex_sdr9;unit_system=si parameter_unknown"},
	}
	for _, row := range cases {
		t.Run(row.name, func(t *testing.T) {
			got := get(server, row.target)
			checkBadInput(t, got, http.StatusUnprocessableEntity, row.faults)
			if list := strings.Join(got.problem(t).faults(), ", "); list != row.faults {
				t.Errorf("in the order %s, want %s", list, row.faults)
			}
			c.allowsAnswer(t, http.MethodGet, row.target, got)
		})
	}
}

// TestOddInput is odd, and right: JSON has many spellings of one value.
func TestOddInput(t *testing.T) {
	server := newServer(t)
	want := string(post(server, deadLegsPath, house).body)
	cases := []struct{ name, body string }{
		{"an escaped name", houseWith(`"id":"main"`, `"\u0069d":"main"`)},
		{"an escaped text", houseWith(`"node":"k"`, `"node":"\u006b"`)},
		{"an escaped unit", houseWith(`"value":8,"unit":"m"`, `"value":8,"unit":"\u006D"`)},
		{"an escaped value of a list", houseWith(`"supply"`, `"s\u0075pply"`)},
		{"members in another order", houseWith(`"value":8,"unit":"m"`, `"unit":"m","value":8`)},
		{"a number with an exponent", houseWith(`"value":8`, `"value":0.8E+1`)},
		{"a number with zeros behind it", houseWith(`"value":8`, `"value":8.000`)},
		{"a length in km", houseWith(`"value":8,"unit":"m"`, `"value":0.008,"unit":"km"`)},
		{"white space", "\r\n\t " + strings.ReplaceAll(house, ":", " :\n") + "\n"},
		{"defaults spelt out", strings.TrimSuffix(house, "}") + `,"unit_system":"si","detail":"pipes","show_working":false}`},
		{"a whole count with a point", houseWith(`"role":"supply"`, `"role":"supply","fittings":[{"type":"elbow_90","count":3.0}]`)},
		{"empty lists", houseWith(`"role":"supply"`, `"role":"supply","fittings":[],"valves":[]`)},
		{"a bare pipe needs no conductivity", houseWith(`"role":"supply"`, `"role":"supply","insulation":{"thickness":{"value":-0.0,"unit":"mm"}}`)},
	}
	for _, row := range cases {
		if row.body == house {
			t.Errorf("%s: nothing is odd", row.name)
		}
		if got := post(server, deadLegsPath, row.body); got.status != http.StatusOK || string(got.body) != want {
			t.Errorf("%s: status %d, or another answer: %.500s", row.name, got.status, got.body)
		}
	}
}

// TestLongNames takes names up to the length the contract gives, in characters
// and not in bytes.
func TestLongNames(t *testing.T) {
	server := newServer(t)
	for _, letter := range []string{"x", "\u00e9", "\u6c34", "\U0001F6BF", `\u00e9`, `\n`} {
		for length, status := range map[int]int{128: 200, 129: 422} {
			got := post(server, deadLegsPath, houseWith(`"id":"sink"`, `"id":"`+strings.Repeat(letter, length)+`"`))
			if got.status != status {
				t.Errorf("an id of %d times %s: status %d, want %d", length, letter, got.status, status)
			}
		}
	}
}

// TestFaultsComeInTheOrderOfTheText lets a reader go through a file from top to
// bottom.
func TestFaultsComeInTheOrderOfTheText(t *testing.T) {
	got := post(newServer(t), deadLegsPath, `{"show_working":1,"system":{"pipes":[{"to":1,"from":""},{"colour":1}],"heater":{"type":"boiler"}},"detail":"all"}`)
	want := []string{
		"/show_working type_wrong",
		"/system/pipes/0/to type_wrong", "/system/pipes/0/from text_length", "/system/pipes/0/id field_missing", "/system/pipes/0/role field_missing",
		"/system/pipes/0/length field_missing", "/system/pipes/0/tube field_missing",
		"/system/pipes/1/colour field_unknown", "/system/pipes/1/id field_missing", "/system/pipes/1/from field_missing", "/system/pipes/1/to field_missing",
		"/system/pipes/1/role field_missing", "/system/pipes/1/length field_missing", "/system/pipes/1/tube field_missing",
		"/system/heater/type value_not_listed", "/system/heater/node field_missing",
		"/detail value_not_listed", "/system/fixtures fixtures_missing",
	}
	if got := got.problem(t).faults(); !slices.Equal(got, want) {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// TestFaultsAreCounted keeps a file of wrong numbers from being answered with a
// file of sentences.
func TestFaultsAreCounted(t *testing.T) {
	got := post(newServer(t), deadLegsPath, `{"system":{"heater":{"node":"h","type":"storage"},"pipes":[`+strings.Repeat("0,", 1499)+`0]}}`)
	p := got.problem(t)
	// 1500 pipes are no objects, and there are no fixtures.
	if len(p.Errors) != 1000 || p.LeftOut != 501 {
		t.Errorf("%d faults are listed and %d left out, want 1000 and 501", len(p.Errors), p.LeftOut)
	}
	if last := p.Errors[999].String(); last != "/system/pipes/999 type_wrong" {
		t.Errorf("the last one listed is %s", last)
	}
}
