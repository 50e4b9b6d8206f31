package api_test

import (
	"net/http"
	"strings"
	"testing"

	"recirc/api"
)

// incomplete is what belongs together and is not given together, or is given
// twice.
var incomplete = []wrongSystem{
	{"an insulation without conductivity", `/system/pipes/0/insulation/conductivity`, "/system/pipes/0/insulation insulation_incomplete"},
	{"an insulation by conductivity and R-value", `/system/pipes/0/insulation/r_value = {"value":1,"unit":"m2.K/W"}`, "/system/pipes/0/insulation insulation_incomplete"},
	{"an insulation by R-value and points", "/system/pipes/3/insulation/r_value = {\"value\":1,\"unit\":\"m2.K/W\"}", "/system/pipes/3/insulation insulation_incomplete"},
	{"an insulation by all three", `/system/defaults/insulation/thickness/value = 5`, "/system/defaults/insulation insulation_incomplete"},
	{"an outer layer without conductivity", `/system/pipes/0/insulation/outer_layers/0/conductivity`, "/system/pipes/0/insulation/outer_layers/0 insulation_incomplete"},
	{"an outer layer by points and conductivity", `/system/pipes/0/insulation/outer_layers/1/conductivity = {"value":1,"unit":"W/(m.K)"}`, "/system/pipes/0/insulation/outer_layers/1 insulation_incomplete"},
	{"a default outer layer without R-value", `/system/defaults/insulation/outer_layers/2/r_value`, "/system/defaults/insulation/outer_layers/2 insulation_incomplete"},
	{"every layer of one insulation incomplete", "/system/pipes/0/insulation/conductivity\n/system/pipes/0/insulation/outer_layers/0/conductivity\n/system/pipes/0/insulation/outer_layers/1/conductivity_points\n/system/pipes/0/insulation/outer_layers/2/r_value",
		"/system/pipes/0/insulation/outer_layers/0 insulation_incomplete, /system/pipes/0/insulation/outer_layers/1 insulation_incomplete, /system/pipes/0/insulation/outer_layers/2 insulation_incomplete, /system/pipes/0/insulation insulation_incomplete"},
	{"two points of one temperature", `/system/pipes/0/insulation/outer_layers/1/conductivity_points/1/mean_temperature/value = 10`, "/system/pipes/0/insulation/outer_layers/1/conductivity_points insulation_incomplete"},
	{"two points of one temperature in two units", `/system/pipes/3/insulation/conductivity_points/0/mean_temperature = {"value":50,"unit":"degC"}`, "/system/pipes/3/insulation/conductivity_points insulation_incomplete"},
	{"one point", `/system/pipes/3/insulation/conductivity_points/1`, "/system/pipes/3/insulation/conductivity_points list_length"},
	{"three points", `/system/pipes/3/insulation/conductivity_points/- = {"mean_temperature":{"value":80,"unit":"degC"},"conductivity":{"value":0.04,"unit":"W/(m.K)"}}`, "/system/pipes/3/insulation/conductivity_points list_length"},
	{"a point without temperature", `/system/pipes/3/insulation/conductivity_points/1/mean_temperature`, "/system/pipes/3/insulation/conductivity_points/1/mean_temperature field_missing"},
	{"six outer layers", `/system/pipes/0/insulation/outer_layers = [` + strings.Repeat(thinLayer+",", 5) + thinLayer + `]`, "/system/pipes/0/insulation/outer_layers list_length"},
	{"an outer layer with outer layers", `/system/pipes/0/insulation/outer_layers/0/outer_layers = []`, "/system/pipes/0/insulation/outer_layers/0/outer_layers field_unknown"},
	{"a conductivity that is wrong is not one left out", `/system/pipes/0/insulation/conductivity = 0.04`, "/system/pipes/0/insulation/conductivity type_wrong"},
	{"an R-value that is wrong is not one left out", `/system/pipes/1/insulation/r_value/unit = "K/W"`, "/system/pipes/1/insulation/r_value/unit unit_unknown"},
	{"moving air without speed", `/system/pipes/0/surroundings/air_speed`, "/system/pipes/0/surroundings surroundings_incomplete"},
	{"a slab without depth", `/system/pipes/1/surroundings/depth`, "/system/pipes/1/surroundings surroundings_incomplete"},
	{"a slab without conductivity", `/system/pipes/1/surroundings/ground_conductivity`, "/system/pipes/1/surroundings surroundings_incomplete"},
	{"default ground without depth", `/system/defaults/surroundings/depth`, "/system/defaults/surroundings surroundings_incomplete"},
	{"a given coefficient that is not given", `/system/pipes/3/surroundings/surface_coefficient`, "/system/pipes/3/surroundings surroundings_incomplete"},
	{"an air speed that is wrong is not one left out", `/system/pipes/0/surroundings/air_speed/value = -1`, "/system/pipes/0/surroundings/air_speed/value out_of_physical_range"},
	{"a coefficient that is wrong is not one left out", `/system/pipes/3/surroundings/surface_coefficient/unit = "W/(m.K)"`, "/system/pipes/3/surroundings/surface_coefficient/unit unit_not_of_dimension"},
}

