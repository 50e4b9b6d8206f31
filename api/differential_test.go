package api_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"pgregory.net/rapid"

	"recirc/api"
)

// Two readers of one request: ours, which also knows physics and graphs, and
// the contract's schema. On what is a fault of form they must agree.

// ofForm lists the codes of faults that the schema can see.
var ofForm = map[string]bool{
	"malformed_json": true, "field_unknown": true, "field_missing": true, "type_wrong": true, "value_not_listed": true,
	"text_length": true, "list_length": true, "count_range": true, "unit_unknown": true, "unit_not_of_dimension": true,
	"currency_malformed": true, "date_malformed": true, "time_malformed": true,
}

// readers reads bodies of one operation in both ways.
type readers struct {
	calculation api.Calculation
	schema      *openapi3.Schema
}

func readersOf(t testing.TB, name string) *readers {
	t.Helper()
	for _, c := range api.Calculations() {
		if c.Name == name {
			return &readers{c, loadContract(t).requestBody(t, "/v1/"+name)}
		}
	}
	t.Fatalf("there is no calculation %s", name)
	return nil
}

// errNotListed says that a fault of form may be among those left out of a list
// of a thousand, so that there is nothing to compare.
var errNotListed = errors.New("more faults than are listed")

// ours gives code by pointer of the faults of form.
func (r *readers) ours(text string) (map[string]string, error) {
	_, p := r.calculation.Answer(text, api.DefaultLimits())
	if p == nil {
		return nil, nil
	}
	if p.Status >= 500 {
		return nil, fmt.Errorf("status %d", p.Status)
	}
	if p.ErrorsLeftOut > 0 {
		return nil, errNotListed
	}
	found := map[string]string{}
	for _, f := range p.Errors {
		if code := string(f.Code); ofForm[code] {
			found[*f.Pointer] = code
		}
	}
	return found, nil
}

// theirs gives the pointers of the schema's errors.
func (r *readers) theirs(text string) ([]string, error) {
	var value any
	if err := json.Unmarshal([]byte(text), &value); err != nil {
		return nil, err
	}
	return pointersOf(r.schema.VisitJSON(value, openapi3.MultiErrors())), nil
}

// pointersOf flattens what the schema says; the errors behind an allOf stand
// for it.
func pointersOf(err error) []string {
	switch e := err.(type) {
	case nil:
		return nil
	case openapi3.MultiError:
		var all []string
		for _, each := range e {
			all = append(all, pointersOf(each)...)
		}
		return all
	case *openapi3.SchemaError:
		var behind openapi3.MultiError
		if e.Origin != nil && errors.As(e.Origin, &behind) {
			return pointersOf(behind)
		}
		return []string{pointerTo(e.JSONPointer())}
	}
	return []string{"not a schema error: " + err.Error()}
}

func pointerTo(path []string) string {
	var b strings.Builder
	for _, name := range path {
		b.WriteString("/" + strings.NewReplacer("~", "~0", "/", "~1").Replace(name))
	}
	return b.String()
}

// related reports that one pointer is the other, or leads into it.
func related(a, b string) bool {
	if len(a) > len(b) {
		a, b = b, a
	}
	return a == b || strings.HasPrefix(b, a+"/")
}

// compare gives what the two readers disagree about, empty if nothing, and the
// codes that ours gave.
func (r *readers) compare(text string) (disagreement string, codes map[string]string) {
	ours, err := r.ours(text)
	if errors.Is(err, errNotListed) {
		return "", nil
	}
	if err != nil {
		return err.Error(), nil
	}
	theirs, err := r.theirs(text)
	if err != nil {
		return err.Error(), nil
	}
	if (len(ours) == 0) != (len(theirs) == 0) {
		return fmt.Sprintf("ours %v, the contract %q", ours, theirs), ours
	}
	for _, their := range theirs {
		if !anyRelated(maps.Keys(ours), their) {
			return fmt.Sprintf("the contract refuses %q, ours does not: %v", their, ours), ours
		}
	}
	for our := range ours {
		if !anyRelated(slices.Values(theirs), our) {
			return fmt.Sprintf("ours refuses %q, the contract does not: %q", our, theirs), ours
		}
	}
	return "", ours
}

