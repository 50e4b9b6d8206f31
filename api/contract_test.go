package api_test

import (
	"bytes"
	"errors"
	"io/fs"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"recirc/api"
	"recirc/calc/source"
	"recirc/openapi"
)

func TestContractIsValid(t *testing.T) {
	doc := loadContract(t).doc
	if err := doc.Validate(t.Context(), openapi3.EnableExamplesValidation(), openapi3.EnableSchemaFormatValidation()); err != nil {
		t.Error(err)
	}
	if doc.OpenAPI != "3.0.3" {
		t.Errorf("the contract is OpenAPI %s; at 3.0.3 checking a request against it is ten times faster", doc.OpenAPI)
	}
}

// example is one example request of the contract.
type example struct{ path, name, body string }

func examplesOf(t testing.TB, c *contract) []example {
	t.Helper()
	var all []example
	for path, item := range c.doc.Paths.Map() {
		if item.Post == nil {
			continue
		}
		for name, e := range item.Post.RequestBody.Value.Content["application/json"].Examples {
			all = append(all, example{path, name, written(t, e.Value.Value)})
		}
	}
	slices.SortFunc(all, func(a, b example) int { return strings.Compare(a.path+a.name, b.path+b.name) })
	return all
}

func TestExampleRequestsAreAnswered(t *testing.T) {
	c, server := loadContract(t), newServer(t)
	examples := examplesOf(t, c)
	if files, err := fs.Glob(openapi.Examples(), "*.json"); err != nil || len(files) != len(examples) {
		t.Errorf("there are %d example files, and the contract names %d examples (%v)", len(files), len(examples), err)
	}
	for _, e := range examples {
		t.Run(e.path+" "+e.name, func(t *testing.T) {
			c.allowsRequest(t, http.MethodPost, e.path, e.body)
			got := post(server, e.path, e.body)
			if got.status != http.StatusOK {
				t.Fatalf("status %d: %s", got.status, got.body)
			}
			c.allowsAnswer(t, http.MethodPost, e.path, got)
			checkNotes(t, got, e.body)
		})
	}
}

// checkNotes follows what an answer points to: pointers into the request, and
// sources, which the list at its end must hold and the table resolve.
func checkNotes(t testing.TB, got answer, body string) {
	t.Helper()
	root, tree := parsed(t, body), parsed(t, string(got.body))
	var cited []string
	for _, path := range pathsOf(tree) {
		value, _ := valueAt(tree, path).(string)
		switch {
		case len(path) < 3:
		case path[len(path)-1] == "source":
			cited = append(cited, value)
		case path[len(path)-1] == "pointer", path[len(path)-2] == "pointers":
			if value != "" && !leadsSomewhere(root, pathTo(value)) {
				t.Errorf("%s points to %s, which is nowhere in the request", pointerTo(path), value)
			}
		}
	}
	var listed []string
	for _, id := range tree.(map[string]any)["sources"].([]any) {
		listed = append(listed, id.(string))
	}
	if !slices.IsSorted(listed) || len(slices.Compact(slices.Clone(listed))) != len(listed) {
		t.Errorf("the sources are not sorted, or one is there twice: %q", listed)
	}
	for _, id := range cited {
		if !slices.Contains(listed, id) {
			t.Errorf("%s is cited and not among the sources %q", id, listed)
		}
	}
	for _, id := range listed {
		if !slices.Contains(allSources(), id) {
			t.Errorf("the source %s is not in the table", id)
		}
	}
}

// allSources are the ids of the table.
var allSources = sync.OnceValue(func() []string {
	var ids []string
	for _, s := range source.All() {
		ids = append(ids, string(s.ID))
	}
	return ids
})

// TestSourcesDoNotHangOnWorking: an answer rests on the same sources whether it
// shows its steps or not. Only what was given is a step of its own.
func TestSourcesDoNotHangOnWorking(t *testing.T) {
	server := newServer(t)
	bodies := examplesOf(t, loadContract(t))
	for _, path := range calculationPaths {
		bodies = append(bodies, example{path, "full", fullRequest(t, path)}, example{path, "house", houseFor(t, path)})
	}
	sourcesOf := func(b example, edit string) []any {
		answer := parsed(t, string(post(server, b.path, edited(t, b.body, edit)).body)).(map[string]any)
		return slices.DeleteFunc(answer["sources"].([]any), func(id any) bool { return id == "common_practice" })
	}
	for _, b := range bodies {
		with, without := sourcesOf(b, "/show_working = true"), sourcesOf(b, "/show_working = false")
		if !slices.Equal(with, without) {
			t.Errorf("%s %s: with working %q, without %q", b.path, b.name, with, without)
		}
	}
}

