package api_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"

	"github.com/rs/zerolog"

	"recirc/api"
)

func TestWrongMethodIs405(t *testing.T) {
	c, server := loadContract(t), newServer(t)
	for path, item := range c.doc.Paths.Map() {
		path = strings.Replace(path, "{file}", "explorer.js", 1)
		for _, method := range []string{"GET", "POST", "PUT", "PATCH", "DELETE", "OPTIONS"} {
			if item.GetOperation(method) != nil {
				continue
			}
			got := ask(server, method, path, strings.NewReader("{}"), "Content-Type", "application/json", "Accept", "text/csv")
			var allowed []string
			for m := range item.Operations() {
				allowed = append(allowed, m)
			}
			if allow := got.header.Get("Allow"); got.status != http.StatusMethodNotAllowed || allow != strings.Join(allowed, ", ") {
				t.Errorf("%s %s: status %d, Allow %q, want 405 and %q", method, path, got.status, allow, allowed)
			}
			got.problem(t)
		}
	}
}

// TestUnknownPathsAre404 includes the paths that a router likes to guess at: a
// redirect would turn a POST into a GET, and a cache would keep both.
func TestUnknownPathsAre404(t *testing.T) {
	server := newServer(t)
	for _, path := range []string{
		"/", "/v1", "/v1/", "/v2/tubes", "/v1/tubes/", "/v1/dead-legs/", "/v1/Tubes", "/V1/tubes", "//v1/tubes", "/v1//tubes", "/v1/./tubes", "/v1/x/../tubes",
		"/v1%2Ftubes", "/v1/tubes%2F", "/v1/tubes/pex_sdr9", "/openapi", "/openapi.json/", "/healthz/", "/readyz/x",
		"/docs/", "/docs/index.html", "/docs/none.js", "/docs/a/b", "/docs/a%2Fb", "/docs/..%2Fopenapi.yaml", "/docs/%2e%2e", "/metrics", "/favicon.ico",
	} {
		for _, method := range []string{"GET", "POST"} {
			got := ask(server, method, path, nil)
			if strings.HasPrefix(path, "/docs/") && method == "POST" && strings.Count(path, "/") == 2 && path != "/docs/" {
				continue // a file of the explorer, there or not, takes no POST
			}
			if location := got.header.Get("Location"); got.status != http.StatusNotFound || location != "" {
				t.Errorf("%s %s: status %d, Location %q, want 404", method, path, got.status, location)
			}
			got.problem(t)
		}
	}
}

func TestAccept(t *testing.T) {
	server := newServer(t)
	cases := []struct {
		accept string
		status int
		why    string
	}{
		{"", 200, "no header takes anything"},
		{"application/json", 200, ""},
		{"APPLICATION/Json", 200, "media types know no case"},
		{"application/*", 200, ""},
		{"*/*", 200, ""},
		{"text/html, application/xhtml+xml, application/xml;q=0.9, */*;q=0.8", 200, "what a browser sends"},
		{"application/json;q=0.1, */*", 200, "little wanted is wanted"},
		{"text/csv;q=0.9, application/json;q=0.1", 200, "the better one is not offered"},
		{"application/json; charset=utf-8; q=0.5", 200, "q stands behind other parameters"},
		{"application/json;q=0.001", 200, "the least quality that there is"},
		{" application/json ;q=1", 200, "blanks"},
		{"text/csv", 406, ""},
		{"application/problem+json", 406, "problems come anyway, answers do not come so"},
		{"application/json;q=0", 406, "q=0 is a no"},
		{"application/json;q=0, */*", 406, "the closer range decides, and it says no"},
		{"application/*;q=0, */*;q=1", 406, "the closer range decides"},
		{"*/*;q=0", 406, ""},
		{"*/*;q=0.0", 406, ""},
		{"application/json;q=2", 406, "no quality"},
		{"application/json;q=NaN", 406, "no quality"},
		{"application/json;q=", 406, "no quality"},
		{"application/jso", 406, ""},
		{"application", 406, "no range"},
		{"garbage;;;,,,", 406, "no range"},
		{"*", 406, "no range"},
		{"*/json", 406, "no range"},
	}
	for _, row := range cases {
		headers := []string{"Accept", row.accept}
		if row.accept == "" {
			headers = nil
		}
		for _, got := range []answer{get(server, "/v1/sources", headers...), post(server, deadLegsPath, house, headers...)} {
			if got.status != row.status {
				t.Errorf("Accept: %s: status %d, want %d %s", row.accept, got.status, row.status, row.why)
			}
			if row.status != http.StatusOK {
				got.problem(t)
			} else if kind := got.header.Get("Content-Type"); kind != "application/json" {
				t.Errorf("Accept: %s: content type %q", row.accept, kind)
			}
		}
	}
	// Two lines are one list.
	if got := get(server, "/v1/sources", "Accept", "text/csv", "Accept", "application/json"); got.status != http.StatusOK {
		t.Errorf("Accept in two lines: status %d", got.status)
	}
	// A wrong request is told so, whatever the caller reads.
	if got := post(server, deadLegsPath, "{}", "Accept", "application/json"); got.status != http.StatusUnprocessableEntity {
		t.Errorf("status %d", got.status)
	} else {
		got.problem(t)
	}
}

