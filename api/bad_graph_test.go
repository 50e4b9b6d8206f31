package api_test

// wrongTubes are changes to the second pipe of the house, whose tube is of the
// catalogue, and to the third, which has its own dimensions.
var wrongTubes = []wrongSystem{
	{"nothing said", `/system/pipes/1/tube = {}`, "/system/pipes/1/tube tube_incomplete"},
	{"nothing said but the default series", "/system/pipes/1/tube = {}\n" + `/system/defaults = {"tube_series":"pex_sdr9"}`, "/system/pipes/1/tube tube_incomplete"},
	{"only a material", `/system/pipes/1/tube = {"wall_material":"pex"}`, "/system/pipes/1/tube tube_incomplete"},
	{"a series without size", `/system/pipes/1/tube/nominal`, "/system/pipes/1/tube/nominal tube_incomplete"},
	{"a size without series: tubes of one size differ", `/system/pipes/1/tube/series`, "/system/pipes/1/tube/series tube_series_missing"},
	{"a size that the series has not", `/system/pipes/1/tube/nominal = "7/8"`, "/system/pipes/1/tube/nominal tube_nominal_unknown"},
	{"a size as it is spoken", `/system/pipes/1/tube/nominal = "half inch"`, "/system/pipes/1/tube/nominal tube_nominal_unknown"},
	{"a size that the default series has not", "/system/pipes/1/tube = {\"nominal\":\"22x1\"}\n" + `/system/defaults = {"tube_series":"pex_sdr9"}`, "/system/pipes/1/tube/nominal tube_nominal_unknown"},
	{"catalogue and bore", `/system/pipes/1/tube/inside_diameter = {"value":12,"unit":"mm"}`, "/system/pipes/1/tube tube_ambiguous"},
	{"size and bore, as for the default series", `/system/pipes/2/tube/nominal = "1/2"`, "/system/pipes/2/tube tube_ambiguous"},
	{"an outside diameter alone", `/system/pipes/2/tube = {"outside_diameter":{"value":16,"unit":"mm"}}`, "/system/pipes/2/tube tube_incomplete"},
	{"a wall alone", `/system/pipes/2/tube = {"wall_thickness":{"value":2,"unit":"mm"}}`, "/system/pipes/2/tube tube_incomplete"},
	{"bore and outside diameter exchanged", `/system/pipes/2/tube = {"inside_diameter":{"value":16,"unit":"mm"},"outside_diameter":{"value":12,"unit":"mm"}}`, "/system/pipes/2/tube/inside_diameter tube_contradicts"},
	{"a tube without wall", `/system/pipes/2/tube = {"inside_diameter":{"value":16,"unit":"mm"},"outside_diameter":{"value":16,"unit":"mm"}}`, "/system/pipes/2/tube/inside_diameter tube_contradicts"},
	{"walls that leave no bore", `/system/pipes/2/tube = {"outside_diameter":{"value":16,"unit":"mm"},"wall_thickness":{"value":8,"unit":"mm"}}`, "/system/pipes/2/tube/wall_thickness tube_contradicts"},
	{"a wall given twice over", `/system/pipes/2/tube = {"inside_diameter":{"value":12,"unit":"mm"},"outside_diameter":{"value":16,"unit":"mm"},"wall_thickness":{"value":4,"unit":"mm"}}`, "/system/pipes/2/tube tube_contradicts"},
	{"three dimensions that miss by 0.11 mm", `/system/pipes/2/tube = {"inside_diameter":{"value":12.11,"unit":"mm"},"outside_diameter":{"value":16,"unit":"mm"},"wall_thickness":{"value":2,"unit":"mm"}}`, "/system/pipes/2/tube tube_contradicts"},
	{"a wrong series is one fault: its size is not looked up", "/system/pipes/1/tube/series = \"pex\"\n" + `/system/pipes/1/tube/nominal = "9/9"`, "/system/pipes/1/tube/series value_not_listed"},
	{"every tube wrong, each in its way", "/system/pipes/0/tube/nominal\n/system/pipes/1/tube/series\n" + `/system/pipes/2/tube/series = "pex_sdr9"`,
		"/system/pipes/0/tube/nominal tube_incomplete, /system/pipes/1/tube/series tube_series_missing, /system/pipes/2/tube tube_ambiguous"},
}

