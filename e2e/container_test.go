package e2e_test

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/testcontainers/testcontainers-go"
	"github.com/testcontainers/testcontainers-go/wait"
)

func TestStartUp(t *testing.T) {
	needImage(t) // so that its making is not counted
	started := time.Now()
	s := startService(t)
	t.Logf("from creating the container to ready: %v", time.Since(started))
	for _, probe := range []string{"/healthz", "/readyz"} {
		if got := s.get(t, probe); got.status != http.StatusOK {
			t.Errorf("GET %s gives %d: %s", probe, got.status, got.body)
		}
	}
}

func TestHealthCheckOfTheImage(t *testing.T) {
	startService(t, testcontainers.WithWaitStrategy(wait.ForHealthCheck().WithStartupTimeout(time.Minute)))
}

func TestHealthCheckSaysNo(t *testing.T) {
	s := startService(t)
	code, _, err := s.Exec(t.Context(), []string{"/recirc", "healthcheck", "--address", ":1"})
	if err != nil {
		t.Fatal(err)
	}
	if code == 0 {
		t.Error("the health check of a port where nobody listens succeeds")
	}
}

// requestLine is a line of the log about a request.
type requestLine struct {
	Message   string   `json:"message"`
	Level     string   `json:"level"`
	RequestID string   `json:"request_id"`
	Method    string   `json:"method"`
	Route     string   `json:"route"`
	Status    int      `json:"status"`
	Duration  *float64 `json:"duration_ms"`
	BytesIn   int      `json:"bytes_in"`
	BytesOut  int      `json:"bytes_out"`
}

func TestLogHasOneLineForARequestAndNeverItsBody(t *testing.T) {
	s := startService(t)
	const marker = "garden-shed-of-the-neighbours"
	sound := strings.ReplaceAll(smallSystem, `"kitchen"`, `"`+marker+`"`)
	faulty := strings.ReplaceAll(sound, `"ft"`, `"`+marker+`"`)
	sent := map[string]struct {
		body   string
		status int
	}{
		"sound":  {sound, 200},
		"faulty": {faulty, 422},
		"broken": {sound[:len(sound)-1], 400},
	}
	answered := map[string]int{}
	for id, want := range sent {
		got := s.do(t, http.MethodPost, "/v1/dead-legs?"+marker, []byte(want.body), http.Header{
			"Content-Type": {"application/json"}, "X-Request-Id": {id}, "Authorization": {"Bearer " + marker},
		})
		if got.status != want.status {
			t.Fatalf("the %s request gives %d: %s", id, got.status, got.body)
		}
		answered[id] = len(got.body)
	}
	var log string
	found := map[string][]requestLine{}
	within(t, 10*time.Second, "a line for each request", func() bool {
		log = logsOf(t, s)
		found = requestLines(t, log)
		return len(found["sound"]) > 0 && len(found["faulty"]) > 0 && len(found["broken"]) > 0
	})
	if strings.Contains(log, marker) {
		t.Errorf("the log tells what the caller sent:\n%s", log)
	}
	for id, want := range sent {
		if len(found[id]) != 1 {
			t.Errorf("the %s request has %d lines", id, len(found[id]))
		}
		line := found[id][0]
		if line.Level == "" || line.Method != http.MethodPost || line.Route != "/v1/dead-legs" || line.Status != want.status ||
			line.Duration == nil || line.BytesIn != len(want.body) || line.BytesOut != answered[id] {
			t.Errorf("the %s request is logged as %+v; sent %d bytes, got %d and status %d", id, line, len(want.body), answered[id], want.status)
		}
	}
}

// requestLines reads the log, each line of which must be JSON, and gives the
// lines about requests by request id.
func requestLines(t *testing.T, log string) map[string][]requestLine {
	t.Helper()
	found := map[string][]requestLine{}
	for text := range strings.Lines(log) {
		var line requestLine
		if err := json.Unmarshal([]byte(text), &line); err != nil {
			t.Fatalf("the line %q of the log is not JSON: %v", text, err)
		}
		if line.Message == "request" {
			found[line.RequestID] = append(found[line.RequestID], line)
		}
	}
	return found
}
