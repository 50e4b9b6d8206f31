package e2e_test

import (
	"bytes"
	"encoding/json"
	"math"
	"net/http"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/testcontainers/testcontainers-go"
)

// smallSystem is one pipe and one fixture; its numbers are invented.
const smallSystem = `{
  "system": {
    "heater": {"node": "heater", "type": "storage"},
    "pipes": [
      {"id": "run", "from": "heater", "to": "kitchen", "role": "supply",
       "length": {"value": 40, "unit": "ft"}, "tube": {"series": "copper_type_l", "nominal": "1/2"}}
    ],
    "fixtures": [{"id": "sink", "node": "kitchen", "type": "kitchen_faucet"}]
  }
}`

// example is a request that the contract shows.
type example struct {
	path, name string
	body       []byte
}

// requestExamples collects them, in order, and demands one of each operation
// that takes a body.
func (c *contract) requestExamples(t *testing.T) []example {
	t.Helper()
	var found []example
	for _, path := range c.doc.Paths.InMatchingOrder() {
		post := c.doc.Paths.Value(path).Post
		if post == nil {
			continue
		}
		content := post.RequestBody.Value.Content.Get("application/json")
		if len(content.Examples) == 0 {
			t.Errorf("POST %s has no example", path)
		}
		for name, e := range content.Examples {
			body, err := json.Marshal(e.Value.Value)
			if err != nil {
				t.Fatal(err)
			}
			found = append(found, example{path, name, body})
		}
	}
	slices.SortFunc(found, func(a, b example) int { return strings.Compare(a.path+a.name, b.path+b.name) })
	return found
}

func TestEveryExampleOfTheContractIsAnswered(t *testing.T) {
	s := startService(t)
	c := fetchContract(t, s)
	examples := c.requestExamples(t)
	if len(examples) == 0 {
		t.Fatal("the contract has no examples")
	}
	for _, e := range examples {
		t.Run(strings.TrimPrefix(e.path, "/v1/")+"/"+e.name, func(t *testing.T) {
			got := s.post(t, e.path, e.body)
			if got.status != http.StatusOK {
				t.Fatalf("status %d: %s", got.status, got.body)
			}
			c.mustAllow(t, http.MethodPost, e.path, got)
			if again := s.post(t, e.path, e.body); !bytes.Equal(again.body, got.body) {
				t.Error("the same body gives other bytes the second time")
			}
		})
	}
}

func TestEveryTableIsAnswered(t *testing.T) {
	s := startService(t)
	c := fetchContract(t, s)
	tables := 0
	for _, path := range c.doc.Paths.InMatchingOrder() {
		get := c.doc.Paths.Value(path).Get
		if get == nil || !slices.Contains(get.Tags, "tables") {
			continue
		}
		tables++
		for _, query := range append([]string{""}, exampleQueries(get)...) {
			got := s.get(t, path+query)
			if got.status != http.StatusOK {
				t.Errorf("GET %s gives %d: %s", path+query, got.status, got.body)
			}
			c.mustAllow(t, http.MethodGet, path, got)
		}
	}
	if tables == 0 {
		t.Error("the contract has no tables")
	}
}

// exampleQueries is a query of each parameter's example.
func exampleQueries(operation *openapi3.Operation) []string {
	var queries []string
	for _, p := range operation.Parameters {
		if text, ok := p.Value.Example.(string); ok && p.Value.In == "query" {
			queries = append(queries, "?"+p.Value.Name+"="+text)
		}
	}
	return queries
}

// one asks for one run of tube to one fixture.
func one(length, unit, series, nominal, flow string) []byte {
	return []byte(`{"system":{"heater":{"node":"heater","type":"storage"},
	"pipes":[{"id":"run","from":"heater","to":"tap","role":"supply","length":{"value":` + length + `,"unit":"` + unit + `"},
	"tube":{"series":"` + series + `","nominal":"` + nominal + `"}}],
	"fixtures":[{"id":"tap","node":"tap","type":"other","hot_flow":{"value":` + flow + `,"unit":"gal/min"}}]},
	"unit_system":"us_customary"}`)
}

type amount struct {
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
}

func (a amount) check(t *testing.T, what string, want float64, unit string, within float64) {
	t.Helper()
	if a.Unit != unit || !(math.Abs(a.Value-want) <= within*want) {
		t.Errorf("%s is %v %s, published %v %s within %v %%", what, a.Value, a.Unit, want, unit, 100*within)
	}
}