// pathTo is the way that a JSON pointer goes.
func pathTo(pointer string) []string {
	path := strings.Split(pointer, "/")[1:]
	for i := range path {
		path[i] = strings.NewReplacer("~1", "/", "~0", "~").Replace(path[i])
	}
	return path
}

// TestAnswersKeepTheContract asks for every shape of an answer.
func TestAnswersKeepTheContract(t *testing.T) {
	c, server := loadContract(t), newServer(t)
	cases := []struct{ name, path, edits string }{
		{"dead legs, the system alone", deadLegsPath, "/limits\n/detail\n/unit_system\n/show_working"},
		{"dead legs, all members", deadLegsPath, ``},
		{"dead legs, US units and working", deadLegsPath, `/unit_system = "us_customary"` + "\n/show_working = true"},
		{"dead legs, fixtures only", deadLegsPath, `/detail = "fixtures"`},
		{"dead legs, limits that cannot be assessed", deadLegsPath, `/limits = ["uk_uninsulated_length","iecc_c404_5_1_length","nspc_10_15_2_heater"]`},
		{"waits, the system alone", waitTimesPath, "/method\n/usable_temperature\n/start\n/show_curves\n/unit_system\n/show_working"},
		{"waits, all members", waitTimesPath, ``},
		{"waits, SI by name", waitTimesPath, `/unit_system = "si"`},
		{"waits, plug flow in US units and working", waitTimesPath, `/method = "plug_flow"` + "\n/show_working = true"},
		{"waits, curves and working", waitTimesPath, "/show_curves = true\n/show_working = true"},
		{"waits, a rise", waitTimesPath, "/usable_temperature\n" + `/usable_rise = {"value":10,"unit":"degF"}`},
		{"waits, from the surroundings", waitTimesPath, `/start = {"state":"surroundings"}`},
		{"waits, from hot water", waitTimesPath, `/start = {"state":"given","temperature":{"value":49,"unit":"degC"}}`},
		{"waits, from hot water while the heater starts", waitTimesPath, `/start = {"state":"given","temperature":{"value":49,"unit":"degC"}}` + "\n/system/pipes/3"},
		{"waits, usable water never comes", waitTimesPath, `/usable_temperature/value = 200` + "\n/show_curves = true\n/show_working = true"},
		{"losses, the system alone", heatLossesPath, "/water_temperature\n/flow\n/pipe_flows\n/cool_down_to\n/hours_per_year\n/insulate_with\n/unit_system\n/show_working"},
		{"losses, all members", heatLossesPath, ``},
		{"losses, SI and working", heatLossesPath, `/unit_system = "si"` + "\n/show_working = true"},
		{"losses, US units and working", heatLossesPath, "/show_working = true"},
		{"losses, standing water", heatLossesPath, "/flow\n/pipe_flows\n/show_working = true"},
		{"losses, one pipe flows", heatLossesPath, "/flow"},
		{"losses, in no hours", heatLossesPath, "/hours_per_year = 0"},
		{"losses, of water as cold as its surroundings", heatLossesPath, `/water_temperature = {"value":22,"unit":"degC"}` + "\n" + `/cool_down_to = [{"value":22,"unit":"degC"},{"value":10,"unit":"degC"},{"value":60,"unit":"degC"}]`},
		{"losses, no fixtures", heatLossesPath, "/system/fixtures"},
		{"a design, the system alone", loopDesignsPath, "/target\n/least_connection_flow\n/connections\n/return_sizing\n/losses\n/activation_margin\n/unit_system\n/show_working"},
		{"a design, all members", loopDesignsPath, ``},
		{"a design, SI and working", loopDesignsPath, `/unit_system = "si"` + "\n/show_working = true"},
		{"a design, no mixing valve", loopDesignsPath, "/system/mixing_valve"},
		{"a design, the return's size open", loopDesignsPath, `/system/pipes/3/tube = {}` + "\n/return_sizing/least_velocity"},
		{"a design, a connection on the way to another", loopDesignsPath, pipeOf("bath back", "return", "bath", "plant")},
		{"a design, the target at the heater", loopDesignsPath, `/target/at = "heater"` + "\n/connections"},
		{"a design, a target by temperature at the ends", loopDesignsPath, `/target = {"at":"return_ends","temperature":{"value":45,"unit":"degC"}}` + "\n/connections"},
		{"a simulation, as little as can be", loopSimulationsPath, "/draws\n/node_elevations\n/target\n/measured_returns\n/velocity_rule\n/losses\n/unit_system\n/show_working"},
		{"a simulation, all members", loopSimulationsPath, ``},
		{"a simulation, SI and working", loopSimulationsPath, `/unit_system = "si"` + "\n/show_working = true"},
		{"a simulation, the pump off", loopSimulationsPath, `/pump = {"mode":"off"}` + "\n/draws"},
		{"a simulation, constant pressure", loopSimulationsPath, `/pump = {"mode":"constant_pressure","set_head":{"value":1,"unit":"m"}}`},
		{"a simulation, proportional pressure", loopSimulationsPath, `/pump = {"mode":"proportional_pressure","set_head":{"value":1,"unit":"m"},"set_flow":{"value":5,"unit":"L/min"}}`},
		{"a simulation, a closed valve", loopSimulationsPath, `/system/pipes/3/valves/0 = {"type":"balancing","kv":{"value":0,"unit":"m3/h"}}` + "\n/draws\n/measured_returns"},
		{"a simulation of a day, as little as can be", controlSimulationsPath, `/arrangement = {"id":"a","type":"none"}` + "\n/conditions\n/span\n/month\n/nodes\n/propose\n/unit_system\n/show_working\n" + `/draws = {"pattern":"eu_s"}`},
		{"a simulation of a day, all members", controlSimulationsPath, ``},
		{"a simulation of a week, SI and working", controlSimulationsPath, `/span = "week"` + "\n" + `/unit_system = "si"` + "\n/show_working = true"},
		{"a comparison, as little as can be", retrofitComparisonsPath, `/arrangements = [{"id":"a","type":"none"}]` + "\n/baseline\n/conditions\n/heater_energy\n/prices\n/emission_factors\n/life_cycle\n/ranking\n/served_within\n/ranges\n/unit_system\n/show_working\n" + `/draws = {"pattern":"eu_s"}`},
		{"a comparison, all members", retrofitComparisonsPath, ``},
		{"a comparison, SI and working", retrofitComparisonsPath, `/unit_system = "si"` + "\n/show_working = true"},
		{"a comparison, an electric heater and no prices", retrofitComparisonsPath, `/heater_energy/carrier = "electricity"` + "\n/prices\n/emission_factors\n" + `/ranking = {"by":"energy"}`},
		{"a selection, as little as can be", pumpSelectionsPath, strings.Join(alone, "\n") + "\n/running\n/ranking\n/electricity_price\n/limits\n/conditions\n/unit_system\n/show_working\n" + givenDuty + "\n/candidates = [" + smallPump + "]"},
		{"a selection, all members", pumpSelectionsPath, ``},
		{"a selection, SI and working", pumpSelectionsPath, `/unit_system = "si"` + "\n/show_working = true"},
		{"a selection, a system curve in place of the loop's", pumpSelectionsPath, `/system_curve = {"points":[{"flow":{"value":3,"unit":"L/min"},"head":{"value":1,"unit":"m"}}]}`},
		{"a selection, a pump that nothing fits", pumpSelectionsPath, "/candidates/0/curve/0/head/value = 0.01\n/candidates/0/curve/1/head/value = 0.005\n/candidates/0/curve/2/head/value = 0"},
		{"a selection, to a fixture and back by a return", pumpSelectionsPath, strings.Join(alone[1:len(alone)-1], "\n") + "\n" + `/duty = {"basis":"fill_time","time":{"value":20,"unit":"s"},"fixture":"basin"}`},
		{"a selection, a volume on demand", pumpSelectionsPath, strings.Join(alone, "\n") + "\n" + `/duty = {"basis":"fill_time","time":{"value":20,"unit":"s"},"volume":{"value":3,"unit":"L"},"pressure":{"value":2,"unit":"psi"}}` + "\n" + `/running = {"control":"on_demand","starts_per_day":9}`},
		{"a selection, a curve that rises", pumpSelectionsPath, strings.Join(alone, "\n") + "\n" + givenDuty + "\n" + `/system_curve = ` + lifted + "\n/candidates = [" + humped + "]"},
	}
	for _, row := range cases {
		t.Run(row.name, func(t *testing.T) {
			body := fullRequest(t, row.path)
			if row.edits != "" {
				body = edited(t, body, strings.Split(row.edits, "\n")...)
			}
			c.allowsRequest(t, http.MethodPost, row.path, body)
			got := post(server, row.path, body)
			if got.status != http.StatusOK {
				t.Fatalf("status %d: %s", got.status, got.body)
			}
			c.allowsAnswer(t, http.MethodPost, row.path, got)
			checkNotes(t, got, body)
		})
	}
}