var wrongGraphs = []wrongSystem{
	{"two pipes of one id", `/system/pipes/2/id = "kitchen"`, "/system/pipes/2/id duplicate_id"},
	{"two fixtures of one id", `/system/fixtures/1/id = "sink"`, "/system/fixtures/1/id duplicate_id"},
	{"one id thrice is told twice", "/system/pipes/1/id = \"main\"\n" + `/system/pipes/2/id = "main"`, "/system/pipes/1/id duplicate_id, /system/pipes/2/id duplicate_id"},
	{"a pipe to itself", pipeOf("loop", "supply", "k", "k"), "/system/pipes/3/to pipe_to_itself"},
	{"a return to itself", pipeOf("loop", "return", "k", "k"), "/system/pipes/3/to pipe_to_itself"},
	{"a node fed twice", pipeOf("short cut", "supply", "k", "b"), "/system/pipes/3/to second_parent"},
	{"two pipes side by side", pipeOf("twin", "supply", "h", "t"), "/system/pipes/3/to second_parent"},
	{"a circle that the heater does not feed", pipeOf("there", "supply", "x", "y") + "\n" + pipeOf("back", "supply", "y", "x"), "/system/pipes/4/to supply_cycle"},
	{"a supply back into the heater", pipeOf("back", "supply", "k", "h"), "/system/pipes/3/to supply_into_heater"},
	{"a heater where nothing starts", `/system/heater/node = "attic"`, "/system/heater/node node_unknown"},
	{"node names differ by a capital", `/system/heater/node = "H"`, "/system/heater/node node_unknown"},
	{"a part without connection", pipeOf("lost", "supply", "x", "y"), "/system/pipes/3/from node_unreachable"},
	{"a pipe to nowhere", pipeOf("stub", "supply", "t", "x"), "/system/pipes/3/to pipe_leads_nowhere"},
	{"a return from where no water is", pipeOf("back", "return", "x", "h"), "/system/pipes/3/from return_off_supply"},
	{"a return from the heater", pipeOf("back", "return", "h", "x") + "\n" + pipeOf("on", "return", "x", "h"), "/system/pipes/3/from return_off_supply"},
	{"a return that ends nowhere", pipeOf("back", "return", "k", "x"), "/system/pipes/3/to return_not_to_heater"},
	{"returns in a circle", pipeOf("back", "return", "k", "x") + "\n" + pipeOf("on", "return", "x", "y") + "\n" + pipeOf("round", "return", "y", "x"), "/system/pipes/5/to return_not_to_heater"},
	{"a return into the supply", pipeOf("back", "return", "k", "t"), "/system/pipes/3/to return_into_supply"},
	{"a return that splits", pipeOf("back", "return", "k", "h") + "\n" + pipeOf("again", "return", "k", "h"), "/system/pipes/4/from return_splits"},
	{"a fixture on a return", pipeOf("back", "return", "k", "r") + "\n" + pipeOf("on", "return", "r", "h") + "\n" + `/system/fixtures/- = {"id":"tap","node":"r","type":"shower"}`, "/system/fixtures/2/node fixture_off_supply"},
	{"a fixture at no node, and so a pipe without one", `/system/fixtures/0/node = "attic"`, "/system/pipes/1/to pipe_leads_nowhere, /system/fixtures/0/node node_unknown"},
	{"all returns and no supply", "/system/pipes/0/role = \"return\"\n/system/pipes/1/role = \"return\"\n" + `/system/pipes/2/role = "return"`, "/system/pipes/2/from return_splits, /system/heater/node node_unknown, /system/fixtures/0/node fixture_off_supply, /system/fixtures/1/node fixture_off_supply"},
}