func TestPublishedStoredVolumes(t *testing.T) {
	s := startService(t)
	for _, tc := range []struct {
		name, source                  string
		length, unit, series, nominal string
		want                          float64
		wantUnit, system              string
	}{
		{
			name:   "3/4 type M at the limit of half a gallon",
			source: "US DOE, Building Science Education, hot water problem set: 3.43 oz/ft, 18.66 ft hold 64 oz",
			length: "18.66", unit: "ft", series: "copper_type_m", nominal: "3/4", want: 0.5, wantUnit: "gal", system: "us_customary",
		},
		{
			name:   "ten metres of 15 x 1",
			source: "EN 1057 tube table: 0.133 L/m",
			length: "10", unit: "m", series: "copper_en1057", nominal: "15x1", want: 1.33, wantUnit: "L", system: "si",
		},
	} {
		t.Run(tc.name, func(t *testing.T) {
			body := bytes.Replace(one(tc.length, tc.unit, tc.series, tc.nominal, "1"), []byte("us_customary"), []byte(tc.system), 1)
			got := s.post(t, "/v1/dead-legs", body)
			var answer struct {
				Fixtures []struct {
					StoredVolume amount `json:"stored_volume"`
				} `json:"fixtures"`
			}
			if err := json.Unmarshal(got.body, &answer); err != nil || len(answer.Fixtures) != 1 {
				t.Fatalf("status %d, %v: %s", got.status, err, got.body)
			}
			answer.Fixtures[0].StoredVolume.check(t, "stored volume ("+tc.source+")", tc.want, tc.wantUnit, 0.005)
		})
	}
}

// TestPublishedWait is plug flow by hand: 90 ft of 3/4 in type L (bore
// 0.785 in, ASTM B88) hold 2.263 gal, which 2.0 gal/min push out in 67.88 s;
// above 30 s a wait is unacceptable.
func TestPublishedWait(t *testing.T) {
	s := startService(t)
	got := s.post(t, "/v1/wait-times", one("90", "ft", "copper_type_l", "3/4", "2.0"))
	var answer struct {
		Fixtures []struct {
			Wait struct {
				PlugFlow amount `json:"plug_flow"`
			} `json:"wait"`
			WaitClass string `json:"wait_class"`
		} `json:"fixtures"`
	}
	if err := json.Unmarshal(got.body, &answer); err != nil || len(answer.Fixtures) != 1 {
		t.Fatalf("status %d, %v: %s", got.status, err, got.body)
	}
	tap := answer.Fixtures[0]
	tap.Wait.PlugFlow.check(t, "plug-flow wait", 67.88, "s", 0.02)
	if tap.WaitClass != "unacceptable" {
		t.Errorf("a wait of over a minute is called %q", tap.WaitClass)
	}
}

func TestCalcPrintsWhatTheServiceAnswers(t *testing.T) {
	s := startService(t)
	examples := fetchContract(t, s).requestExamples(t)
	// One of each calculation shows it.
	examples = slices.CompactFunc(examples, func(a, b example) bool { return a.path == b.path })
	if len(examples) < 2 {
		t.Fatalf("the contract shows %d calculations", len(examples))
	}
	for _, e := range examples {
		calculation := strings.TrimPrefix(e.path, "/v1/")
		t.Run(calculation, func(t *testing.T) {
			want := s.post(t, e.path, e.body)
			printed := runOnce(t, []testcontainers.ContainerFile{
				{Reader: bytes.NewReader(e.body), ContainerFilePath: "/request.json", FileMode: 0o444},
			}, "calc", calculation, "/request.json")
			// The engine's log ends the last line, which recirc does not.
			if strings.TrimSuffix(printed, "\n") != string(want.body) {
				t.Errorf("recirc calc prints\n%s\nthe service answers\n%s", printed, want.body)
			}
		})
	}
}

func TestContractPrintedIsTheContractServed(t *testing.T) {
	s := startService(t)
	if printed := runOnce(t, nil, "contract"); printed != string(s.get(t, "/openapi.yaml").body) {
		t.Error("recirc contract prints another document than /openapi.yaml")
	}
	printed := runOnce(t, nil, "contract", "--format", "json")
	if strings.TrimSuffix(printed, "\n") != string(s.get(t, "/openapi.json").body) {
		t.Error("recirc contract --format json prints another document than /openapi.json")
	}
}
