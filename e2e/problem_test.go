package e2e_test

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"net/http"
	"slices"
	"strconv"
	"sync"
	"testing"

	"github.com/testcontainers/testcontainers-go"
)

// problem is what the tests read of a problem's body.
type problem struct {
	Type      string `json:"type"`
	Status    int    `json:"status"`
	Instance  string `json:"instance"`
	RequestID string `json:"request_id"`
	Errors    []struct {
		Pointer   string `json:"pointer"`
		Parameter string `json:"parameter"`
		Code      string `json:"code"`
	} `json:"errors"`
}

// mustBeProblem checks what is the same for every problem.
func (c *contract) mustBeProblem(t *testing.T, got response, status int, kind string) problem {
	t.Helper()
	var p problem
	if err := json.Unmarshal(got.body, &p); err != nil {
		t.Fatalf("status %d, and the body is not JSON: %v\n%s", got.status, err, got.body)
	}
	if err := c.isProblem(got.body); err != nil {
		t.Errorf("the body is no Problem of the contract: %v\n%s", err, got.body)
	}
	if got.status != status || p.Status != status || p.Type != "urn:recirc:problem:"+kind {
		t.Errorf("status %d with %d and type %s in the body, want %d and %s", got.status, p.Status, p.Type, status, kind)
	}
	if media := got.header.Get("Content-Type"); media != "application/problem+json" {
		t.Errorf("the problem comes as %q", media)
	}
	if id := got.header.Get("X-Request-Id"); id == "" || p.RequestID != id || p.Instance != "urn:recirc:request:"+id {
		t.Errorf("the header says request %q, the body %q and %q", id, p.RequestID, p.Instance)
	}
	return p
}

func (p problem) faults() []string {
	var all []string
	for _, e := range p.Errors {
		all = append(all, e.Code+" "+e.Pointer+e.Parameter)
	}
	slices.Sort(all)
	return all
}

func TestProblems(t *testing.T) {
	s := startService(t)
	c := fetchContract(t, s)
	sound := []byte(smallSystem)
	for _, tc := range []struct {
		name, method, path string
		body               []byte
		header             http.Header
		status             int
		kind               string
		faults             []string
		answer             http.Header // headers that the answer must have
	}{
		{
			name: "malformed JSON", path: "/v1/dead-legs", body: sound[:len(sound)-1],
			status: 400, kind: "malformed", faults: []string{"malformed_json "},
		},
		{
			name: "every fault at once", path: "/v1/dead-legs", body: []byte(fourFaults),
			status: 422, kind: "invalid", faults: []string{
				"field_missing /system/heater/type",
				"field_unknown /system/pipes/0/colour",
				"unit_not_of_dimension /system/pipes/0/length/unit",
				"unit_unknown /system/fixtures/0/hot_flow/unit",
			},
		},
		{
			name: "unknown parameter", method: http.MethodGet, path: "/v1/tubes?colour=red",
			status: 422, kind: "invalid", faults: []string{"parameter_unknown colour"},
		},
		{name: "unknown path", method: http.MethodGet, path: "/v1/nowhere", status: 404, kind: "not-found"},
		{
			name: "wrong method", method: http.MethodGet, path: "/v1/dead-legs",
			status: 405, kind: "method-not-allowed", answer: http.Header{"Allow": {"POST"}},
		},
		{
			name: "not acceptable", path: "/v1/dead-legs", body: sound, header: http.Header{"Accept": {"text/csv"}},
			status: 406, kind: "not-acceptable",
		},
		{
			name: "wrong media type", path: "/v1/dead-legs", body: sound, header: http.Header{"Content-Type": {"text/plain"}},
			status: 415, kind: "unsupported-media-type",
		},
		{
			name: "unknown encoding", path: "/v1/dead-legs", body: sound, header: http.Header{"Content-Encoding": {"br"}},
			status: 415, kind: "unsupported-media-type",
		},
		{
			name: "said to be gzip", path: "/v1/dead-legs", body: sound, header: http.Header{"Content-Encoding": {"gzip"}},
			status: 400, kind: "malformed",
		},
	} {
		t.Run(tc.name, func(t *testing.T) {
			header := http.Header{"Content-Type": {"application/json"}}
			for name, values := range tc.header {
				header[name] = values
			}
			method := tc.method
			if method == "" {
				method = http.MethodPost
			}
			got := s.do(t, method, tc.path, tc.body, header)
			p := c.mustBeProblem(t, got, tc.status, tc.kind)
			if !slices.Equal(p.faults(), tc.faults) {
				t.Errorf("faults %q, want %q", p.faults(), tc.faults)
			}
			for name, values := range tc.answer {
				if !slices.Equal(got.header.Values(name), values) {
					t.Errorf("header %s is %q, want %q", name, got.header.Values(name), values)
				}
			}
		})
	}
}

