package api

import (
	"bytes"
	"context"
	"math"
	"net/http"
	"net/http/httptest"
	"runtime"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/gin-gonic/gin"
	"github.com/go-json-experiment/json/jsontext"
	"github.com/rs/zerolog"
	"golang.org/x/sync/semaphore"

	"recirc/api/answer"
	"recirc/calc/fault"
)

// notFinite is a calculation with a defect: its answer holds a number that JSON
// cannot.
func notFinite(x float64) Calculation {
	return Calculation{Name: "broken", run: func(q *question) *fault.Fault {
		w := &q.answer
		w.OpenObject("")
		w.Number("value", x)
		w.CloseObject()
		return nil
	}}
}

// TestNotFiniteIs500 because gin alone would send 200 and an empty body.
func TestNotFiniteIs500(t *testing.T) {
	engine := newEngine(Config{Log: zerolog.Nop()})
	in := newIntake(DefaultLimits(), 1)
	values := map[string]float64{"nan": math.NaN(), "inf": math.Inf(1), "minus-inf": math.Inf(-1)}
	for name, x := range values {
		engine.POST("/calculation/"+name, answering(notFinite(x), in))
		engine.POST("/table/"+name, func(c *gin.Context) {
			w := &answer.Writer{}
			w.Number("", x)
			reply(c, w)
		})
	}
	engine.POST("/calculation/one", answering(notFinite(1), in))
	send := func(path string) *httptest.ResponseRecorder {
		r := httptest.NewRequest(http.MethodPost, path, strings.NewReader("{}"))
		r.Header.Set("Content-Type", "application/json")
		w := httptest.NewRecorder()
		engine.ServeHTTP(w, r)
		return w
	}
	for name := range values {
		for _, kind := range []string{"/calculation/", "/table/"} {
			w := send(kind + name)
			if w.Code != http.StatusInternalServerError || w.Header().Get("Content-Type") != "application/problem+json" || !bytes.Contains(w.Body.Bytes(), []byte("urn:recirc:problem:internal")) {
				t.Errorf("%s%s: status %d, %q: %s", kind, name, w.Code, w.Header().Get("Content-Type"), w.Body)
			}
		}
	}
	if w := send("/calculation/one"); w.Code != http.StatusOK || w.Body.String() != `{"value":1}` {
		t.Errorf("a finite number: status %d: %s", w.Code, w.Body)
	}
}

// TestBusyAtEveryStep takes away, in turn, what a request waits for. The caller
// has left, so that nobody waits for long.
func TestBusyAtEveryStep(t *testing.T) {
	in := newIntake(Limits{BodyBytes: 1000, MostPipes: 10}, 1)
	slots := int64(runtime.GOMAXPROCS(0))
	inCalculation := func() {}
	calculation := notFinite(1)
	run := calculation.run
	calculation.run = func(q *question) *fault.Fault {
		inCalculation()
		return run(q)
	}
	engine := newEngine(Config{Log: zerolog.Nop()})
	engine.POST("/", answering(calculation, in))
	ask := func() *httptest.ResponseRecorder {
		r := httptest.NewRequest(http.MethodPost, "/", strings.NewReader("{}"))
		r.Header.Set("Content-Type", "application/json")
		ctx, cancel := context.WithCancel(r.Context())
		cancel()
		w := httptest.NewRecorder()
		engine.ServeHTTP(w, r.WithContext(ctx))
		return w
	}
	take := func(from *semaphore.Weighted, n int64) {
		if !from.TryAcquire(n) {
			t.Errorf("%d are not free: a request before kept its share", n)
		}
	}
	busy := func(step string) {
		t.Helper()
		if w := ask(); w.Code != http.StatusServiceUnavailable || w.Header().Get("Retry-After") == "" {
			t.Errorf("no %s: status %d, Retry-After %q", step, w.Code, w.Header().Get("Retry-After"))
		}
	}
	take(in.budget, in.total)
	busy("memory for the body")
	in.budget.Release(in.total)

	take(in.slots, slots)
	busy("processor")
	in.slots.Release(slots)

	rest := in.total - bodyCost*int64(len("{}"))
	inCalculation = func() { take(in.budget, rest) }
	busy("memory for the answer")
	in.budget.Release(rest)

	inCalculation = func() {}
	if w := ask(); w.Code != http.StatusOK {
		t.Errorf("with everything free: status %d: %s", w.Code, w.Body)
	}
	inCalculation = func() { panic("broken") }
	if w := ask(); w.Code != http.StatusInternalServerError {
		t.Errorf("a panic: status %d", w.Code)
	}
	take(in.budget, in.total)
	take(in.slots, slots)
}

