package api_test

import (
	"fmt"
	"strings"
)

// alone are edits that take the system, and all that belongs to it, out of the full
// request for selections.
var alone = []string{"/system", "/target", "/least_connection_flow", "/connections", "/return_sizing", "/activation_margin", "/losses"}

const (
	givenDuty = `/duty = {"basis":"given","flow":{"value":5,"unit":"L/min"},"head":{"value":1,"unit":"m"}}`

	// lifted is the curve of a system with a static head, which an invented pump
	// whose curve rises at first meets twice.
	lifted = `{"static_head":{"value":2.3,"unit":"m"},"points":[{"flow":{"value":10,"unit":"L/min"},"head":{"value":2.5,"unit":"m"}}]}`
	humped = `{"id":"humped","drinking_water_approved":true,"curve":[{"flow":{"value":0,"unit":"L/min"},"head":{"value":2,"unit":"m"}},{"flow":{"value":5,"unit":"L/min"},"head":{"value":3,"unit":"m"}},` +
		`{"flow":{"value":12,"unit":"L/min"},"head":{"value":1,"unit":"m"}}]}`
)

// wrongSelections are changes to the full request for selections.
var wrongSelections = []wrongSystem{
	{"no duty", `/duty`, "/duty field_missing"},
	{"a duty that is a flow", `/duty = {"value":5,"unit":"L/min"}`, "/duty/value field_unknown, /duty/unit field_unknown, /duty/basis field_missing"},
	{"a duty by nothing", `/duty/basis`, "/duty/basis field_missing"},
	{"a duty by another basis", `/duty/basis = "comfort"`, "/duty/basis value_not_listed"},
	{"a duty by heat loss that is given", `/duty = {"basis":"heat_loss","flow":{"value":5,"unit":"L/min"},"head":{"value":1,"unit":"m"}}`, "/duty/flow duty_contradicts, /duty/head duty_contradicts"},
	{"a duty by heat loss with a pressure, to fill something", `/duty = {"basis":"heat_loss","pressure":{"value":5,"unit":"kPa"},"time":{"value":30,"unit":"s"},"volume":{"value":3,"unit":"L"},"fixture":"sink"}`,
		"/duty/pressure duty_contradicts, /duty/time duty_contradicts, /duty/volume duty_contradicts, /duty/fixture duty_contradicts"},
	{"a system beside a given duty, and how to design it", givenDuty,
		"/system duty_contradicts, /target duty_contradicts, /least_connection_flow duty_contradicts, /connections duty_contradicts, /return_sizing duty_contradicts, /losses duty_contradicts, /activation_margin duty_contradicts"},
	{"a duty that is wrong is not one left out", `/duty/flow = {"value":-5,"unit":"L/min"}`, "/duty/flow/value out_of_physical_range"},

	{"no candidates", `/candidates`, "/candidates field_missing"},
	{"an empty list of candidates", `/candidates = []`, "/candidates list_length"},
	{"candidates by name", `/candidates = {"small":{}}`, "/candidates type_wrong"},
	{"a candidate of null", `/candidates/0 = null`, "/candidates/0 type_wrong"},
	{"a candidate with nothing in it", `/candidates/0 = {}`, "/candidates/0/id field_missing, /candidates/0/curve field_missing"},
	{"two candidates of one name", `/candidates/1/id = "speeds"`, "/candidates/1/id duplicate_id"},
	{"one point", `/candidates/1/curve/1`, "/candidates/1/curve list_length"},
	{"201 points", `/candidates/1/curve = [` + strings.Repeat(curvePoint+",", 200) + curvePoint + `]`, "/candidates/1/curve list_length"},
	{"decreasing flows", `/candidates/0/curve/1/flow/value = 5`, "/candidates/0/curve/2 curve_flow_decreasing"},
	{"repeated points", `/candidates/0/curve/2/flow/value = 2`, "/candidates/0/curve/2 curve_flow_repeated"},
	{"negative power", `/candidates/0/curve/1/power/value = -14`, "/candidates/0/curve/1 curve_power_negative"},
	{"a head that crosses zero", `/candidates/0/curve/2/head/value = -2`, "/candidates/0/curve/2 curve_head_crosses_zero"},
	{"a head below zero", `/candidates/0/curve/0/head/value = -2`, "/candidates/0/curve/0 curve_head_negative"},
	{"power at some points only", `/candidates/0/curve/1/power`, "/candidates/0/curve/1 curve_power_partly"},
	{"no head at all", "/candidates/1/curve/0/head/value = 0\n/candidates/1/curve/1/head/value = 0", "/candidates/1/curve curve_without_output"},
	{"next to no flow", "/candidates/1/curve/1/flow/value = 1e-8", "/candidates/1/curve curve_without_output"},
	{"two faults of one curve, and one of another", "/candidates/0/curve/1/power/value = -14\n/candidates/0/curve/2/head/value = -2\n/candidates/1/curve/0/head/value = -1",
		"/candidates/0/curve/1 curve_power_negative, /candidates/0/curve/2 curve_head_crosses_zero, /candidates/1/curve/0 curve_head_negative"},
	{"a point that is wrong is told alone", `/candidates/0/curve/0/flow/unit = "L"`, "/candidates/0/curve/0/flow/unit unit_not_of_dimension"},
	{"suction heads by falling flow", `/candidates/0/npsh_required/1/flow/value = 0`, "/candidates/0/npsh_required/1 curve_flow_repeated"},

	{"21 speeds", `/candidates/0/speeds = [` + strings.Repeat("1,", 20) + `1]`, "/candidates/0/speeds list_length"},
	{"a speed in percent", `/candidates/0/speeds/0 = 100`, "/candidates/0/speeds/0 count_range"},
	{"speeds and a range of them", `/candidates/0/speed_range = {"least":0.5,"greatest":1}`, "/candidates/0/speed_range pump_incomplete"},
	{"a range from above to below", `/candidates/1/speed_range = {"least":1,"greatest":0.5}`, "/candidates/1/speed_range pump_incomplete"},
	{"a held pressure of no head", `/candidates/2/control = {"mode":"constant_pressure"}`, "/candidates/2/control pump_incomplete"},
	{"a held pressure that is set and adjustable", `/candidates/2/control/adjustable = true`, "/candidates/2/control/set_head pump_incomplete"},
	{"a held pressure at a flow", `/candidates/2/control/mode = "constant_pressure"`, "/candidates/2/control/set_flow pump_incomplete"},
	{"a constant speed with all that holds a pressure", "/candidates/2/control/mode = \"constant_speed\"\n/candidates/2/control/adjustable = true",
		"/candidates/2/control/set_head pump_incomplete, /candidates/2/control/set_flow pump_incomplete, /candidates/2/control/adjustable pump_incomplete"},
	{"a held pressure with speeds, and a range of them", "/candidates/2/speeds = [1]\n" + `/candidates/2/speed_range = {"least":0.5,"greatest":1}`,
		"/candidates/2/speeds pump_incomplete, /candidates/2/speed_range pump_incomplete, /candidates/2/speed_range pump_incomplete"},
	{"a pump that is off", `/candidates/2/control/mode = "off"`, "/candidates/2/control/mode value_not_listed"},
	{"three pumps", `/candidates/0/arrangement = "three_in_parallel"`, "/candidates/0/arrangement value_not_listed"},

	{"a price below zero", `/candidates/0/price/amount = -1`, "/candidates/0/price/amount out_of_physical_range"},
	{"a price as a number", `/candidates/0/price = 140`, "/candidates/0/price type_wrong"},
	{"a currency by its sign", `/candidates/0/price/currency = "$"`, "/candidates/0/price/currency currency_malformed"},
	{"a currency in small letters", `/electricity_price/currency = "usd"`, "/electricity_price/currency currency_malformed"},
	{"two currencies", `/candidates/0/price/currency = "EUR"`, "/candidates/0/price/currency currency_mixed"},
	{"a price by power", `/electricity_price/per = "kW"`, "/electricity_price/per value_not_listed"},
	{"a price of energy below zero", `/electricity_price/amount = -0.1`, "/electricity_price/amount count_range"},

	{"life-cycle cost of no years", "/ranking/years\n/ranking/discount_rate", "/ranking ranking_incomplete"},
	{"life-cycle cost at no rate", "/ranking/discount_rate", "/ranking ranking_incomplete"},
	{"years without a rate, ranked by price", "/ranking/discount_rate\n/ranking/by = \"price\"", "/ranking ranking_incomplete"},
	{"life-cycle cost without a price of electricity", "/electricity_price", "/ranking ranking_incomplete"},
	{"a rate in percent", `/ranking/discount_rate = 3`, "/ranking/discount_rate count_range"},
	{"half a year", `/ranking/years = 0.5`, "/ranking/years type_wrong"},

	{"hours and a control", `/running/control = "continuous"`, "/running running_incomplete"},
	{"a timer of no time", `/running = {"control":"timer"}`, "/running running_incomplete"},
	{"an aquastat of no share", `/running = {"control":"aquastat","time_per_day":{"value":18,"unit":"h"}}`, "/running running_incomplete"},
	{"on demand, never", `/running = {"control":"on_demand"}`, "/running running_incomplete, /running running_incomplete"},
	{"a share of all year", `/running = {"control":"continuous","running_share":0.5,"time_per_day":{"value":1,"unit":"h"},"starts_per_day":1}`, "/running running_incomplete, /running running_incomplete, /running running_incomplete"},
	{"starts that overlap", `/running = {"control":"on_demand","starts_per_day":1440,"time_per_start":{"value":2,"unit":"min"}}`, "/running running_incomplete"},
	{"a running time that is wrong is none", `/running = {"control":"sun"}`, "/running/control value_not_listed"},

	{"a suction of no pressure", `/conditions/suction/pressure`, "/conditions/suction/pressure field_missing"},
	{"an excess in percent", `/limits/greatest_excess_flow = 101`, "/limits/greatest_excess_flow count_range"},
	{"members of other calculations", `/pump = ` + curvePump + "\n/hours_per_year = 1", "/pump field_unknown, /hours_per_year field_unknown"},
	{"a system curve of nothing", `/system_curve = {"points":[]}`, "/system_curve/points list_length"},
	{"a static head beside two points", `/system_curve = {"static_head":{"value":1,"unit":"m"},"points":[` + curvePoint + "," + curvePoint + `]}`, "/system_curve/static_head static_head_contradicts"},
	{"a point below the static head", `/system_curve = {"static_head":{"value":2,"unit":"m"},"points":[` + curvePoint + `]}`, "/system_curve/static_head static_head_contradicts"},
	{"two points at one flow", `/system_curve = {"points":[` + curvePoint + "," + curvePoint + `]}`, "/system_curve/points curve_at_one_flow"},
	{"a point at no flow", `/system_curve = {"points":[` + strings.Replace(curvePoint, "1", "0", 1) + `]}`, "/system_curve/points/0 curve_without_output"},
	{"points of no flow", `/system_curve = {"points":[` + strings.Repeat(strings.Replace(curvePoint, "1", "0", 1)+",", 2) + strings.Replace(curvePoint, "1", "0", 1) + `]}`, "/system_curve/points curve_without_output"},
}

