package api_test

import "testing"

// comparisonsOfEveryNote are requests about arrangements that give the notes which no
// example gives.
func comparisonsOfEveryNote(t *testing.T) []example {
	const (
		draws   = `/draws = {"events":[{"fixture":"basin","at":"07:00","volume":{"value":4,"unit":"L"}}]}`
		back    = `/system/pipes/- = {"id":"return","role":"return","from":"t","to":"h","length":{"value":8,"unit":"m"},"tube":{"series":"copper_type_l","nominal":"1/2"}}`
		another = `/system/pipes/- = {"id":"other return","role":"return","from":"k","to":"h","length":{"value":12,"unit":"m"},"tube":{"series":"copper_type_l","nominal":"1/2"}}`
		pump    = `"pump":{"flow":{"value":3,"unit":"L/min"},"power":{"value":20,"unit":"W"}}`
	)
	arrangement := func(text string) string { return `/arrangement = {"id":"a",` + text + `}` }
	simulated := func(name string, edits ...string) example {
		return example{controlSimulationsPath, name, edited(t, house, append([]string{draws}, edits...)...)}
	}
	compared := func(name string, edits ...string) example {
		return example{retrofitComparisonsPath, name, edited(t, house, append([]string{draws}, edits...)...)}
	}
	return []example{
		simulated("a duty cycle, nothing else said", back, another, arrangement(`"type":"dedicated_return","control":{"type":"duty_cycle"},`+pump)),
		simulated("nothing said of control, pump, cold line, valve and part", arrangement(`"type":"cold_line_return",`+pump)),
		simulated("on demand, five minutes ahead", back, arrangement(`"type":"dedicated_return","control":{"type":"on_demand","trigger":{"kind":"remote_button","lead_time":{"value":5,"unit":"min"}}},`+pump)),
		simulated("a pattern by elapsed time, nothing said of it", `/draws = {"pattern":"us_low"}`, arrangement(`"type":"point_of_use_heater","local_heater":{"volume":{"value":5,"unit":"L"},"temperature":{"value":50,"unit":"degC"},"power":{"value":2,"unit":"kW"}}`)),
		simulated("a cable too weak to serve", `/system/pipes/2/length/value = 900`, arrangement(`"type":"heat_traced","heat_trace":{"maintained_temperature":{"value":30,"unit":"degC"}}`)),
		compared("a loop on a heat pump", back, `/system/heater/type = "heat_pump"`, `/arrangements = [{"id":"none","type":"none"},{"id":"loop","type":"dedicated_return","install_cost":{"sum":{"amount":900,"currency":"EUR"}},`+pump+`}]`,
			`/heater_energy = {"carrier":"electricity","efficiency":3}`, `/life_cycle = {"years":10,"discount_rate":0.02}`),
	}
}