const point = `{"mean_temperature":{"value":10,"unit":"degC"},"conductivity":{"value":0.04,"unit":"W/(m.K)"}}`

const thinLayer = `{"thickness":{"value":1,"unit":"mm"},"conductivity":{"value":0.04,"unit":"W/(m.K)"}}`

// wrongWaits are changes to the full request for waits.
var wrongWaits = []wrongSystem{
	{"a given start without temperature", `/start = {"state":"given"}`, "/start/temperature start_incomplete"},
	{"a given start with a time instead", `/start = {"state":"given","idle_time":{"value":1,"unit":"h"}}`, "/start/temperature start_incomplete"},
	{"left over since nobody says when", `/start/idle_time`, "/start/idle_time start_incomplete"},
	{"an incomplete start for plug flow, which would not look at it", "/start/idle_time\n" + `/method = "plug_flow"`, "/start/idle_time start_incomplete"},
	{"a start without state", `/start/state`, "/start/state field_missing"},
	{"a start with nothing in it", `/start = {}`, "/start/state field_missing"},
	{"a start by name", `/start = "surroundings"`, "/start type_wrong"},
	{"a state that is not listed", `/start/state = "cold"`, "/start/state value_not_listed"},
	{"a given temperature that is wrong is not one left out", `/start = {"state":"given","temperature":{"value":-1,"unit":"degC"}}`, "/start/temperature/value out_of_physical_range"},
	{"an idle time that is wrong is not one left out", `/start/idle_time = 20`, "/start/idle_time type_wrong"},
	{"a start with a flow", `/start/flow = {"value":1,"unit":"L/min"}`, "/start/flow field_unknown"},
	{"a temperature and a rise", `/usable_rise = {"value":10,"unit":"degF"}`, "/usable_rise usable_ambiguous"},
	{"both for plug flow", `/usable_rise = {"value":10,"unit":"degF"}` + "\n" + `/method = "plug_flow"`, "/usable_rise usable_ambiguous"},
	{"a temperature and a rise that is wrong: one of them will go", `/usable_rise = {"value":0,"unit":"K"}`, "/usable_rise/value out_of_physical_range"},
	{"a temperature that is wrong, and a rise", `/usable_rise = {"value":5,"unit":"K"}` + "\n" + `/usable_temperature/value = 500`, "/usable_temperature/value out_of_physical_range"},
	{"a usable temperature without unit", `/usable_temperature = 40`, "/usable_temperature type_wrong"},
	{"curves by number", `/show_curves = 200`, "/show_curves type_wrong"},
	{"members of another calculation", `/flow = {"value":1,"unit":"L/min"}` + "\n" + `/hours_per_year = 1`, "/flow field_unknown, /hours_per_year field_unknown"},
	{"everything at once", `/start = {"state":"given"}` + "\n" + `/usable_rise = {"value":10,"unit":"degF"}` + "\n/show_curves = 1\n" + `/system/fixtures/0/type = "other"` + "\n/system/fixtures/0/hot_flow\n" + `/system/pipes/1/id = "riser"`,
		"/show_curves type_wrong, /system/fixtures/0/hot_flow hot_flow_missing, /usable_rise usable_ambiguous, /start/temperature start_incomplete, /system/pipes/1/id duplicate_id"},
}

