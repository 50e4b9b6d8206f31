package api_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"
)

// wrongSystem is a change to a good request, as [edited] takes it (edits apart
// by line), and the faults that follow from it.
type wrongSystem struct{ name, edits, faults string }

// pipeOf is an edit that adds a pipe.
func pipeOf(id, role, from, to string) string {
	return fmt.Sprintf(`/system/pipes/- = {"id":%q,"role":%q,"from":%q,"to":%q,"length":{"value":1,"unit":"m"},"tube":{"inside_diameter":{"value":13,"unit":"mm"}}}`, id, role, from, to)
}

func systemInputs(t *testing.T) []badInput {
	var rows []badInput
	add := func(base string, table []wrongSystem, paths ...string) {
		for _, w := range table {
			for _, path := range paths {
				rows = append(rows, badInput{w.name, path, edited(t, base, strings.Split(w.edits, "\n")...), http.StatusUnprocessableEntity, w.faults})
			}
		}
	}
	full := fullBody(t)
	add(full, wrongForms, deadLegsPath, waitTimesPath, heatLossesPath)
	add(full, wrongOptions, deadLegsPath)
	add(full, wrongMethods, waitTimesPath)
	add(full, outOfRange(), deadLegsPath)
	add(full, incomplete, deadLegsPath, waitTimesPath, heatLossesPath)
	add(full, incompleteParts, deadLegsPath, waitTimesPath, heatLossesPath)
	add(house, wrongTubes, deadLegsPath)
	add(house, wrongGraphs, deadLegsPath, waitTimesPath, heatLossesPath)
	add(house, noFixtures, deadLegsPath, waitTimesPath)
	add(house, wrongFlows, waitTimesPath)
	add(full, several, deadLegsPath)
	add(fullRequest(t, waitTimesPath), wrongWaits, waitTimesPath)
	add(fullRequest(t, waitTimesPath), amountsOutside(waitAmounts), waitTimesPath)
	add(fullRequest(t, heatLossesPath), wrongLosses, heatLossesPath)
	add(fullRequest(t, heatLossesPath), amountsOutside(lossAmounts), heatLossesPath)
	add(house, noSuchWait, waitTimesPath)
	for _, table := range [][]wrongSystem{wrongForms, incomplete, incompleteParts} {
		add(full, table, designChecksPath)
	}
	add(house, wrongGraphs, designChecksPath)
	add(fullRequest(t, designChecksPath), wrongChecks, designChecksPath)
	for _, path := range loopPaths {
		request := fullRequest(t, path)
		for _, table := range [][]wrongSystem{wrongForms, incomplete, incompleteParts, wrongLoops} {
			add(request, table, path)
		}
		add(edited(t, houseFor(t, path), `/system/pipes/3`), wrongGraphs, path) // whose own returns stand there
	}
	selection := fullRequest(t, pumpSelectionsPath)
	add(selection, wrongSelections, pumpSelectionsPath)
	add(selection, amountsOutside(selectionAmounts), pumpSelectionsPath)
	add(edited(t, houseFor(t, pumpSelectionsPath), "/system", givenDuty), wrongDuties, pumpSelectionsPath)
	add(houseFor(t, pumpSelectionsPath), noSuchSelection, pumpSelectionsPath)
	add(fullRequest(t, controlSimulationsPath), wrongArrangements, controlSimulationsPath)
	add(fullRequest(t, retrofitComparisonsPath), wrongComparisons, retrofitComparisonsPath)
	add(everyPart(t, controlSimulationsPath), amountsOutside(controlDayAmounts), controlSimulationsPath)
	add(everyPart(t, retrofitComparisonsPath), amountsOutside(comparisonAmounts), retrofitComparisonsPath)
	add(fullRequest(t, loopDesignsPath), wrongDesigns, loopDesignsPath)
	add(fullRequest(t, loopDesignsPath), amountsOutside(designAmounts), loopDesignsPath)
	add(houseFor(t, loopDesignsPath), noSuchDesign, loopDesignsPath)
	add(fullRequest(t, loopSimulationsPath), wrongSimulations, loopSimulationsPath)
	add(fullRequest(t, loopSimulationsPath), amountsOutside(simulationAmounts), loopSimulationsPath)
	add(fullRequest(t, loopSimulationsPath), wrongSets(), loopSimulationsPath)
	add(houseFor(t, loopSimulationsPath), noSuchSimulation, loopSimulationsPath)
	return rows
}