// TestCheckSeesBrokenAnswers proves that the check above can fail.
func TestCheckSeesBrokenAnswers(t *testing.T) {
	c, server := loadContract(t), newServer(t)
	good := post(server, "/v1/dead-legs", fullBody(t))
	cases := []struct {
		name     string
		old, new string
		status   int
	}{
		{"a member that the contract does not name", `"fixtures":[{`, `"fixtures":[{"colour":"red",`, 200},
		{"a unit of another dimension", `"unit":"L"`, `"unit":"m"`, 200},
		{"a member left out", `"version":`, `"release":`, 200},
		{"a status that the contract does not give", `"`, `"`, 404},
	}
	for _, row := range cases {
		broken := answer{row.status, good.header, bytes.Replace(good.body, []byte(row.old), []byte(row.new), 1)}
		if c.judge(t, http.MethodPost, "/v1/dead-legs", broken) == nil {
			t.Errorf("%s goes unnoticed", row.name)
		}
	}
}

// TestGetsKeepTheContract asks every GET of the contract, without parameters and
// with every value that the contract allows for each.
func TestGetsKeepTheContract(t *testing.T) {
	c, server := loadContract(t), newServer(t)
	asked := 0
	check := func(target string) {
		asked++
		got := get(server, target)
		if got.status != http.StatusOK {
			t.Errorf("GET %s: status %d: %.300s", target, got.status, got.body)
		}
		c.allowsAnswer(t, http.MethodGet, target, got)
	}
	for path, item := range c.doc.Paths.Map() {
		if item.Get == nil {
			continue
		}
		if path == "/docs/{file}" {
			for _, file := range []string{"explorer.js", "explorer.css", "icon.svg", "swagger-ui-bundle.js", "swagger-ui.css"} {
				check("/docs/" + file)
			}
			continue
		}
		check(path)
		for _, p := range item.Get.Parameters {
			for _, value := range p.Value.Schema.Value.Enum {
				check(path + "?" + url.Values{p.Value.Name: {value.(string)}}.Encode())
			}
		}
	}
	if least := 12 + 32 + 25 + 3*2; asked < least {
		t.Errorf("%d requests were sent; the resources, series, fittings and unit systems alone make %d", asked, least)
	}
}