// waitAmounts are those of the same request.
var waitAmounts = []bounds{
	{"/usable_temperature", tooColdTooHot, coldestHottest},
	{"/start/temperature", tooColdTooHot, coldestHottest},
	{"/start/idle_time", "0 s, -1 s, 366 d, 8760.1 h", "1e-9 s, 1 s, 365 d, 8760 h, 525600 min, 31536000 s"},
	{"/usable_rise", "0 K, -1 K, 80.1 K, 81 degC, 144.2 degF, 1e308 degF", ""}, // the good ones exclude a temperature: see [TestUsableRiseAtItsBounds]
}

// noSuchWait are changes to the house that leave the range of the physics.
var noSuchWait = []wrongSystem{
	{"a wait that no number holds", "/method = \"plug_flow\"\n" + `/system/pipes/0/length = {"value":10,"unit":"km"}` + "\n" + `/system/fixtures/1/hot_flow = {"value":1e-320,"unit":"m3/s"}`, "/system/fixtures/1 out_of_physical_range"},
	{"the same by the hot front", `/system/pipes/0/length = {"value":10,"unit":"km"}` + "\n" + `/system/fixtures/1/hot_flow = {"value":1e-320,"unit":"m3/s"}`, "/system/fixtures/1 out_of_physical_range"},
	{"a wall that takes days to warm", `/system/pipes/2/tube = {"inside_diameter":{"value":2,"unit":"mm"},"outside_diameter":{"value":2,"unit":"m"},"wall_material":"steel_galvanised"}`, "/system/fixtures/1 out_of_physical_range"},
	{"an insulation better than anything", `/system/pipes/0/insulation = {"thickness":{"value":1,"unit":"mm"},"conductivity":{"value":1e-9,"unit":"W/(m.K)"}}`, "/system/fixtures/0 out_of_physical_range, /system/fixtures/1 out_of_physical_range"},
	{"a pipe that stands out of its slab", `/system/pipes/1/surroundings = {"type":"in_slab","temperature":{"value":20,"unit":"degC"},"depth":{"value":2,"unit":"mm"},"ground_conductivity":{"value":1,"unit":"W/(m.K)"}}`, "/system/fixtures/0 out_of_physical_range"},
	{"water that freezes on the way", `/system/heater/outlet_temperature = {"value":5,"unit":"degC"}` + "\n" + `/system/defaults = {"surroundings":{"type":"still_air","temperature":{"value":-60,"unit":"degC"}}}`, "/system/fixtures/0 out_of_physical_range, /system/fixtures/1 out_of_physical_range"},
}

