package api_test

import (
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"recirc/api"
)

// everyColumn is an invented catalogue with every column, its columns in no order.
const everyColumn = `# invented
id,head,head_unit,flow,flow_unit,power,power_unit,npsh_required,npsh_required_unit,speeds,least_speed,greatest_speed,control,set_head,set_head_unit,set_flow,set_flow_unit,adjustable,arrangement,drinking_water_approved,temperature_rating,temperature_rating_unit,pressure_rating,pressure_rating_unit,price,currency,connection
a,6,ft,0,gal/min,9,W,1.5,ft,1; 0.7,,,,,,,,,duty_and_standby,true,203,degF,10,bar,140,USD,"3/4 in, flanged"
a,2,ft,4,gal/min,16,W,4,ft,,,,,,,,,,,,,,,,,,
b,3,m,0,L/min,,,,,,,,proportional_pressure,1.2,m,15,L/min,false,,false,,,,,,,
b,0.2,m,25,L/min,,,,,,,,,,,,,,,,,,,,,,
"c ""x""",3,m,0,L/min,,,,,,0.3,1,,,,,,,,,,,,,,,
"c ""x""",0.2,m,25,L/min,,,,,,,,,,,,,,,,,,,,,,
`

// TestCatalogueIsCandidates compares a table with the candidates that it stands for.
func TestCatalogueIsCandidates(t *testing.T) {
	table, faults := api.PumpsFromCSV("\ufeff" + strings.ReplaceAll(everyColumn, "\n", "\r\n"))
	if faults != nil {
		t.Fatal(faults)
	}
	want := parsed(t, `[
	{"id":"a","curve":[{"flow":{"value":0,"unit":"gal/min"},"head":{"value":6,"unit":"ft"},"power":{"value":9,"unit":"W"}},{"flow":{"value":4,"unit":"gal/min"},"head":{"value":2,"unit":"ft"},"power":{"value":16,"unit":"W"}}],
	 "npsh_required":[{"flow":{"value":0,"unit":"gal/min"},"head":{"value":1.5,"unit":"ft"}},{"flow":{"value":4,"unit":"gal/min"},"head":{"value":4,"unit":"ft"}}],
	 "speeds":[1,0.7],"arrangement":"duty_and_standby","drinking_water_approved":true,"temperature_rating":{"value":203,"unit":"degF"},"pressure_rating":{"value":10,"unit":"bar"},
	 "price":{"amount":140,"currency":"USD"},"connection":"3/4 in, flanged"},
	{"id":"b","curve":[{"flow":{"value":0,"unit":"L/min"},"head":{"value":3,"unit":"m"}},{"flow":{"value":25,"unit":"L/min"},"head":{"value":0.2,"unit":"m"}}],
	 "control":{"mode":"proportional_pressure","set_head":{"value":1.2,"unit":"m"},"set_flow":{"value":15,"unit":"L/min"},"adjustable":false},"drinking_water_approved":false},
	{"id":"c \"x\"","curve":[{"flow":{"value":0,"unit":"L/min"},"head":{"value":3,"unit":"m"}},{"flow":{"value":25,"unit":"L/min"},"head":{"value":0.2,"unit":"m"}}],"speed_range":{"least":0.3,"greatest":1}}]`)
	for _, request := range []string{`{}`, `{"candidates":[1,{"a":"}"}]}`, ` { "candidates" : null } `} {
		got := parsed(t, table.Into(request)).(map[string]any)["candidates"]
		if !reflect.DeepEqual(got, want) {
			t.Errorf("into %s: got\n%s\nwant\n%s", request, written(t, got), written(t, want))
		}
	}
	full := fullRequest(t, pumpSelectionsPath)
	c := loadContract(t)
	c.allowsRequest(t, "POST", pumpSelectionsPath, table.Into(edited(t, full, "/candidates")))
	if got := post(newServer(t), pumpSelectionsPath, table.Into(full)); got.status != 200 {
		t.Errorf("status %d: %s", got.status, got.body)
	}
}