// wrongDuties are changes to a selection for a given duty, without a system.
var wrongDuties = []wrongSystem{
	{"no flow", `/duty/flow`, "/duty duty_incomplete"},
	{"no head", `/duty/head`, "/duty duty_incomplete"},
	{"neither", `/duty = {"basis":"given"}`, "/duty duty_incomplete, /duty duty_incomplete"},
	{"a head and a pressure", `/duty/pressure = {"value":1,"unit":"psi"}`, "/duty/pressure duty_contradicts"},
	{"a time", `/duty/time = {"value":1,"unit":"min"}`, "/duty/time duty_contradicts"},
	{"a heat loss of no system", `/duty = {"basis":"heat_loss"}`, "/duty duty_incomplete"},
	{"nothing to fill", `/duty = {"basis":"fill_time","time":{"value":30,"unit":"s"},"head":{"value":1,"unit":"m"}}`, "/duty duty_incomplete"},
	{"no time to fill it", `/duty = {"basis":"fill_time","volume":{"value":3,"unit":"L"},"head":{"value":1,"unit":"m"}}`, "/duty duty_incomplete"},
	{"a volume, and no head", `/duty = {"basis":"fill_time","time":{"value":30,"unit":"s"},"volume":{"value":3,"unit":"L"}}`, "/duty duty_incomplete"},
	{"a volume and a flow", `/duty = {"basis":"fill_time","time":{"value":30,"unit":"s"},"volume":{"value":3,"unit":"L"},"head":{"value":1,"unit":"m"},"flow":{"value":3,"unit":"L/min"}}`, "/duty/flow duty_contradicts"},
	{"a fixture of no system", `/duty = {"basis":"fill_time","time":{"value":30,"unit":"s"},"fixture":"sink"}`, "/duty duty_incomplete"},
	{"losses of no pipes", `/losses = {}`, "/losses duty_contradicts"},
	{"a velocity in no pipe", `/limits = {"greatest_velocity":{"value":1,"unit":"m/s"}}`, "/limits/greatest_velocity limits_incomplete"},
	{"a system that takes no head", "/duty/head\n" + `/system_curve = {"points":[{"flow":{"value":3,"unit":"L/min"},"head":{"value":0,"unit":"m"}}]}`, "/duty out_of_physical_range"},
	{"next to no flow and no system curve", `/duty/flow/value = 1e-9`, "/duty out_of_physical_range"},
}

