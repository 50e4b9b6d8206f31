package api_test

import (
	"fmt"
	"net/http"
	"slices"
	"strings"
	"testing"

	"recirc/api"
)

// wrongArrangements are changes to the full request for control simulations.
var wrongArrangements = []wrongSystem{
	{"no arrangement", `/arrangement`, "/arrangement field_missing"},
	{"an arrangement by its name", `/arrangement = "return"`, "/arrangement type_wrong"},
	{"an arrangement of nothing", `/arrangement = {}`, "/arrangement/id field_missing, /arrangement/type field_missing"},
	{"an arrangement that is not listed", `/arrangement/type = "gravity"`, "/arrangement/type value_not_listed"},
	{"a pump without power", `/arrangement/pump/power`, "/arrangement/pump/power field_missing"},
	{"no pump", `/arrangement/pump`, "/arrangement/pump arrangement_incomplete"},
	{"a power in horses", `/arrangement/pump/power/unit = "PS"`, "/arrangement/pump/power/unit unit_unknown"},
	{"a cable on a return", `/arrangement/heat_trace = {"maintained_temperature":{"value":45,"unit":"degC"}}`, "/arrangement/heat_trace arrangement_contradicts"},
	{"a fixture that is not there", `/arrangement/fixtures = ["attic"]`, "/arrangement/fixtures/0 fixture_unknown"},
	{"a fixture twice", `/arrangement/fixtures = ["basin","basin"]`, "/arrangement/fixtures/1 listed_twice"},
	{"no fixtures at all", `/arrangement/fixtures = []`, "/arrangement/fixtures list_length"},
	{"a kind of control that is not listed", `/arrangement/control/type = "clever"`, "/arrangement/control/type value_not_listed"},
	{"a timer without windows", `/arrangement/control/windows`, "/arrangement/control/windows control_incomplete"},
	{"windows of none", `/arrangement/control/windows = []`, "/arrangement/control/windows list_length"},
	{"a time of day by a single digit", `/arrangement/control/windows/0/from = "6:00"`, "/arrangement/control/windows/0/from time_malformed"},
	{"a time of day past midnight", `/arrangement/control/windows/0/to = "24:01"`, "/arrangement/control/windows/0/to time_malformed"},
	{"a time of day with a sign", `/arrangement/control/windows/0/to = "+8:00"`, "/arrangement/control/windows/0/to time_malformed"},
	{"a time of day with minus nothing", `/arrangement/control/windows/0/from = "-0:30"`, "/arrangement/control/windows/0/from time_malformed"},
	{"a time of day of a day that has ended", `/arrangement/control/windows/0/to = "24:00:00"`, "/arrangement/control/windows/0/to time_malformed"},
	{"seconds of 60", `/arrangement/control/windows/0/to = "08:30:60"`, "/arrangement/control/windows/0/to time_malformed"},
	{"a time of day that breaks off", `/arrangement/control/windows/0/to = "08:30:"`, "/arrangement/control/windows/0/to time_malformed"},
	{"a time of day in the digits of another script", `/arrangement/control/windows/0/to = "\u0660\u0661:00"`, "/arrangement/control/windows/0/to time_malformed"},
	{"a time of day in words", `/arrangement/control/windows/0/from = "dawn"`, "/arrangement/control/windows/0/from time_malformed"},
	{"a time of day as a number", `/arrangement/control/windows/0/from = 6`, "/arrangement/control/windows/0/from type_wrong"},
	{"a holiday", `/arrangement/control/windows/0/days = "holiday"`, "/arrangement/control/windows/0/days value_not_listed"},
	{"a window of no length", `/arrangement/control/windows/0/to = "06:00"`, "/arrangement/control/windows/0 control_contradicts"},
	{"a window of all days that begins at the end", `/arrangement/control/windows/1/from = "24:00"`, "/arrangement/control/windows/1 control_contradicts"},
	{"a draw at the end of the day", `/draws/events/0/at = "24:00"`, "/draws/events/0/at out_of_physical_range"},
	{"stop below start", `/arrangement/control/aquastat/stop/value = 80`, "/arrangement/control/aquastat control_contradicts"},
	{"a trigger of a timer", `/arrangement/control/trigger = {"kind":"occupancy"}`, "/arrangement/control/trigger control_contradicts"},
	{"a sensor nowhere", `/arrangement/control/sensor_node = "attic"`, "/arrangement/control/sensor_node node_unknown"},
	{"a sum beside its parts", `/arrangement/install_cost/sum = {"amount":1,"currency":"USD"}`, "/arrangement/install_cost/sum cost_ambiguous"},
	{"a cost below zero", `/arrangement/install_cost/labour/amount = -1`, "/arrangement/install_cost/labour/amount out_of_physical_range"},
	{"a variant without a fixture", `/arrangement/system/fixtures/1`, "/arrangement/system/fixtures variant_differs, /arrangement/system/pipes/2/to pipe_leads_nowhere"},
	{"a variant with another fixture", `/arrangement/system/fixtures/1/id = "tub"`, "/arrangement/system/fixtures variant_differs, /arrangement/system/fixtures/1/id variant_differs"},
	{"a variant whose graph is wrong", `/arrangement/system/pipes/1/from = "attic"`, "/arrangement/system/pipes/1/from node_unreachable"},
	{"a variant with a length in litres", `/arrangement/system/pipes/1/length/unit = "L"`, "/arrangement/system/pipes/1/length/unit unit_not_of_dimension"},
	{"no draws", `/draws`, "/draws field_missing"},
	{"nobody draws", `/draws = {}`, "/draws draws_incomplete"},
	{"a pattern that is not listed", `/draws/pattern = "eu_xxxl"`, "/draws/pattern value_not_listed"},
	{"shares without a pattern", `/draws/pattern`, "/draws/daily_volume draws_contradict, /draws/begins_at draws_contradict, /draws/weekend draws_contradict, /draws/shares draws_contradict"},
	{"a pattern by the clock begins", `/draws/weekend/pattern = "eu_m"`, "/draws/weekend/begins_at draws_contradict"},
	{"a share of nothing", `/draws/shares/0/fixture = "attic"`, "/draws/shares/0/fixture fixture_unknown"},
	{"a fixture shares twice", `/draws/shares/0/fixture = "basin"`, "/draws/shares/1/fixture listed_twice"},
	{"nobody shares", "/draws/shares/0/share = 0\n/draws/shares/1/share = 0", "/draws/shares draws_incomplete"},
	{"11 factors", `/draws/monthly_factors/0`, "/draws/monthly_factors list_length"},
	{"a draw at nothing", `/draws/events/0/fixture = "attic"`, "/draws/events/0/fixture fixture_unknown"},
	{"a draw of no volume", `/draws/events/0/volume/value = 0`, "/draws/events/0/volume/value out_of_physical_range"},
	{"a draw of steam", `/draws/events/0/water = "steam"`, "/draws/events/0/water value_not_listed"},
	{"a draw that lasts two days", "/draws/events/0/volume = {\"value\":10,\"unit\":\"m3\"}\n/draws/events/0/days", "/draws draws_contradict"},
	{"mains by months and by climate", `/conditions/mains_temperatures = [` + twelve + `]`, "/conditions/climate conditions_contradict"},
	{"eleven months", `/conditions/air_temperatures/0`, "/conditions/air_temperatures list_length"},
	{"a month twice", `/conditions/heating_season/months/1 = 10`, "/conditions/heating_season/months/1 listed_twice"},
	{"month 13", `/conditions/heating_season/months/1 = 13`, "/conditions/heating_season/months/1 count_range"},
	{"a fortnight", `/span = "fortnight"`, "/span value_not_listed"},
	{"a node that is not there", `/nodes/0 = "attic"`, "/nodes/0 node_unknown"},
	{"a node twice", `/nodes/0 = "plant"`, "/nodes/1 listed_twice"},
	{"no nodes", `/nodes = []`, "/nodes list_length"},
	{"a wrong form and a wrong graph are told together", "/span = 3\n/system/pipes/1/from = \"attic\"", "/span type_wrong, /system/pipes/1/from node_unreachable"},
}