// fourFaults has a heater without a type, a pipe with a field that does not
// exist and a length in gallons, and a flow in a unit that does not exist.
const fourFaults = `{
  "system": {
    "heater": {"node": "heater"},
    "pipes": [
      {"id": "run", "from": "heater", "to": "kitchen", "role": "supply", "colour": "red",
       "length": {"value": 40, "unit": "gal"}, "tube": {"series": "copper_type_l", "nominal": "1/2"}}
    ],
    "fixtures": [{"id": "sink", "node": "kitchen", "type": "kitchen_faucet", "hot_flow": {"value": 2, "unit": "buckets/h"}}]
  }
}`

func TestBodyOverTheLimitIsRefused(t *testing.T) {
	s := startService(t, testcontainers.WithEnv(map[string]string{"RECIRC_MAX_BODY_BYTES": "1000"}))
	c := fetchContract(t, s)
	fits := append([]byte(smallSystem), bytes.Repeat([]byte(" "), 1000-len(smallSystem))...)
	if got := s.post(t, "/v1/dead-legs", fits); got.status != http.StatusOK {
		t.Errorf("a body of exactly the limit gives %d: %s", got.status, got.body)
	}
	p := c.mustBeProblem(t, s.post(t, "/v1/dead-legs", append(fits, ' ')), 413, "too-large")
	if !slices.Equal(p.faults(), []string{"body_too_large "}) {
		t.Errorf("faults %q", p.faults())
	}
}

func TestGzipIsReadBothWays(t *testing.T) {
	s := startService(t)
	plain := s.post(t, "/v1/dead-legs", []byte(smallSystem))
	zipped := s.do(t, http.MethodPost, "/v1/dead-legs", gzipped(t, []byte(smallSystem)), http.Header{
		"Content-Type": {"application/json"}, "Content-Encoding": {"gzip"}, "Accept-Encoding": {"gzip"},
	})
	if plain.status != http.StatusOK || zipped.status != http.StatusOK {
		t.Fatalf("status %d plain, %d zipped: %s", plain.status, zipped.status, zipped.body)
	}
	if encoding := zipped.header.Get("Content-Encoding"); encoding != "gzip" {
		t.Fatalf("the answer comes as %q although it may be gzip", encoding)
	}
	unzip, err := gzip.NewReader(bytes.NewReader(zipped.body))
	if err != nil {
		t.Fatal(err)
	}
	var answer bytes.Buffer
	if _, err := answer.ReadFrom(unzip); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(answer.Bytes(), plain.body) {
		t.Error("the zipped request gets another answer than the plain one")
	}
}

// TestGzipBombIsRefused sends a body that unpacks to twice the memory of the
// container; whoever unpacks it whole is killed.
func TestGzipBombIsRefused(t *testing.T) {
	s := startService(t)
	c := fetchContract(t, s)
	c.mustBeProblem(t, s.do(t, http.MethodPost, "/v1/dead-legs", bomb(t), zippedJSON), 413, "too-large")
	if !s.ready(t) {
		t.Error("after the bomb the service is not ready")
	}
}

// TestManyGzipBombsAtOnce: with its own settings the service keeps what requests
// hold at once within what the container has; those beyond are put off.
func TestManyGzipBombsAtOnce(t *testing.T) {
	s := startService(t)
	c := fetchContract(t, s)
	body := bomb(t)
	answers, errs := make([]response, 8), make([]error, 8)
	var all sync.WaitGroup
	for i := range answers {
		all.Go(func() {
			answers[i], errs[i] = s.try(t.Context(), http.MethodPost, "/v1/dead-legs", body, zippedJSON)
		})
	}
	all.Wait()
	for i, got := range answers {
		if errs[i] != nil {
			t.Fatal(errs[i])
		}
		if got.status != http.StatusServiceUnavailable {
			c.mustBeProblem(t, got, 413, "too-large")
			continue
		}
		c.mustBeProblem(t, got, 503, "busy")
		if seconds, err := strconv.Atoi(got.header.Get("Retry-After")); err != nil || seconds < 1 {
			t.Errorf("Retry-After is %q", got.header.Get("Retry-After"))
		}
	}
	if !s.ready(t) {
		t.Error("after the bombs the service is not ready")
	}
}

var zippedJSON = http.Header{"Content-Type": {"application/json"}, "Content-Encoding": {"gzip"}}

// bomb is 512 MiB of nothing. A gzip stream may be many in a row, so a small
// one repeated makes any size.
func bomb(t *testing.T) []byte {
	t.Helper()
	return bytes.Repeat(gzipped(t, bytes.Repeat([]byte(" "), 16<<20)), 32)
}

func gzipped(t *testing.T, text []byte) []byte {
	t.Helper()
	var out bytes.Buffer
	w := gzip.NewWriter(&out)
	if _, err := w.Write(text); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}