// noSuchSelection are changes to the house with a return.
var noSuchSelection = []wrongSystem{
	{"no return", `/system/pipes/3`, "/system/pipes returns_missing"},
	{"a limit for a pipe that is not there", `/connections = [{"pipe":"attic"}]`, "/connections/0/pipe pipe_unknown"},
	{"hotter than the heater", `/target = {"at":"return_connections","temperature":{"value":80,"unit":"degC"}}`, "/target target_out_of_reach"},
	{"a way to a fixture that is not there", `/duty = {"basis":"fill_time","time":{"value":30,"unit":"s"},"fixture":"tub"}`, "/duty/fixture fixture_unknown"},
	{"a way to a fixture at the heater", `/duty = {"basis":"fill_time","time":{"value":30,"unit":"s"},"fixture":"here"}` + "\n" + `/system/fixtures/- = {"id":"here","node":"h","type":"shower"}`, "/duty/fixture duty_contradicts"},
	{"a fixture and a volume", `/duty = {"basis":"fill_time","time":{"value":30,"unit":"s"},"fixture":"sink","volume":{"value":3,"unit":"L"}}`, "/duty/volume duty_contradicts"},
	{"a volume beside a system", `/duty = {"basis":"fill_time","time":{"value":30,"unit":"s"},"volume":{"value":3,"unit":"L"},"head":{"value":1,"unit":"m"}}`, "/system duty_contradicts"},
	{"a way through a closed valve", `/duty = {"basis":"fill_time","time":{"value":30,"unit":"s"},"fixture":"sink"}` + "\n" + `/system/pipes/0/valves = [{"type":"ball","kv":{"value":0,"unit":"m3/h"}}]`, "/system/pipes/0/valves network_unsolvable"},
	{"a target for a way", `/duty = {"basis":"fill_time","time":{"value":30,"unit":"s"},"fixture":"sink"}` + "\n" + `/target = {"at":"heater","drop":{"value":5,"unit":"K"}}`, "/target duty_contradicts"},
	{"a way of an open size", `/duty = {"basis":"fill_time","time":{"value":30,"unit":"s"},"fixture":"sink"}` + "\n" + `/system/pipes/3/tube = {}`, "/system/pipes/3/tube tube_incomplete"},
}

