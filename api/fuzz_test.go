package api_test

import (
	"encoding/json"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"recirc/api"
)

// The fuzz tests send any text to a calculation: it answers 200 or a problem with
// a 4xx status, in JSON that the contract allows, points to what there is, gives
// the same bytes twice, and never breaks or hangs. Pools below make its coverage
// vary: fuzz with -fuzzminimizetime 1x.

func FuzzDeadLegs(f *testing.F) {
	seedSystems(f, deadLegsPath)
	fuzzBodies(f, deadLegsPath, "DeadLegsAnswer")
}

func FuzzDesignChecks(f *testing.F) {
	seedSystems(f, designChecksPath)
	full := fullRequest(f, designChecksPath)
	for _, e := range []string{"/facts", "/sets", "/control", "/as_of", "/every_element = true", "/show_working = true", "/limits\n/waivers", `/waivers/0/element = ""`, `/facts = {}`} {
		f.Add([]byte(edited(f, full, strings.Split(e, "\n")...)))
	}
	for _, number := range edgeNumbers {
		f.Add([]byte(edited(f, full, `/limits/0/limit/value = `+number)))
		f.Add([]byte(edited(f, full, `/facts/storage_volume/value = `+number)))
		f.Add([]byte(edited(f, full, `/facts/circulation_flow/value = `+number)))
	}
	fuzzBodies(f, designChecksPath, "DesignCheckAnswer")
}

func FuzzWaitTimes(f *testing.F) {
	seedSystems(f, waitTimesPath)
	full := fullRequest(f, waitTimesPath)
	for _, e := range []string{
		`/method = "plug_flow"`, "/show_curves = true\n/show_working = true", "/usable_temperature\n/usable_rise = {\"value\":1,\"unit\":\"K\"}",
		`/start = {"state":"surroundings"}`, `/start = {"state":"given","temperature":{"value":60,"unit":"degC"}}` + "\n/system/pipes/3",
		`/system/fixtures/0/node = "plant"`, `/system/pipes/1/heat_trace`,
		`/system/defaults/surroundings = {"type":"still_air","temperature":{"value":52,"unit":"degC"}}` + "\n/show_curves = true",
		`/system/mixing_valve/outlet_temperature = {"value":0,"unit":"degC"}` + "\n" + `/system/defaults/surroundings/temperature/value = -60`,
	} {
		f.Add([]byte(edited(f, full, strings.Split(e, "\n")...)))
	}
	for _, number := range edgeNumbers {
		f.Add([]byte(edited(f, full, `/usable_temperature = {"value":`+number+`,"unit":"K"}`)))
		f.Add([]byte(edited(f, full, "/usable_temperature", `/usable_rise = {"value":`+number+`,"unit":"K"}`)))
		f.Add([]byte(edited(f, full, `/start/idle_time/value = `+number)))
		f.Add([]byte(edited(f, full, `/system/fixtures/1/hot_flow = {"value":`+number+`,"unit":"m3/s"}`, "/show_curves = true")))
		f.Add([]byte(edited(f, full, `/system/pipes/2/length = {"value":`+number+`,"unit":"m"}`)))
	}
	fuzzBodies(f, waitTimesPath, "WaitTimesAnswer")
}

func FuzzHeatLosses(f *testing.F) {
	seedSystems(f, heatLossesPath)
	full := fullRequest(f, heatLossesPath)
	for _, e := range []string{
		"/flow\n/pipe_flows\n/show_working = true", "/insulate_with", `/pipe_flows/0/pipe = "attic"`, "/system/fixtures", "/hours_per_year = 0",
		`/water_temperature = {"value":22,"unit":"degC"}`, `/cool_down_to = [{"value":0,"unit":"degC"},{"value":110,"unit":"degC"}]`,
		"/system/pipes/0/surface_emissivity = 0\n/system/pipes/0/fittings_allowance = 2", `/system/pipes/0/surroundings/type = "still_air"`,
	} {
		f.Add([]byte(edited(f, full, strings.Split(e, "\n")...)))
	}
	for _, number := range edgeNumbers {
		for _, at := range []string{
			"/flow/value", "/cool_down_to/0/value", "/hours_per_year", "/insulate_with/outer_layers/0/thickness/value", "/insulate_with/outer_layers/0/conductivity/value",
			"/system/pipes/0/surface_emissivity", "/system/pipes/0/surroundings/air_speed/value", "/system/pipes/1/surroundings/depth/value",
			"/system/pipes/3/surroundings/surface_coefficient/value", "/system/pipes/1/insulation/r_value/value", "/system/pipes/0/length/value",
		} {
			f.Add([]byte(edited(f, full, at+" = "+number)))
		}
	}
	fuzzBodies(f, heatLossesPath, "HeatLossesAnswer")
}

