package api_test

import (
	"fmt"
	"net/http"
	"strings"
	"testing"
)

// houseFor is the house as an operation takes it: for a loop with a return and,
// where needed, a pump.
func houseFor(t testing.TB, path string) string {
	switch path {
	case loopDesignsPath:
		return edited(t, house, pipeOf("back", "return", "t", "h"))
	case loopSimulationsPath:
		return edited(t, house, pipeOf("back", "return", "t", "h"), `/pump = `+curvePump)
	case pumpSelectionsPath:
		return edited(t, house, pipeOf("back", "return", "t", "h"), `/duty = {"basis":"heat_loss"}`, `/candidates = [`+smallPump+`]`)
	case controlSimulationsPath:
		return edited(t, house, `/draws = {"pattern":"eu_s"}`, `/arrangement = {"id":"as it is","type":"none"}`)
	case retrofitComparisonsPath:
		return edited(t, house, `/draws = {"pattern":"eu_s"}`, `/arrangements = [{"id":"as it is","type":"none"}]`)
	}
	return house
}

const curvePump = `{"mode":"constant_speed","curve":[{"flow":{"value":0,"unit":"L/min"},"head":{"value":2,"unit":"m"}},{"flow":{"value":20,"unit":"L/min"},"head":{"value":0.5,"unit":"m"}}]}`

// smallPump is an invented candidate without anything that may be left out.
const smallPump = `{"id":"small","curve":[{"flow":{"value":0,"unit":"L/min"},"head":{"value":2,"unit":"m"}},{"flow":{"value":20,"unit":"L/min"},"head":{"value":0.5,"unit":"m"}}]}`

// incompleteParts are parts of the system that every operation reads.
var incompleteParts = []wrongSystem{
	{"a rated loss by pressure and by head", `/system/heater/rated_loss/head = {"value":2,"unit":"ft"}`, "/system/heater/rated_loss rated_loss_ambiguous"},
	{"a rated loss by neither", `/system/heater/rated_loss/pressure`, "/system/heater/rated_loss rated_loss_ambiguous"},
	{"a heater's loss by Kv and by rated loss", `/system/heater/kv = {"value":9,"unit":"m3/h"}`, "/system/heater/rated_loss rated_loss_ambiguous"},
	{"a rated loss without flow", `/system/heater/rated_loss/flow`, "/system/heater/rated_loss/flow field_missing"},
	{"a rated loss that is an amount", `/system/heater/rated_loss = {"value":3,"unit":"psi"}`,
		"/system/heater/rated_loss/value field_unknown, /system/heater/rated_loss/unit field_unknown, /system/heater/rated_loss/flow field_missing"},
	{"a rated pressure that is wrong is not one left out", `/system/heater/rated_loss/pressure/value = -3`, "/system/heater/rated_loss/pressure/value out_of_physical_range"},
	{"a rated loss that is wrong is no second way beside Kv", "/system/heater/rated_loss/flow\n" + `/system/heater/kv = {"value":9,"unit":"m3/h"}`, "/system/heater/rated_loss/flow field_missing"},
	{"a head in kPa", `/system/heater/rated_loss/pressure/unit = "ft"`, "/system/heater/rated_loss/pressure/unit unit_not_of_dimension"},
	{"a valve that is more open at its smallest", `/system/pipes/3/valves/0/smallest_kv/value = 0.91`, "/system/pipes/3/valves/0/smallest_kv valve_incomplete"},
	{"a closed valve that stays open at its smallest", `/system/pipes/3/valves/0/kv/value = 0`, "/system/pipes/3/valves/0/smallest_kv valve_incomplete"},
	{"a smallest Kv that is wrong is not compared", `/system/pipes/3/valves/0/kv/value = 0` + "\n" + `/system/pipes/3/valves/0/smallest_kv/value = -1`, "/system/pipes/3/valves/0/smallest_kv/value out_of_physical_range"},
	{"a band that is a temperature", `/system/pipes/3/valves/0/temperature_band/unit = "m"`, "/system/pipes/3/valves/0/temperature_band/unit unit_not_of_dimension"},
}