const month = `{"value":10,"unit":"degC"}`
const twelve = month + "," + month + "," + month + "," + month + "," + month + "," + month + "," + month + "," + month + "," + month + "," + month + "," + month + "," + month

// wrongComparisons are changes to the full request for comparisons.
var wrongComparisons = []wrongSystem{
	{"no arrangements", `/arrangements`, "/arrangements field_missing"},
	{"arrangements of none", `/arrangements = []`, "/arrangements list_length"},
	{"two of one id", `/arrangements/1/id = "return"`, "/arrangements/1/id duplicate_id, /baseline arrangement_unknown"},
	{"a baseline that is not there", `/baseline = "new"`, "/baseline arrangement_unknown"},
	{"a part of none", `/arrangements/1/fixtures = ["basin"]`, "/arrangements/1/fixtures arrangement_contradicts"},
	{"better insulation without one", `/arrangements/1/type = "better_insulation"`, "/arrangements/1/insulation arrangement_incomplete"},
	{"a heater of peat", `/heater_energy/carrier = "peat"`, "/heater_energy/carrier value_not_listed"},
	{"an efficiency of 80", `/heater_energy/efficiency = 80`, "/heater_energy/efficiency count_range"},
	{"the price of electricity twice", `/heater_energy/carrier = "electricity"`, "/prices/heater_energy cost_ambiguous, /emission_factors/heater_energy cost_ambiguous"},
	{"euros among dollars", `/prices/water/currency = "EUR"`, "/prices/water/currency currency_mixed"},
	{"euros for a pump", `/arrangements/0/replacements/0/cost/currency = "EUR"`, "/arrangements/0/replacements/0/cost/currency currency_mixed"},
	{"water by weight", `/prices/water/per = "kg"`, "/prices/water/per value_not_listed"},
	{"a price below zero", `/prices/sewer/amount = -1`, "/prices/sewer/amount count_range"},
	{"a factor by volume", `/emission_factors/electricity/unit = "kg"`, "/emission_factors/electricity/unit unit_not_of_dimension"},
	{"a study of no years", `/life_cycle/years = 0`, "/life_cycle/years count_range"},
	{"nominal rates without inflation", `/life_cycle/inflation`, "/life_cycle/inflation life_cycle_incomplete"},
	{"real rates with inflation", `/life_cycle/basis = "real"`, "/life_cycle/inflation life_cycle_incomplete"},
	{"replaced after the end", `/arrangements/0/replacements/0/year = 16`, "/arrangements/0/replacements/0/year life_cycle_incomplete"},
	{"weights for the waits alone", `/ranking/by = "waits"`, "/ranking/weights ranking_incomplete"},
	{"weights of none", `/ranking/weights`, "/ranking/weights ranking_incomplete"},
	{"a criterion that is not listed", `/ranking/by = "beauty"`, "/ranking/by value_not_listed"},
	{"a wait of no time", `/served_within/0/value = 0`, "/served_within/0/value out_of_physical_range"},
	{"an input twice", `/ranges/- = {"input":"pipe_heat_loss","low":0.5,"high":2}`, "/ranges/1/input listed_twice"},
	{"a range that ends below the value", `/ranges/0/high = 0.9`, "/ranges/0/high count_range"},
}

