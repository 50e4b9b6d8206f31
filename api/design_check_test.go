package api_test

import (
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
)

// fullCheck is how a design is checked, with every member.
func fullCheck(t testing.TB) []string {
	t.Helper()
	return []string{
		`/control = {"type":"on_demand","aquastat":{"start":{"value":85,"unit":"degF"},"stop":{"value":43,"unit":"degC"}},"sensor_node":"landing",` +
			`"trigger":{"kind":"remote_button","lead_time":{"value":2,"unit":"min"},"probability":0.8,"longest_run":{"value":300,"unit":"s"},"seed":7},"least_run":{"value":1,"unit":"min"},"least_rest":{"value":0,"unit":"s"}}`,
		`/facts = ` + factsOf(t, "DesignFacts"), `/facts/fixtures = [` + factsOf(t, "FixtureFacts") + `]`, `/facts/pipes = [` + factsOf(t, "PipeFacts") + `]`,
		`/facts/fixtures/0/fixture = "sink"`, `/facts/pipes/0/pipe = "riser"`,
		`/sets = ["good_practice"]`, `/limits = [{"rule":"` + measuredRule + `","limit":{"value":12,"unit":"m"},"reason":"An invented amendment."}]`,
		`/waivers = [{"rule":"` + measuredRule + `","element":"/system/fixtures/0","reason":"Invented.","until":"2027-01-31"}]`,
		`/as_of = "2026-11-25"`, `/every_element = false`, `/unit_system = "us_customary"`, `/show_working = false`,
	}
}

// measuredRule is one that measures a length.
const measuredRule = "ipc_607_2"

// factsOf states every fact of a kind, each with a value that no bound refuses.
func factsOf(t testing.TB, schema string) string {
	t.Helper()
	facts := map[string]any{}
	for name, ref := range loadContract(t).schema(t, schema).Properties {
		switch s := ref.Value; {
		case s.Type.Is("array"), ref.Ref != "":
		case s.Type.Is("boolean"):
			facts[name] = false
		case s.Type.Is("integer"):
			facts[name] = 2
		case len(s.Enum) > 0:
			facts[name] = s.Enum[0]
		default:
			facts[name] = map[string]any{"value": 0.5, "unit": firstUnit(t, s)}
		}
	}
	return written(t, facts)
}

func firstUnit(t testing.TB, s *openapi3.Schema) any {
	t.Helper()
	if len(s.AllOf) != 1 {
		t.Fatalf("%s is no amount", s.Description)
	}
	units := s.AllOf[0].Value.Properties["unit"].Value.Enum
	for _, u := range units {
		if strings.HasPrefix(u.(string), "deg") { // 0.5 of the SI unit is no temperature
			return "degC"
		}
	}
	return units[0]
}