// TestCatalogueLeavesTheRequest keeps what a request says beside its candidates,
// and leaves a text that is no object to the reader of requests.
func TestCatalogueLeavesTheRequest(t *testing.T) {
	table, _ := api.PumpsFromCSV(everyColumn)
	full := fullRequest(t, pumpSelectionsPath)
	before, after := parsed(t, full).(map[string]any), parsed(t, table.Into(full)).(map[string]any)
	for name, value := range before {
		if name != "candidates" && !reflect.DeepEqual(value, after[name]) {
			t.Errorf("%s has become %v", name, after[name])
		}
	}
	for _, text := range []string{``, `[]`, `{`, `{"a":`, `{"a":1,`, `{"a":1`, `null`, `{"candidates":[`, `{'a':1}`} {
		if got := table.Into(text); got != text {
			t.Errorf("%q has become %.200q", text, got)
		}
	}
}

// TestBadCatalogues: every fault has its line.
func TestBadCatalogues(t *testing.T) {
	const head = "id,flow,flow_unit,head,head_unit,power,adjustable,speeds,price\n"
	cases := []struct{ name, text, want string }{
		{"nothing", "", "1: The table is empty"},
		{"comments", "# a\n# b\n", "1: The table is empty"},
		{"a column that is not known", "id,flow,flow_unit,head,head_unit,colour\n", `1: There is no column "colour".`},
		{"a column twice", "# a\nid,flow,flow,flow_unit,head,head_unit\n", "2: The column flow is there twice."},
		{"columns missing", "id,flow\n", "1: The column flow_unit is missing.|1: The column head is missing.|1: The column head_unit is missing."},
		{"a line too short", head + "a,0,m3/h,2,m\n", "2: The line has 5 cells, and the first line 9."},
		{"no CSV", head + "a,0,\"m3/h,2,m,,,,\n", "2: This is not CSV"},
		{"no number", head + "a,zero,m3/h,2,m,,,,\na,1,m3/h,\"0,5\",m,,,,\n", `2: flow is "zero"; a number, with a point, is needed.|3: head is "0,5"; a number, with a point, is needed.`},
		{"numbers that JSON has not", head + "a,NaN,m3/h,Inf,m,1e999,,,\n", "2: flow is|2: head is|2: power is"},
		{"no flow, no unit", head + "a,,,2,m,,,,\n", "2: flow is empty.|2: flow_unit is empty."},
		{"no id", head + ",0,m3/h,2,m,,,,\n", "2: id is empty."},
		{"yes", head + "a,0,m3/h,2,m,,yes,,\n", `2: adjustable is "yes"; true or false is needed.`},
		{"speeds in words", head + "a,0,m3/h,2,m,,,1;fast,\n", `2: speeds is "1;fast"; numbers apart by semicolons is needed.`},
		{"a pump in two places", head + "a,0,m3/h,2,m,,,,\nb,0,m3/h,2,m,,,,\na,1,m3/h,1,m,,,,\n", "4: The lines of one pump stand together"},
		{"a price in the second line", head + "a,0,m3/h,2,m,,,,\na,1,m3/h,1,m,,,,90\n", "3: price speaks of the whole pump"},
		{"bytes that are no text", head + "\xff,0,m3/h,2,m,,,,\n", "2: id is"},
	}
	for _, row := range cases {
		table, faults := api.PumpsFromCSV(row.text)
		want := strings.Split(row.want, "|")
		if table != nil || len(faults) != len(want) {
			t.Errorf("%s: %v, want %q", row.name, faults, want)
			continue
		}
		for i, f := range faults {
			if got := fmt.Sprintf("%d: %s", f.Line, f.Detail); !strings.HasPrefix(got, want[i]) || !strings.HasSuffix(got, ".") {
				t.Errorf("%s: %q, want %q", row.name, got, want[i])
			}
		}
	}
	if _, faults := api.PumpsFromCSV(head + strings.Repeat("a,x,m3/h,2,m,,,,\n", 5000)); len(faults) != 100 {
		t.Errorf("%d faults are told of 5000", len(faults))
	}
}

// TestCataloguesRepeatedValues: what is for the whole pump may stand in every line.
func TestCataloguesRepeatedValues(t *testing.T) {
	const text = "id,flow,flow_unit,head,head_unit,price,currency\na,0,L/min,2,m,90,EUR\na,9,L/min,1,m,90,EUR\n"
	if _, faults := api.PumpsFromCSV(text); faults != nil {
		t.Error(faults)
	}
}