// wrongLoops are changes to the full request of either operation on loops.
var wrongLoops = []wrongSystem{
	{"a target by nothing", `/target/drop`, "/target target_incomplete"},
	{"a target by temperature and drop", `/target/temperature = {"value":50,"unit":"degC"}`, "/target target_incomplete"},
	{"a target nowhere", `/target/at`, "/target/at field_missing"},
	{"a target with nothing in it", `/target = {}`, "/target/at field_missing"},
	{"a target somewhere else", `/target/at = "fixtures"`, "/target/at value_not_listed"},
	{"a target that is a temperature", `/target = {"value":50,"unit":"degC"}`, "/target/value field_unknown, /target/unit field_unknown, /target/at field_missing"},
	{"a drop that is wrong is not one left out", `/target/drop/value = 0`, "/target/drop/value out_of_physical_range"},
	{"a drop that is wrong beside a temperature: one of them will go", "/target/drop/value = 0\n" + `/target/temperature = {"value":50,"unit":"degC"}`, "/target/drop/value out_of_physical_range"},
	{"a coefficient C for the other friction", `/losses/friction = "darcy_weisbach"`, "/losses/hazen_williams_c losses_contradict"},
	{"a coefficient C for the usual friction", `/losses/friction`, "/losses/hazen_williams_c losses_contradict"},
	{"an allowance beside loss coefficients", `/losses/fittings = "loss_coefficient"`, "/losses/length_allowance losses_contradict"},
	{"an allowance beside the usual fittings", `/losses/fittings`, "/losses/length_allowance losses_contradict"},
	{"an allowance of nothing beside lengths", "/losses/length_allowance = 0\n" + `/losses/fittings = "equivalent_length"`, "/losses/length_allowance losses_contradict"},
	{"both contradict", "/losses/friction\n/losses/fittings", "/losses/hazen_williams_c losses_contradict, /losses/length_allowance losses_contradict"},
	{"a friction that is not listed is told alone", `/losses/friction = "manning"`, "/losses/friction value_not_listed"},
	{"fittings that are not listed", `/losses/fittings = "none"`, "/losses/fittings value_not_listed"},
	{"a coefficient C of 19", `/losses/hazen_williams_c = 19`, "/losses/hazen_williams_c count_range"},
	{"an allowance of 25, in percent", `/losses/length_allowance = 25`, "/losses/length_allowance count_range"},
	{"losses by name", `/losses = "hazen_williams"`, "/losses type_wrong"},
	{"members of the other calculations", `/detail = "pipes"` + "\n" + `/usable_rise = {"value":5,"unit":"K"}` + "\n" + `/hours_per_year = 1`, "/detail field_unknown, /usable_rise field_unknown, /hours_per_year field_unknown"},
}

// wrongDesigns are changes to the full request for designs.
var wrongDesigns = []wrongSystem{
	{"a connection twice", `/connections/- = {"pipe":"back"}`, "/connections/1/pipe listed_twice"},
	{"a connection three times is told twice", `/connections = [{"pipe":"back"},{"pipe":"back"},{"pipe":"back"}]`, "/connections/1/pipe listed_twice, /connections/2/pipe listed_twice"},
	{"a connection without pipe", `/connections/0/pipe`, "/connections/0/pipe field_missing"},
	{"two connections without name are not one", `/connections = [{"pipe":""},{"pipe":""}]`, "/connections/0/pipe text_length, /connections/1/pipe text_length"},
	{"a connection by name", `/connections = ["back"]`, "/connections/0 type_wrong"},
	{"a rule that is not listed", `/return_sizing/rule = "handbook"`, "/return_sizing/rule value_not_listed"},
	{"a series that is not listed", `/return_sizing/series = "copper"`, "/return_sizing/series value_not_listed"},
	{"a friction that is a pressure", `/return_sizing/greatest_friction/unit = "psi"`, "/return_sizing/greatest_friction/unit unit_not_of_dimension"},
	{"a velocity that is a flow", `/return_sizing/greatest_velocity/unit = "gal/min"`, "/return_sizing/greatest_velocity/unit unit_not_of_dimension"},
	{"a sizing by name", `/return_sizing = "copper_handbook"`, "/return_sizing type_wrong"},
	{"a margin below 1", `/activation_margin = 0.9`, "/activation_margin count_range"},
	{"a margin in percent", `/activation_margin = 110`, "/activation_margin count_range"},
	{"a margin as text", `/activation_margin = "1.1"`, "/activation_margin type_wrong"},
	{"a pump, which a design has not", `/pump = ` + curvePump, "/pump field_unknown"},
}

