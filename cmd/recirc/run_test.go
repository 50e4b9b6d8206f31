package main

import (
	"bytes"
	"context"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

const (
	examples = "../../openapi/examples/"
	house    = examples + "dead-legs.house.json"
)

// call runs the program as a shell would.
func call(t *testing.T, stdin string, args ...string) (code int, out, errs string) {
	t.Helper()
	var o, e bytes.Buffer
	code = run(context.Background(), args, strings.NewReader(stdin), &o, &e)
	return code, o.String(), e.String()
}

func TestExitCodes(t *testing.T) {
	good, err := os.ReadFile(house)
	if err != nil {
		t.Fatal(err)
	}
	const duty = `{"duty":{"basis":"given","flow":{"value":2,"unit":"gal/min"},"head":{"value":4,"unit":"ft"}}}`
	stub := `{"system":{"heater":{"node":"h","type":"storage"},"pipes":[]}}`
	cases := []struct {
		name  string
		stdin string
		args  []string
		code  int
		out   string // must stand on standard output
		errs  string // must stand on standard error
	}{
		{"answered from a file", "", []string{"calc", "dead-legs", house}, 0, `"stored_volume"`, ""},
		{"answered from standard input", string(good), []string{"calc", "dead-legs", "-"}, 0, `"stored_volume"`, ""},
		{"the design has faults", stub, []string{"calc", "dead-legs", "-"}, 1, `"list_length"`, "faults, the first"},
		{"not JSON", "{", []string{"calc", "wait-times", "-"}, 2, `"malformed_json"`, "line 1, column 2"},
		{"a loop designed", "", []string{"calc", "loop-designs", examples + "loop-designs.guest-house.json"}, 0, `"pump_duty"`, ""},
		{"a loop simulated", "", []string{"calc", "loop-simulations", examples + "loop-simulations.guest-house.json"}, 0, `"balance"`, ""},
		{"a loop without a pump", stub, []string{"calc", "loop-simulations", "-"}, 1, `"/pump"`, "faults, the first"},
		{"help of loops", "", []string{"calc", "loop-designs", "--help"}, 0, "POST /v1/loop-designs", ""},
		{"pumps selected", "", []string{"calc", "pump-selections", examples + "pump-selections.existing.json"}, 0, `"nearest_miss"`, ""},
		{"pumps from a table", duty, []string{"calc", "pump-selections", "--pumps", "testdata/pumps.csv", "-"}, 0, `"id":"speeds"`, ""},
		{"pumps from a table that is no catalogue", duty, []string{"calc", "pump-selections", "--pumps", "testdata/pumps-cells.csv", "-"}, 2, "", "testdata/pumps-cells.csv:3: head is \"high\"; a number, with a point, is needed.\ntestdata/pumps-cells.csv:4: flow_unit is empty."},
		{"pumps from a table with wrong curves", duty, []string{"calc", "pump-selections", "--pumps", "testdata/pumps-curves.csv", "-"}, 2, `"curve_flow_decreasing"`, "Line 3 of testdata/pumps-curves.csv: Of this curve, the flow falls"},
		{"a fault beside a table", "{}", []string{"calc", "pump-selections", "--pumps", "testdata/pumps.csv", "-"}, 1, `"/duty"`, "1 faults"},
		{"not JSON beside a table", "{", []string{"calc", "pump-selections", "--pumps", "testdata/pumps.csv", "-"}, 2, `"malformed_json"`, "line 1, column 2"},
		{"no such table", duty, []string{"calc", "pump-selections", "--pumps", "nowhere.csv", "-"}, 2, "", "nowhere.csv"},
		{"a table for another calculation", "", []string{"calc", "dead-legs", "--pumps", "testdata/pumps.csv", house}, 2, "", "unknown flag"},
		{"help of the table", "", []string{"calc", "pump-selections", "--help"}, 0, "npsh_required_unit", ""},
		{"no such file", "", []string{"calc", "dead-legs", "nowhere.json"}, 2, "", "nowhere.json"},
		{"no file named", "", []string{"calc", "dead-legs"}, 2, "", "accepts 1 arg"},
		{"no such calculation", "", []string{"calc", "guess"}, 2, "", "guess"},
		{"no such command", "", []string{"guess"}, 2, "", "guess"},
		{"no such flag", "", []string{"serve", "--guess"}, 2, "", "guess"},
		{"version", "", []string{"version"}, 0, "calculation core", ""},
		{"contract as YAML", "", []string{"contract"}, 0, "openapi: 3.0.3", ""},
		{"contract as JSON", "", []string{"contract", "--format", "json"}, 0, `"openapi":"3.0.3"`, ""},
		{"contract as nothing", "", []string{"contract", "--format", "pdf"}, 2, "", "pdf"},
		{"help", "", []string{"--help"}, 0, "Exit codes", ""},
		{"help of calc", "", []string{"calc", "dead-legs", "--help"}, 0, "POST /v1/dead-legs", ""},
		{"log format", "", []string{"serve", "--log-format", "xml"}, 2, "", "xml"},
		{"log level", "", []string{"serve", "--log-level", "loud"}, 2, "", "loud"},
		{"limit", "", []string{"serve", "--max-pipes", "0"}, 2, "", "at least 1"},
		{"address", "", []string{"serve", "--address", "256.0.0.1:1"}, 2, "", "cannot listen"},
		{"nobody there", "", []string{"healthcheck", "--address", "127.0.0.1:1"}, 1, "", "refused"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			code, out, errs := call(t, c.stdin, c.args...)
			if code != c.code || !strings.Contains(out, c.out) || !strings.Contains(errs, c.errs) {
				t.Errorf("code %d, out %.200q, errors %q", code, out, errs)
			}
		})
	}
}

func TestEnvironment(t *testing.T) {
	t.Setenv("RECIRC_MAX_PIPES", "many")
	if code, _, errs := call(t, "", "serve"); code != 2 || !strings.Contains(errs, "MostPipes") {
		t.Errorf("code %d, %s", code, errs)
	}
}

// TestServe starts the service on a free port, asks it what calc answers, and
// stops it as SIGTERM does.
func TestServe(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	address := l.Addr().String()
	_ = l.Close()
	ctx, stop := context.WithCancel(context.Background())
	stopped := make(chan int, 1)
	var log bytes.Buffer
	go func() {
		stopped <- run(ctx, []string{"serve", "--address", address}, strings.NewReader(""), &log, &log)
	}()
	for start := time.Now(); ; {
		if code, _, _ := call(t, "", "healthcheck", "--address", address); code == 0 {
			break
		}
		if time.Since(start) > 10*time.Second {
			t.Fatal("the service does not get ready")
		}
	}
	body, err := os.Open(filepath.FromSlash(house))
	if err != nil {
		t.Fatal(err)
	}
	res, err := http.Post("http://"+address+"/v1/dead-legs", "application/json", body)
	if err != nil {
		t.Fatal(err)
	}
	var served bytes.Buffer
	_, _ = served.ReadFrom(res.Body)
	_ = res.Body.Close()
	if head, err := http.Head("http://" + address + "/v1/sources"); err != nil || head.StatusCode != http.StatusOK || head.ContentLength == 0 {
		t.Errorf("HEAD: %v %v", head, err)
	}
	_, calculated, _ := call(t, "", "calc", "dead-legs", house)
	if served.String() != calculated {
		t.Error("serve and calc answer differently")
	}
	stop()
	if code := <-stopped; code != 0 || !strings.Contains(log.String(), `"message":"stopped"`) {
		t.Errorf("code %d, log %s", code, log.String())
	}
}