// TestFaultsOfACatalogueHaveLines: what the reader of requests refuses is told by
// the line that it comes from.
func TestFaultsOfACatalogueHaveLines(t *testing.T) {
	const head = "id,flow,flow_unit,head,head_unit,power,power_unit,npsh_required,npsh_required_unit,temperature_rating,temperature_rating_unit,control\n"
	const good = "a,0,L/min,2,m,,,,,,,\na,20,L/min,1,m,,,,,,,\n"
	cases := []struct{ name, text, want string }{
		{"decreasing flows", head + good + "b,5,L/min,2,m,,,,,,,\nb,4,L/min,1,m,,,,,,,\n", "/candidates/1/curve/1 5"},
		{"one point", head + good + "b,5,L/min,2,m,,,,,,,\n", "/candidates/1/curve 4"},
		{"negative power in the third line of a pump, behind a comment", head + "b,0,L/min,2,m,3,W,,,,,\nb,1,L/min,1.9,m,3,W,,,,,\n# more\nb,4,L/min,1,m,-3,W,,,,,\n", "/candidates/0/curve/2 5"},
		{"a unit of something else", head + "b,0,L/min,2,kg,,,,,,,\nb,1,L/min,1.9,m,,,,,,,\n", "/candidates/0/curve/0/head/unit 2"},
		{"a value without its unit", head + "b,0,L/min,2,m,,,,,,,\nb,1,L/min,1.9,m,4,,,,,,\n", "/candidates/0/curve/1/power/unit 3"},
		{"a rating of no unit", head + good + "b,0,L/min,2,m,,,,,90,,\nb,1,L/min,1.9,m,,,,,,,\n", "/candidates/1/temperature_rating/unit 4"},
		{"suction heads at some points", head + "b,0,L/min,2,m,,,,,,,\nb,5,L/min,1.5,m,,,1,m,,,\nb,9,L/min,1,m,,,-1,m,,,\n", "/candidates/0/npsh_required/1 4"},
		{"a control that is not listed", head + good + "b,0,L/min,2,m,,,,,,,auto\nb,9,L/min,1,m,,,,,,,\n", "/candidates/1/control/mode 4"},
	}
	selections := readersOf(t, "pump-selections").calculation
	request := edited(t, fullRequest(t, pumpSelectionsPath), append(slices.Clone(alone), givenDuty)...)
	for _, row := range cases {
		table, faults := api.PumpsFromCSV(row.text)
		if faults != nil {
			t.Errorf("%s: %v", row.name, faults)
			continue
		}
		_, p := selections.Answer(table.Into(request), api.DefaultLimits())
		if p == nil || len(p.Errors) != 1 {
			t.Errorf("%s: %v", row.name, p)
			continue
		}
		pointer, line, _ := strings.Cut(row.want, " ")
		if !table.Locate(p, "some.csv") || *p.Errors[0].Pointer != pointer || !strings.HasPrefix(p.Errors[0].Detail, "Line "+line+" of some.csv: ") {
			t.Errorf("%s: %s, %s; want %s", row.name, *p.Errors[0].Pointer, p.Errors[0].Detail, row.want)
		}
	}
	table, _ := api.PumpsFromCSV(head + good)
	_, p := selections.Answer(table.Into(edited(t, request, "/duty/flow")), api.DefaultLimits())
	if p == nil || table.Locate(p, "some.csv") {
		t.Errorf("a fault of the duty is said to be one of the table: %v", p)
	}
}

// FuzzCatalogue reads any table: it gives faults with lines, or candidates that are
// JSON.
func FuzzCatalogue(f *testing.F) {
	f.Add(everyColumn)
	f.Add("id,flow,flow_unit,head,head_unit\na,0,m,1,m\n\"b\n\",1e400,m,-0,m\n")
	f.Add("id,flow,flow_unit,head,head_unit\n,,,,\n#\n\n\x00,1_0,m,0x1p-2,\xff\n")
	f.Fuzz(func(t *testing.T, text string) {
		table, faults := api.PumpsFromCSV(text)
		for _, fault := range faults {
			if fault.Line < 1 || fault.Line > 1+strings.Count(text, "\n")+1 || fault.Detail == "" {
				t.Fatalf("%+v of %q", fault, text)
			}
		}
		if (table == nil) != (len(faults) > 0) {
			t.Fatalf("%v of %q", faults, text)
		}
		if table != nil && !json.Valid([]byte(table.Into(`{"a":1}`))) {
			t.Fatalf("%q becomes %q", text, table.Into(`{"a":1}`))
		}
	})
}