// wrongForms are what the contract's schemas refuse too. None of them leads to a
// second fault: what hangs on a value that could not be read is left alone.
var wrongForms = []wrongSystem{
	{"a system of null", `/system = null`, "/system type_wrong"},
	{"a heater of null is there, but no object", `/system/heater = null`, "/system/heater type_wrong"},
	{"no heater", `/system/heater`, "/system/heater field_missing"},
	{"a heater that is a list", `/system/heater = []`, "/system/heater type_wrong"},
	{"an empty heater", `/system/heater = {}`, "/system/heater/node field_missing, /system/heater/type field_missing"},
	{"a node that is a number", `/system/heater/node = 1`, "/system/heater/node type_wrong"},
	{"an empty node", `/system/heater/node = ""`, "/system/heater/node text_length"},
	{"a heater type in capitals", `/system/heater/type = "Storage"`, "/system/heater/type value_not_listed"},
	{"a heater type that is true", `/system/heater/type = true`, "/system/heater/type type_wrong"},
	{"no mixing temperature", `/system/mixing_valve/outlet_temperature`, "/system/mixing_valve/outlet_temperature field_missing"},
	{"a return that is led nowhere", `/system/mixing_valve/return_to = "cold"`, "/system/mixing_valve/return_to value_not_listed"},
	{"a mixing valve that is false", `/system/mixing_valve = false`, "/system/mixing_valve type_wrong"},
	{"no pipes", `/system/pipes`, "/system/pipes field_missing"},
	{"an empty list of pipes", `/system/pipes = []`, "/system/pipes list_length"},
	{"pipes by name", `/system/pipes = {"main":{}}`, "/system/pipes type_wrong"},
	{"a pipe of null", `/system/pipes/2 = null`, "/system/pipes/2 type_wrong"},
	{"a pipe with nothing in it", `/system/pipes/2 = {}`,
		"/system/pipes/2/id field_missing, /system/pipes/2/from field_missing, /system/pipes/2/to field_missing, /system/pipes/2/role field_missing, /system/pipes/2/length field_missing, /system/pipes/2/tube field_missing"},
	{"no id", `/system/pipes/0/id`, "/system/pipes/0/id field_missing"},
	{"no from", `/system/pipes/0/from`, "/system/pipes/0/from field_missing"},
	{"no to", `/system/pipes/0/to`, "/system/pipes/0/to field_missing"},
	{"no role", `/system/pipes/0/role`, "/system/pipes/0/role field_missing"},
	{"no length", `/system/pipes/0/length`, "/system/pipes/0/length field_missing"},
	{"no tube", `/system/pipes/0/tube`, "/system/pipes/0/tube field_missing"},
	{"a role that is not listed", `/system/pipes/0/role = "flow"`, "/system/pipes/0/role value_not_listed"},
	{"a to that is null", `/system/pipes/0/to = null`, "/system/pipes/0/to type_wrong"},
	{"a long id", `/system/pipes/0/id = "` + strings.Repeat("x", 129) + `"`, "/system/pipes/0/id text_length"},
	{"a bare number for a length, whose unit nobody knows", `/system/pipes/0/length = 24`, "/system/pipes/0/length type_wrong"},
	{"a length as text", `/system/pipes/0/length = "24 ft"`, "/system/pipes/0/length type_wrong"},
	{"an empty length", `/system/pipes/0/length = {}`, "/system/pipes/0/length/value field_missing, /system/pipes/0/length/unit field_missing"},
	{"a length without value", `/system/pipes/0/length/value`, "/system/pipes/0/length/value field_missing"},
	{"a length without unit", `/system/pipes/0/length/unit`, "/system/pipes/0/length/unit field_missing"},
	{"a length with a note", `/system/pipes/0/length/note = "about"`, "/system/pipes/0/length/note field_unknown"},
	{"a value as text", `/system/pipes/0/length/value = "24"`, "/system/pipes/0/length/value type_wrong"},
	{"a value of null", `/system/pipes/0/length/value = null`, "/system/pipes/0/length/value type_wrong"},
	{"a unit of null", `/system/pipes/0/length/unit = null`, "/system/pipes/0/length/unit type_wrong"},
	{"a unit nobody uses", `/system/pipes/0/length/unit = "furlong"`, "/system/pipes/0/length/unit unit_unknown"},
	{"a unit in capitals", `/system/pipes/0/length/unit = "FT"`, "/system/pipes/0/length/unit unit_unknown"},
	{"a unit with a blank", `/system/pipes/0/length/unit = " ft"`, "/system/pipes/0/length/unit unit_unknown"},
	{"an empty unit", `/system/pipes/0/length/unit = ""`, "/system/pipes/0/length/unit unit_unknown"},
	{"a temperature's unit for a length", `/system/pipes/0/length/unit = "degC"`, "/system/pipes/0/length/unit unit_not_of_dimension"},
	{"a volume's unit for a flow", `/system/fixtures/0/hot_flow/unit = "gal"`, "/system/fixtures/0/hot_flow/unit unit_not_of_dimension"},
	{"the trade's name of a unit", `/system/fixtures/0/hot_flow/unit = "gpm"`, "/system/fixtures/0/hot_flow/unit unit_unknown"},
	{"a flow's unit that is none of Kv", `/system/mixing_valve/kv/unit = "L/min"`, "/system/mixing_valve/kv/unit unit_not_of_dimension"},
	{"a number that no float holds", `/system/pipes/0/length/value = 1e999`, "/system/pipes/0/length/value number_not_finite"},
	{"its negative", `/system/heater/outlet_temperature/value = -1e999`, "/system/heater/outlet_temperature/value number_not_finite"},
	{"a tube that is a name", `/system/pipes/0/tube = "copper"`, "/system/pipes/0/tube type_wrong"},
	{"a series that is not listed", `/system/pipes/0/tube/series = "copper_l"`, "/system/pipes/0/tube/series value_not_listed"},
	{"a nominal size that is a number", `/system/pipes/0/tube/nominal = 1`, "/system/pipes/0/tube/nominal type_wrong"},
	{"an empty nominal size", `/system/pipes/0/tube/nominal = ""`, "/system/pipes/0/tube/nominal text_length"},
	{"a long nominal size", `/system/pipes/0/tube/nominal = "` + strings.Repeat("1", 33) + `"`, "/system/pipes/0/tube/nominal text_length"},
	{"a bore by another name", `/system/pipes/0/tube/bore = {"value":25,"unit":"mm"}`, "/system/pipes/0/tube/bore field_unknown"},
	{"a wall of lead", `/system/pipes/1/tube/wall_material = "lead"`, "/system/pipes/1/tube/wall_material value_not_listed"},
	{"fittings by name", `/system/pipes/0/fittings = {"elbow_90":3}`, "/system/pipes/0/fittings type_wrong"},
	{"a fitting without type", `/system/pipes/0/fittings/0/type`, "/system/pipes/0/fittings/0/type field_missing"},
	{"a valve among the fittings", `/system/pipes/0/fittings/1/type = "ball"`, "/system/pipes/0/fittings/1/type value_not_listed"},
	{"101 fittings", `/system/pipes/0/fittings = [` + strings.Repeat(`{"type":"tee_run"},`, 100) + `{"type":"tee_run"}]`, "/system/pipes/0/fittings list_length"},
	{"no fittings, by number", `/system/pipes/0/fittings/0/count = 0`, "/system/pipes/0/fittings/0/count count_range"},
	{"fewer than none", `/system/pipes/0/fittings/0/count = -1`, "/system/pipes/0/fittings/0/count count_range"},
	{"1001 fittings of one kind", `/system/pipes/0/fittings/0/count = 1001`, "/system/pipes/0/fittings/0/count count_range"},
	{"a count too large for an integer", `/system/pipes/0/fittings/0/count = 1e300`, "/system/pipes/0/fittings/0/count count_range"},
	{"a count too large for a number", `/system/pipes/0/fittings/0/count = 1e999`, "/system/pipes/0/fittings/0/count number_not_finite"},
	{"one fitting and a half", `/system/pipes/0/fittings/0/count = 1.5`, "/system/pipes/0/fittings/0/count type_wrong"},
	{"a count as text", `/system/pipes/0/fittings/0/count = "3"`, "/system/pipes/0/fittings/0/count type_wrong"},
	{"a count of null", `/system/pipes/0/fittings/0/count = null`, "/system/pipes/0/fittings/0/count type_wrong"},
	{"101 valves", `/system/pipes/3/valves = [` + strings.Repeat(`{"type":"ball"},`, 100) + `{"type":"ball"}]`, "/system/pipes/3/valves list_length"},
	{"a valve without type", `/system/pipes/3/valves/0/type`, "/system/pipes/3/valves/0/type field_missing"},
	{"a valve's Kv as a number", `/system/pipes/3/valves/0/kv = 0.9`, "/system/pipes/3/valves/0/kv type_wrong"},
	{"an insulation without thickness", `/system/pipes/0/insulation/thickness`, "/system/pipes/0/insulation/thickness field_missing"},
	{"surroundings without type", `/system/pipes/0/surroundings/type`, "/system/pipes/0/surroundings/type field_missing"},
	{"surroundings without temperature", `/system/pipes/1/surroundings/temperature`, "/system/pipes/1/surroundings/temperature field_missing"},
	{"surroundings that are not listed", `/system/pipes/0/surroundings/type = "water"`, "/system/pipes/0/surroundings/type value_not_listed"},
	{"a cable without temperature", `/system/pipes/1/heat_trace/maintained_temperature`, "/system/pipes/1/heat_trace/maintained_temperature field_missing"},
	{"a cable that is true", `/system/pipes/1/heat_trace = true`, "/system/pipes/1/heat_trace type_wrong"},
	{"fixtures of null", `/system/fixtures = null`, "/system/fixtures type_wrong"},
	{"a fixture of null", `/system/fixtures/0 = null`, "/system/fixtures/0 type_wrong"},
	{"a fixture with nothing in it", `/system/fixtures/0 = {}`, "/system/fixtures/0/id field_missing, /system/fixtures/0/node field_missing, /system/fixtures/0/type field_missing"},
	{"a fixture type that is not listed", `/system/fixtures/0/type = "sink"`, "/system/fixtures/0/type value_not_listed"},
	{"a basis that is not listed", `/system/fixtures/0/hot_flow_basis = "guessed"`, "/system/fixtures/0/hot_flow_basis value_not_listed"},
	{"a flow of null is not a flow left out", `/system/fixtures/0/hot_flow = null`, "/system/fixtures/0/hot_flow type_wrong"},
	{"a default series that is not listed, and that no pipe takes", "/system/pipes/2/tube/series = \"pex_sdr9\"\n" + `/system/defaults/tube_series = "pex"`, "/system/defaults/tube_series value_not_listed"},
	{"a default series that is not listed, and that a pipe would take", `/system/defaults/tube_series = "pex"`, "/system/defaults/tube_series value_not_listed"},
	{"a series that is like none", `/system/pipes/0/tube/series = "zzzzzzzz"`, "/system/pipes/0/tube/series value_not_listed"},
	{"a default that there is none of", `/system/defaults/hot_flow = {"value":1,"unit":"L/min"}`, "/system/defaults/hot_flow field_unknown"},
	{"an unknown member at the root", `/systems = []`, "/systems field_unknown"},
	{"an unknown member whose name a pointer must escape", `/system/a~1b~0c = 1`, "/system/a~1b~0c field_unknown"},
	{"an unknown member without name", `/system/heater/ = 1`, "/system/heater/ field_unknown"},
	{"units by name that are not listed", `/unit_system = "metric"`, "/unit_system value_not_listed"},
	{"units by name of null", `/unit_system = null`, "/unit_system type_wrong"},
	{"working as text", `/show_working = "true"`, "/show_working type_wrong"},
	{"working as number", `/show_working = 1`, "/show_working type_wrong"},
}

