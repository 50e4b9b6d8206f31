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
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"recirc/api"
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
		})
	}
}

// TestAnswersKeepTheContract asks for every shape of an answer.
func TestAnswersKeepTheContract(t *testing.T) {
	c, server, full := loadContract(t), newServer(t), fullBody(t)
	cases := []struct{ name, path, options string }{
		{"dead legs, all members", "/v1/dead-legs", ``},
		{"dead legs, US units and working", "/v1/dead-legs", `"unit_system":"us_customary","show_working":true`},
		{"dead legs, fixtures only", "/v1/dead-legs", `"unit_system":"si","detail":"fixtures","show_working":false`},
		{"dead legs, with pipes by name", "/v1/dead-legs", `"detail":"pipes"`},
		{"dead legs, limits that cannot be assessed", "/v1/dead-legs", `"limits":["uk_uninsulated_length","iecc_c404_5_1_length","nspc_10_15_2_heater"]`},
		{"waits, all members", "/v1/wait-times", ``},
		{"waits, US units and working", "/v1/wait-times", `"method":"plug_flow","unit_system":"us_customary","show_working":true`},
		{"waits, SI by name", "/v1/wait-times", `"unit_system":"si"`},
	}
	for _, row := range cases {
		t.Run(row.name, func(t *testing.T) {
			body := strings.TrimSuffix(strings.TrimSpace(full), "}")
			if row.options != "" {
				body += "," + row.options
			}
			body += "}"
			c.allowsRequest(t, http.MethodPost, row.path, body)
			got := post(server, row.path, body)
			if got.status != http.StatusOK {
				t.Fatalf("status %d: %s", got.status, got.body)
			}
			c.allowsAnswer(t, http.MethodPost, row.path, got)
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
		example{"/v1/wait-times", "no start-up delay", edited(t, full, "/system/heater/start_up_delay", "/system/fixtures/0/hot_flow_basis", "/system/pipes/3")},
		example{"/v1/dead-legs", "trace behind cold water", edited(t, full, "/system/pipes/3")},
	)
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
