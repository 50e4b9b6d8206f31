package api_test

import (
	"encoding/json"
	"net/http"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"go.yaml.in/yaml/v3"

	"recirc/openapi"
)

// lint gathers what is wrong with the contract as a reader would find it.
type lint struct{ complaints []string }

func (l *lint) say(at, what string) { l.complaints = append(l.complaints, at+": "+what) }

// document walks everything of the contract that has a schema or a description.
func (l *lint) document(doc *openapi3.T) {
	for name, ref := range doc.Components.Schemas {
		l.named(name, ref)
	}
	for name, ref := range doc.Components.Parameters {
		l.parameter("parameter "+name, ref)
	}
	for name, ref := range doc.Components.Responses {
		l.response("response "+name, ref)
	}
	for path, item := range doc.Paths.Map() {
		for method, op := range item.Operations() {
			l.operation(method+" "+path, method, op)
		}
	}
	slices.Sort(l.complaints)
}

// named is a schema that a reader meets by its name: it says what it is.
func (l *lint) named(at string, ref *openapi3.SchemaRef) {
	if ref.Ref == "" && ref.Value.Description == "" {
		l.say(at, "has no description")
	}
	l.schema(at, ref)
}

// schema walks a schema; one without a name of its own may be described by what
// holds it, unless it is an object.
func (l *lint) schema(at string, ref *openapi3.SchemaRef) {
	if ref.Ref != "" {
		return // walked where it stands
	}
	s := ref.Value
	if s.Type.Is("object") {
		l.object(at, s)
	}
	if s.Items != nil {
		if s.Items.Ref == "" && s.Items.Value.Type.Is("object") {
			l.named(at+"[]", s.Items)
		} else {
			l.schema(at+"[]", s.Items)
		}
	}
	for _, part := range s.AllOf {
		l.schema(at, part)
	}
}

func (l *lint) object(at string, s *openapi3.Schema) {
	for name, ref := range s.Properties {
		at := at + "." + name
		l.named(at, ref)
		l.name(at, name)
		if ref.Ref != "" {
			continue
		}
		switch p := ref.Value; {
		case p.Type.Is("number") && !isQuantity(s) && !saysWhatNumber(s, name, p):
			l.say(at, "is a bare number; give it a unit, or say Ratio or Count or in which unit beside it it is")
		case p.Type.Is("integer") && !strings.HasPrefix(p.Description, "Count") && p.Description != "HTTP status code.":
			l.say(at, "is an integer and does not say Count")
		}
	}
	if closed := s.AdditionalProperties.Has; len(s.Properties) > 0 && (closed == nil || *closed) {
		l.say(at, "takes members that it does not name")
	}
	for _, name := range s.Required {
		if s.Properties[name] == nil {
			l.say(at, "requires "+name+", which it does not name")
		}
	}
}

// isQuantity reports exactly a value and its unit.
func isQuantity(s *openapi3.Schema) bool {
	unit := s.Properties["unit"]
	return len(s.Properties) == 2 && len(s.Required) == 2 && s.Properties["value"] != nil && unit != nil && len(unit.Value.Enum) > 0
}

func saysWhatNumber(parent *openapi3.Schema, name string, p *openapi3.Schema) bool {
	switch {
	case strings.HasPrefix(p.Description, "Ratio"), strings.HasPrefix(p.Description, "Count"):
		return true
	case strings.Contains(p.Description, "Amount in the unit beside it"):
		unit := parent.Properties["unit"]
		return unit != nil && len(unit.Value.Enum) == 0 // a step of working, whose unit is any
	}
	return name == "amount" && parent.Properties["currency"] != nil
}

// unitEndings are units as a careless name would end in them. A name that bears
// a unit makes the unit of its amount a matter of guessing.
var unitEndings = strings.Fields(`m mm cm km in ft inch inches feet metres l ml litres gal gallons oz gpm lpm lps lph
	s ms sec secs seconds min mins minutes h hr hrs hours d days c f k degc degf kelvin celsius fahrenheit
	w kw watts j kj mj wh kwh btu therm pa kpa mbar bar psi usd eur pct percent`)

func (l *lint) name(at, name string) {
	i := strings.LastIndexByte(name, '_')
	if i < 0 || name == "k_d" || name == "hazen_williams_c" { // ratios: Kd of the three-K method, and C
		return
	}
	if slices.Contains(unitEndings, strings.ToLower(name[i+1:])) {
		l.say(at, "bears a unit in its name")
	}
	if name != strings.ToLower(name) {
		l.say(at, "is not in lower case")
	}
}

func (l *lint) parameter(at string, ref *openapi3.ParameterRef) {
	if ref.Ref != "" {
		return
	}
	p := ref.Value
	if p.Description == "" {
		l.say(at, "has no description")
	}
	if p.Example == nil && len(p.Examples) == 0 {
		l.say(at, "has no example, so the explorer cannot fill it in")
	}
	l.schema(at, p.Schema)
}

func (l *lint) response(at string, ref *openapi3.ResponseRef) {
	if ref.Ref != "" {
		return
	}
	if ref.Value.Description == nil || *ref.Value.Description == "" {
		l.say(at, "has no description")
	}
	for name, h := range ref.Value.Headers {
		if h.Value.Description == "" {
			l.say(at+", header "+name, "has no description")
		}
		l.schema(at, h.Value.Schema)
	}
	for kind, media := range ref.Value.Content {
		l.schema(at+" "+kind, media.Schema)
	}
}

