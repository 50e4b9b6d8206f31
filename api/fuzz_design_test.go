package api_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"net/http"
	"slices"
	"strings"
	"testing"
)

// span is what an amount of the full request may be, in one unit. It is drawn by
// its logarithm where it spans powers of ten.
type span struct {
	at, unit  string
	low, high float64
}

// systemSpans leave out what the contract allows and only costs time: a hot front
// may take a second, and hours of start-up behind a way of milliseconds do.
var systemSpans = []span{
	{"/system/heater/outlet_temperature", "degC", 0, 110},
	{"/system/mixing_valve/outlet_temperature", "degC", 0, 110},
	{"/system/heater/start_up_delay", "s", 0, 60},
	{"/system/mains_temperature", "degC", 0, 60},
	{"/system/pipes/0/length", "m", 1e-6, 1e4},
	{"/system/pipes/1/length", "m", 1e-3, 1e4},
	{"/system/pipes/2/length", "m", 1e-9, 1e4},
	{"/system/pipes/3/length", "m", 1e-2, 1e2},
	{"/system/pipes/3/tube/inside_diameter", "mm", 1, 2000},
	{"/system/pipes/0/insulation/thickness", "mm", 1e-9, 1000},
	{"/system/pipes/0/insulation/conductivity", "W/(m.K)", 1e-4, 5},
	{"/system/pipes/0/insulation/outer_layers/1/conductivity_points/0/mean_temperature", "degC", -60, 200},
	{"/system/pipes/0/insulation/outer_layers/1/conductivity_points/1/conductivity", "W/(m.K)", 1e-3, 5},
	{"/system/pipes/0/insulation/outer_layers/2/r_value", "m2.K/W", 1e-6, 100},
	{"/system/pipes/1/insulation/r_value", "m2.K/W", 1e-6, 100},
	{"/system/pipes/0/surroundings/temperature", "degC", -60, 110},
	{"/system/pipes/0/surroundings/radiant_temperature", "degC", -60, 110},
	{"/system/pipes/0/surroundings/air_speed", "m/s", 1e-9, 50},
	{"/system/pipes/1/surroundings/temperature", "degC", -60, 110},
	{"/system/pipes/1/surroundings/depth", "m", 1e-2, 100},
	{"/system/pipes/1/surroundings/ground_conductivity", "W/(m.K)", 1e-4, 5},
	{"/system/pipes/3/surroundings/surface_coefficient", "W/(m2.K)", 1e-3, 1000},
	{"/system/defaults/surroundings/temperature", "degC", -60, 110},
	{"/system/defaults/surroundings/depth", "m", 1e-2, 100},
	{"/system/defaults/insulation/outer_layers/0/thickness", "mm", 1e-9, 1000},
	{"/system/defaults/insulation/outer_layers/0/conductivity", "W/(m.K)", 1e-4, 5},
	{"/system/fixtures/0/hot_flow", "L/min", 1e-9, 600},
	{"/system/fixtures/1/hot_flow", "L/min", 1e-9, 600},
}

var requestSpans = map[string][]span{
	waitTimesPath: {
		{"/usable_temperature", "degC", 0, 110}, {"/start/temperature", "degC", 0, 110}, {"/start/idle_time", "s", 1e-9, 31536000},
	},
	heatLossesPath: {
		{"/water_temperature", "degC", 0, 110}, {"/flow", "L/min", 1e-9, 6000}, {"/pipe_flows/0/flow", "L/min", 1e-9, 6000},
		{"/cool_down_to/0", "degC", 0, 110}, {"/cool_down_to/1", "degC", 0, 110},
		{"/insulate_with/outer_layers/0/thickness", "mm", 1e-9, 1000}, {"/insulate_with/outer_layers/0/conductivity", "W/(m.K)", 1e-4, 5},
	},
	loopDesignsPath: append([]span{
		{"/target/drop", "K", 1e-3, 80}, {"/least_connection_flow", "L/min", 1e-9, 6000}, {"/connections/0/least_flow", "L/min", 1e-9, 6000},
		{"/connections/0/least_temperature", "degC", 0, 110}, {"/return_sizing/greatest_velocity", "m/s", 1e-3, 50}, {"/return_sizing/least_velocity", "m/s", 1e-6, 5},
		{"/return_sizing/greatest_friction", "Pa/m", 1e-3, 1e5}, {"/return_sizing/least_inside_diameter", "mm", 1, 100},
	}, loopSpans...),
	pumpSelectionsPath: append(selectionSpans, loopSpans...),
	loopSimulationsPath: append([]span{
		{"/target/drop", "K", 1e-3, 80}, {"/pump/curve/0/head", "m", 1, 200}, {"/pump/curve/1/flow", "L/min", 1e-3, 6000}, {"/draws/0/flow", "L/min", 1e-6, 100},
		{"/node_elevations/0/elevation", "m", -1000, 1000}, {"/measured_returns/0/temperature", "degC", 0, 110},
	}, loopSpans...),
	controlSimulationsPath:  append(arrangementSpans("/arrangement"), yearSpans...),
	retrofitComparisonsPath: append(arrangementSpans("/arrangements/0"), yearSpans...),
}