func FuzzLoopDesigns(f *testing.F) {
	seedSystems(f, loopDesignsPath)
	full := fullRequest(f, loopDesignsPath)
	for _, e := range append(loopEdits,
		`/system/pipes/3/tube = {}`+"\n/return_sizing", "/connections\n/return_sizing/least_velocity\n/show_working = true", `/connections/- = {"pipe":"back"}`,
		`/connections/0/pipe = "attic"`, `/target/at = "return_ends"`, `/target/at = "heater"`, `/activation_margin = 3`, `/return_sizing/rule = "nf_dtu_60_11"`,
	) {
		f.Add([]byte(edited(f, full, strings.Split(e, "\n")...)))
	}
	for _, number := range edgeNumbers {
		for _, at := range append(loopNumbers,
			"/target/drop/value", "/least_connection_flow/value", "/connections/0/least_flow/value", "/return_sizing/greatest_velocity/value",
			"/return_sizing/least_velocity/value", "/return_sizing/greatest_friction/value", "/return_sizing/least_inside_diameter/value", "/activation_margin",
		) {
			f.Add([]byte(edited(f, full, at+" = "+number)))
		}
	}
	fuzzBodies(f, loopDesignsPath, "LoopDesignAnswer")
}

func FuzzLoopSimulations(f *testing.F) {
	seedSystems(f, loopSimulationsPath)
	full := fullRequest(f, loopSimulationsPath)
	for _, e := range append(loopEdits,
		`/pump = {"mode":"off"}`, `/pump = {"mode":"constant_pressure","set_head":{"value":1,"unit":"m"}}`, "/pump/curve", `/pump/curve/1/flow/value = 0`,
		`/pump = {"mode":"proportional_pressure","set_head":{"value":1,"unit":"m"},"set_flow":{"value":5,"unit":"L/min"}}`,
		"/draws\n/show_working = true", `/draws/- = {"fixture":"basin"}`, `/draws/0/flow = {"value":100,"unit":"L/min"}`, `/node_elevations/0/node = "roof"`, "/measured_returns",
	) {
		f.Add([]byte(edited(f, full, strings.Split(e, "\n")...)))
	}
	for _, number := range edgeNumbers {
		for _, at := range append(loopNumbers,
			"/pump/curve/0/head/value", "/pump/curve/1/flow/value", "/pump/curve/1/head/value", "/pump/speed", "/draws/0/flow/value", "/node_elevations/0/elevation/value",
		) {
			f.Add([]byte(edited(f, full, at+" = "+number)))
		}
		f.Add([]byte(edited(f, full, `/measured_returns/0/temperature = {"value":`+number+`,"unit":"K"}`)))
	}
	fuzzBodies(f, loopSimulationsPath, "LoopSimulationAnswer")
}