// noFixtures ask about the way to fixtures where there is none. That is one
// fault: in a system drawn without fixtures its ends say nothing. Heat is lost
// without fixtures too, see [TestLossesNeedNoFixture].
var noFixtures = []wrongSystem{
	{"no fixtures", `/system/fixtures`, "/system/fixtures fixtures_missing"},
	{"an empty list of fixtures", `/system/fixtures = []`, "/system/fixtures fixtures_missing"},
	{"no fixtures, and a pipe that leads nowhere", "/system/fixtures\n" + pipeOf("stub", "supply", "t", "x"), "/system/fixtures fixtures_missing"},
	{"no fixtures, and a pipe that no water reaches", "/system/fixtures\n" + pipeOf("lost", "supply", "x", "y"), "/system/fixtures fixtures_missing, /system/pipes/3/from node_unreachable"},
	{"no fixtures, and two pipes of one id", "/system/fixtures = []\n" + `/system/pipes/2/id = "main"`, "/system/fixtures fixtures_missing, /system/pipes/2/id duplicate_id"},
}

// wrongFlows ask for a wait where nobody knows the flow.
var wrongFlows = []wrongSystem{
	{"a clothes washer without flow", `/system/fixtures/0/type = "clothes_washer"`, "/system/fixtures/0/hot_flow hot_flow_missing"},
	{"two others without flow", "/system/fixtures/0/type = \"other\"\n/system/fixtures/1/type = \"other\"\n/system/fixtures/1/hot_flow", "/system/fixtures/0/hot_flow hot_flow_missing, /system/fixtures/1/hot_flow hot_flow_missing"},
	{"a flow that is wrong is not one left out", "/system/fixtures/1/type = \"other\"\n/system/fixtures/1/hot_flow/value = 0", "/system/fixtures/1/hot_flow/value out_of_physical_range"},
	{"a type that is wrong has no default to miss", `/system/fixtures/0/type = "tub"`, "/system/fixtures/0/type value_not_listed"},
}

// several are many faults at once; every one is told, those of form in the order
// of the text and those of the system behind them.
var several = []wrongSystem{
	{"one of every kind of form", `/system/heater/type = "boiler"
/system/heater/start_up_delay/value = 4000
/system/mixing_valve/kv/unit = "L/s"
/system/pipes/0/fittings/0/count = 0
/system/pipes/0/insulation/conductivity
/system/pipes/1/tube/inside_diameter/value
/system/pipes/1/length/unit = "yard"
/system/pipes/2/id = ""
/system/pipes/3/valves/0/colour = "red"
/system/fixtures/0/hot_flow/value = 1e999
/system/fixtures/1/type
/limits = []
/show_working = 0`,
		"/limits list_length, /show_working type_wrong, " +
			"/system/fixtures/0/hot_flow/value number_not_finite, /system/fixtures/1/type field_missing, " +
			"/system/heater/start_up_delay/value out_of_physical_range, /system/heater/type value_not_listed, /system/mixing_valve/kv/unit unit_not_of_dimension, " +
			"/system/pipes/0/fittings/0/count count_range, /system/pipes/0/insulation insulation_incomplete, " +
			"/system/pipes/1/length/unit unit_unknown, /system/pipes/1/tube/inside_diameter/value field_missing, /system/pipes/2/id text_length, /system/pipes/3/valves/0/colour field_unknown"},
	{"form, tube and graph", `/system/pipes/1/tube/wall_thickness/value = 4
/system/pipes/2/id = "riser"
/system/pipes/2/length/value = 0
/system/pipes/3/to = "bath"
/system/fixtures/1/node = "attic"`,
		"/system/pipes/2/length/value out_of_physical_range, /system/pipes/2/id duplicate_id, /system/pipes/1/tube tube_contradicts, " +
			"/system/pipes/3/to return_into_supply, /system/pipes/2/to pipe_leads_nowhere, /system/fixtures/1/node node_unknown"},
	{"one amount wrong in both members", "/system/pipes/0/length/value = \"8\"\n" + `/system/pipes/0/length/unit = 8`, "/system/pipes/0/length/unit type_wrong, /system/pipes/0/length/value type_wrong"},
}