func TestProblemsKeepTheContract(t *testing.T) {
	c := loadContract(t)
	server := newServer(t, withLimits(api.Limits{BodyBytes: 100_000, MostPipes: 10}))
	drained := newServer(t)
	drained.Drain()
	good := fullBody(t)
	asJSON := []string{"Content-Type", "application/json"}
	const inContract, notInContract = true, false
	cases := []struct {
		name      string
		got       answer
		method    string
		target    string
		status    int
		kind      string
		operation bool // the contract lists this status for the operation
	}{
		{"broken text", post(server, "/v1/dead-legs", `{`), "POST", "/v1/dead-legs", 400, "malformed", inContract},
		{"gzip that is none", post(server, "/v1/wait-times", `{`, "Content-Encoding", "gzip"), "POST", "/v1/wait-times", 400, "malformed", inContract},
		{"no such path", get(server, "/v2"), "GET", "/v2", 404, "not-found", notInContract},
		{"no such file", get(server, "/docs/none.js"), "GET", "/docs/none.js", 404, "not-found", inContract},
		{"wrong method", get(server, "/v1/dead-legs"), "GET", "/v1/dead-legs", 405, "method-not-allowed", notInContract},
		{"calculation as CSV", post(server, "/v1/dead-legs", good, "Accept", "text/csv"), "POST", "/v1/dead-legs", 406, "not-acceptable", inContract},
		{"table as CSV", get(server, "/v1/tubes", "Accept", "text/csv"), "GET", "/v1/tubes", 406, "not-acceptable", inContract},
		{"large body", post(server, "/v1/dead-legs", strings.Repeat(" ", 100_001)), "POST", "/v1/dead-legs", 413, "too-large", inContract},
		{"text body", ask(server, "POST", "/v1/dead-legs", strings.NewReader(good)), "POST", "/v1/dead-legs", 415, "unsupported-media-type", inContract},
		{"faults", post(server, "/v1/dead-legs", `{"system":null,"a~/b":1}`), "POST", "/v1/dead-legs", 422, "invalid", inContract},
		{"more faults than listed", post(drained, "/v1/dead-legs", `{"system":{"heater":{"node":"h","type":"storage"},"pipes":[`+strings.Repeat("1,", 1100)+`1]}}`),
			"POST", "/v1/dead-legs", 422, "invalid", inContract},
		{"wrong parameter", get(server, "/v1/fittings?kind=elbow"), "GET", "/v1/fittings", 422, "invalid", inContract},
		{"panic", ask(server, "POST", "/v1/wait-times", panicking{errors.New("broken")}, asJSON...), "POST", "/v1/wait-times", 500, "internal", inContract},
		{"draining", get(drained, "/readyz"), "GET", "/readyz", 503, "busy", inContract},
		{"traced", post(server, "/v1/dead-legs", `[]`, "traceparent", traceparent), "POST", "/v1/dead-legs", 422, "invalid", inContract},
	}
	provoked := map[any]bool{}
	for _, row := range cases {
		t.Run(row.name, func(t *testing.T) {
			p := row.got.problem(t)
			if row.got.status != row.status || p.Type != "urn:recirc:problem:"+row.kind {
				t.Errorf("got %d %s, want %d %s", row.got.status, p.Type, row.status, row.kind)
			}
			provoked[p.Type] = true
			if row.operation {
				c.allowsAnswer(t, row.method, row.target, row.got)
			}
			if err := c.schema(t, "Problem").VisitJSON(parsed(t, string(row.got.body))); err != nil {
				t.Error(err)
			}
		})
	}
	for _, kind := range c.schema(t, "Problem").Properties["type"].Value.Enum {
		if !provoked[kind] {
			t.Errorf("no row provokes %s", kind)
		}
	}
}