func FuzzPumpSelections(f *testing.F) {
	seedSystems(f, pumpSelectionsPath)
	full := fullRequest(f, pumpSelectionsPath)
	given := edited(f, full, append(slices.Clone(alone), givenDuty, "/candidates/- = "+humped)...)
	for _, e := range append(loopEdits,
		"/limits\n/conditions\n/running\n/electricity_price\n/ranking", "/limits/tightest_inside_diameter", `/candidates/2/control = {"mode":"constant_pressure","adjustable":true}`,
		`/candidates/1/arrangement = "two_in_parallel"`, `/ranking/by = "price"`+"\n/show_working = true", `/candidates/0/curve/1/flow/value = 0`, `/candidates/0/price/currency = "EUR"`,
	) {
		f.Add([]byte(edited(f, full, strings.Split(e, "\n")...)))
	}
	for _, e := range []string{
		`/system_curve = ` + lifted, `/duty/head`, `/running = {"control":"aquastat","running_share":0.3}`, `/candidates/1/speed_range = {"least":0.1,"greatest":2}`, `/candidates/2/control/adjustable = true`,
		`/duty = {"basis":"fill_time","time":{"value":20,"unit":"s"},"volume":{"value":3,"unit":"L"},"pressure":{"value":2,"unit":"psi"}}`,
		`/system_curve = {"points":[` + curvePoint + `,{"flow":{"value":3,"unit":"L/min"},"head":{"value":4,"unit":"m"}}]}`,
	} {
		f.Add([]byte(edited(f, given, e)))
	}
	for _, number := range edgeNumbers {
		for _, at := range []string{
			"/duty/flow/value", "/duty/head/value", "/candidates/0/curve/0/head/value", "/candidates/0/curve/1/head/value", "/candidates/0/curve/1/power/value", "/candidates/0/curve/2/flow/value",
			"/candidates/0/speeds/0", "/candidates/1/speed_range/least", "/candidates/2/control/set_head/value", "/candidates/2/control/set_flow/value", "/candidates/0/price/amount",
			"/candidates/0/npsh_required/1/head/value", "/limits/tightest_inside_diameter/value", "/limits/greatest_excess_flow", "/conditions/suction/pressure/value", "/electricity_price/amount",
			"/ranking/discount_rate", "/ranking/years",
		} {
			f.Add([]byte(edited(f, given, at+" = "+number)))
		}
		f.Add([]byte(edited(f, given, `/system_curve = {"points":[{"flow":{"value":`+number+`,"unit":"m3/s"},"head":{"value":1,"unit":"m"}}]}`)))
		f.Add([]byte(edited(f, given, `/duty/flow = {"value":`+number+`,"unit":"m3/s"}`)))
	}
	fuzzBodies(f, pumpSelectionsPath, "PumpSelectionAnswer")
}

// loopEdits and loopNumbers are what both operations on loops read.
var (
	loopEdits = []string{
		"/target\n/losses", "/system/mixing_valve", "/system/pipes/3", `/system/pipes/3/valves = []`, `/system/pipes/3/valves/0 = {"type":"balancing","kv":{"value":0,"unit":"m3/h"}}`,
		"/system/heater/rated_loss\n" + `/system/heater/kv = {"value":2,"unit":"m3/h"}`, `/losses = {"fittings":"equivalent_length"}`, `/losses = {"friction":"hazen_williams","hazen_williams_c":130}`,
		`/system/heater/outlet_temperature = {"value":10,"unit":"degC"}`, `/system/pipes/0/surroundings/temperature = {"value":110,"unit":"degC"}`,
	}
	loopNumbers = []string{
		"/system/heater/rated_loss/flow/value", "/system/heater/rated_loss/pressure/value", "/system/mixing_valve/least_flow/value", "/system/pipes/3/valves/0/kv/value",
		"/system/pipes/3/valves/0/smallest_kv/value", "/system/pipes/3/valves/0/temperature_band/value", "/system/pipes/3/length/value", "/system/pipes/3/tube/inside_diameter/value",
		"/losses/hazen_williams_c", "/losses/length_allowance",
	}
)

// edgeNumbers are those at which floats end, and some beyond.
var edgeNumbers = []string{"1e-320", "5e-324", "1e-400", "1e308", "1.7976931348623157e308", "1e999", "-0", "-0.0", "0", "1e22", "0.1e+1", "123456789012345678901234567890"}

// seedSystems adds what every calculation reads.
func seedSystems(f *testing.F, path string) {
	for _, e := range examplesOf(f, loadContract(f)) {
		f.Add([]byte(e.body))
	}
	f.Add([]byte(fullBody(f)))
	f.Add([]byte(everyMember(f, path)))
	for _, row := range textInputs() {
		if len(row.body) < 10_000 {
			f.Add([]byte(row.body))
		}
	}
	for _, number := range edgeNumbers {
		f.Add([]byte(houseWith(`"value":8`, `"value":`+number)))      // a length
		f.Add([]byte(houseWith(`"value":13`, `"value":`+number)))     // a bore
		f.Add([]byte(houseWith(`"value":3,`, `"value":`+number+`,`))) // a flow
		f.Add([]byte(houseWith(`"type":"storage"`, `"type":"tankless","start_up_delay":{"value":`+number+`,"unit":"s"}`)))
		f.Add([]byte(houseWith(`"role":"supply"`, `"role":"supply","fittings":[{"type":"union","count":`+number+`}]`)))
	}
}