func TestContentType(t *testing.T) {
	server := newServer(t)
	for kind, status := range map[string]int{
		"application/json":                      200,
		"Application/JSON":                      200,
		"application/json; charset=utf-8":       200,
		`application/json;charset="UTF-8"`:      200,
		"application/json; profile=house":       200, // a parameter without meaning here
		"":                                      415,
		"text/plain":                            415,
		"text/json":                             415,
		"application/problem+json":              415,
		"application/x-www-form-urlencoded":     415, // what a form of another site can send
		"application/json; charset=iso-8859-1":  415,
		"application/json; charset":             415, // no parameter
		"application/json, text/plain":          415, // a list
		"multipart/form-data; boundary=xxxxxxx": 415,
	} {
		var headers []string
		if kind != "" {
			headers = []string{"Content-Type", kind}
		}
		got := ask(server, "POST", deadLegsPath, strings.NewReader(house), headers...)
		if got.status != status {
			t.Errorf("Content-Type %q: status %d, want %d", kind, got.status, status)
		}
		if status != http.StatusOK {
			got.problem(t)
		}
	}
}

func TestRequestIDs(t *testing.T) {
	server := newServer(t)
	for id, kept := range map[string]bool{
		"a":                     true,
		"Request-1_2.3":         true,
		strings.Repeat("x", 64): true,
		strings.Repeat("x", 65): false, // long enough to fill a log
		"":                      false,
		"a b":                   false,
		"a\nb":                  false, // a line of its own in a log
		`a"b`:                   false,
		"a\u00e9":               false,
		"<script>":              false,
		"../../x":               false,
	} {
		got := post(server, deadLegsPath, "null", "X-Request-Id", id)
		p := got.problem(t)
		if echoed := p.RequestID == id; echoed != kept || p.RequestID == "" {
			t.Errorf("X-Request-Id %q comes back as %q", id, p.RequestID)
		}
	}
	first, second := get(server, "/healthz").header.Get("X-Request-Id"), get(server, "/healthz").header.Get("X-Request-Id")
	if first == second || len(first) < 16 {
		t.Errorf("two requests have the ids %q and %q", first, second)
	}
}

func TestTraceparent(t *testing.T) {
	server := newServer(t)
	const trace, parent = "4bf92f3577b34da6a3ce929d0e0e4736", "00f067aa0ba902b7"
	const none = ""
	for header, want := range map[string]string{
		"00-" + trace + "-" + parent + "-01":                         trace,
		"00-" + trace + "-" + parent + "-00":                         trace,
		"cc-" + trace + "-" + parent + "-01-what-comes-later":        trace, // a later version may add fields
		"cc-" + trace + "-" + parent + "-01":                         trace,
		"":                                                           none,
		"00-" + trace + "-" + parent:                                 none,
		"00-" + trace + "-" + parent + "-01-more":                    none, // version 00 has four fields
		"00-" + trace + "-" + parent + "-1":                          none,
		"0-" + trace + "-" + parent + "-01":                          none,
		"ff-" + trace + "-" + parent + "-01":                         none, // forbidden version
		"00-" + strings.ToUpper(trace) + "-" + parent + "-01":        none, // lower case only
		"00-" + trace[:31] + "-" + parent + "-01":                    none,
		"00-" + trace[:31] + "g-" + parent + "-01":                   none,
		"00-" + strings.Repeat("0", 32) + "-" + parent + "-01":       none, // all zero is no id
		"00-" + trace + "-" + strings.Repeat("0", 16) + "-01":        none,
		"00-" + trace + "-" + parent + "-0x":                         none,
		"00_" + trace + "_" + parent + "_01":                         none,
		" 00-" + trace + "-" + parent + "-01":                        none,
		"00-" + trace + "-" + parent + "-01\n":                       none,
		"00-" + trace + trace + "-" + parent + "-" + parent + "-01-": none,
	} {
		if p := post(server, deadLegsPath, "null", "traceparent", header).problem(t); p.TraceID != want {
			t.Errorf("traceparent %q: trace id %q, want %q", header, p.TraceID, want)
		}
	}
}