// onEveryCalculation are the statuses that a calculation can always end with.
var onEveryCalculation = []string{"200", "400", "406", "413", "415", "422", "500", "503"}

func (l *lint) operation(at, method string, op *openapi3.Operation) {
	if op.OperationID == "" || op.Summary == "" || len(op.Tags) == 0 {
		l.say(at, "needs operationId, summary and a tag")
	}
	for _, p := range op.Parameters {
		l.parameter(at+" parameter "+p.Value.Name, p)
	}
	for status, r := range op.Responses.Map() {
		l.response(at+" "+status, r)
	}
	if method != http.MethodPost {
		return
	}
	if op.Description == "" {
		l.say(at, "has no description")
	}
	for _, status := range onEveryCalculation {
		if op.Responses.Value(status) == nil {
			l.say(at, "does not list "+status)
		}
	}
	media := op.RequestBody.Value.Content["application/json"]
	if media == nil || len(media.Examples) == 0 {
		l.say(at, "has no example request")
		return
	}
	for name, e := range media.Examples {
		if e.Value.Summary == "" || e.Value.Value == nil {
			l.say(at+" example "+name, "needs a summary and a value in place")
		}
	}
	l.schema(at, media.Schema)
}

func TestContractReadsWell(t *testing.T) {
	var l lint
	l.document(loadContract(t).doc)
	for _, c := range l.complaints {
		t.Error(c)
	}
}

// TestContractHasNoExtensions keeps every promise in the words of OpenAPI, which
// every tool reads.
func TestContractHasNoExtensions(t *testing.T) {
	var walk func(at string, v any)
	walk = func(at string, v any) {
		switch node := v.(type) {
		case map[string]any:
			for name, child := range node {
				if strings.HasPrefix(name, "x-") {
					t.Errorf("%s has the extension %s", at, name)
				}
				walk(at+"/"+name, child)
			}
		case []any:
			for _, child := range node {
				walk(at, child)
			}
		}
	}
	walk("", parsed(t, string(openapi.JSON())))
}

// TestLintBites breaks the contract in one place at a time and expects to hear
// of it.
func TestLintBites(t *testing.T) {
	const heater, pipe, post = "/components/schemas/Heater", "/components/schemas/Pipe", "/paths/~1v1~1dead-legs/post"
	cases := []struct{ name, edit, want string }{
		{"a number without a unit", heater + `/properties/power = {"type":"number","description":"Power."}`, "Heater.power: is a bare number"},
		{"a number that says its unit beside it, where none is", heater + `/properties/power = {"type":"number","description":"Amount in the unit beside it."}`, "Heater.power: is a bare number"},
		{"a quantity with a third member", `/components/schemas/Length/properties/note = {"type":"string","description":"A note."}`, "Length.value: is a bare number"},
		{"an integer that counts nothing", `/components/schemas/Fitting/properties/count/description = "How many."`, "Fitting.count: is an integer"},
		{"a unit in a name", pipe + `/properties/length_m = {"$ref":"#/components/schemas/Length"}`, "Pipe.length_m: bears a unit"},
		{"a property without description", heater + `/properties/type/description`, "Heater.type: has no description"},
		{"a schema without description", heater + `/description`, "Heater: has no description"},
		{"an object that takes anything", heater + `/additionalProperties`, "Heater: takes members"},
		{"a required member without schema", heater + `/required/- = "colour"`, "Heater: requires colour"},
		{"a parameter without description", `/components/parameters/UnitSystem/description`, "parameter UnitSystem: has no description"},
		{"an operation without id", post + `/operationId`, "POST /v1/dead-legs: needs operationId"},
		{"an operation without summary", post + `/summary`, "POST /v1/dead-legs: needs operationId"},
		{"a calculation without examples", post + `/requestBody/content/application~1json/examples`, "POST /v1/dead-legs: has no example"},
		{"a calculation that is never busy", post + `/responses/503`, "POST /v1/dead-legs: does not list 503"},
	}
	for _, row := range cases {
		t.Run(row.name, func(t *testing.T) {
			doc, err := openapi3.NewLoader().LoadFromData([]byte(edited(t, string(openapi.JSON()), row.edit)))
			if err != nil {
				t.Fatal(err)
			}
			var l lint
			l.document(doc)
			if !slices.ContainsFunc(l.complaints, func(c string) bool { return strings.HasPrefix(c, row.want) }) {
				t.Errorf("want a complaint %q, got %q", row.want, l.complaints)
			}
		})
	}
}

// TestPublishedTwice compares the two forms in which the contract is served.
func TestPublishedTwice(t *testing.T) {
	server := newServer(t)
	var fromYAML any
	if err := yaml.Unmarshal(get(server, "/openapi.yaml").body, &fromYAML); err != nil {
		t.Fatal(err)
	}
	asJSON, err := json.Marshal(fromYAML)
	if err != nil {
		t.Fatal(err)
	}
	a, b := parsed(t, string(asJSON)).(map[string]any), parsed(t, string(get(server, "/openapi.json").body)).(map[string]any)
	for name := range b {
		if !reflect.DeepEqual(a[name], b[name]) {
			t.Errorf("the YAML and the JSON differ in %s", name)
		}
	}
}