var wrongOptions = []wrongSystem{
	{"an unknown limit", `/limits = ["ipc_607_2","ipc_607_3"]`, "/limits/1 value_not_listed"},
	{"a limit of null", `/limits = [null]`, "/limits/0 type_wrong"},
	{"no limit", `/limits = []`, "/limits list_length"},
	{"101 limits", `/limits = [` + strings.Repeat(`"ipc_607_2",`, 100) + `"ipc_607_2"]`, "/limits list_length"},
	{"one limit without a list", `/limits = "ipc_607_2"`, "/limits type_wrong"},
	{"a detail that is not listed", `/detail = "all"`, "/detail value_not_listed"},
}

var wrongMethods = []wrongSystem{
	{"a method that is not listed", `/method = "mixed"`, "/method value_not_listed"},
	{"a method of null", `/method = null`, "/method type_wrong"},
}

// bounds says of one amount what is refused and what is taken, at both ends.
type bounds struct{ at, outside, inside string }

const tooColdTooHot, coldestHottest = "-0.01 degC, 110.01 degC, 200 degC, -300 degC, -1 K, 31.9 degF, 230.1 degF", "0 degC, 110 degC, 273.15 K, 383.15 K, 32 degF, 230 degF"

var amounts = []bounds{
	{"/system/pipes/0/length", "0 m, -0.0 m, -1 m, 10.001 km, 20 km, 1e308 m, 1e308 km, -1e308 km", "1e-9 m, 10 km, 10000 m, 32808 ft, 1e-320 m"},
	{"/system/pipes/3/tube/inside_diameter", "0.99 mm, 0 mm, -15 mm, 2.001 m, 2001 mm, 1e308 in", "1 mm, 0.1 cm, 2 m, 200 cm, 78 in"},
	{"/system/pipes/0/insulation/thickness", "-1 mm, 1.001 m, 1e308 m", "0 mm, 1 m, 1000 mm, 100 cm"},
	{"/system/pipes/0/insulation/conductivity", "0 W/(m.K), -0.04 W/(m.K), 5.01 W/(m.K), 40 Btu.in/(h.ft2.degF)", "1e-9 W/(m.K), 5 W/(m.K)"},
	{"/system/heater/outlet_temperature", tooColdTooHot, coldestHottest},
	{"/system/mixing_valve/outlet_temperature", tooColdTooHot, coldestHottest},
	{"/system/pipes/3/valves/0/set_temperature", tooColdTooHot, coldestHottest},
	{"/system/pipes/1/heat_trace/maintained_temperature", tooColdTooHot, coldestHottest},
	{"/system/pipes/0/surroundings/temperature", "-60.1 degC, 110.1 degC, -274 degC, -76.1 degF", "-60 degC, 110 degC, 213.15 K, -76 degF"},
	{"/system/pipes/0/surroundings/radiant_temperature", "-60.1 degC, 110.1 degC, 0 K", "-60 degC, 110 degC, 230 degF"},
	{"/system/pipes/0/surroundings/air_speed", "0 m/s, -1 m/s, 50.1 m/s", "1e-6 m/s, 50 m/s, 9842 ft/min"},
	{"/system/pipes/1/surroundings/depth", "0 m, -1 m, 100.1 m", "1 mm, 100 m, 0.1 km"},
	{"/system/pipes/1/surroundings/ground_conductivity", "0 W/(m.K), 5.1 W/(m.K)", "0.001 W/(m.K), 5 W/(m.K)"},
	{"/system/pipes/1/heat_trace/power_per_length", "0 W/m, -9 W/m, 200.1 W/m", "0.1 W/m, 200 W/m, 60.9 W/ft"},
	{"/system/heater/start_up_delay", "-1 s, 3601 s, 2 h, 1 d", "0 s, 3600 s, 60 min, 1 h"},
	{"/system/heater/activation_flow", "0 L/min, -1 L/min, 0.101 m3/s", "0.001 L/h, 0.1 m3/s, 100 L/s, 360 m3/h, 6000 L/min"},
	{"/system/fixtures/0/hot_flow", "0 L/min, -0.0 gal/min, -1 gal/min, 0.101 m3/s, 1586 gal/min, 1e308 m3/s", "0.001 L/h, 0.1 m3/s, 100 L/s, 360 m3/h, 360000 L/h"},
	{"/system/mixing_valve/kv", "0 m3/h, -1 m3/h, 10000.1 m3/h", "0.001 m3/h, 10000 m3/h, 1 gal/min"},
	{"/system/mixing_valve/least_flow", "0 L/min, -1 L/min, 0.101 m3/s", "0.001 L/h, 0.1 m3/s"},
	{"/system/heater/rated_loss/flow", "0 L/min, -1 L/min, 0.101 m3/s", "0.001 L/h, 0.1 m3/s"},
	{"/system/heater/rated_loss/pressure", "0 Pa, -1 kPa, 1000.1 kPa, 10.1 bar, 146 psi", "0.001 Pa, 1000 kPa, 10 bar, 10000 mbar, 145 psi"},
	{"/system/pipes/3/valves/0/kv", "-0.1 m3/h, 10001 m3/h", "0.2 m3/h, 10000 m3/h, 1 gal/min"},
	{"/system/pipes/3/valves/0/smallest_kv", "-1 gal/min, 20000 gal/min", "0 m3/h, 0 gal/min, -0.0 m3/h, 0.9 m3/h"},
	{"/system/pipes/3/valves/0/temperature_band", "0 K, -1 K, 80.1 K, 144.2 degF", "1e-9 K, 80 K, 144 degF"},
	{"/system/mains_temperature", "-0.01 degC, 60.01 degC, 140.1 degF, 0 K", "0 degC, 60 degC, 140 degF, 333.15 K"},
	{"/system/pipes/0/insulation/outer_layers/0/thickness", "-1 mm, 1.001 m", "0 mm, 1e-9 m, 1 m"},
	{"/system/pipes/0/insulation/outer_layers/0/conductivity", "0 W/(m.K), 5.01 W/(m.K)", "1e-9 W/(m.K), 0.001 W/(m.K), 5 W/(m.K)"},
	{"/system/pipes/0/insulation/outer_layers/1/conductivity_points/0/mean_temperature", "-60.1 degC, 200.1 degC, 392.1 degF, 0 K", "-60 degC, 200 degC, 392 degF"},
	{"/system/pipes/0/insulation/outer_layers/1/conductivity_points/1/conductivity", "0 W/(m.K), 5.01 W/(m.K)", "1e-9 W/(m.K), 0.01 W/(m.K), 5 W/(m.K)"},
	{"/system/pipes/1/insulation/r_value", "0 m2.K/W, -1 m2.K/W, 100.1 m2.K/W, 568 h.ft2.degF/Btu", "1e-9 m2.K/W, 0.001 m2.K/W, 10 m2.K/W, 100 m2.K/W"},
	{"/system/pipes/0/insulation/outer_layers/2/r_value", "0 m2.K/W, 101 m2.K/W", "1 m2.K/W, 567.8 h.ft2.degF/Btu"},
	{"/system/pipes/3/surroundings/surface_coefficient", "0 W/(m2.K), -9 W/(m2.K), 1000.1 W/(m2.K), 177 Btu/(h.ft2.degF)", "1e-9 W/(m2.K), 0.001 W/(m2.K), 1000 W/(m2.K), 176.1 Btu/(h.ft2.degF)"},
	{"/system/defaults/surroundings/surface_coefficient", "0 W/(m2.K), 1001 W/(m2.K)", "1e-9 W/(m2.K), 1000 W/(m2.K)"},
}

