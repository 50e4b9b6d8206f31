package e2e_test

import (
	"bytes"
	"encoding/json"
	"net/http"
	"os"
	"path/filepath"
	"reflect"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/getkin/kin-openapi/routers"
	"github.com/getkin/kin-openapi/routers/legacy"
	"go.yaml.in/yaml/v3"
)

// contract is what the service says of itself, and a judge of its answers.
type contract struct {
	doc    *openapi3.T
	router routers.Router
}

func fetchContract(t *testing.T, s *service) *contract {
	t.Helper()
	doc, err := openapi3.NewLoader().LoadFromData(s.get(t, "/openapi.json").body)
	if err != nil {
		t.Fatalf("the contract does not load: %v", err)
	}
	router, err := legacy.NewRouter(doc, openapi3.EnableExamplesValidation())
	if err != nil {
		t.Fatalf("the contract is not valid: %v", err)
	}
	return &contract{doc, router}
}

// check holds an answer against the contract.
func (c *contract) check(t *testing.T, method, path string, got response) error {
	t.Helper()
	request, err := http.NewRequestWithContext(t.Context(), method, path, nil)
	if err != nil {
		t.Fatal(err)
	}
	route, parameters, err := c.router.FindRoute(request)
	if err != nil {
		t.Fatalf("the contract has no %s %s: %v", method, path, err)
	}
	input := &openapi3filter.ResponseValidationInput{
		RequestValidationInput: &openapi3filter.RequestValidationInput{Request: request, PathParams: parameters, Route: route},
		Status:                 got.status,
		Header:                 got.header,
		Options:                &openapi3filter.Options{IncludeResponseStatus: true, MultiError: true},
	}
	return openapi3filter.ValidateResponse(t.Context(), input.SetBodyBytes(got.body))
}

func (c *contract) mustAllow(t *testing.T, method, path string, got response) {
	t.Helper()
	if err := c.check(t, method, path, got); err != nil {
		t.Errorf("%s %s: the answer breaks the contract: %v\n%s", method, path, err, got.body)
	}
}

// isProblem checks the body of a problem where the contract has no operation
// to check it by.
func (c *contract) isProblem(body []byte) error {
	var value any
	if err := json.Unmarshal(body, &value); err != nil {
		return err
	}
	return c.doc.Components.Schemas["Problem"].Value.VisitJSON(value, openapi3.MultiErrors())
}

func TestContractIsOneDocumentInTwoFormats(t *testing.T) {
	s := startService(t)
	asJSON, asYAML := s.get(t, "/openapi.json"), s.get(t, "/openapi.yaml")
	if got := asJSON.header.Get("Content-Type"); got != "application/json" {
		t.Errorf("/openapi.json comes as %q", got)
	}
	if got := asYAML.header.Get("Content-Type"); got != "application/yaml" {
		t.Errorf("/openapi.yaml comes as %q", got)
	}
	published := parseYAML(t, asYAML.body)
	if !reflect.DeepEqual(parseJSON(t, asJSON.body), published) {
		t.Error("/openapi.json and /openapi.yaml differ")
	}
	text, err := os.ReadFile("../openapi/openapi.yaml")
	if err != nil {
		t.Fatal(err)
	}
	written := parseYAML(t, text)
	if n := putExamplesInPlace(t, written); n == 0 {
		t.Error("openapi.yaml names no example file")
	}
	if !reflect.DeepEqual(written, published) {
		t.Error("the published contract is not openapi/openapi.yaml with its examples in place")
	}
}

// putExamplesInPlace does to the contract on disk what the service does before
// it publishes it, and counts the examples.
func putExamplesInPlace(t *testing.T, node any) int {
	t.Helper()
	count := 0
	switch node := node.(type) {
	case map[string]any:
		if file, ok := node["externalValue"].(string); ok {
			text, err := os.ReadFile(filepath.Join("../openapi", file))
			if err != nil {
				t.Fatal(err)
			}
			delete(node, "externalValue")
			node["value"] = parseJSON(t, text)
			return 1
		}
		for _, child := range node {
			count += putExamplesInPlace(t, child)
		}
	case []any:
		for _, child := range node {
			count += putExamplesInPlace(t, child)
		}
	}
	return count
}

func parseJSON(t *testing.T, text []byte) any {
	t.Helper()
	var tree any
	if err := json.Unmarshal(text, &tree); err != nil {
		t.Fatal(err)
	}
	return tree
}

// parseYAML gives the tree as JSON would, so that the two compare.
func parseYAML(t *testing.T, text []byte) any {
	t.Helper()
	var tree any
	if err := yaml.Unmarshal(text, &tree); err != nil {
		t.Fatal(err)
	}
	asJSON, err := json.Marshal(tree)
	if err != nil {
		t.Fatal(err)
	}
	return parseJSON(t, asJSON)
}

func TestContractRefusesWhatItDoesNotName(t *testing.T) {
	s := startService(t)
	c := fetchContract(t, s)
	got := s.post(t, "/v1/dead-legs", []byte(smallSystem))
	c.mustAllow(t, http.MethodPost, "/v1/dead-legs", got)
	got.body = bytes.Replace(got.body, []byte(`"fixtures":[{`), []byte(`"fixtures":[{"colour":"red",`), 1)
	if c.check(t, http.MethodPost, "/v1/dead-legs", got) == nil {
		t.Error("the contract allows an answer with a field it does not name, so it proves nothing about answers")
	}
}

func sameJSON(t *testing.T, a, b []byte) bool {
	t.Helper()
	return reflect.DeepEqual(parseJSON(t, a), parseJSON(t, b))
}