func anyRelated(all func(yield func(string) bool), to string) bool {
	for p := range all {
		if related(p, to) {
			return true
		}
	}
	return false
}

// TestReadersAgreeOnRandomBodies runs 100 checks for each row, or as many as
// -rapid.checks says.
func TestReadersAgreeOnRandomBodies(t *testing.T) {
	t.Parallel()
	for _, path := range calculationPaths {
		name := strings.TrimPrefix(path, "/v1/")
		for _, mutations := range []int{0, 1, 4} {
			t.Run(fmt.Sprintf("%s with %d wrongs", name, mutations), func(t *testing.T) {
				r := readersOf(t, name)
				rapid.Check(t, func(t *rapid.T) {
					root := fromSchema(t, r.schema)
					for range mutations {
						root = mutated(t, root)
					}
					text := compact(root)
					disagreement, codes := r.compare(text)
					if disagreement != "" {
						t.Fatalf("%s\n%s", disagreement, text)
					}
					if mutations == 0 && len(codes) > 0 {
						t.Fatalf("a body drawn from the schema has faults of form: %v\n%s", codes, text)
					}
				})
			})
		}
	}
}

// fromSchema draws a value that the schema accepts.
func fromSchema(t *rapid.T, s *openapi3.Schema) any {
	switch {
	case len(s.AllOf) == 1:
		return fromSchema(t, s.AllOf[0].Value)
	case len(s.Enum) > 0:
		return rapid.SampledFrom(s.Enum).Draw(t, "listed")
	case s.Type.Is("object"):
		object := map[string]any{}
		for _, name := range slices.Sorted(maps.Keys(s.Properties)) {
			if slices.Contains(s.Required, name) || rapid.Bool().Draw(t, "give "+name) {
				object[name] = fromSchema(t, s.Properties[name].Value)
			}
		}
		return object
	case s.Type.Is("array"):
		list, most := []any{}, int(s.MinItems)+2
		if s.MaxItems != nil {
			most = min(most, int(*s.MaxItems))
		}
		for range rapid.IntRange(int(s.MinItems), most).Draw(t, "items") {
			list = append(list, fromSchema(t, s.Items.Value))
		}
		return list
	case s.Pattern != "":
		return rapid.StringMatching(s.Pattern).Draw(t, "matching")
	case s.Type.Is("string"):
		most := int(s.MinLength) + 4
		if s.MaxLength != nil && rapid.IntRange(0, 9).Draw(t, "full") == 0 {
			most = int(*s.MaxLength)
		}
		return rapid.StringOfN(rapid.RuneFrom([]rune("abcz 0-/~\"\\\u00e9\u6c34\U0001F6BF\u007f\n")), int(s.MinLength), most, -1).Draw(t, "text")
	case s.Type.Is("integer"):
		return rapid.IntRange(int(*s.Min), int(*s.Max)).Draw(t, "count")
	case s.Type.Is("number"):
		if s.Min != nil && s.Max != nil {
			return rapid.OneOf(rapid.Float64Range(*s.Min, *s.Max), rapid.SampledFrom([]float64{*s.Min, *s.Max})).Draw(t, "ratio")
		}
		return rapid.OneOf(rapid.Float64Range(0, 100), rapid.Float64()).Draw(t, "number")
	case s.Type.Is("boolean"):
		return rapid.Bool().Draw(t, "bool")
	}
	t.Fatalf("no values are drawn for %v", s.Type)
	return nil
}

// wrongs are values to put where others belong. Some are right in some places;
// what is right is the readers' business.
func wrongs() []any { return slices.Concat(wrongValues(), wrongShapes()) }

func wrongValues() []any {
	return []any{
		raw(`null`), true, 0.0, -1.0, 1.0, 1.5, 1000.0, 1001.0, 8784.5, 1e300, raw(`2.0`), raw(`1e2`), raw(`-1e-300`),
		"", "m", "degC", "gal/min", "furlong", "M", "storage", "pipes", strings.Repeat("x", 33), strings.Repeat("\u6c34", 128), strings.Repeat("\u6c34", 129),
	}
}

func wrongShapes() []any {
	return []any{
		[]any{}, []any{raw(`null`)}, map[string]any{}, map[string]any{"value": 1.0, "unit": "mm"}, map[string]any{"value": "1", "unit": 1.0},
	}
}