// everyPart is a request with every object that an arrangement, its draws and its
// costs may have. Only its form is good: no one type of arrangement takes them all.
func everyPart(t testing.TB, path string) string {
	t.Helper()
	at := map[string]string{controlSimulationsPath: "/arrangement", retrofitComparisonsPath: "/arrangements/0"}[path]
	return edited(t, fullRequest(t, path),
		at+`/bypass_valve = {"closes_at":{"value":40,"unit":"degC"},"band":{"value":5,"unit":"K"}}`,
		at+`/cold_line = {"length":{"value":9,"unit":"m"},"tube":{"series":"copper_type_l","nominal":"1/2"},"insulation":{"thickness":{"value":9,"unit":"mm"},"conductivity":{"value":0.04,"unit":"W/(m.K)"}}}`,
		at+`/heat_trace = {"maintained_temperature":{"value":45,"unit":"degC"},"power_per_length":{"value":9,"unit":"W/m"}}`,
		at+`/local_heater = {"volume":{"value":2,"unit":"gal"},"temperature":{"value":50,"unit":"degC"},"power":{"value":2,"unit":"kW"},"standby_loss":{"value":20,"unit":"W"}}`,
		at+`/control/trigger = {"kind":"occupancy","lead_time":{"value":30,"unit":"s"},"probability":0.7,"longest_run":{"value":4,"unit":"min"},"seed":3}`,
		at+`/control/cycle = {"on":{"value":10,"unit":"min"},"off":{"value":20,"unit":"min"}}`,
		at+`/install_cost/sum = {"amount":100,"currency":"USD"}`,
		`/conditions/mains_temperatures = [`+twelve+`]`,
	)
}