// arrangementSpans are amounts of an arrangement; a pump that starts every second only
// costs time.
func arrangementSpans(at string) []span {
	return []span{
		{at + "/pump/flow", "L/min", 1e-1, 60}, {at + "/pump/power", "W", 0, 1e5}, {at + "/control/aquastat/start", "degC", 0, 40}, {at + "/control/aquastat/stop", "degC", 41, 110},
		{at + "/control/least_run", "s", 60, 3600}, {at + "/control/least_rest", "s", 60, 3600}, {at + "/system/pipes/0/length", "m", 1e-3, 1e3}, {at + "/system/pipes/3/length", "m", 1e-3, 1e3},
	}
}

// yearSpans are amounts of draws and climates.
var yearSpans = []span{
	{"/draws/daily_volume", "L", 1e-6, 1e4}, {"/draws/weekend/daily_volume", "L", 1e-6, 1e4}, {"/draws/events/0/volume", "L", 1e-6, 1e3}, {"/draws/usable_temperature", "degC", 0, 110},
	{"/draws/longest_wait", "s", 10, 3600}, {"/conditions/climate/mean_air_temperature", "degC", -10, 35}, {"/conditions/climate/air_temperature_swing", "K", 0, 70}, {"/conditions/air_temperatures/3", "degC", -50, 60},
}

// selectionSpans are amounts of the full request for pumps.
var selectionSpans = []span{
	{"/candidates/0/curve/0/head", "m", 0, 200}, {"/candidates/0/curve/1/head", "m", 0, 200}, {"/candidates/0/curve/1/power", "W", 1e-3, 1e5}, {"/candidates/0/curve/2/flow", "L/min", 8, 6000},
	{"/candidates/1/curve/0/head", "m", 1e-3, 200}, {"/candidates/1/curve/1/flow", "L/min", 1e-3, 6000}, {"/candidates/2/curve/1/head", "m", 0, 200},
	{"/candidates/2/control/set_head", "m", 1e-9, 100}, {"/candidates/2/control/set_flow", "L/min", 1e-9, 6000}, {"/candidates/0/npsh_required/1/head", "m", 0, 200},
	{"/candidates/0/temperature_rating", "degC", 0, 300}, {"/candidates/0/pressure_rating", "bar", 1e-3, 100}, {"/limits/greatest_velocity", "m/s", 1e-3, 50},
	{"/limits/tightest_inside_diameter", "mm", 1, 2000}, {"/conditions/water_temperature", "degC", 0, 110}, {"/conditions/suction/pressure", "kPa", -100, 10000},
	{"/conditions/suction/elevation", "m", -1000, 1000}, {"/least_connection_flow", "L/min", 1e-9, 600}, {"/target/drop", "K", 1e-1, 80},
}

// loopSpans are amounts of the system that only loops look at.
var loopSpans = []span{
	{"/system/heater/rated_loss/flow", "L/min", 1e-3, 6000}, {"/system/heater/rated_loss/pressure", "Pa", 1e-3, 1e6}, {"/system/mixing_valve/least_flow", "L/min", 1e-6, 60},
	{"/system/pipes/3/valves/0/kv", "m3/h", 0.2, 1e4}, {"/system/pipes/3/valves/0/smallest_kv", "m3/h", 0, 0.2}, {"/system/pipes/3/valves/0/temperature_band", "K", 1e-9, 80},
	{"/system/pipes/3/valves/0/set_temperature", "degC", 0, 110},
}

// choices are whole values to put somewhere; nothing takes the member away.
var choices = []struct {
	at     string
	values []string
}{
	{"/system/pipes/0/orientation", []string{`"horizontal"`, `"vertical"`}},
	{"/system/pipes/0/surface_emissivity", []string{`0`, `1e-9`, `0.5`, `1`}},
	{"/system/pipes/0/fittings_allowance", []string{`0`, `0.3`, `2`}},
	{"/system/pipes/0/surroundings/type", []string{`"still_air"`, `"moving_air"`}},
	{"/system/defaults/surroundings/type", []string{`"still_air"`, `"moving_air"`, `"buried"`, `"in_slab"`, `"given_coefficient"`}},
	{"/system/pipes/1/tube/wall_material", []string{`"copper"`, `"pex"`, `"steel_stainless"`, ``}},
	{"/system/pipes/1/tube/outside_diameter", []string{``, `{"value":16,"unit":"mm"}`}},
	{"/system/pipes/1/heat_trace", []string{``, `{"maintained_temperature":{"value":110,"unit":"degC"}}`}},
	{"/system/mixing_valve", []string{``}},
	{"/unit_system", []string{`"si"`, `"us_customary"`}},
	{"/show_working", []string{`true`, `false`}},
}

