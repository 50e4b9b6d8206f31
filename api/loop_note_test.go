package api_test

import (
	"strings"
	"testing"
)

// loopsOfEveryNote are requests about loops that give the notes which no example
// gives.
func loopsOfEveryNote(t *testing.T) []example {
	const (
		shut = `[{"type":"balancing","kv":{"value":0,"unit":"m3/h"}}]`
		off  = `/pump = {"mode":"off"}`
		long = `/system/pipes/- = {"id":"long","role":"return","from":"b","to":"h","length":{"value":60,"unit":"m"},"tube":{"inside_diameter":{"value":8,"unit":"mm"}}}`
		over = `/system/pipes/- = {"id":"over","role":"return","from":"loft","to":"h","length":{"value":6,"unit":"m"},"tube":{"inside_diameter":{"value":13,"unit":"mm"}},` +
			`"surroundings":{"type":"still_air","temperature":{"value":60,"unit":"degC"}}}`
		heights = `/node_elevations = [{"node":"h","elevation":{"value":0,"unit":"m"}},{"node":"t","elevation":{"value":0,"unit":"m"}},{"node":"loft","elevation":{"value":5,"unit":"m"}}]`
	)
	var bodies []example
	add := func(path, base, name string, edits ...string) {
		bodies = append(bodies, example{path, name, edited(t, base, edits...)})
	}
	design, simulation := fullRequest(t, loopDesignsPath), fullRequest(t, loopSimulationsPath)
	small, running := houseFor(t, loopDesignsPath), houseFor(t, loopSimulationsPath)

	add(loopDesignsPath, design, "a tankless heater, Hazen and Williams, an allowance for fittings")
	add(loopDesignsPath, design, "nothing said", "/target", "/losses", "/return_sizing", "/system/mixing_valve/return_to", "/connections")
	add(loopDesignsPath, design, "a return to the heater only", `/system/mixing_valve/return_to = "heater"`)
	add(loopDesignsPath, design, "a traced riser", `/system/pipes/0/heat_trace = {"maintained_temperature":{"value":50,"unit":"degC"}}`)
	add(loopDesignsPath, small, "a strainer without Kv", `/system/pipes/3/valves = [{"type":"strainer"}]`)
	add(loopDesignsPath, small, "a far fixture", `/system/pipes/1/length/value = 20`)
	add(loopDesignsPath, small, "two returns without valves, one of them long and narrow", `/system/pipes/3/from = "k"`, long, `/least_connection_flow = {"value":5,"unit":"L/min"}`)

	add(loopSimulationsPath, simulation, "a slow pump on a tankless heater", "/draws", `/pump/speed = 0.1`, "/measured_returns")
	add(loopSimulationsPath, running, "shut valves", `/system/pipes/3/valves = `+shut)
	add(loopSimulationsPath, running, "off, heights unknown", off)
	add(loopSimulationsPath, running, "off, and hot water would have to fall", off, `/node_elevations = [{"node":"h","elevation":{"value":5,"unit":"m"}},{"node":"t","elevation":{"value":0,"unit":"m"}}]`)
	add(loopSimulationsPath, running, "off, with a return that falls through a hot room, behind a long cold supply", off, heights, `/system/pipes/0/length/value = 30`, `/system/pipes/3/to = "loft"`, over)
	add(loopSimulationsPath, running, "slow water under a rule with a least velocity", `/velocity_rule = "nf_dtu_60_11"`, `/pump/speed = 0.1`, `/system/pipes/3/length = {"value":300,"unit":"m"}`)
	narrow := `[` + strings.Replace(hunting, "BAND", "1e-9", 1) + `]`
	add(loopSimulationsPath, running, "thermostatic valves of bands below what a temperature can tell", `/system/pipes/3/from = "k"`,
		`/system/pipes/3/valves = `+narrow, strings.Replace(long, `"length"`, `"valves":`+narrow+`,"length"`, 1))
	return bodies
}

const hunting = `{"type":"thermostatic_balancing","kv":{"value":2,"unit":"m3/h"},"smallest_kv":{"value":0.001,"unit":"m3/h"},"set_temperature":{"value":55,"unit":"degC"},"temperature_band":{"value":BAND,"unit":"K"}}`
