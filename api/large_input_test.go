package api_test

import (
	"bytes"
	"fmt"
	"net/http"
	"strings"
	"testing"
)

const (
	working  = `,"show_working":true`
	plugFlow = `,"method":"plug_flow"`
	massive  = `"role":"supply","length":{"value":10,"unit":"m"},"tube":{"inside_diameter":{"value":2,"unit":"mm"},"outside_diameter":{"value":2,"unit":"m"},"wall_material":"steel_galvanised"}}`
	oneLimit = `,"detail":"fixtures","limits":["ipc_607_2"]`
)

// largeInputs ask for answers with more rows than are given, or for more than
// the hot front follows.
func largeInputs() []badInput {
	tooLong := func(fixtures int) string {
		var all []string
		for i := range fixtures {
			all = append(all, fmt.Sprintf("/system/fixtures/%d answer_too_large", i))
		}
		return strings.Join(all, ", ")
	}
	givenUp := func(fixtures int) string {
		var all strings.Builder
		for i := range fixtures {
			fmt.Fprintf(&all, "/system/fixtures/%d out_of_physical_range, ", i)
		}
		return all.String()
	}
	return []badInput{
		// 633 fixtures along a trunk have 633*634/2 = 200,661 pipes in front of them.
		{"a comb whose paths add up", deadLegsPath, comb(633, ``), 422, "/detail answer_too_large"},
		// 365 fixtures: 3*365*366/2 + 2*365 = 201,115 steps.
		{"a comb whose working adds up", deadLegsPath, comb(365, `,"detail":"fixtures"`+working), 422, "/show_working answer_too_large"},
		// 40,001*(3 + 2) = 200,005 steps.
		{"a crowd whose working adds up", deadLegsPath, fan(1, 40_001, oneLimit+working), 422, "/show_working answer_too_large"},
		// 22,223*(3 + 6) = 200,007 steps.
		{"the same for waits of a crowd by plug flow", waitTimesPath, fan(1, 22_223, plugFlow+working), 422, "/show_working answer_too_large"},
		// 363 fixtures: 3*363*364/2 + 6*363 = 200,376 steps.
		{"the same for waits by plug flow", waitTimesPath, comb(363, plugFlow+working), 422, "/show_working answer_too_large"},
		// 165*(6*200 + 14) = 200,310 steps.
		{"the same by the hot front, behind a long way", waitTimesPath, fan(200, 165, working), 422, "/show_working answer_too_large"},
		// At most 22 steps a pipe: 9,091*22 = 200,002.
		{"the same for heat losses", heatLossesPath, fan(9_091, 1, working), 422, "/show_working answer_too_large"},
		{"paths and working at once", deadLegsPath, comb(633, working), 422, "/detail answer_too_large, /show_working answer_too_large"},
		{"15,385 fixtures under all 13 limits, 200,005 verdicts", deadLegsPath, fan(1, 15_385, ``), 422, "/limits answer_too_large"},
		{"5,001 hot fronts", waitTimesPath, fan(1, 5001, ``), 422, "/method answer_too_large"},
		{"5,001 hot fronts, by the name of the method", waitTimesPath, fan(1, 5001, `,"method":"thermal"`), 422, "/method answer_too_large"},
		{"a way of 201 pipes for a hot front, to two fixtures", waitTimesPath, fan(201, 2, ``), 422, tooLong(2)},
		{"a long way to too many fixtures: 1,001*200 pipes", waitTimesPath, fan(200, 1001, ``), 422, "/method answer_too_large"},
		// Ten fronts are given up at the most that one may cost; none is left for the rest.
		{"5,000 fronts through a wall that takes days to warm", waitTimesPath, strings.Replace(fan(1, 5000, ``), onePipe, massive, 1), 422, givenUp(10) + "/method answer_too_large"},
		// 17*(6*2000 + 14) = 204,238 steps.
		{"too long a way and too much working", waitTimesPath, fan(2000, 17, working), 422, "/show_working answer_too_large, " + tooLong(17)},
		{"50,001 flows", heatLossesPath, manyFlows(50_001), 422, "/pipe_flows list_length"},
	}
}

