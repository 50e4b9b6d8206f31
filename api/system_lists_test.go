package api

import (
	"bytes"
	"fmt"
	"reflect"
	"strings"
	"sync"
	"testing"

	"recirc/calc/network"
)

// drawn is a body with so many pipes; every third pipe has everything a pipe may
// have, and spoilt ones do not end well.
func drawn(pipes int, spoilt bool) string {
	var b strings.Builder
	b.WriteString(`{"system":{"heater":{"node":"n0","type":"tankless"},"pipes":[`)
	for i := range pipes {
		fmt.Fprintf(&b, `{"id":"p%d","from":"n%d","to":"n%d","role":"supply","length":{"value":2,"unit":"m"},"tube":{"series":"pex_sdr9","nominal":"1/2"}`, i, i, i+1)
		if i%3 == 0 {
			b.WriteString(`,"fittings":[{"type":"elbow_90"}],"valves":[{"type":"check"}],"orientation":"vertical","surface_emissivity":0.5,"fittings_allowance":0.1,` +
				`"insulation":{"thickness":{"value":20,"unit":"mm"},"conductivity":{"value":0.04,"unit":"W/(m.K)"}},` +
				`"heat_trace":{"maintained_temperature":{"value":50,"unit":"degC"}},"surroundings":{"type":"still_air","temperature":{"value":20,"unit":"degC"}}`)
		}
		b.WriteString(`},`)
	}
	text := strings.TrimSuffix(b.String(), ",") + fmt.Sprintf(`],"fixtures":[{"id":"f","node":"n%d","type":"shower","hot_flow":{"value":9,"unit":"L/min"}}]}}`, pipes)
	if spoilt {
		text = strings.Replace(text, `"supply"`, `"supply","role":`, 1)
	}
	return text
}

// TestListsAreTheirOwn answers requests that are larger, smaller and broken, each
// in the lists of an earlier one, and compares with the first answer of its kind.
func TestListsAreTheirOwn(t *testing.T) {
	type kind struct {
		pipes  int
		spoilt bool
	}
	answer := func(c Calculation, k kind) []byte {
		out, problem := c.Answer(drawn(k.pipes, k.spoilt), DefaultLimits())
		if problem != nil {
			out = problem.JSON()
		}
		return out
	}
	for _, c := range Calculations() {
		first := map[kind][]byte{}
		for _, pipes := range []int{1, 2, 9, 40} {
			for _, spoilt := range []bool{false, true} {
				first[kind{pipes, spoilt}] = answer(c, kind{pipes, spoilt})
			}
		}
		var all sync.WaitGroup
		for range 4 {
			all.Go(func() {
				for range 5 {
					for k, want := range first {
						if got := answer(c, k); !bytes.Equal(got, want) {
							t.Errorf("%s with %v: got %.200s, the first time %.200s", c.Name, k, got, want)
						}
					}
				}
			})
		}
		all.Wait()
	}
}

// TestListsAreCleared looks at what is kept of a request.
func TestListsAreCleared(t *testing.T) {
	for _, pipes := range []int{40, 3, mostListed + 1} {
		q := &question{text: drawn(pipes, false), limits: DefaultLimits()}
		deadLegs(q)
		lists := q.lists
		if len(q.system.Pipes) != pipes || !q.faults.Empty() {
			t.Fatalf("%d pipes are read as %d with %v", pipes, len(q.system.Pipes), q.faults.Faults())
		}
		q.end()
		if q.lists != nil || q.system != nil || len(lists.pipes) != 0 || cap(lists.pipes) > mostListed {
			t.Errorf("%d pipes: %d are kept, of %d", pipes, len(lists.pipes), cap(lists.pipes))
		}
		for i, p := range lists.pipes[:cap(lists.pipes)] {
			if !reflect.DeepEqual(p, network.Pipe{}) {
				t.Fatalf("%d pipes: number %d is still %v", pipes, i, p)
			}
		}
	}
}