// TestPanicBehindTheFirstByte cannot take back what is on its way; it must not
// put a second document behind it.
func TestPanicBehindTheFirstByte(t *testing.T) {
	var log bytes.Buffer
	engine := newEngine(Config{Log: zerolog.New(&log)})
	engine.GET("/half", func(c *gin.Context) {
		c.Data(http.StatusOK, "application/json", []byte(`{"half":`))
		panic("broken")
	})
	w := httptest.NewRecorder()
	engine.ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/half", nil))
	if got := w.Body.String(); got != `{"half":` {
		t.Errorf("the body is %q", got)
	}
	if !strings.Contains(log.String(), "http_internal_test.go") {
		t.Errorf("the log has no stack: %s", &log)
	}
}

// TestCancelledRequestCancelsItsContext is gin's ContextWithFallback, without
// which a context passed down is never done.
func TestCancelledRequestCancelsItsContext(t *testing.T) {
	engine := newEngine(Config{Log: zerolog.Nop()})
	asked := false
	engine.GET("/wait", func(c *gin.Context) {
		asked = true
		if c.Err() == nil {
			t.Error("the caller has gone, and the handler's context does not say so")
		}
	})
	r := httptest.NewRequest(http.MethodGet, "/wait", nil)
	ctx, cancel := context.WithCancel(r.Context())
	cancel()
	engine.ServeHTTP(httptest.NewRecorder(), r.WithContext(ctx))
	if !asked {
		t.Error("the handler was not reached")
	}
}

// TestClientAddressIsTheConnections keeps a header from naming another caller.
func TestClientAddressIsTheConnections(t *testing.T) {
	engine := newEngine(Config{Log: zerolog.Nop()})
	engine.GET("/who", func(c *gin.Context) { c.String(http.StatusOK, c.ClientIP()) })
	r := httptest.NewRequest(http.MethodGet, "/who", nil)
	r.RemoteAddr = "198.51.100.1:1234"
	for _, name := range []string{"X-Forwarded-For", "X-Real-Ip", "Forwarded", "X-Appengine-Remote-Addr", "CF-Connecting-IP"} {
		r.Header.Set(name, "192.0.2.7")
	}
	w := httptest.NewRecorder()
	engine.ServeHTTP(w, r)
	if got := w.Body.String(); got != "198.51.100.1" {
		t.Errorf("the caller is taken for %s", got)
	}
}

// TestProblemOfAnyText writes problems whose texts come from a caller.
func TestProblemOfAnyText(t *testing.T) {
	for _, text := range []string{"\xff", "\x00", "<script>", "\u2028", `"`, strings.Repeat("x", 1<<20)} {
		root := "/" + text
		p := invalid.problem("A sentence about " + text + ".")
		p.Errors = []problemFault{{Pointer: &root, Code: fault.FieldUnknown, Detail: text}}
		if got := p.JSON(); !bytes.Contains(got, []byte(`"status":422`)) || !jsontext.Value(got).IsValid() || !utf8.Valid(got) {
			t.Errorf("%.20q: the problem is lost: %.300s", text, got)
		}
	}
}