// designAmounts are those of the same request. What is within may still be more
// than a loop can do; see [TestLoopAmountsAtTheirBounds].
var designAmounts = []bounds{
	{"/target/drop", "0 K, -1 K, 80.1 K, 144.2 degF", "1e-9 K, 80 K, 80 degC, 144 degF"},
	{"/least_connection_flow", "0 L/min, -1 L/min, 0.101 m3/s", "0.001 L/h, 0.1 m3/s"},
	{"/connections/0/least_flow", "0 L/min, -1 L/min, 0.101 m3/s", "0.001 L/h, 0.1 m3/s"},
	{"/connections/0/least_temperature", tooColdTooHot, coldestHottest},
	{"/return_sizing/greatest_velocity", "0 m/s, -1 m/s, 50.1 m/s", "1e-6 m/s, 50 m/s, 164 ft/s"},
	{"/return_sizing/least_velocity", "0 m/s, 50.1 m/s", "1e-6 m/s, 50 m/s, 9842 ft/min"},
	{"/return_sizing/greatest_friction", "0 Pa/m, -1 Pa/m, 100.1 kPa/m, 1001 mbar/m, 4.5 psi/ft, 443 psi/(100.ft)", "1e-6 Pa/m, 100 kPa/m, 1000 mbar/m, 4.42 psi/ft, 442 psi/(100.ft)"},
	{"/return_sizing/least_inside_diameter", "0.99 mm, 2.001 m", "1 mm, 2 m"},
}

// wrongSimulations are changes to the full request for simulations.
var wrongSimulations = []wrongSystem{
	{"no pump", `/pump`, "/pump field_missing"},
	{"a pump of null", `/pump = null`, "/pump type_wrong"},
	{"a pump without mode", `/pump/mode`, "/pump/mode field_missing"},
	{"a mode that is not listed", `/pump/mode = "auto"`, "/pump/mode value_not_listed"},
	{"a mode that is false, as YAML reads a bare off", `/pump/mode = false`, "/pump/mode type_wrong"},
	{"constant speed without curve", `/pump/curve`, "/pump pump_incomplete"},
	{"constant pressure without head", `/pump = {"mode":"constant_pressure"}`, "/pump pump_incomplete"},
	{"proportional pressure without head", `/pump = {"mode":"proportional_pressure","set_flow":{"value":5,"unit":"L/min"}}`, "/pump pump_incomplete"},
	{"proportional pressure without flow or curve", `/pump = {"mode":"proportional_pressure","set_head":{"value":2,"unit":"m"}}`, "/pump pump_incomplete"},
	{"a pump of constant speed with a head to set", `/pump/set_head = {"value":2,"unit":"m"}`, "/pump/set_head pump_incomplete"},
	{"a pump of constant speed with a flow to set", `/pump/set_flow = {"value":5,"unit":"L/min"}`, "/pump/set_flow pump_incomplete"},
	{"a pump of constant pressure with a speed", `/pump/mode = "constant_pressure"` + "\n" + `/pump/set_head = {"value":2,"unit":"m"}`, "/pump/speed pump_incomplete"},
	{"a pump of constant pressure with a flow to set", `/pump = {"mode":"constant_pressure","set_head":{"value":2,"unit":"m"},"set_flow":{"value":5,"unit":"L/min"}}`, "/pump/set_flow pump_incomplete"},
	{"a pump of proportional pressure with a speed", `/pump/mode = "proportional_pressure"` + "\n" + `/pump/set_head = {"value":2,"unit":"m"}`, "/pump/speed pump_incomplete"},
	{"a pump that is off, with all that a pump may have", "/pump/mode = \"off\"\n" + `/pump/set_head = {"value":2,"unit":"m"}` + "\n" + `/pump/set_flow = {"value":5,"unit":"L/min"}`,
		"/pump/curve pump_incomplete, /pump/speed pump_incomplete, /pump/set_head pump_incomplete, /pump/set_flow pump_incomplete"},
	{"what is missing and what is too much", "/pump/mode = \"constant_pressure\"", "/pump pump_incomplete, /pump/speed pump_incomplete"},
	{"a curve of one point", `/pump/curve/1`, "/pump/curve list_length"},
	{"a curve of 201 points", `/pump/curve = [` + strings.Repeat(curvePoint+",", 200) + curvePoint + `]`, "/pump/curve list_length"},
	{"a point without head", `/pump/curve/1/head`, "/pump/curve/1/head field_missing"},
	{"a point as a pair", `/pump/curve/1 = [6, 1]`, "/pump/curve/1 type_wrong"},
	{"a curve that is wrong is not one left out", `/pump/curve/1/flow/value = -1`, "/pump/curve/1/flow/value out_of_physical_range"},
	{"a speed in percent", `/pump/speed = 90`, "/pump/speed count_range"},
	{"a fixture that draws twice", `/draws/- = {"fixture":"sink"}`, "/draws/1/fixture listed_twice"},
	{"a node at two heights", `/node_elevations/- = {"node":"landing","elevation":{"value":1,"unit":"m"}}`, "/node_elevations/1/node listed_twice"},
	{"a return measured twice", `/measured_returns/- = {"pipe":"back","temperature":{"value":40,"unit":"degC"}}`, "/measured_returns/1/pipe listed_twice"},
	{"a draw without fixture", `/draws/0/fixture`, "/draws/0/fixture field_missing"},
	{"a height without node", `/node_elevations/0/node`, "/node_elevations/0/node field_missing"},
	{"a node without height", `/node_elevations/0/elevation`, "/node_elevations/0/elevation field_missing"},
	{"a measurement without temperature", `/measured_returns/0/temperature`, "/measured_returns/0/temperature field_missing"},
	{"a rule that is not listed", `/velocity_rule = "handbook"`, "/velocity_rule value_not_listed"},
	{"members of a design", `/return_sizing = {}` + "\n/activation_margin = 1", "/return_sizing field_unknown, /activation_margin field_unknown"},
}