// TestEveryMemberIsToldOnce makes, one at a time, every member of the requests about
// arrangements wrong: null, left out, of another list, with a stranger beside it. Each
// is one fault at its place, and nothing that follows from it is told.
func TestEveryMemberIsToldOnce(t *testing.T) {
	server, sent := newServer(t), map[string]int{}
	for _, path := range []string{controlSimulationsPath, retrofitComparisonsPath} {
		body, seen := everyPart(t, path), map[string]bool{}
		schema, tree := loadContract(t).requestBody(t, path), parsed(t, everyPart(t, path))
		try := func(at []string, edit, faults string) {
			got := post(server, path, edited(t, body, pointerTo(at)+edit))
			if list := strings.Join(got.problem(t).faults(), ", "); got.status != http.StatusUnprocessableEntity || list != faults {
				t.Errorf("%s %s%s: status %d, faults %s, want %s", path, pointerTo(at), edit, got.status, list, faults)
			}
			sent[faults[strings.LastIndexByte(faults, ' ')+1:]]++
		}
		for _, at := range pathsOf(tree) {
			inSystem := slices.Index(at, "system")
			if len(at) == 0 || seen[shapeOf(at)] || inSystem >= 0 && inSystem < len(at)-1 { // the system has its own rows
				continue
			}
			seen[shapeOf(at)] = true
			pointer, name, s, parent := pointerTo(at), at[len(at)-1], schemaAt(schema, at), schemaAt(schema, at[:len(at)-1])
			try(at, " = null", pointer+" type_wrong")
			if slices.Contains(parent.Required, name) {
				try(at, "", pointer+" field_missing")
			}
			switch {
			case s.Type.Is("object"):
				try(append(slices.Clone(at), "colour"), ` = "red"`, pointer+"/colour field_unknown")
			case name == "unit":
				try(at, ` = "furlong"`, pointer+" unit_unknown")
			case len(s.Enum) > 0:
				try(at, ` = "furlong"`, pointer+" value_not_listed")
			case name == "currency":
				try(at, ` = "euro"`, pointer+" currency_malformed")
			case s.Pattern != "":
				try(at, ` = "noon"`, pointer+" time_malformed")
			case s.MinLength > 0:
				try(at, ` = ""`, pointer+" text_length")
			case s.MinItems > 0:
				try(at, ` = []`, pointer+" list_length")
			}
		}
	}
	t.Logf("faults by code: %v", sent)
	for _, code := range []string{"type_wrong", "field_missing", "field_unknown", "unit_unknown", "value_not_listed", "currency_malformed", "time_malformed", "text_length", "list_length"} {
		if sent[code] == 0 {
			t.Errorf("no change gives %s", code)
		}
	}
}

// arrangementAmounts are those of an arrangement, within the body that has it.
func arrangementAmounts(at string) []bounds {
	return []bounds{
		{at + "/pump/flow", "0 L/min, -1 L/min, 0.101 m3/s", "1e-9 L/min, 0.1 m3/s"},
		{at + "/pump/power", "-1 W, 100.1 kW, 135 hp", "0 W, 100 kW, 134 hp"},
		{at + "/control/aquastat/start", tooColdTooHot, coldestHottest},
		{at + "/control/aquastat/stop", tooColdTooHot, coldestHottest},
		{at + "/control/least_run", "-1 s, 3601 s", "0 s, 1 h"},
		{at + "/control/least_rest", "-1 s, 3601 s", "0 s, 60 min"},
		{at + "/control/trigger/lead_time", "-1 s, 61 min", "0 s, 1 h"},
		{at + "/control/trigger/longest_run", "0.9 s, 3601 s", "1 s, 1 h"},
		{at + "/control/cycle/on", "0 s, -1 min, 24.1 h, 2 d", "1e-9 s, 24 h, 1 d"},
		{at + "/control/cycle/off", "0 s, -1 min, 24.1 h", "1e-9 s, 1 d"},
		{at + "/bypass_valve/closes_at", tooColdTooHot, coldestHottest},
		{at + "/bypass_valve/band", "0 K, -1 K, 50.1 K, 91 degF", "1e-9 K, 50 K, 90 degF"},
		{at + "/cold_line/length", "0 m, -1 m, 10.001 km", "1e-9 m, 10 km"},
		{at + "/heat_trace/maintained_temperature", tooColdTooHot, coldestHottest},
		{at + "/heat_trace/power_per_length", "0 W/m, 200.1 W/m", "0.1 W/m, 200 W/m"},
		{at + "/local_heater/volume", "0 L, -1 L, 1.001 m3, 265 gal", "1e-9 L, 1 m3, 264 gal"},
		{at + "/local_heater/temperature", tooColdTooHot, coldestHottest},
		{at + "/local_heater/power", "0 W, -1 W, 100.1 kW", "1e-9 W, 100 kW"},
		{at + "/local_heater/standby_loss", "-1 W, 10.1 kW, 34200 Btu/h", "0 W, 10 kW, 34100 Btu/h"},
	}
}