// raw is JSON as written; untyped nil means "take away" in an edit.
func raw(text string) json.RawMessage { return json.RawMessage(text) }

var unknownNames = []string{"colour", "", "ID", "value", "a/b", "~1", "type ", "\u00e9"}

// pathsOf lists the way to every value of a tree, the root first.
func pathsOf(tree any) [][]string {
	paths := [][]string{{}}
	below := func(name string, child any) {
		for _, p := range pathsOf(child) {
			paths = append(paths, append([]string{name}, p...))
		}
	}
	switch node := tree.(type) {
	case map[string]any:
		for _, name := range slices.Sorted(maps.Keys(node)) {
			below(name, node[name])
		}
	case []any:
		for i, child := range node {
			below(strconv.Itoa(i), child)
		}
	}
	return paths
}

func valueAt(tree any, path []string) any {
	for _, name := range path {
		switch node := tree.(type) {
		case map[string]any:
			tree = node[name]
		case []any:
			i, _ := strconv.Atoi(name)
			tree = node[i]
		}
	}
	return tree
}

// lengths are those at which a list becomes too long, and beyond; those of lists
// that name elements of the system are rows of [TestBadInput].
var lengths = []int{2, 3, 5, 6, 20, 21, 100, 101, 130, 200, 201}

// mutated makes one random change.
func mutated(t *rapid.T, root any) any {
	path := rapid.SampledFrom(pathsOf(root)).Draw(t, "path")
	change := rapid.SampledFrom([]string{"replace", "replace", "drop", "name", "stretch"}).Draw(t, "change")
	value := valueAt(root, path)
	switch {
	case change == "drop" && len(path) > 0:
		root, _ = edit(root, path, nil)
	case change == "name" && isObject(value):
		name := rapid.SampledFrom(unknownNames).Draw(t, "name")
		root, _ = edit(root, append(slices.Clone(path), name), rapid.SampledFrom(wrongs()).Draw(t, "of"))
	case change == "stretch" && isList(value):
		root, _ = edit(root, path, stretched(value.([]any), rapid.SampledFrom(lengths).Draw(t, "to")))
	default:
		root, _ = edit(root, path, rapid.SampledFrom(wrongs()).Draw(t, "with"))
	}
	var again any // so that a later change finds plain values
	if err := json.Unmarshal([]byte(compact(root)), &again); err != nil {
		t.Fatal(err)
	}
	return again
}

func isObject(v any) bool { _, ok := v.(map[string]any); return ok }
func isList(v any) bool   { _, ok := v.([]any); return ok }

// stretched repeats a list's items up to a length.
func stretched(list []any, length int) []any {
	if len(list) == 0 {
		list = []any{1.0}
	}
	var long []any
	for i := range length {
		long = append(long, list[i%len(list)])
	}
	return long
}

func compact(v any) string {
	text, err := json.Marshal(v)
	if err != nil {
		panic(err) // the tree is made above
	}
	return string(text)
}

// TestReadersAgreeOnEveryWrong makes, one at a time, every change above at every
// member of the full requests, items of a list taken once each by shape. The
// system document has one reader, and is changed in the first request alone; the
// others have a small one, since each of thousands of bodies is read twice.
func TestReadersAgreeOnEveryWrong(t *testing.T) {
	t.Parallel()
	codes, seen, tried := map[string]int{}, map[string]bool{}, 0
	for i, path := range calculationPaths {
		w := everyWrong{t: t, readers: readersOf(t, strings.TrimPrefix(path, "/v1/")), body: everyMember(t, path), codes: codes}
		if i > 0 {
			w.body = edited(t, w.body, `/system = `+written(t, valueAt(parsed(t, house), []string{"system"})))
		}
		switch path {
		case controlSimulationsPath:
			w.body = edited(t, w.body, "/arrangement/system")
		case retrofitComparisonsPath:
			w.body = edited(t, w.body, "/arrangements/0/system")
		}
		tree := parsed(t, w.body)
		for _, at := range pathsOf(tree) {
			shape := shapeOf(at)
			if len(at) < 2 {
				shape = path + shape
			}
			shape = strings.Replace(shape, "arrangements/*", "arrangement", 1) // they have one reader too
			if !seen[shape] {
				seen[shape] = true
				w.at(at, valueAt(tree, at))
			}
		}
		tried += w.tried
	}
	for code := range ofForm {
		if codes[code] == 0 && code != "malformed_json" { // every tree is JSON
			t.Errorf("no change gives %s", code)
		}
	}
	t.Logf("%d bodies, faults of form by code: %v", tried, codes)
}

