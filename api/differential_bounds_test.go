package api_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
)

// schemaAt follows a path of a body through its schema.
func schemaAt(s *openapi3.Schema, path []string) *openapi3.Schema {
	for len(s.AllOf) == 1 {
		s = s.AllOf[0].Value
	}
	switch {
	case len(path) == 0:
		return s
	case s.Items != nil:
		return schemaAt(s.Items.Value, path[1:])
	case s.Properties[path[0]] != nil:
		return schemaAt(s.Properties[path[0]].Value, path[1:])
	}
	return nil
}

// TestBareNumbersAtTheirBounds sends, for every number without a unit, the
// least and the greatest that the contract allows, and the next ones beyond. A
// member that gains bounds in the contract is here without a word.
func TestBareNumbersAtTheirBounds(t *testing.T) {
	bounded := map[string]bool{}
	for _, path := range calculationPaths {
		w := everyWrong{t: t, readers: readersOf(t, strings.TrimPrefix(path, "/v1/")), body: everyMember(t, path), codes: map[string]int{}}
		for _, at := range pathsOf(parsed(t, w.body)) {
			s, pointer := schemaAt(w.readers.schema, at), pointerTo(at)
			if s == nil || s.Min == nil || s.Max == nil {
				continue
			}
			step := func(x, toward float64) float64 { return math.Nextafter(x, toward) }
			if s.Type.Is("integer") {
				step = func(x, toward float64) float64 { return x + math.Copysign(1, toward) }
			}
			for _, x := range []float64{*s.Min, *s.Max} {
				if given := w.try(at, number(x)); len(given) > 0 {
					t.Errorf("%s: %s = %v, a bound, is refused: %v", path, pointer, x, given)
				}
			}
			for _, x := range []float64{step(*s.Min, math.Inf(-1)), step(*s.Max, math.Inf(1))} {
				if given := w.try(at, number(x)); !maps.Equal(given, map[string]string{pointer: "count_range"}) {
					t.Errorf("%s: %s = %v, beyond a bound, gives %v", path, pointer, x, given)
				}
			}
			bounded[at[len(at)-1]] = true
		}
	}
	want := []string{
		"0", "1", // of speeds, months and their factors
		"10", "11", "2", "3", "4", "5", "6", "7", "8", "9",
		"activation_margin", "amount", "count", "covered_share", "discount_rate", "dwelling_units", "efficiency", "electricity", "emissions", "energy", "fittings_allowance",
		"greatest", "greatest_excess_flow", "hazen_williams_c", "heat_to_water", "heater_energy", "high", "hours_per_year", "inflation", "least", "length_allowance",
		"low", "maintenance", "month", "net_present_cost", "probability", "running_share", "seed", "share", "speed", "starts_per_day", "surface_emissivity",
		"useful_share", "waits", "water", "year", "yearly_cost", "years",
	}
	if got := slices.Sorted(maps.Keys(bounded)); !slices.Equal(got, want) {
		t.Errorf("the bare numbers with bounds are %q, want %q", got, want)
	}
}

// number writes every digit.
func number(x float64) json.RawMessage { return raw(fmt.Sprintf("%.17g", x)) }