// edits gives the edits that put each of the amounts in its place.
func (b bounds) edits(amounts string) []string {
	var all []string
	if amounts == "" {
		return nil
	}
	for _, a := range strings.Split(amounts, ", ") {
		value, unit, _ := strings.Cut(a, " ")
		all = append(all, fmt.Sprintf(`%s = {"value":%s,"unit":%q}`, b.at, value, unit))
	}
	return all
}

func outOfRange() []wrongSystem {
	return append(amountsOutside(amounts),
		wrongSystem{"a heater's Kv of 0", "/system/heater/rated_loss\n" + `/system/heater/kv = {"value":0,"unit":"m3/h"}`, "/system/heater/kv/value out_of_physical_range"},
		wrongSystem{"a heater's Kv of 10,001", "/system/heater/rated_loss\n" + `/system/heater/kv = {"value":10001,"unit":"m3/h"}`, "/system/heater/kv/value out_of_physical_range"},
		wrongSystem{"a rated head of 0", "/system/heater/rated_loss/pressure\n" + `/system/heater/rated_loss/head = {"value":0,"unit":"m"}`, "/system/heater/rated_loss/head/value out_of_physical_range"},
		wrongSystem{"a rated head of 100.1 m", "/system/heater/rated_loss/pressure\n" + `/system/heater/rated_loss/head = {"value":100.1,"unit":"m"}`, "/system/heater/rated_loss/head/value out_of_physical_range"},
		wrongSystem{"a wall of 0.09 mm", `/system/pipes/1/tube = {"outside_diameter":{"value":16,"unit":"mm"},"wall_thickness":{"value":0.09,"unit":"mm"}}`, "/system/pipes/1/tube/wall_thickness/value out_of_physical_range"},
		wrongSystem{"a wall of 101 mm", `/system/pipes/1/tube = {"outside_diameter":{"value":1,"unit":"m"},"wall_thickness":{"value":101,"unit":"mm"}}`, "/system/pipes/1/tube/wall_thickness/value out_of_physical_range"},
		wrongSystem{"an outside diameter of 0.9 mm", `/system/pipes/1/tube = {"outside_diameter":{"value":0.9,"unit":"mm"},"wall_thickness":{"value":0.1,"unit":"mm"}}`, "/system/pipes/1/tube/outside_diameter/value out_of_physical_range"},
		wrongSystem{"an outside diameter of 2.1 m", `/system/pipes/1/tube = {"outside_diameter":{"value":2.1,"unit":"m"},"wall_thickness":{"value":1,"unit":"cm"}}`, "/system/pipes/1/tube/outside_diameter/value out_of_physical_range"},
	)
}

func amountsOutside(table []bounds) []wrongSystem {
	var rows []wrongSystem
	for _, b := range table {
		for _, e := range b.edits(b.outside) {
			rows = append(rows, wrongSystem{e, e, b.at + "/value out_of_physical_range"})
		}
	}
	return rows
}