// everyMember is the full request with the members that it lacks, because no
// good request has them beside others.
func everyMember(t testing.TB, path string) string {
	t.Helper()
	edits := []string{`/system/heater/kv = {"value":9,"unit":"m3/h"}`, `/system/heater/rated_loss/head = {"value":2,"unit":"ft"}`}
	return edited(t, fullRequest(t, path), append(edits, map[string][]string{
		designChecksPath: {
			`/control/windows = [{"days":"weekday","from":"06:30","to":"08:00:30"}]`, `/control/cycle = {"on":{"value":10,"unit":"min"},"off":{"value":20,"unit":"min"}}`,
		},
		waitTimesPath:   {`/usable_rise = {"value":10,"unit":"degF"}`},
		loopDesignsPath: {`/target/temperature = {"value":50,"unit":"degC"}`},
		pumpSelectionsPath: {
			`/target/temperature = {"value":50,"unit":"degC"}`, `/system_curve = {"static_head":{"value":1,"unit":"ft"},"points":[{"flow":{"value":3,"unit":"L/min"},"head":{"value":1,"unit":"m"}}]}`,
			`/duty = {"basis":"heat_loss","flow":{"value":3,"unit":"L/min"},"head":{"value":1,"unit":"m"},"pressure":{"value":1,"unit":"psi"},"time":{"value":30,"unit":"s"},"volume":{"value":4,"unit":"L"},"fixture":"sink"}`,
			`/running = {"hours_per_year":6000,"control":"timer","time_per_day":{"value":18,"unit":"h"},"running_share":0.5,"starts_per_day":12,"time_per_start":{"value":1,"unit":"min"}}`,
		},
		controlSimulationsPath:  everyArrangementMember("/arrangement"),
		retrofitComparisonsPath: append(everyArrangementMember("/arrangements/0"), `/arrangements/1`),
		loopSimulationsPath: {
			`/target/temperature = {"value":50,"unit":"degC"}`, `/pump/set_head = {"value":2,"unit":"m"}`, `/pump/set_flow = {"value":5,"unit":"L/min"}`,
		},
	}[path]...)...)
}

// everyArrangementMember adds what belongs to other types of arrangement and control.
func everyArrangementMember(at string) []string {
	monthly := `[` + strings.Repeat(`{"value":10,"unit":"degC"},`, 11) + `{"value":50,"unit":"degF"}]`
	return []string{
		at + `/bypass_valve = {"closes_at":{"value":40,"unit":"degC"},"band":{"value":5,"unit":"K"}}`,
		at + `/cold_line = {"length":{"value":12,"unit":"m"},"tube":{"series":"pex_sdr9","nominal":"1/2","inside_diameter":{"value":12,"unit":"mm"},"outside_diameter":{"value":16,"unit":"mm"},"wall_thickness":{"value":2,"unit":"mm"},"wall_material":"pex"},` +
			`"insulation":{"thickness":{"value":9,"unit":"mm"},"conductivity":{"value":0.04,"unit":"W/(m.K)"},"conductivity_points":[{"mean_temperature":{"value":10,"unit":"degC"},"conductivity":{"value":0.03,"unit":"W/(m.K)"}},{"mean_temperature":{"value":50,"unit":"degC"},"conductivity":{"value":0.04,"unit":"W/(m.K)"}}],` +
			`"r_value":{"value":0.2,"unit":"m2.K/W"},"outer_layers":[{"thickness":{"value":9,"unit":"mm"},"conductivity":{"value":0.04,"unit":"W/(m.K)"},"conductivity_points":[{"mean_temperature":{"value":10,"unit":"degC"},"conductivity":{"value":0.03,"unit":"W/(m.K)"}},{"mean_temperature":{"value":50,"unit":"degC"},"conductivity":{"value":0.04,"unit":"W/(m.K)"}}],"r_value":{"value":0.2,"unit":"m2.K/W"}}]}}`,
		at + `/heat_trace = {"maintained_temperature":{"value":45,"unit":"degC"},"power_per_length":{"value":9,"unit":"W/m"}}`,
		at + `/local_heater = {"volume":{"value":2,"unit":"gal"},"temperature":{"value":50,"unit":"degC"},"power":{"value":2,"unit":"kW"},"standby_loss":{"value":20,"unit":"W"}}`,
		at + `/control/trigger = {"kind":"occupancy","lead_time":{"value":30,"unit":"s"},"probability":0.7,"longest_run":{"value":4,"unit":"min"},"seed":3}`,
		at + `/control/cycle = {"on":{"value":10,"unit":"min"},"off":{"value":20,"unit":"min"}}`,
		at + `/install_cost/sum = {"amount":100,"currency":"USD"}`,
		at + `/insulation/conductivity_points = [{"mean_temperature":{"value":10,"unit":"degC"},"conductivity":{"value":0.03,"unit":"W/(m.K)"}},{"mean_temperature":{"value":50,"unit":"degC"},"conductivity":{"value":0.04,"unit":"W/(m.K)"}}]`,
		at + `/insulation/r_value = {"value":0.2,"unit":"m2.K/W"}`,
		at + `/system/heater/kv = {"value":9,"unit":"m3/h"}`, at + `/system/heater/rated_loss/head = {"value":2,"unit":"ft"}`,
		`/conditions/mains_temperatures = ` + monthly,
	}
}