// longest is a time that no request of the sizes below comes near, on whatever
// machine: the worst hot front takes about two seconds, and 64 KiB hold few.
const longest = 2 * time.Minute

func fuzzBodies(f *testing.F, path, schema string) {
	check := newBodyCheck(f, path, schema)
	f.Fuzz(func(t *testing.T, text []byte) {
		got := check.answer(t, string(text))
		again := post(check.server, path, string(text), "X-Request-Id", got.header.Get("X-Request-Id"))
		if string(again.body) != string(got.body) {
			t.Fatalf("the second answer differs:\n%s\n%s", got.body, again.body)
		}
	})
}

// bodyCheck checks what one calculation makes of a text.
type bodyCheck struct {
	contract     *contract
	server       http.Handler
	path, schema string
	drawn        bool // it has a picture
}

func newBodyCheck(f *testing.F, path, schema string) *bodyCheck {
	c := loadContract(f)
	drawn := c.doc.Paths.Find(path).Post.Responses.Status(200).Value.Content[svg] != nil
	return &bodyCheck{c, newServer(f, withLimits(api.Limits{BodyBytes: 1 << 16, MostPipes: 20})), path, schema, drawn}
}

func (b *bodyCheck) answer(t *testing.T, text string) answer {
	t.Helper()
	defer hangs(b.path, text)()
	got, schema := post(b.server, b.path, text), b.schema
	switch {
	case got.status == http.StatusOK:
	case got.status >= 400 && got.status < 500:
		schema = "Problem"
		got.problem(t)
	default:
		t.Fatalf("status %d: %s\n%s", got.status, got.body, text)
	}
	if !utf8.Valid(got.body) {
		t.Fatalf("no UTF-8: %q", got.body)
	}
	var value any
	if err := json.Unmarshal(got.body, &value); err != nil { // refuses a number too large, too
		t.Fatalf("%v: %s", err, got.body)
	}
	if err := b.contract.schema(t, schema).VisitJSON(value); err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	checkPointers(t, got, text)
	if got.status == http.StatusOK {
		checkNotes(t, got, text)
	}
	if b.drawn {
		b.picture(t, text, got)
	}
	return got
}

// picture holds the picture against the answer in words. It has curves, so those
// words must have them too.
func (b *bodyCheck) picture(t *testing.T, text string, words answer) {
	t.Helper()
	if words.status == http.StatusOK && b.path == waitTimesPath && !strings.Contains(text, `"show_curves":true`) {
		words = post(b.server, b.path, edited(t, text, "/show_curves = true"))
	}
	picture := post(b.server, b.path, text, "Accept", svg)
	if picture.status != words.status {
		t.Fatalf("the picture has status %d, the words %d: %s\n%s", picture.status, words.status, picture.body, text)
	}
	if picture.status != http.StatusOK {
		picture.problem(t)
	} else if err := wellFormed(picture.body); err != nil || !utf8.Valid(picture.body) {
		t.Fatalf("%v: %q\n%s", err, picture.body, text)
	}
}

// hangs ends the process, and shows the text, if what is done until the function
// it gives is called takes too long.
func hangs(path, text string) func() {
	alarm := time.AfterFunc(longest, func() { panic(path + " hangs on " + text) })
	return func() { alarm.Stop() }
}

// checkPointers follows every pointer of a problem into the body, except those
// to what is missing.
func checkPointers(t *testing.T, got answer, text string) {
	t.Helper()
	var root any
	if got.status != http.StatusUnprocessableEntity || json.Unmarshal([]byte(text), &root) != nil {
		return
	}
	for _, f := range got.problem(t).Errors {
		if f.Pointer == nil {
			t.Fatalf("the fault %s has no place", f)
		}
		missing := strings.HasSuffix(f.Code, "_missing") || f.Code == "tube_incomplete" || f.Code == "answer_too_large"
		if !missing && *f.Pointer != "" && !leadsSomewhere(root, pathTo(*f.Pointer)) {
			t.Fatalf("the fault %s stands nowhere in %s", f, text)
		}
	}
}

