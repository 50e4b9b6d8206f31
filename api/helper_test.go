package api_test

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/getkin/kin-openapi/routers"
	"github.com/getkin/kin-openapi/routers/legacy"
	"github.com/rs/zerolog"

	"recirc/api"
	"recirc/openapi"
)

// newServer makes a server as the binary does, silent unless it is told
// otherwise.
func newServer(t testing.TB, change ...func(*api.Config)) *api.Server {
	t.Helper()
	cfg := api.Config{Limits: api.DefaultLimits(), BudgetBytes: 256 << 20, Log: zerolog.Nop()}
	for _, c := range change {
		c(&cfg)
	}
	s, err := api.NewServer(cfg)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func withLimits(l api.Limits) func(*api.Config) {
	return func(c *api.Config) { c.Limits = l }
}

// answer is a response, read whole.
type answer struct {
	status int
	header http.Header
	body   []byte
}

// ask sends one request straight to the handler; headers go name, value, name,
// value.
func ask(h http.Handler, method, target string, body io.Reader, headers ...string) answer {
	r := httptest.NewRequest(method, target, body)
	for i := 0; i+1 < len(headers); i += 2 {
		r.Header.Add(headers[i], headers[i+1])
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return answer{w.Code, w.Result().Header, w.Body.Bytes()}
}

func get(h http.Handler, target string, headers ...string) answer {
	return ask(h, http.MethodGet, target, nil, headers...)
}

// post sends a JSON body.
func post(h http.Handler, target, body string, headers ...string) answer {
	return ask(h, http.MethodPost, target, strings.NewReader(body), append(headers, "Content-Type", "application/json")...)
}

// problem is an RFC 9457 document as this service writes it.
type problem struct {
	Type      string        `json:"type"`
	Title     string        `json:"title"`
	Status    int           `json:"status"`
	Detail    string        `json:"detail"`
	Instance  string        `json:"instance"`
	RequestID string        `json:"request_id"`
	TraceID   string        `json:"trace_id"`
	Errors    []listedFault `json:"errors"`
	LeftOut   int           `json:"errors_left_out"`
}

type listedFault struct {
	Pointer   *string `json:"pointer"`
	Parameter *string `json:"parameter"`
	Code      string  `json:"code"`
	Detail    string  `json:"detail"`
}

// String is the place and the code, as the tables of these tests write them.
func (f listedFault) String() string {
	switch {
	case f.Parameter != nil:
		return "?" + *f.Parameter + " " + f.Code
	case f.Pointer == nil:
		return "nowhere " + f.Code
	case *f.Pointer == "":
		return "root " + f.Code
	}
	return *f.Pointer + " " + f.Code
}

func (p *problem) faults() []string {
	var all []string
	for _, f := range p.Errors {
		all = append(all, f.String())
	}
	return all
}

// problem reads a problem document and checks what every one of them promises.
func (a answer) problem(t testing.TB) *problem {
	t.Helper()
	if got := a.header.Get("Content-Type"); got != "application/problem+json" {
		t.Errorf("a problem has content type %q", got)
	}
	var p problem
	d := json.NewDecoder(bytes.NewReader(a.body))
	d.DisallowUnknownFields()
	if err := d.Decode(&p); err != nil {
		t.Fatalf("no problem document: %v\n%s", err, a.body)
	}
	if p.Status != a.status {
		t.Errorf("the document says status %d, the response %d", p.Status, a.status)
	}
	if id := a.header.Get("X-Request-Id"); id == "" || p.RequestID != id || p.Instance != "urn:recirc:request:"+id {
		t.Errorf("request_id %q, instance %q, X-Request-Id %q do not agree", p.RequestID, p.Instance, id)
	}
	return &p
}

// contract is the published document, with a judge of requests and answers.
type contract struct {
	doc    *openapi3.T
	router routers.Router
}

var theContract = sync.OnceValues(func() (*contract, error) {
	doc, err := openapi3.NewLoader().LoadFromData(openapi.JSON())
	if err != nil {
		return nil, err
	}
	router, err := legacy.NewRouter(doc)
	if err != nil {
		return nil, err
	}
	return &contract{doc, router}, nil
})

func loadContract(t testing.TB) *contract {
	t.Helper()
	c, err := theContract()
	if err != nil {
		t.Fatalf("the contract does not load: %v", err)
	}
	return c
}

func (c *contract) schema(t testing.TB, name string) *openapi3.Schema {
	t.Helper()
	ref := c.doc.Components.Schemas[name]
	if ref == nil {
		t.Fatalf("the contract has no schema %s", name)
	}
	return ref.Value
}

// requestBody is the schema of the body of an operation.
func (c *contract) requestBody(t testing.TB, path string) *openapi3.Schema {
	t.Helper()
	return c.doc.Paths.Find(path).Post.RequestBody.Value.Content["application/json"].Schema.Value
}

func (c *contract) input(t testing.TB, method, target, body string) *openapi3filter.RequestValidationInput {
	t.Helper()
	r := httptest.NewRequest(method, target, strings.NewReader(body))
	r.Header.Set("Content-Type", "application/json")
	route, parameters, err := c.router.FindRoute(r)
	if err != nil {
		t.Fatalf("the contract has no %s %s: %v", method, target, err)
	}
	return &openapi3filter.RequestValidationInput{
		Request: r, PathParams: parameters, Route: route,
		Options: &openapi3filter.Options{MultiError: true, SkipSettingDefaults: true},
	}
}

// allowsRequest fails the test if the contract refuses the request.
func (c *contract) allowsRequest(t testing.TB, method, target, body string) {
	t.Helper()
	if err := openapi3filter.ValidateRequest(t.Context(), c.input(t, method, target, body)); err != nil {
		t.Errorf("%s %s: the contract refuses the request: %v", method, target, err)
	}
}

// allowsAnswer fails the test if status, headers or body break the contract.
func (c *contract) allowsAnswer(t testing.TB, method, target string, got answer) {
	t.Helper()
	if err := c.judge(t, method, target, got); err != nil {
		t.Errorf("%s %s: the answer breaks the contract: %v\n%.2000s", method, target, err, got.body)
	}
}

func (c *contract) judge(t testing.TB, method, target string, got answer) error {
	t.Helper()
	kind, _, _ := strings.Cut(got.header.Get("Content-Type"), ";")
	in := &openapi3filter.ResponseValidationInput{
		RequestValidationInput: c.input(t, method, target, ""),
		Status:                 got.status,
		Header:                 got.header,
		Options: &openapi3filter.Options{
			IncludeResponseStatus: true, MultiError: true,
			ExcludeResponseBody: !strings.HasSuffix(kind, "json"), // the rest is opaque text
		},
	}
	return openapi3filter.ValidateResponse(t.Context(), in.SetBodyBytes(got.body))
}

const (
	deadLegsPath, waitTimesPath, heatLossesPath = "/v1/dead-legs", "/v1/wait-times", "/v1/heat-losses"
	loopDesignsPath, loopSimulationsPath        = "/v1/loop-designs", "/v1/loop-simulations"
	pumpSelectionsPath                          = "/v1/pump-selections"
	designChecksPath                            = "/v1/design-checks"
	controlSimulationsPath                      = "/v1/control-simulations"
	retrofitComparisonsPath                     = "/v1/retrofit-comparisons"
)

// calculationPaths are those of all calculations; drawnPaths of those that have
// a picture.
var (
	calculationPaths = []string{deadLegsPath, waitTimesPath, heatLossesPath, loopDesignsPath, loopSimulationsPath, pumpSelectionsPath, controlSimulationsPath, retrofitComparisonsPath, designChecksPath}
	drawnPaths       = calculationPaths[1:8]
	loopPaths        = calculationPaths[3:6] // those that look at the loop of a system
)

// fullBody is a request that uses every member of the system document.
func fullBody(t testing.TB) string {
	t.Helper()
	text, err := os.ReadFile("testdata/full.json")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// fullRequest is a good request of one operation with every member that its body
// may have, but for those that exclude others: see [everyMember].
func fullRequest(t testing.TB, path string) string {
	t.Helper()
	return edited(t, fullBody(t), map[string][]string{
		deadLegsPath: {`/limits = ["ipc_607_2"]`, `/detail = "pipes"`, `/unit_system = "si"`, `/show_working = false`},
		waitTimesPath: {
			`/method = "thermal"`, `/usable_temperature = {"value":104,"unit":"degF"}`, `/show_curves = false`,
			`/start = {"state":"left_over","temperature":{"value":50,"unit":"degC"},"idle_time":{"value":20,"unit":"min"}}`,
			`/unit_system = "us_customary"`, `/show_working = false`,
		},
		heatLossesPath: {
			`/water_temperature = {"value":140,"unit":"degF"}`, `/flow = {"value":3,"unit":"L/min"}`,
			`/pipe_flows = [{"pipe":"back","flow":{"value":0.5,"unit":"gal/min"}}]`,
			`/cool_down_to = [{"value":45,"unit":"degC"},{"value":104,"unit":"degF"}]`, `/hours_per_year = 6000`,
			`/unit_system = "us_customary"`, `/show_working = false`,
			`/insulate_with = ` + written(t, valueAt(parsed(t, fullBody(t)), []string{"system", "defaults", "insulation"})),
		},
		designChecksPath: fullCheck(t),
		loopDesignsPath:  append([]string{`/unit_system = "us_customary"`, `/show_working = false`}, fullDesign...),
		pumpSelectionsPath: append([]string{
			`/duty = {"basis":"heat_loss"}`, `/candidates = ` + fullCandidates,
			`/limits = {"greatest_velocity":{"value":5,"unit":"ft/s"},"tightest_inside_diameter":{"value":0.5,"unit":"in"},"greatest_excess_flow":2.5,"drinking_water_approval":true}`,
			`/conditions = {"water_temperature":{"value":52,"unit":"degC"},"greatest_pressure":{"value":80,"unit":"psi"},` +
				`"suction":{"pressure":{"value":1,"unit":"bar"},"elevation":{"value":-3,"unit":"ft"},"head_loss":{"value":0.2,"unit":"m"},"air_pressure":{"value":95,"unit":"kPa"}}}`,
			`/running = {"hours_per_year":6000}`, `/electricity_price = {"amount":0.17,"currency":"USD","per":"kWh"}`,
			`/ranking = {"by":"life_cycle_cost","years":15,"discount_rate":0.03}`, `/unit_system = "us_customary"`, `/show_working = false`,
		}, fullDesign...),
		loopSimulationsPath: {
			`/pump = {"mode":"constant_speed","curve":[{"flow":{"value":0,"unit":"L/min"},"head":{"value":8,"unit":"ft"}},{"flow":{"value":6,"unit":"gal/min"},"head":{"value":1,"unit":"ft"}}],"speed":0.9}`,
			`/draws = [{"fixture":"sink","flow":{"value":1,"unit":"gal/min"}}]`, `/node_elevations = [{"node":"landing","elevation":{"value":24,"unit":"ft"}}]`,
			`/target = {"at":"return_ends","drop":{"value":9,"unit":"degF"}}`, `/measured_returns = [{"pipe":"back","temperature":{"value":118,"unit":"degF"}}]`,
			`/velocity_rule = "copper_handbook"`, losses, `/unit_system = "us_customary"`, `/show_working = false`,
		},
		controlSimulationsPath: append([]string{
			`/arrangement = ` + fullArrangement(t), `/span = "weekend"`, `/month = 4`, `/nodes = ["kitchen","plant"]`,
			`/propose = {"covered_share":0.8,"before_draw":{"value":20,"unit":"min"},"after_draw":{"value":6,"unit":"min"},"margin":{"value":9,"unit":"degF"},"gap":{"value":6,"unit":"K"}}`,
			`/unit_system = "us_customary"`, `/show_working = false`,
		}, fullYear...),
		retrofitComparisonsPath: append([]string{
			`/arrangements = [` + fullArrangement(t) + `,{"id":"as it is","type":"none"}]`, `/baseline = "as it is"`,
			`/heater_energy = {"carrier":"natural_gas","efficiency":0.8,"standby_loss":{"value":60,"unit":"W"},"return_penalty":{"from":{"value":20,"unit":"degC"},"share":0.002}}`,
			`/prices = {"electricity":{"amount":0.2,"currency":"USD","per":"kWh"},"heater_energy":{"amount":1.2,"currency":"USD","per":"therm"},"water":{"amount":2,"currency":"USD","per":"m3"},` +
				`"sewer":{"amount":0.01,"currency":"USD","per":"gal"},"escalation":{"electricity":0.01,"heater_energy":0.02,"water":0.03,"maintenance":0}}`,
			`/emission_factors = {"electricity":{"value":0.4,"unit":"kg/kWh"},"heater_energy":{"value":53,"unit":"kg/MMBtu"}}`,
			`/life_cycle = {"years":15,"discount_rate":0.05,"basis":"nominal","inflation":0.02}`,
			`/ranking = {"by":"weights","weights":{"net_present_cost":3,"yearly_cost":1,"water":1,"energy":1,"emissions":1,"waits":2}}`,
			`/served_within = [{"value":15,"unit":"s"}]`, `/ranges = [{"input":"pipe_heat_loss","low":0.8,"high":1.5}]`, `/unit_system = "us_customary"`, `/show_working = false`,
		}, fullYear...),
	}[path]...)
}

// fullArrangement has every member that a dedicated return takes, with a variant of
// the full system.
func fullArrangement(t testing.TB) string {
	t.Helper()
	return `{"id":"return","type":"dedicated_return","fixtures":["basin"],"pump":{"flow":{"value":1,"unit":"gal/min"},"power":{"value":20,"unit":"W"},"heat_to_water":0.6},
"control":{"type":"timer_and_aquastat","windows":[{"days":"weekday","from":"06:00","to":"08:30:30"},{"from":"17:00","to":"24:00"}],
  "aquastat":{"start":{"value":85,"unit":"degF"},"stop":{"value":105,"unit":"degF"}},"sensor_node":"plant","least_run":{"value":1,"unit":"min"},"least_rest":{"value":2,"unit":"min"}},
"insulation":` + written(t, valueAt(parsed(t, fullBody(t)), []string{"system", "pipes", "0", "insulation"})) + `,
"install_cost":{"labour":{"amount":700,"currency":"USD"},"materials":[{"item":"pump","cost":{"amount":300,"currency":"USD"}}]},
"yearly_maintenance":{"amount":20,"currency":"USD"},"replacements":[{"year":10,"cost":{"amount":350,"currency":"USD"}}],"residual_value":{"amount":50,"currency":"USD"},
"system":` + written(t, valueAt(parsed(t, fullBody(t)), []string{"system"})) + `}`
}

// fullYear is who draws in what climate, with every member.
var fullYear = []string{
	`/draws = {"pattern":"us_low","daily_volume":{"value":40,"unit":"gal"},"begins_at":"06:15","weekend":{"pattern":"us_medium","daily_volume":{"value":200,"unit":"L"},"begins_at":"07:30"},` +
		`"shares":[{"fixture":"sink","share":1},{"fixture":"basin","share":2}],"monthly_factors":[1,1,1,1,1,0.9,0.8,0.8,1,1,1,1.1],"usable_temperature":{"value":40,"unit":"degC"},"longest_wait":{"value":4,"unit":"min"},` +
		`"events":[{"fixture":"basin","at":"22:10","volume":{"value":1,"unit":"L"},"flow":{"value":3,"unit":"L/min"},"days":"weekend","water":"hot"}]}`,
	`/conditions = {"climate":{"mean_air_temperature":{"value":50,"unit":"degF"},"air_temperature_swing":{"value":40,"unit":"degF"},"southern_hemisphere":false},` +
		`"air_temperatures":[` + strings.Repeat(`{"value":20,"unit":"degC"},`, 11) + `{"value":66,"unit":"degF"}],"heating_season":{"months":[10,11,12,1,2,3],"useful_share":0.5}}`,
}

// fullDesign is how a loop is designed, with every member.
var fullDesign = []string{
	`/target = {"at":"return_connections","drop":{"value":5,"unit":"K"}}`, `/least_connection_flow = {"value":0.2,"unit":"L/min"}`,
	`/connections = [{"pipe":"back","least_flow":{"value":0.1,"unit":"gal/min"},"least_temperature":{"value":48,"unit":"degC"}}]`,
	`/return_sizing = {"rule":"copper_handbook","series":"copper_type_l","greatest_velocity":{"value":3,"unit":"ft/s"},"least_velocity":{"value":0.1,"unit":"m/s"},` +
		`"greatest_friction":{"value":4,"unit":"psi/(100.ft)"},"least_inside_diameter":{"value":10,"unit":"mm"}}`,
	losses, `/activation_margin = 1.2`,
}

// fullCandidates are invented pumps that together have every member.
const fullCandidates = `[
{"id":"speeds","curve":[{"flow":{"value":0,"unit":"L/min"},"head":{"value":6,"unit":"ft"},"power":{"value":9,"unit":"W"}},
  {"flow":{"value":2,"unit":"gal/min"},"head":{"value":5,"unit":"ft"},"power":{"value":14,"unit":"W"}},{"flow":{"value":4,"unit":"gal/min"},"head":{"value":2,"unit":"ft"},"power":{"value":16,"unit":"W"}}],
  "speeds":[1,0.7],"arrangement":"duty_and_standby","drinking_water_approved":true,"temperature_rating":{"value":203,"unit":"degF"},"pressure_rating":{"value":10,"unit":"bar"},
  "npsh_required":[{"flow":{"value":0,"unit":"L/min"},"head":{"value":0.5,"unit":"m"}},{"flow":{"value":4,"unit":"gal/min"},"head":{"value":4,"unit":"ft"}}],
  "price":{"amount":140,"currency":"USD"},"connection":"3/4 in"},
{"id":"range","curve":[{"flow":{"value":0,"unit":"L/min"},"head":{"value":9,"unit":"ft"}},{"flow":{"value":25,"unit":"L/min"},"head":{"value":1,"unit":"ft"}}],
  "speed_range":{"least":0.3,"greatest":1}},
{"id":"held","curve":[{"flow":{"value":0,"unit":"L/min"},"head":{"value":9,"unit":"ft"}},{"flow":{"value":25,"unit":"L/min"},"head":{"value":1,"unit":"ft"}}],
  "control":{"mode":"proportional_pressure","set_head":{"value":4,"unit":"ft"},"set_flow":{"value":15,"unit":"L/min"},"adjustable":false}}]`

const losses = `/losses = {"friction":"hazen_williams","hazen_williams_c":140,"fittings":"length_allowance","length_allowance":0.25}`

func parsed(t testing.TB, text string) any {
	t.Helper()
	var v any
	if err := json.Unmarshal([]byte(text), &v); err != nil {
		t.Fatalf("%v in %.200s", err, text)
	}
	return v
}

func written(t testing.TB, v any) string {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// edited changes a JSON text. An edit is POINTER = VALUE, which sets a member or
// an item (- appends), or POINTER alone, which takes it away. Members come out
// in the order of their names.
func edited(t testing.TB, text string, edits ...string) string {
	t.Helper()
	root := parsed(t, text)
	for _, e := range edits {
		pointer, value, set := strings.Cut(e, " = ")
		path := pathTo(pointer)
		var v any
		if set {
			v = json.RawMessage(value) // a number too large for Go stays as it is
		}
		var ok bool
		if root, ok = edit(root, path, v); !ok {
			t.Fatalf("the edit %q finds nothing", e)
		}
	}
	return written(t, root)
}

// edit gives the tree with the value at path replaced, or taken away if it is
// nil.
func edit(tree any, path []string, value any) (any, bool) {
	if len(path) == 0 {
		return value, true
	}
	if raw, ok := tree.(json.RawMessage); ok { // set by an earlier edit
		if json.Unmarshal(raw, &tree) != nil {
			return nil, false
		}
	}
	switch node := tree.(type) {
	case map[string]any:
		child, exists := node[path[0]]
		if len(path) > 1 || value == nil {
			if !exists {
				return nil, false
			}
		}
		child, ok := edit(child, path[1:], value)
		if node[path[0]] = child; child == nil {
			delete(node, path[0])
		}
		return node, ok
	case []any:
		if path[0] == "-" && len(path) == 1 && value != nil {
			return append(node, value), true
		}
		i, err := strconv.Atoi(path[0])
		if err != nil || i < 0 || i >= len(node) {
			return nil, false
		}
		child, ok := edit(node[i], path[1:], value)
		if node[i] = child; child == nil {
			node = slices.Delete(node, i, i+1)
		}
		return node, ok
	}
	return nil, false
}