const curvePoint = `{"flow":{"value":1,"unit":"L/min"},"head":{"value":1,"unit":"m"}}`

// simulationAmounts are those of the same request.
var simulationAmounts = []bounds{
	{"/target/drop", "0 K, 80.1 K", "1e-9 K, 80 K"},
	{"/pump/curve/0/flow", "-1 L/min, 0.101 m3/s", "0 L/min"},
	{"/pump/curve/1/flow", "-1 L/min, 0.101 m3/s", "0.1 m3/s"},
	{"/pump/curve/0/head", "200.1 m, 657 ft", "200 m, 656 ft"},
	{"/pump/curve/1/head", "200.1 m", "0 m, 0 ft"},
	{"/draws/0/flow", "0 L/min, -1 L/min, 0.101 m3/s", "0.001 L/h, 0.1 m3/s"},
	{"/node_elevations/0/elevation", "-1000.1 m, 1000.1 m, 3281 ft", "-1000 m, 0 m, 1 km, 3280 ft"},
	{"/measured_returns/0/temperature", tooColdTooHot, coldestHottest},
}

// wrongSets are amounts of a pump that holds a pressure, and of a target by
// temperature, which the full request is not.
func wrongSets() []wrongSystem {
	const pump = `/pump = {"mode":"proportional_pressure","set_head":{"value":2,"unit":"m"},"set_flow":{"value":5,"unit":"L/min"}}`
	var rows []wrongSystem
	for _, set := range []struct {
		bounds
		before string
	}{
		{bounds{"/pump/set_head", "0 m, -1 m, 100.1 m, 329 ft", ""}, pump},
		{bounds{"/pump/set_flow", "0 L/min, -1 L/min, 0.101 m3/s", ""}, pump},
		{bounds{"/target/temperature", tooColdTooHot, ""}, `/target/drop`},
	} {
		for _, e := range set.edits(set.outside) {
			rows = append(rows, wrongSystem{e, set.before + "\n" + e, set.at + "/value out_of_physical_range"})
		}
	}
	return rows
}