// yearAmounts are those of draws and conditions.
var yearAmounts = []bounds{
	{"/draws/daily_volume", "0 L, -1 L, 1000.1 m3", "1e-9 L, 1000 m3"},
	{"/draws/weekend/daily_volume", "0 L, -1 L, 1000.1 m3", "1e-9 L, 1000 m3"},
	{"/draws/events/0/volume", "0 L, -1 L, 100.1 m3", "1e-9 L, 100 m3"},
	{"/draws/events/0/flow", "0 L/min, -1 L/min, 0.101 m3/s", "1e-9 L/min, 0.1 m3/s"},
	{"/draws/usable_temperature", tooColdTooHot, coldestHottest},
	{"/draws/longest_wait", "9.9 s, 3601 s", "10 s, 1 h"},
	{"/conditions/mains_temperatures/11", "-0.01 degC, 50.01 degC, 122.1 degF", "0 degC, 50 degC, 122 degF, 32 degF"},
	{"/conditions/air_temperatures/0", "-50.1 degC, 60.1 degC, 140.1 degF", "-50 degC, 60 degC, 140 degF, -58 degF"},
	{"/conditions/climate/mean_air_temperature", "-10.1 degC, 35.1 degC", "-10 degC, 35 degC, 14 degF, 95 degF"},
	{"/conditions/climate/air_temperature_swing", "-1 K, 70.1 K, 126.1 degF", "0 K, 70 K, 126 degF"},
}

// controlDayAmounts and comparisonAmounts are those of the two requests.
var (
	controlDayAmounts = slices.Concat(arrangementAmounts("/arrangement"), yearAmounts, []bounds{
		{"/propose/before_draw", "-1 s, 12.1 h", "0 s, 12 h"},
		{"/propose/after_draw", "0.9 s, 12.1 h", "1 s, 12 h"},
		{"/propose/margin", "0 K, -1 K, 50.1 K", "1e-9 K, 50 K, 90 degF"},
		{"/propose/gap", "0 K, -1 K, 50.1 K", "1e-9 K, 50 K, 90 degF"},
	})
	comparisonAmounts = slices.Concat(arrangementAmounts("/arrangements/0"), yearAmounts, []bounds{
		{"/heater_energy/standby_loss", "-1 W, 100.1 kW", "0 W, 100 kW, 341 kBtu/h"},
		{"/heater_energy/return_penalty/from", tooColdTooHot, coldestHottest},
		{"/emission_factors/electricity", "-0.1 kg/kWh, 3601 kg/kWh", "0 kg/kWh, 3600 kg/kWh, 1000 lb/MWh"},
		{"/emission_factors/heater_energy", "-0.1 kg/kWh, 1001 kg/MJ", "0 kg/MJ, 1000 kg/MJ"},
		{"/served_within/0", "0 s, -1 s, 3601 s", "1e-9 s, 1 h, 60 min"},
	})
)

// TestComparisonAmountsAtTheirBounds sends the last amounts that the contract takes,
// in a body with a fault elsewhere, since few of them make a building.
func TestComparisonAmountsAtTheirBounds(t *testing.T) {
	server := newServer(t)
	for path, table := range map[string][]bounds{controlSimulationsPath: controlDayAmounts, retrofitComparisonsPath: comparisonAmounts} {
		body := edited(t, everyPart(t, path), `/unit_system = "metric"`)
		for _, b := range table {
			for _, e := range b.edits(b.inside) {
				checkBadInput(t, post(server, path, edited(t, body, e)), http.StatusUnprocessableEntity, "/unit_system value_not_listed")
			}
		}
	}
}