const onePipe = `"role":"supply","length":{"value":1,"unit":"m"},"tube":{"inside_diameter":{"value":20,"unit":"mm"}}}`

// trunk is a request without an end: n pipes in a row from node 0 to node n.
func trunk(n int) string {
	var b strings.Builder
	b.WriteString(`{"system":{"heater":{"node":"0","type":"storage"},"pipes":[`)
	for i := range n {
		fmt.Fprintf(&b, `{"id":"%d","from":"%d","to":"%d",%s,`, i, i, i+1, onePipe)
	}
	return strings.TrimSuffix(b.String(), ",") + `]`
}

// comb is a trunk of n pipes with a fixture at each joint.
func comb(n int, options string) string {
	return trunk(n) + `,"fixtures":[` + taps(n, func(i int) int { return i + 1 }) + `]}` + options + `}`
}

// fan is a trunk with all its fixtures at its end.
func fan(pipes, fixtures int, options string) string {
	return trunk(pipes) + `,"fixtures":[` + taps(fixtures, func(int) int { return pipes }) + `]}` + options + `}`
}

func taps(n int, node func(int) int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, `{"id":"f%d","node":"%d","type":"shower"},`, i, node(i))
	}
	return strings.TrimSuffix(b.String(), ",")
}

// manyFlows is a request with so many flows in one pipe.
func manyFlows(n int) string {
	one := `{"pipe":"main","flow":{"value":1,"unit":"L/min"}}`
	return strings.TrimSuffix(house, "}") + `,"pipe_flows":[` + strings.Repeat(one+",", n-1) + one + `]}`
}

// traced makes the first pipe of a request a hot source, behind which no front
// need be followed.
func traced(body string) string {
	return strings.Replace(body, `"role"`, `"heat_trace":{"maintained_temperature":{"value":55,"unit":"degC"}},"role"`, 1)
}

// TestLargestAnswers are the requests just within the limits of largeInputs,
// with as many steps of working as they have. A pipe of its own bore, insulated
// and flowing, has 15 of the 22 that heat losses may show.
func TestLargestAnswers(t *testing.T) {
	server := newServer(t)
	const layer = `,"defaults":{"insulation":` + thinLayer + `}},"flow":{"value":1,"unit":"L/min"}`
	for _, r := range []struct {
		name, path, body string
		steps            int
	}{
		{"pipes", deadLegsPath, comb(631, ``), 0},
		{"verdicts", deadLegsPath, fan(1, 15_384, ``), 0},
		{"working of dead legs", deadLegsPath, comb(363, `,"detail":"fixtures"`+working), 3*363*364/2 + 2*363},
		{"working of the dead legs of a crowd", deadLegsPath, fan(1, 40_000, oneLimit+working), 40_000 * (3 + 2)},
		{"working of waits of a crowd by plug flow", waitTimesPath, fan(1, 22_222, plugFlow+working), 22_222 * (3 + 6)},
		{"working of waits by plug flow", waitTimesPath, comb(362, plugFlow+working), 3*362*363/2 + 6*362},
		{"working of waits by the hot front", waitTimesPath, fan(200, 164, working), 164 * (6*200 + 14)},
		{"working of heat losses", heatLossesPath, strings.TrimSuffix(fan(9_090, 1, ``), "}}") + layer + working + "}", 15 * 9_090},
		{"hot fronts", waitTimesPath, traced(fan(1, 5000, ``)), 0},
		{"a way of 200 pipes", waitTimesPath, fan(200, 1, ``), 0},
		{"plug flow to more fixtures than hot fronts", waitTimesPath, fan(1, 5001, plugFlow), 0},
		{"plug flow on a longer way than a hot front", waitTimesPath, fan(201, 2, plugFlow), 0},
		{"flows", heatLossesPath, manyFlows(50_000), 0},
	} {
		t.Run(r.name, func(t *testing.T) {
			got := post(server, r.path, r.body)
			if got.status != http.StatusOK {
				t.Fatalf("status %d: %.300s", got.status, got.body)
			}
			if steps := bytes.Count(got.body, []byte(`"symbol":`)); steps != r.steps || steps > 200_000 {
				t.Errorf("%d steps of working, want %d", steps, r.steps)
			}
		})
	}
}