// noSuchDesign and noSuchSimulation are changes to the house with a return: of
// good form, but they speak of what is not there, or ask for what cannot be.
var (
	noSuchDesign = []wrongSystem{
		{"no return", `/system/pipes/3`, "/system/pipes returns_missing"},
		{"a limit for a pipe that is not there", `/connections = [{"pipe":"attic"}]`, "/connections/0/pipe pipe_unknown"},
		{"a least temperature where the target is at the heater", `/target = {"at":"heater","drop":{"value":5,"unit":"K"}}` + "\n" + `/connections = [{"pipe":"back","least_temperature":{"value":50,"unit":"degC"}}]`,
			"/connections/0/least_temperature target_incomplete"},
		{"a limit for a supply pipe", `/connections = [{"pipe":"bath"}]`, "/connections/0/pipe not_a_connection"},
		{"hotter than the heater", `/target = {"at":"return_connections","temperature":{"value":80,"unit":"degC"}}`, "/target target_out_of_reach"},
		{"a return wider than any tube", `/system/pipes/3/tube = {"series":"copper_type_l"}` + "\n" + `/return_sizing = {"least_inside_diameter":{"value":2,"unit":"m"}}`, "/system/pipes/3/tube no_size_fits"},
		{"an open size of no series", `/system/pipes/3/tube = {}`, "/system/pipes/3/tube/series tube_series_missing"},
		{"an open size of the supply", `/system/pipes/0/tube = {}`, "/system/pipes/0/tube tube_incomplete"},
	}
	noSuchSimulation = []wrongSystem{
		{"no return", `/system/pipes/3`, "/system/pipes returns_missing"},
		{"a draw at a fixture that is not there", `/draws = [{"fixture":"tub"}]`, "/draws/0/fixture fixture_unknown"},
		{"the height of a node that is not there", `/node_elevations = [{"node":"roof","elevation":{"value":9,"unit":"m"}}]`, "/node_elevations/0/node node_unknown"},
		{"a measurement in a pipe that is not there", `/measured_returns = [{"pipe":"attic","temperature":{"value":50,"unit":"degC"}}]`, "/measured_returns/0/pipe pipe_unknown"},
		{"a measurement in a supply pipe", `/measured_returns = [{"pipe":"bath","temperature":{"value":50,"unit":"degC"}}]`, "/measured_returns/0/pipe not_a_connection"},
		{"a curve whose flows fall", `/pump/curve/0/flow/value = 30`, "/pump/curve/1 curve_flow_decreasing"},
		{"a curve that ends before the loop meets it", `/pump/curve = [{"flow":{"value":0,"unit":"L/h"},"head":{"value":9,"unit":"m"}},{"flow":{"value":0.01,"unit":"L/h"},"head":{"value":8,"unit":"m"}}]`, "/pump/curve curve_too_short"},
		{"a draw that shut valves cut off", `/system/pipes/1/valves = [{"type":"ball","kv":{"value":0,"unit":"m3/h"}}]` + "\n" + `/draws = [{"fixture":"sink"}]`, "/draws/0 network_unsolvable"},
		{"an open size, which only a design chooses", `/system/pipes/3/tube = {}`, "/system/pipes/3/tube tube_incomplete"},
	}
)

// longLists are lists with one item too many, in a body whose system is missing,
// so that nobody looks at what they name.
func longLists() []badInput {
	list := func(n int, item string) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, item+",", i)
		}
		return strings.TrimSuffix(b.String(), ",")
	}
	const pump = `"pump":` + curvePump
	return []badInput{
		{"40,000 settings of pumps on a way of 60 pipes", pumpSelectionsPath, longWay(60, list(2000, strings.Replace(strings.Replace(smallPump, "small", "%d", 1), `{"id"`, `{"speeds":[`+strings.Repeat("1,", 19)+`1],"id"`, 1))),
			http.StatusRequestEntityTooLarge, "/candidates too_many_candidates"},
		{"2,001 candidates", pumpSelectionsPath, `{"candidates":[` + list(2001, strings.Replace(smallPump, "small", "%d", 1)) + `],"system":{}}`, http.StatusUnprocessableEntity,
			"/candidates list_length, /duty field_missing, /system/heater field_missing, /system/pipes field_missing"},
		{"50,001 connections", loopDesignsPath, `{"connections":[` + list(50_001, `{"pipe":"%d"}`) + `]}`, http.StatusUnprocessableEntity, "/connections list_length, /system field_missing"},
		{"50,001 draws", loopSimulationsPath, `{` + pump + `,"draws":[` + list(50_001, `{"fixture":"%d"}`) + `]}`, http.StatusUnprocessableEntity, "/draws list_length, /system field_missing"},
		{"100,001 heights", loopSimulationsPath, `{` + pump + `,"node_elevations":[` + list(100_001, `{"node":"%d","elevation":{"value":1,"unit":"m"}}`) + `]}`,
			http.StatusUnprocessableEntity, "/node_elevations list_length, /system field_missing"},
		{"50,001 measurements", loopSimulationsPath, `{` + pump + `,"measured_returns":[` + list(50_001, `{"pipe":"%d","temperature":{"value":50,"unit":"degC"}}`) + `]}`,
			http.StatusUnprocessableEntity, "/measured_returns list_length, /system field_missing"},
	}
}

// TestLoopAmountsAtTheirBounds sends the last amounts that the contract takes. A
// loop may not be able to do what they say, but none of them is out of range.
func TestLoopAmountsAtTheirBounds(t *testing.T) {
	server := newServer(t)
	for path, table := range map[string][]bounds{loopDesignsPath: designAmounts, loopSimulationsPath: simulationAmounts, pumpSelectionsPath: selectionAmounts} {
		for _, b := range append(table, amounts...) {
			for _, e := range b.edits(b.inside) {
				got := post(server, path, edited(t, fullRequest(t, path), e))
				if got.status != http.StatusOK && strings.Contains(strings.Join(got.problem(t).faults(), ", "), b.at+"/value out_of_physical_range") {
					t.Errorf("%s, %s: refused: %q", path, e, got.problem(t).faults())
				}
			}
		}
	}
}