// logged gives the lines that a server writes.
func logged(t *testing.T, do func(*api.Server)) []map[string]any {
	t.Helper()
	var out bytes.Buffer
	do(newServer(t, func(c *api.Config) { c.Log = zerolog.New(&out) }))
	var lines []map[string]any
	for _, text := range strings.Split(strings.TrimSpace(out.String()), "\n") {
		var line map[string]any
		if err := json.Unmarshal([]byte(text), &line); err != nil {
			t.Fatalf("a log line is no JSON: %v in %q", err, text)
		}
		lines = append(lines, line)
	}
	return lines
}

func TestLogHasOneLineForEachRequest(t *testing.T) {
	secret := strings.ReplaceAll(house, "sink", "SECRET")
	var sent []answer
	lines := logged(t, func(s *api.Server) {
		sent = []answer{
			post(s, deadLegsPath, secret, "X-Request-Id", "first", "traceparent", traceparent, "X-Forwarded-For", "192.0.2.7", "Authorization", "SECRET"),
			post(s, waitTimesPath, `{"SECRET":`, "X-Request-Id", "second"),
			get(s, "/v1/tubes?SECRET=1", "X-Request-Id", "third"),
			get(s, "/SECRET/path", "X-Request-Id", "fourth"),
			get(s, "/docs/SECRET.js", "X-Request-Id", "fifth"),
			ask(s, "DELETE", "/v1/tubes", nil, "X-Request-Id", "sixth"),
		}
	})
	want := []struct {
		id, method, route string
		status            int
		in                int
	}{
		{"first", "POST", "/v1/dead-legs", 200, len(secret)},
		{"second", "POST", "/v1/wait-times", 400, 10},
		{"third", "GET", "/v1/tubes", 422, 0},
		{"fourth", "GET", "", 404, 0},
		{"fifth", "GET", "/docs/:file", 404, 0},
		{"sixth", "DELETE", "", 405, 0},
	}
	if len(lines) != len(want) {
		t.Fatalf("%d requests make %d lines: %v", len(want), len(lines), lines)
	}
	for i, w := range want {
		line := lines[i]
		for field, value := range map[string]any{
			"level": "info", "message": "request", "request_id": w.id, "method": w.method, "route": w.route,
			"status": float64(w.status), "bytes_in": float64(w.in), "bytes_out": float64(len(sent[i].body)),
		} {
			if line[field] != value {
				t.Errorf("request %s: %s is %v, want %v", w.id, field, line[field], value)
			}
		}
		if d, ok := line["duration_ms"].(float64); !ok || d <= 0 || d > 10_000 {
			t.Errorf("request %s took %v ms", w.id, line["duration_ms"])
		}
		if i == 0 && line["trace_id"] != traceparent[3:35] {
			t.Errorf("the trace is %v", line["trace_id"])
		}
		if text := written(t, line); strings.Contains(text, "SECRET") || strings.Contains(text, "192.0.2.7") {
			t.Errorf("the log tells what is the caller's: %s", text)
		}
	}
}

func TestPanicIs500(t *testing.T) {
	for name, cause := range map[string]any{"an error": errors.New("SECRET"), "a text": "SECRET", "a runtime error": nil} {
		t.Run(name, func(t *testing.T) {
			var got, next answer
			lines := logged(t, func(s *api.Server) {
				var body io.Reader = panicking{cause}
				if cause == nil {
					body = nilReader{}
				}
				got = ask(s, "POST", deadLegsPath, body, "Content-Type", "application/json", "X-Request-Id", "broken")
				next = post(s, deadLegsPath, house)
			})
			p := got.problem(t)
			if got.status != http.StatusInternalServerError || p.RequestID != "broken" {
				t.Errorf("status %d, request %q", got.status, p.RequestID)
			}
			if text := string(got.body); strings.Contains(text, "SECRET") || strings.Contains(text, ".go") || strings.Contains(text, "goroutine") {
				t.Errorf("the caller sees the inside: %s", text)
			}
			if next.status != http.StatusOK {
				t.Errorf("after a panic: status %d", next.status)
			}
			if len(lines) != 3 { // the panic, its request, the next request
				t.Fatalf("%d lines: %v", len(lines), lines)
			}
			if stack, _ := lines[0]["stack"].(string); lines[0]["request_id"] != "broken" || lines[0]["level"] != "error" || !strings.Contains(stack, "http_test.go") {
				t.Errorf("the log does not show where it broke: %v", lines[0])
			}
			if lines[1]["request_id"] != "broken" || lines[1]["status"] != 500.0 || lines[1]["level"] != "error" {
				t.Errorf("the request's line is %v", lines[1])
			}
		})
	}
}