// wrongLosses are changes to the full request for heat losses.
var wrongLosses = []wrongSystem{
	{"a flow in a pipe that is not there", `/pipe_flows/0/pipe = "attic"`, "/pipe_flows/0/pipe pipe_unknown"},
	{"pipe names differ by a capital", `/pipe_flows/0/pipe = "Back"`, "/pipe_flows/0/pipe pipe_unknown"},
	{"a flow at a node", `/pipe_flows/- = {"pipe":"landing","flow":{"value":1,"unit":"L/min"}}`, "/pipe_flows/1/pipe pipe_unknown"},
	{"two flows in pipes that are not there", `/pipe_flows = [{"pipe":"a","flow":{"value":1,"unit":"L/min"}},{"pipe":"b","flow":{"value":1,"unit":"L/min"}}]`, "/pipe_flows/0/pipe pipe_unknown, /pipe_flows/1/pipe pipe_unknown"},
	{"no flow in a pipe that is not there", `/pipe_flows/0 = {"pipe":"attic"}`, "/pipe_flows/0/flow field_missing, /pipe_flows/0/pipe pipe_unknown"},
	{"a flow in no pipe", `/pipe_flows/0/pipe`, "/pipe_flows/0/pipe field_missing"},
	{"a flow in a pipe without name", `/pipe_flows/0/pipe = ""`, "/pipe_flows/0/pipe text_length"},
	{"a flow in a pipe whose id is wrong is no second fault", `/system/pipes/3/id = 4`, "/system/pipes/3/id type_wrong"},
	{"a flow in a pipe whose id is left out is no second fault", `/system/pipes/3/id`, "/system/pipes/3/id field_missing"},
	{"flows by name", `/pipe_flows = {"back":1}`, "/pipe_flows type_wrong"},
	{"no temperature to cool down to", `/cool_down_to = []`, "/cool_down_to list_length"},
	{"21 temperatures to cool down to", `/cool_down_to = [` + strings.Repeat(`{"value":40,"unit":"degC"},`, 20) + `{"value":40,"unit":"degC"}]`, "/cool_down_to list_length"},
	{"one temperature without a list", `/cool_down_to = {"value":40,"unit":"degC"}`, "/cool_down_to type_wrong"},
	{"a temperature without unit", `/cool_down_to/1 = 40`, "/cool_down_to/1 type_wrong"},
	{"more hours than a year has", `/hours_per_year = 9000`, "/hours_per_year count_range"},
	{"an hour more than a leap year has", `/hours_per_year = 8785`, "/hours_per_year count_range"},
	{"fewer hours than none", `/hours_per_year = -1`, "/hours_per_year count_range"},
	{"hours as an amount", `/hours_per_year = {"value":6000,"unit":"h"}`, "/hours_per_year type_wrong"},
	{"hours as text", `/hours_per_year = "6000"`, "/hours_per_year type_wrong"},
	{"hours that no float holds", `/hours_per_year = 1e999`, "/hours_per_year number_not_finite"},
	{"an emissivity of 1.1", `/system/pipes/0/surface_emissivity = 1.1`, "/system/pipes/0/surface_emissivity count_range"},
	{"a default emissivity in percent", `/system/defaults/surface_emissivity = 90`, "/system/defaults/surface_emissivity count_range"},
	{"an allowance below zero", `/system/pipes/0/fittings_allowance = -0.1`, "/system/pipes/0/fittings_allowance count_range"},
	{"an allowance of 210 %", `/system/defaults/fittings_allowance = 2.1`, "/system/defaults/fittings_allowance count_range"},
	{"a pipe that leans", `/system/pipes/0/orientation = "inclined"`, "/system/pipes/0/orientation value_not_listed"},
	{"an insulation to compare with by all three", `/insulate_with/thickness/value = 5`, "/insulate_with insulation_incomplete"},
	{"an insulation to compare with by nothing", `/insulate_with = {"thickness":{"value":5,"unit":"mm"}}`, "/insulate_with insulation_incomplete"},
	{"points of one temperature to compare with", `/insulate_with/conductivity_points/0/mean_temperature/value = 50`, "/insulate_with/conductivity_points insulation_incomplete"},
	{"members of another calculation", `/method = "thermal"` + "\n" + `/start = {"state":"surroundings"}`, "/method field_unknown, /start field_unknown"},
	{"an axis within the pipe", `/system/pipes/1/surroundings/depth = {"value":5,"unit":"mm"}`, "/system/pipes/1 out_of_physical_range"},
	{"a conductivity that falls below zero where it is hot", `/system/pipes/3/insulation/conductivity_points/1/conductivity = {"value":1e-5,"unit":"W/(m.K)"}`, "/system/pipes/3 out_of_physical_range"},
	{"an insulation to compare with that nobody makes, told for every pipe", `/insulate_with/outer_layers/0/conductivity/value = 1e-9`,
		"/system/pipes/0 out_of_physical_range, /system/pipes/1 out_of_physical_range, /system/pipes/2 out_of_physical_range, /system/pipes/3 out_of_physical_range"},
}