// designOf draws a request from a seed: the full one with some amounts anywhere in
// their ranges, most of them legal and few of them sensible.
func designOf(t testing.TB, path string, seed uint64) string {
	draw := rand.New(rand.NewPCG(seed, 0))
	ofYear := path == controlSimulationsPath || path == retrofitComparisonsPath
	var edits []string
	for _, s := range append(systemSpans[:len(systemSpans):len(systemSpans)], requestSpans[path]...) {
		if draw.IntN(3) > 0 || ofYear && strings.HasPrefix(s.at, "/system/fixtures/") { // a trickle draws for days
			continue
		}
		edits = append(edits, fmt.Sprintf(`%s = {"value":%g,"unit":%q}`, s.at, s.drawn(draw), s.unit))
	}
	if draw.IntN(2) == 0 && !slices.Contains(loopPaths, path) && !ofYear { // without the return every dead leg starts at the heater; a variant has the same fixtures
		edits = append(edits, `/system/pipes/3/to = "gone"`, "/system/pipes/3/role = \"supply\"", `/system/fixtures/- = {"id":"end","node":"gone","type":"shower"}`)
	}
	for _, c := range choices {
		if value := c.values[draw.IntN(len(c.values))]; draw.IntN(2) > 0 {
			continue
		} else if value == "" {
			edits = append(edits, c.at)
		} else {
			edits = append(edits, c.at+" = "+value)
		}
	}
	if path == waitTimesPath {
		edits = append(edits, []string{`/start/state = "surroundings"`, `/start/state = "given"`, `/start/state = "left_over"`, `/start`}[draw.IntN(4)])
		edits = append(edits, []string{`/method = "plug_flow"`, `/method = "thermal"`, `/show_curves = true`, `/show_curves = true`}[draw.IntN(4)])
	}
	return edited(t, fullRequest(t, path), drop(edits, "/system/mixing_valve/", "/system/mixing_valve")...)
}

// drop takes away an edit below a member that another takes away.
func drop(edits []string, below, whole string) []string {
	gone := false
	for _, e := range edits {
		gone = gone || e == whole
	}
	kept := edits[:0]
	for _, e := range edits {
		if !gone || len(e) <= len(below) || e[:len(below)] != below {
			kept = append(kept, e)
		}
	}
	return kept
}

// drawn is anywhere in the span, and one time in eight at an end.
func (s span) drawn(draw *rand.Rand) float64 {
	switch u := draw.Float64(); {
	case draw.IntN(8) == 0:
		return []float64{s.low, s.high}[draw.IntN(2)]
	case s.low > 0:
		return s.low * math.Pow(s.high/s.low, u)
	default:
		return s.low + (s.high-s.low)*u
	}
}

// FuzzDesigns goes where no change of single letters leads: requests of good form
// with amounts from all over their ranges.
func FuzzDesigns(f *testing.F) {
	for seed := range uint64(100) {
		f.Add(seed)
	}
	checks := []*bodyCheck{
		newBodyCheck(f, waitTimesPath, "WaitTimesAnswer"), newBodyCheck(f, heatLossesPath, "HeatLossesAnswer"),
		newBodyCheck(f, loopDesignsPath, "LoopDesignAnswer"), newBodyCheck(f, loopSimulationsPath, "LoopSimulationAnswer"),
		newBodyCheck(f, pumpSelectionsPath, "PumpSelectionAnswer"),
		newBodyCheck(f, controlSimulationsPath, "ControlSimulationAnswer"), newBodyCheck(f, retrofitComparisonsPath, "RetrofitComparisonAnswer"),
	}
	f.Fuzz(func(t *testing.T, seed uint64) {
		check := checks[seed%uint64(len(checks))]
		check.answer(t, designOf(t, check.path, seed))
	})
}

// TestDesignsAreMostlyAnswered keeps FuzzDesigns from drawing nothing but faults.
func TestDesignsAreMostlyAnswered(t *testing.T) {
	t.Parallel()
	server := newServer(t)
	for _, path := range drawnPaths {
		answered := 0
		for seed := range uint64(25) {
			if post(server, path, designOf(t, path, seed)).status == http.StatusOK {
				answered++
			}
		}
		if answered < 10 || answered == 25 {
			t.Errorf("%s: %d of 25 designs are answered", path, answered)
		}
	}
}