// nilReader panics as a defect does.
type nilReader struct{ of *bytes.Reader }

func (r nilReader) Read(p []byte) (int, error) { return r.of.Read(p) }

// TestAbortIsNotSwallowed lets net/http cut the connection, as it promises for
// this one panic.
func TestAbortIsNotSwallowed(t *testing.T) {
	server := newServer(t)
	defer func() {
		if cause := recover(); cause != http.ErrAbortHandler {
			t.Errorf("the panic that comes through is %v", cause)
		}
	}()
	got := ask(server, "POST", deadLegsPath, panicking{http.ErrAbortHandler}, "Content-Type", "application/json")
	t.Errorf("no panic comes through, status %d", got.status)
}

func TestSameBodySameBytes(t *testing.T) {
	t.Parallel()
	one, other := newServer(t), newServer(t)
	bodies := append(examplesOf(t, loadContract(t)), example{deadLegsPath, "full", fullBody(t)}, example{waitTimesPath, "full", fullRequest(t, waitTimesPath)},
		example{heatLossesPath, "full", fullRequest(t, heatLossesPath)}, example{loopDesignsPath, "full", fullRequest(t, loopDesignsPath)},
		example{loopSimulationsPath, "full", fullRequest(t, loopSimulationsPath)},
		example{deadLegsPath, "wrong", edited(t, fullBody(t), `/system/heater = {"a":1}`, `/system/pipes/0/id = "back"`, `/system/fixtures/0/node = "x"`)})
	for _, b := range bodies {
		want := post(one, b.path, b.body, "X-Request-Id", "same")
		for _, server := range []*api.Server{one, one, other, other} {
			got := post(server, b.path, b.body, "X-Request-Id", "same", "X-Forwarded-For", "192.0.2.7", "Forwarded", "for=192.0.2.7", "X-Real-Ip", "192.0.2.7")
			if !bytes.Equal(got.body, want.body) {
				t.Errorf("%s %s: another answer:\n%s\n%s", b.path, b.name, got.body, want.body)
			}
		}
	}
}

func TestDrain(t *testing.T) {
	server := newServer(t)
	if got := get(server, "/readyz"); got.status != http.StatusOK || got.header.Get("Retry-After") != "" {
		t.Errorf("before: status %d", got.status)
	}
	server.Drain()
	got := get(server, "/readyz")
	if p := got.problem(t); got.status != http.StatusServiceUnavailable || got.header.Get("Retry-After") == "" || p.Type != "urn:recirc:problem:busy" {
		t.Errorf("status %d, Retry-After %q, %s", got.status, got.header.Get("Retry-After"), p.Type)
	}
	if got := get(server, "/healthz"); got.status != http.StatusOK {
		t.Errorf("the process is alive while it drains; status %d", got.status)
	}
	if got := post(server, deadLegsPath, house); got.status != http.StatusOK {
		t.Errorf("what still comes is answered; status %d", got.status)
	}
}

func TestExplorerLoadsFromHereAlone(t *testing.T) {
	server := newServer(t)
	page := get(server, "/docs")
	policy := page.header.Get("Content-Security-Policy")
	for _, rule := range []string{"default-src 'none'", "script-src 'self'", "connect-src 'self'", "frame-ancestors 'none'"} {
		if !slices.Contains(strings.Split(policy, "; "), rule) {
			t.Errorf("the policy %q does not say %s", policy, rule)
		}
	}
	if strings.Contains(policy, "unsafe") || bytes.Contains(page.body, []byte("//")) {
		t.Errorf("the page loads from elsewhere, or runs what stands in it: %s\n%s", policy, page.body)
	}
	for file, kind := range map[string]string{
		"explorer.js": "text/javascript; charset=utf-8", "swagger-ui-bundle.js": "text/javascript; charset=utf-8",
		"explorer.css": "text/css; charset=utf-8", "swagger-ui.css": "text/css; charset=utf-8", "icon.svg": "image/svg+xml",
	} {
		got := get(server, "/docs/"+file)
		if got.status != http.StatusOK || got.header.Get("Content-Type") != kind || got.header.Get("X-Content-Type-Options") != "nosniff" {
			t.Errorf("%s: status %d, %q, %q", file, got.status, got.header.Get("Content-Type"), got.header.Get("X-Content-Type-Options"))
		}
		if r := httptest.NewRequest("GET", "/docs/"+file, nil); !bytes.Contains(page.body, []byte(r.URL.Path)) && file != "icon.svg" {
			t.Errorf("the page does not load %s", file)
		}
	}
}
