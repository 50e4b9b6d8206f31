package api_test

import (
	"encoding/json"
	"net/http"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"recirc/api"
)

// FuzzDeadLegs sends any text to both calculations: each answers 200 or a
// problem with a 4xx status, in JSON that the contract allows, and never breaks.
// Pools below make its coverage vary: fuzz it with -fuzzminimizetime 1x.
func FuzzDeadLegs(f *testing.F) {
	c := loadContract(f)
	for _, e := range examplesOf(f, c) {
		f.Add([]byte(e.body))
	}
	f.Add([]byte(fullBody(f)))
	for _, row := range textInputs() {
		if len(row.body) < 10_000 {
			f.Add([]byte(row.body))
		}
	}
	for _, number := range []string{"1e-320", "5e-324", "1e-400", "1e308", "1.7976931348623157e308", "1e999", "-0", "-0.0", "0", "1e22", "0.1e+1", "123456789012345678901234567890"} {
		f.Add([]byte(houseWith(`"value":8`, `"value":`+number)))      // a length
		f.Add([]byte(houseWith(`"value":13`, `"value":`+number)))     // a bore
		f.Add([]byte(houseWith(`"value":3,`, `"value":`+number+`,`))) // a flow
		f.Add([]byte(houseWith(`"type":"storage"`, `"type":"tankless","start_up_delay":{"value":`+number+`,"unit":"s"}`)))
		f.Add([]byte(houseWith(`"role":"supply"`, `"role":"supply","fittings":[{"type":"union","count":`+number+`}]`)))
	}
	server := newServer(f, withLimits(api.Limits{BodyBytes: 1 << 16, MostPipes: 100}))
	schemas := map[string]string{deadLegsPath: "DeadLegsAnswer", waitTimesPath: "WaitTimesAnswer"}
	f.Fuzz(func(t *testing.T, text []byte) {
		for path, schema := range schemas {
			got := post(server, path, string(text))
			switch {
			case got.status == http.StatusOK:
			case got.status >= 400 && got.status < 500:
				schema = "Problem"
				got.problem(t)
			default:
				t.Fatalf("%s: status %d: %s", path, got.status, got.body)
			}
			if !utf8.Valid(got.body) {
				t.Fatalf("%s: no UTF-8: %q", path, got.body)
			}
			var value any
			if err := json.Unmarshal(got.body, &value); err != nil { // refuses a number too large, too
				t.Fatalf("%s: %v: %s", path, err, got.body)
			}
			if err := c.schema(t, schema).VisitJSON(value); err != nil {
				t.Fatalf("%s: %v", path, err)
			}
			if again := post(server, path, string(text), "X-Request-Id", got.header.Get("X-Request-Id")); string(again.body) != string(got.body) {
				t.Fatalf("%s: the second answer differs:\n%s\n%s", path, got.body, again.body)
			}
			checkPointers(t, got, text)
		}
	})
}

// checkPointers follows every pointer of a problem into the body, except those
// to what is missing.
func checkPointers(t *testing.T, got answer, text []byte) {
	t.Helper()
	var root any
	if got.status != http.StatusUnprocessableEntity || json.Unmarshal(text, &root) != nil {
		return
	}
	for _, f := range got.problem(t).Errors {
		if f.Pointer == nil {
			t.Fatalf("the fault %s has no place", f)
		}
		missing := strings.HasSuffix(f.Code, "_missing") || f.Code == "tube_incomplete" || f.Code == "answer_too_large"
		if path := strings.Split(*f.Pointer, "/"); !missing && len(path) > 1 {
			for i := range path {
				path[i] = strings.NewReplacer("~1", "/", "~0", "~").Replace(path[i])
			}
			if !leadsSomewhere(root, path[1:]) {
				t.Fatalf("the fault %s stands nowhere in %s", f, text)
			}
		}
	}
}

func leadsSomewhere(tree any, path []string) bool {
	if len(path) == 0 {
		return true
	}
	switch node := tree.(type) {
	case map[string]any:
		child, ok := node[path[0]]
		return ok && leadsSomewhere(child, path[1:])
	case []any:
		i, err := strconv.Atoi(path[0])
		return err == nil && i < len(node) && leadsSomewhere(node[i], path[1:])
	}
	return false
}