// TestVariantsBeyondTheLimit: a variant is read within the limits of the request, and
// what is too much of it is told at its place.
func TestVariantsBeyondTheLimit(t *testing.T) {
	server := newServer(t, withLimits(api.Limits{BodyBytes: 1 << 16, MostPipes: 3}))
	for path, at := range map[string]string{controlSimulationsPath: "/arrangement", retrofitComparisonsPath: "/arrangements/0"} {
		body := edited(t, houseFor(t, path), at+`/system = `+written(t, valueAt(parsed(t, house), []string{"system"})))
		if got := post(server, path, body); got.status != http.StatusOK {
			t.Errorf("%s: as many pipes as it takes: status %d: %s", path, got.status, got.body)
		}
		fixture := at + `/system/fixtures/- = {"id":"third","node":"k","type":"shower"}`
		pipe := strings.Replace(pipeOf("fourth", "supply", "t", "k2"), "/system", at+"/system", 1)
		checkBadInput(t, post(server, path, edited(t, body, pipe)), http.StatusRequestEntityTooLarge, at+"/system/pipes too_many_pipes")
		checkBadInput(t, post(server, path, edited(t, body, fixture, fixture)), http.StatusRequestEntityTooLarge, at+"/system/fixtures too_many_fixtures")
		checkBadInput(t, post(server, path, edited(t, body, pipe, "/system/pipes/0/role = \"up\"")), http.StatusRequestEntityTooLarge, "/system/pipes/0/role value_not_listed, "+at+"/system/pipes too_many_pipes")
	}
}

// longComparisonLists are lists with one item too many.
func longComparisonLists() []badInput {
	list := func(n int, item string) string { return strings.TrimSuffix(strings.Repeat(item+",", n), ",") }
	const draws, noSystem = `"draws":{"pattern":"eu_s"}`, "/system field_missing"
	arrangement := func(members string) string { return `{"id":"a","type":"none",` + members + `}` }
	day := func(name, members, at string) badInput {
		return badInput{name, controlSimulationsPath, fmt.Sprintf(`{%s,"arrangement":%s}`, draws, arrangement(members)), http.StatusUnprocessableEntity, noSystem + ", /arrangement" + at + " list_length"}
	}
	const cost = `"cost":{"amount":1,"currency":"EUR"}`
	none := `"arrangement":{"id":"a","type":"none"}`
	return []badInput{
		day("50,001 fixtures of a part", `"fixtures":[`+list(50_001, `"a"`)+`]`, "/fixtures"),
		day("201 windows", `"control":{"type":"timer","windows":[`+list(201, `{"from":"06:00","to":"07:00"}`)+`]}`, "/control/windows"),
		day("501 lines of material", `"install_cost":{"materials":[`+list(501, `{"item":"elbow",`+cost+`}`)+`]}`, "/install_cost/materials"),
		day("101 replacements", `"replacements":[`+list(101, `{"year":1,`+cost+`}`)+`]`, "/replacements"),
		{"10,001 shares", controlSimulationsPath, `{"draws":{"shares":[` + list(10_001, `{"fixture":"a","share":1}`) + `]},` + none + `}`, http.StatusUnprocessableEntity, noSystem + ", /draws/shares list_length"},
		{"100,001 draws", controlSimulationsPath, `{"draws":{"events":[` + list(100_001, `{"fixture":"a","at":"06:00","volume":{"value":1,"unit":"L"}}`) + `]},` + none + `}`, http.StatusUnprocessableEntity, noSystem + ", /draws/events list_length"},
		{"51 nodes", controlSimulationsPath, `{` + draws + `,"nodes":[` + list(51, `"a"`) + `],` + none + `}`, http.StatusUnprocessableEntity, noSystem + ", /nodes list_length"},
		{"25 arrangements", retrofitComparisonsPath, `{` + draws + `,"arrangements":[` + list(25, `{"id":"a","type":"none"}`) + `]}`, http.StatusUnprocessableEntity, noSystem + ", /arrangements list_length"},
		{"11 waits", retrofitComparisonsPath, `{` + draws + `,"served_within":[` + list(11, `{"value":1,"unit":"s"}`) + `],"arrangements":[{"id":"a","type":"none"}]}`, http.StatusUnprocessableEntity, noSystem + ", /served_within list_length"},
		{"21 ranges", retrofitComparisonsPath, `{` + draws + `,"ranges":[` + list(21, `{"input":"draw_volume","low":0.5,"high":2}`) + `],"arrangements":[{"id":"a","type":"none"}]}`, http.StatusUnprocessableEntity, noSystem + ", /ranges list_length"},
		{"13 months of a season", controlSimulationsPath, `{` + draws + `,"conditions":{"heating_season":{"months":[` + list(13, `1`) + `],"useful_share":1}},` + none + `}`, http.StatusUnprocessableEntity, noSystem + ", /conditions/heating_season/months list_length"},
	}
}