// selectionAmounts are those of the full request for selections.
var selectionAmounts = []bounds{
	{"/candidates/0/curve/0/flow", "-1 L/min, 0.101 m3/s", "0 L/min"},
	{"/candidates/0/curve/0/head", "200.1 m, 657 ft", "200 m, 656 ft"},
	{"/candidates/0/curve/1/power", "0 W, 100.1 kW, 135 hp", "0.001 W, 100 kW, 134 hp"},
	{"/candidates/0/temperature_rating", "-0.1 degC, 300.1 degC", "0 degC, 300 degC, 572 degF"},
	{"/candidates/0/pressure_rating", "0 bar, -1 bar, 100.1 bar", "1 Pa, 100 bar, 1450 psi"},
	{"/candidates/0/npsh_required/1/head", "200.1 m", "200 m"},
	{"/candidates/2/control/set_head", "0 m, -1 m, 100.1 m", "1e-9 m, 100 m, 328 ft"},
	{"/candidates/2/control/set_flow", "0 L/min, -1 L/min, 0.101 m3/s", "1e-9 L/min, 0.1 m3/s"},
	{"/limits/greatest_velocity", "0 m/s, 50.1 m/s", "1e-6 m/s, 50 m/s"},
	{"/limits/tightest_inside_diameter", "0.99 mm, 2.001 m", "1 mm, 2 m"},
	{"/conditions/water_temperature", tooColdTooHot, coldestHottest},
	{"/conditions/greatest_pressure", "0 bar, 100.1 bar", "1 Pa, 100 bar"},
	{"/conditions/suction/pressure", "-100.1 kPa, 10001 kPa", "-100 kPa, 0 psi, 10000 kPa"},
	{"/conditions/suction/elevation", "-1000.1 m, 1000.1 m", "-1000 m, 0 ft, 1000 m"},
	{"/conditions/suction/head_loss", "-0.1 m, 200.1 m", "0 m, 200 m"},
	{"/conditions/suction/air_pressure", "29.9 kPa, 120.1 kPa", "30 kPa, 1.2 bar"},
}

// longWay asks which pumps fill a row of pipes to a fixture at its end.
func longWay(pipes int, candidates string) string {
	var b strings.Builder
	for i := range pipes {
		fmt.Fprintf(&b, `,{"id":"%d","from":"%d","to":"%d","role":"supply","length":{"value":1,"unit":"m"},"tube":{"inside_diameter":{"value":20,"unit":"mm"}}}`, i, i, i+1)
	}
	return fmt.Sprintf(`{"duty":{"basis":"fill_time","time":{"value":30,"unit":"s"},"fixture":"end"},"system":{"heater":{"node":"0","type":"storage"},"pipes":[%s],"fixtures":[{"id":"end","node":"%d","type":"shower"}]},"candidates":[%s]}`,
		b.String()[1:], pipes, candidates)
}
