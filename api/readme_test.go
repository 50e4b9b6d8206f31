package api_test

import (
	"encoding/json"
	"os"
	"reflect"
	"strings"
	"testing"

	"recirc/api"
)

// TestReadme keeps the README's first request and its answer true.
func TestReadme(t *testing.T) {
	text, err := os.ReadFile("../README.md")
	if err != nil {
		t.Fatal(err)
	}
	request := between(t, string(text), "-d '\n", "'\n```")
	printed := between(t, string(text), "```json\n", "```")
	answer, problem := api.Calculations()[0].Answer(request, api.DefaultLimits())
	if problem != nil {
		t.Fatal(string(problem.JSON()))
	}
	var got, want any
	if err := json.Unmarshal(answer, &got); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal([]byte(printed), &want); err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("the README prints another answer than\n%s", answer)
	}
}

func between(t *testing.T, text, open, end string) string {
	t.Helper()
	_, rest, ok := strings.Cut(text, open)
	found, _, ended := strings.Cut(rest, end)
	if !ok || !ended {
		t.Fatalf("the README has nothing between %q and %q", open, end)
	}
	return found
}