// lossAmounts are those of the same request.
var lossAmounts = []bounds{
	{"/water_temperature", tooColdTooHot, coldestHottest},
	{"/cool_down_to/1", tooColdTooHot, coldestHottest},
	{"/flow", "0 L/min, -1 L/min, 0.101 m3/s, 1e308 m3/s", "0.001 L/h, 0.1 m3/s, 360 m3/h"},
	{"/pipe_flows/0/flow", "0 L/min, -1 L/min, 0.101 m3/s", "0.001 L/h, 0.1 m3/s, 1585 gal/min"},
	{"/insulate_with/thickness", "-1 mm, 1.001 m", "0 mm"},
	{"/insulate_with/outer_layers/0/thickness", "-1 mm, 1.001 m", "0 mm, 1e-9 m"},
	{"/insulate_with/outer_layers/0/conductivity", "0 W/(m.K), 5.01 W/(m.K)", "0.001 W/(m.K), 5 W/(m.K)"},
	{"/insulate_with/outer_layers/1/conductivity_points/1/mean_temperature", "-60.1 degC, 200.1 degC", "-60 degC, 200 degC"},
	{"/insulate_with/outer_layers/2/r_value", "0 m2.K/W, 100.1 m2.K/W", "0.001 m2.K/W, 1 m2.K/W"},
}

// beyondPhysics are amounts that the contract's text takes and that no formula
// holds for, so that heat losses refuse the pipe.
var beyondPhysics = map[string]string{
	`/system/pipes/0/insulation/conductivity = {"value":1e-9,"unit":"W/(m.K)"}`:                                        "/system/pipes/0",
	`/system/pipes/0/insulation/outer_layers/0/conductivity = {"value":1e-9,"unit":"W/(m.K)"}`:                         "/system/pipes/0",
	`/system/pipes/0/insulation/outer_layers/1/conductivity_points/1/conductivity = {"value":1e-9,"unit":"W/(m.K)"}`:   "/system/pipes/0",
	`/system/pipes/0/insulation/outer_layers/2/r_value = {"value":567.8,"unit":"h.ft2.degF/Btu"}`:                      "/system/pipes/0",
	`/system/pipes/1/insulation/r_value = {"value":1e-9,"unit":"m2.K/W"}`:                                              "/system/pipes/1",
	`/system/pipes/1/insulation/r_value = {"value":100,"unit":"m2.K/W"}`:                                               "/system/pipes/1",
	`/system/pipes/1/surroundings/depth = {"value":1,"unit":"mm"}`:                                                     "/system/pipes/1",
	`/system/pipes/3/surroundings/surface_coefficient = {"value":1e-9,"unit":"W/(m2.K)"}`:                              "/system/pipes/3",
	`/system/pipes/1/tube = {"outside_diameter":{"value":2,"unit":"m"},"wall_thickness":{"value":100,"unit":"mm"}}`:    "/system/pipes/1",
	`/system/pipes/1/tube = {"outside_diameter":{"value":2000,"unit":"mm"},"wall_thickness":{"value":10,"unit":"cm"}}`: "/system/pipes/1",
}