// everyWrong changes one request in many ways.
type everyWrong struct {
	t       *testing.T
	readers *readers
	body    string
	tried   int
	codes   map[string]int
}

// at makes every change at one place.
func (w *everyWrong) at(path []string, value any) {
	if len(path) > 0 {
		w.try(path, nil)
	}
	for _, wrong := range wrongShapes() {
		w.try(path, wrong)
	}
	for i, wrong := range wrongValues() {
		if i < 2 || !isObject(value) && !isList(value) { // in the place of an object, one value is as wrong as another
			w.try(path, wrong)
		}
	}
	switch value := value.(type) {
	case map[string]any:
		for _, name := range unknownNames {
			w.try(append(slices.Clone(path), name), 1.0)
		}
	case []any:
		for _, length := range lengths {
			w.try(path, stretched(value, length))
		}
	}
}

// try compares the two readers of the request with one value changed, or taken
// away if it is nil. It gives the codes by pointer.
func (w *everyWrong) try(path []string, value any) map[string]string {
	w.t.Helper()
	tree, ok := edit(parsed(w.t, w.body), path, value)
	if !ok && len(path) > 0 {
		w.t.Fatalf("no such path %q", path)
	}
	w.tried++
	disagreement, given := w.readers.compare(compact(tree))
	if disagreement != "" {
		w.t.Errorf("%s = %v: %s", pointerTo(path), value, disagreement)
	}
	for _, code := range given {
		w.codes[code]++
	}
	return given
}

// shapeOf is a path without the numbers of its items.
func shapeOf(path []string) string {
	parts := slices.Clone(path)
	for i, p := range parts {
		if _, err := strconv.Atoi(p); err == nil {
			parts[i] = "*"
		}
	}
	return strings.Join(parts, "/")
}

// TestFullBodyIsFull keeps the full requests in step with the contract: every
// member of every object that a request may hold is in them.
func TestFullBodyIsFull(t *testing.T) {
	for _, path := range calculationPaths {
		given := map[string]bool{}
		for _, p := range pathsOf(parsed(t, everyMember(t, path))) {
			given[shapeOf(p)] = true
		}
		var walk func(at string, s *openapi3.Schema)
		walk = func(at string, s *openapi3.Schema) {
			if !given[strings.TrimPrefix(at, "/")] {
				t.Errorf("%s: the full request has no %s", path, at)
			}
			for _, part := range s.AllOf {
				walk(at, part.Value)
			}
			for name, p := range s.Properties {
				walk(at+"/"+name, p.Value)
			}
			if s.Items != nil {
				walk(at+"/*", s.Items.Value)
			}
		}
		walk("", loadContract(t).requestBody(t, path))
	}
}