func leadsSomewhere(tree any, path []string) bool {
	if len(path) == 0 {
		return true
	}
	switch node := tree.(type) {
	case map[string]any:
		child, ok := node[path[0]]
		return ok && leadsSomewhere(child, path[1:])
	case []any:
		i, err := strconv.Atoi(path[0])
		return err == nil && i < len(node) && leadsSomewhere(node[i], path[1:])
	}
	return false
}

// yearEdits change who draws and what draws are given to.
var yearEdits = []string{
	"/draws/events\n/conditions", "/draws/pattern\n/draws/daily_volume\n/draws/begins_at\n/draws/weekend\n/draws/shares", `/draws/events/0/water = "cold"`, `/draws/events/0/water = "hot_as_it_comes"`,
	`/draws/monthly_factors = [0,0,0,0,0,0,0,0,0,0,0,0]`, "/system/mixing_valve", `/system/heater/type = "storage"`,
}

// arrangementEdits change the arrangement of the full requests to one of each type.
func arrangementEdits(at string) []string {
	const pump = `"pump":{"flow":{"value":3,"unit":"L/min"},"power":{"value":20,"unit":"W"}}`
	all := yearEdits[:len(yearEdits):len(yearEdits)]
	for _, a := range []string{
		`"type":"none"`, `"type":"dedicated_return",` + pump, `"type":"cold_line_return",` + pump, `"type":"on_demand_at_fixture",` + pump,
		`"type":"heat_traced","heat_trace":{"maintained_temperature":{"value":45,"unit":"degC"}}`,
		`"type":"point_of_use_heater","local_heater":{"volume":{"value":5,"unit":"L"},"temperature":{"value":50,"unit":"degC"},"power":{"value":2,"unit":"kW"}}`,
		`"type":"better_insulation","insulation":{"thickness":{"value":30,"unit":"mm"},"conductivity":{"value":0.035,"unit":"W/(m.K)"}}`,
		`"type":"dedicated_return","control":{"type":"on_demand"},` + pump, `"type":"dedicated_return","control":{"type":"duty_cycle"},` + pump, `"type":"dedicated_return","control":{"type":"aquastat"},` + pump,
	} {
		all = append(all, at+` = {"id":"a",`+a+`}`)
	}
	return all
}

func FuzzControlSimulations(f *testing.F) {
	seedSystems(f, controlSimulationsPath)
	full := fullRequest(f, controlSimulationsPath)
	for _, e := range append(arrangementEdits("/arrangement"), `/span = "week"`, "/nodes", "/propose") {
		f.Add([]byte(edited(f, full, strings.Split(e, "\n")...)))
	}
	for _, number := range edgeNumbers {
		for _, at := range []string{"/arrangement/pump/flow/value", "/arrangement/control/aquastat/stop/value", "/draws/daily_volume/value", "/draws/events/0/volume/value", "/arrangement/system/pipes/0/length/value"} {
			f.Add([]byte(edited(f, full, at+" = "+number)))
		}
	}
	fuzzBodies(f, controlSimulationsPath, "ControlSimulationAnswer")
}

func FuzzRetrofitComparisons(f *testing.F) {
	seedSystems(f, retrofitComparisonsPath)
	full := fullRequest(f, retrofitComparisonsPath)
	for _, e := range append(arrangementEdits("/arrangements/0"), `/ranking = {"by":"waits"}`, "/ranking", "/prices", "/heater_energy", "/life_cycle", `/life_cycle/discount_rate = 0`, `/ranges/0/low = 0`, `/ranges/- = {"input":"draw_volume","low":0,"high":10}`) {
		f.Add([]byte(edited(f, full, strings.Split(e, "\n")...)))
	}
	for _, number := range edgeNumbers {
		for _, at := range []string{"/arrangements/0/pump/flow/value", "/prices/electricity/amount", "/life_cycle/discount_rate", "/heater_energy/efficiency", "/arrangements/0/install_cost/labour/amount"} {
			f.Add([]byte(edited(f, full, at+" = "+number)))
		}
	}
	fuzzBodies(f, retrofitComparisonsPath, "RetrofitComparisonAnswer")
}