// traceparent is the example of the W3C recommendation.
const traceparent = "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01"

// panicking is a request body whose reading panics, which stands for any defect
// within a handler.
type panicking struct{ with any }

func (p panicking) Read([]byte) (int, error) { panic(p.with) }

// TestNoteCodesAreEmitted asks requests that together give every code of
// assumption, warning and caution that the contract lists.
func TestNoteCodesAreEmitted(t *testing.T) {
	c, server := loadContract(t), newServer(t)
	bodies := examplesOf(t, c)
	full := fullBody(t)
	bodies = append(bodies,
		example{waitTimesPath, "no start-up delay", edited(t, full, "/system/heater/start_up_delay", "/system/fixtures/0/hot_flow_basis", "/system/pipes/3")},
		example{deadLegsPath, "trace behind cold water", edited(t, full, "/system/pipes/3")},
		example{waitTimesPath, "plug flow", edited(t, house, `/method = "plug_flow"`)},
		example{waitTimesPath, "hotter than the heater", edited(t, house, `/usable_temperature = {"value":90,"unit":"degC"}`)},
		example{heatLossesPath, "nothing said", house},
		example{heatLossesPath, "bare and hot", edited(t, house, `/water_temperature = {"value":90,"unit":"degC"}`)},
		example{heatLossesPath, "near the face of a slab", edited(t, full, `/system/pipes/1/surroundings/depth = {"value":16,"unit":"mm"}`)},
	)
	bodies = append(bodies, loopsOfEveryNote(t)...)
	bodies = append(bodies, selectionsOfEveryNote(t)...)
	bodies = append(bodies, comparisonsOfEveryNote(t)...)
	for _, b := range bodies {
		if got := post(server, b.path, b.body); got.status != http.StatusOK {
			t.Errorf("%s: status %d: %s", b.name, got.status, got.body)
		}
	}
	for list, schema := range map[string]string{"assumptions": "Assumption", "warnings": "Warning", "cautions": "Caution"} {
		emitted := map[string]bool{}
		for _, b := range bodies {
			got := parsed(t, string(post(server, b.path, b.body).body)).(map[string]any)
			notes, _ := got[list].([]any)
			for _, n := range notes {
				emitted[n.(map[string]any)["code"].(string)] = true
			}
		}
		var listed []string
		for _, code := range c.schema(t, schema).Properties["code"].Value.Enum {
			listed = append(listed, code.(string))
		}
		slices.Sort(listed)
		if got := slices.Sorted(maps.Keys(emitted)); !slices.Equal(got, listed) {
			t.Errorf("%s: the requests give %v, the contract lists %v", list, got, listed)
		}
	}
}