// TestAmountsAtTheirBounds sends the last amounts that the contract takes; it
// says "to 110 degC", so 110 degC is one of them in whatever unit.
func TestAmountsAtTheirBounds(t *testing.T) {
	server, full := newServer(t), fullBody(t)
	edits := []string{
		`/system/pipes/1/tube = {"outside_diameter":{"value":16,"unit":"mm"},"wall_thickness":{"value":0.1,"unit":"mm"}}`,
		`/system/pipes/1/tube = {"outside_diameter":{"value":2,"unit":"m"},"wall_thickness":{"value":100,"unit":"mm"}}`,
		`/system/pipes/1/tube = {"outside_diameter":{"value":2000,"unit":"mm"},"wall_thickness":{"value":10,"unit":"cm"}}`,
		`/system/heater/rated_loss = {"flow":{"value":1,"unit":"L/min"},"head":{"value":100,"unit":"m"}}`,
		`/system/pipes/3/valves/0 = {"type":"balancing","kv":{"value":0,"unit":"m3/h"},"smallest_kv":{"value":0,"unit":"m3/h"}}`,
	}
	for _, b := range amounts {
		edits = append(edits, b.edits(b.inside)...)
	}
	refused := map[string]bool{}
	for _, e := range edits {
		for _, path := range []string{deadLegsPath, waitTimesPath, heatLossesPath} {
			got := post(server, path, edited(t, full, e))
			if at, beyond := beyondPhysics[e]; beyond && path == heatLossesPath {
				checkBadInput(t, got, http.StatusUnprocessableEntity, at+" out_of_physical_range")
				refused[e] = true
			} else if got.status != http.StatusOK {
				t.Errorf("%s, %s: status %d: %q", path, e, got.status, got.problem(t).faults())
			}
		}
	}
	if len(refused) != len(beyondPhysics) {
		t.Errorf("of %d edits beyond physics only %d were sent", len(beyondPhysics), len(refused))
	}
	for path, table := range map[string][]bounds{waitTimesPath: waitAmounts, heatLossesPath: lossAmounts} {
		for _, b := range table {
			for _, e := range b.edits(b.inside) {
				if got := post(server, path, edited(t, fullRequest(t, path), e)); got.status != http.StatusOK {
					t.Errorf("%s, %s: status %d: %q", path, e, got.status, got.problem(t).faults())
				}
			}
		}
	}
}

func TestUsableRiseAtItsBounds(t *testing.T) {
	server, body := newServer(t), edited(t, fullRequest(t, waitTimesPath), "/usable_temperature")
	for _, e := range (bounds{at: "/usable_rise"}).edits("1e-9 K, 80 K, 80 degC, 144 degF") {
		if got := post(server, waitTimesPath, edited(t, body, e)); got.status != http.StatusOK {
			t.Errorf("%s: status %d: %s", e, got.status, got.body)
		}
	}
}

// TestLossesNeedNoFixture asks about pipes in a system that nobody draws from.
func TestLossesNeedNoFixture(t *testing.T) {
	server := newServer(t)
	want := post(server, heatLossesPath, house)
	for _, e := range []string{`/system/fixtures`, `/system/fixtures = []`} {
		if got := post(server, heatLossesPath, edited(t, house, e)); got.status != http.StatusOK || string(got.body) != string(want.body) {
			t.Errorf("%s: status %d, or another answer: %.500s", e, got.status, got.body)
		}
	}
	stub := edited(t, house, `/system/fixtures`, pipeOf("stub", "supply", "t", "x"))
	if got := post(server, heatLossesPath, stub); got.status != http.StatusOK {
		t.Errorf("a pipe that leads nowhere loses heat too: status %d: %s", got.status, got.body)
	}
}

// TestFlowsBehindTheLimit names a pipe that was not read for being one too many.
func TestFlowsBehindTheLimit(t *testing.T) {
	server := newServer(t, withLimits(api.Limits{BodyBytes: 4000, MostPipes: 3}))
	body := edited(t, house, pipeOf("fourth", "supply", "t", "k2"), `/pipe_flows = [{"pipe":"fourth","flow":{"value":1,"unit":"L/min"}}]`)
	checkBadInput(t, post(server, heatLossesPath, body), http.StatusRequestEntityTooLarge, "/system/pipes too_many_pipes")
}
