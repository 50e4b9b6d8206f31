package api_test

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"recirc/api"
)

func zipped(t testing.TB, text string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	if _, err := io.WriteString(z, text); err != nil {
		t.Fatal(err)
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestContentEncoding(t *testing.T) {
	const limit = 64 << 10
	server := newServer(t, withLimits(api.Limits{BodyBytes: limit, MostPipes: 100}))
	good := zipped(t, house)
	wrongSum := bytes.Clone(good)
	wrongSum[len(wrongSum)-8] ^= 1
	spaces := func(n int) []byte { return zipped(t, house+strings.Repeat(" ", n-len(house))) }
	cases := []struct {
		name, encoding string
		body           []byte
		status         int
		kind           string
	}{
		{"plain", "", []byte(house), 200, ""},
		{"plain by name", "identity", []byte(house), 200, ""},
		{"gzip", "gzip", good, 200, ""},
		{"gzip in capitals", "GZIP", good, 200, ""},
		{"gzip in two members, which is one text", "gzip", append(zipped(t, house[:99]), zipped(t, house[99:])...), 200, ""},
		{"gzip of just the limit", "gzip", spaces(limit), 200, ""},
		{"gzip of one byte more", "gzip", spaces(limit + 1), 413, "too-large"},
		{"a gzip bomb, 8 MiB in 8 KiB", "gzip", zipped(t, strings.Repeat(" ", 8<<20)), 413, "too-large"},
		{"plain text said to be gzip", "gzip", []byte(house), 400, "malformed"},
		{"nothing said to be gzip", "gzip", nil, 400, "malformed"},
		{"gzip cut short", "gzip", good[:len(good)-9], 400, "malformed"},
		{"gzip without its trailer", "gzip", good[:len(good)-8], 400, "malformed"},
		{"gzip with a wrong checksum", "gzip", wrongSum, 400, "malformed"},
		{"gzip with text behind it", "gzip", append(bytes.Clone(good), "garbage, not gzip"...), 400, "malformed"},
		{"gzip not said to be gzip", "", good, 400, "malformed"},
		{"gzip of no JSON", "gzip", zipped(t, "{"), 400, "malformed"},
		{"gzip of wrong JSON", "gzip", zipped(t, "{}"), 422, "invalid"},
		{"br", "br", []byte(house), 415, "unsupported-media-type"},
		{"deflate", "deflate", []byte(house), 415, "unsupported-media-type"},
		{"gzip twice", "gzip, gzip", zipped(t, string(good)), 415, "unsupported-media-type"},
	}
	want := post(server, deadLegsPath, house)
	for _, row := range cases {
		t.Run(row.name, func(t *testing.T) {
			headers := []string{"Content-Type", "application/json"}
			if row.encoding != "" {
				headers = append(headers, "Content-Encoding", row.encoding)
			}
			got := ask(server, "POST", deadLegsPath, bytes.NewReader(row.body), headers...)
			if got.status != row.status {
				t.Errorf("status %d, want %d: %s", got.status, row.status, got.body)
			}
			if row.kind == "" {
				if !bytes.Equal(got.body, want.body) {
					t.Errorf("another answer: %s", got.body)
				}
			} else if p := got.problem(t); p.Type != "urn:recirc:problem:"+row.kind {
				t.Errorf("problem %s, want %s", p.Type, row.kind)
			}
		})
	}
}

func TestAnswersAreCompressedWhenAsked(t *testing.T) {
	server := newServer(t)
	plain := post(server, deadLegsPath, house)
	if plain.header.Get("Content-Encoding") != "" || len(plain.body) < 2000 {
		t.Fatalf("the answer of %d bytes has encoding %q", len(plain.body), plain.header.Get("Content-Encoding"))
	}
	for _, row := range []struct{ accept, encoding string }{
		{"gzip", "gzip"}, {"deflate, gzip;q=0.5", "gzip"}, {"gzip;q=0", ""}, {"identity", ""}, {"br", ""},
	} {
		got := post(server, deadLegsPath, house, "Accept-Encoding", row.accept)
		if encoding := got.header.Get("Content-Encoding"); got.status != http.StatusOK || encoding != row.encoding {
			t.Errorf("Accept-Encoding %s: status %d, encoding %q, want %q", row.accept, got.status, encoding, row.encoding)
		}
		if !strings.Contains(strings.Join(got.header.Values("Vary"), ","), "Accept-Encoding") {
			t.Errorf("Accept-Encoding %s: a cache would mix the forms: Vary is %q", row.accept, got.header.Values("Vary"))
		}
		body := got.body
		if row.encoding == "gzip" {
			z, err := gzip.NewReader(bytes.NewReader(got.body))
			if err != nil {
				t.Fatal(err)
			}
			if body, err = io.ReadAll(z); err != nil {
				t.Fatal(err)
			}
		}
		if !bytes.Equal(body, plain.body) {
			t.Errorf("Accept-Encoding %s: another answer", row.accept)
		}
	}
	if got := get(server, "/healthz", "Accept-Encoding", "gzip"); got.header.Get("Content-Encoding") != "" {
		t.Error("a few bytes are compressed, which makes them more")
	}
	if got := post(server, deadLegsPath, `{"system":{"heater":{},"pipes":[`+strings.Repeat("{},", 20)+`{}]}}`, "Accept-Encoding", "gzip"); got.header.Get("Content-Type") != "application/problem+json" {
		t.Errorf("a compressed problem has content type %q", got.header.Get("Content-Type"))
	}
}

// TestLargeBodyIsRefusedUnread refuses by Content-Length alone; a body of
// unknown length is read up to the limit.
func TestLargeBodyIsRefusedUnread(t *testing.T) {
	server := newServer(t, withLimits(api.Limits{BodyBytes: 2000, MostPipes: 100}))
	r := httptest.NewRequest("POST", deadLegsPath, panicking{"the body is read"})
	r.Header.Set("Content-Type", "application/json")
	r.ContentLength = 2001
	w := httptest.NewRecorder()
	server.ServeHTTP(w, r)
	if w.Code != http.StatusRequestEntityTooLarge {
		t.Errorf("status %d: %s", w.Code, w.Body)
	}
	endless := struct{ io.Reader }{io.MultiReader(strings.NewReader(house), blanks{})}
	if got := ask(server, "POST", deadLegsPath, endless, "Content-Type", "application/json"); got.status != http.StatusRequestEntityTooLarge {
		t.Errorf("an endless body: status %d", got.status)
	} else {
		got.problem(t)
	}
	short := struct{ io.Reader }{strings.NewReader(house)}
	if got := ask(server, "POST", deadLegsPath, short, "Content-Type", "application/json"); got.status != http.StatusOK {
		t.Errorf("a body of unknown length: status %d", got.status)
	}
}

// blanks is white space without end.
type blanks struct{}

func (blanks) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = ' '
	}
	return len(p), nil
}

// TestBodyThatBreaksOff is a caller whose connection fails within the body, even
// if what came is a whole JSON text: more may have been on its way.
func TestBodyThatBreaksOff(t *testing.T) {
	for _, came := range []string{"", house[:99], house} {
		body := io.MultiReader(strings.NewReader(came), failing{})
		got := ask(newServer(t), "POST", deadLegsPath, body, "Content-Type", "application/json")
		if p := got.problem(t); got.status != http.StatusBadRequest || !strings.Contains(p.Detail, "ended") {
			t.Errorf("after %d bytes: status %d, %s", len(came), got.status, p.Detail)
		}
	}
}

type failing struct{}

func (failing) Read([]byte) (int, error) { return 0, io.ErrUnexpectedEOF }

// TestBusy holds the whole budget with one body that does not end, over a real
// connection.
func TestBusy(t *testing.T) {
	live := httptest.NewServer(newServer(t, func(c *api.Config) {
		c.Limits = api.Limits{BodyBytes: 4096, MostPipes: 100}
		c.BudgetBytes = 1 // less than one body; one body must fit all the same
	}))
	defer live.Close()
	send := func(body io.Reader) (*http.Response, error) {
		return live.Client().Post(live.URL+deadLegsPath, "application/json", body)
	}
	status := func() *http.Response {
		t.Helper()
		res, err := send(strings.NewReader(house))
		if err != nil {
			t.Fatal(err)
		}
		_ = res.Body.Close()
		return res
	}
	held, hold := io.Pipe()
	answered := make(chan error, 1)
	go func() {
		res, err := send(held)
		if err == nil {
			_ = res.Body.Close()
			if res.StatusCode != http.StatusOK {
				err = fmt.Errorf("status %s", res.Status)
			}
		}
		answered <- err
	}()
	if _, err := io.WriteString(hold, house[:99]); err != nil {
		t.Fatal(err)
	}
	var busy *http.Response
	eventually(t, "the service is busy", func() bool {
		busy = status()
		return busy.StatusCode == http.StatusServiceUnavailable
	})
	if after := busy.Header.Get("Retry-After"); after != "1" || busy.Header.Get("Content-Type") != "application/problem+json" {
		t.Errorf("Retry-After %q, content type %q", after, busy.Header.Get("Content-Type"))
	}
	if res, err := live.Client().Get(live.URL + "/v1/sources"); err != nil || res.StatusCode != http.StatusOK {
		t.Errorf("a table needs no budget: %v %v", res, err)
	}
	if _, err := io.WriteString(hold, house[99:]); err != nil {
		t.Fatal(err)
	}
	_ = hold.Close()
	if err := <-answered; err != nil {
		t.Errorf("the request that was held: %v", err)
	}
	eventually(t, "the budget comes back", func() bool { return status().StatusCode == http.StatusOK })
}

// eventually asks again until the answer is yes.
func eventually(t *testing.T, what string, yes func() bool) {
	t.Helper()
	for deadline := time.Now().Add(20 * time.Second); !yes(); {
		if time.Now().After(deadline) {
			t.Fatalf("it never comes that %s", what)
		}
	}
}

// TestBudgetComesBack ends requests in every way there is, on a server with room
// for one body.
func TestBudgetComesBack(t *testing.T) {
	server := newServer(t, func(c *api.Config) {
		c.Limits, c.BudgetBytes = api.Limits{BodyBytes: 4096, MostPipes: 100}, 4096
	})
	chunked := func(text string) io.Reader { return struct{ io.Reader }{strings.NewReader(text)} }
	for name, body := range map[string]func() io.Reader{
		"answered":      func() io.Reader { return chunked(house) },
		"malformed":     func() io.Reader { return chunked("{") },
		"invalid":       func() io.Reader { return chunked("{}") },
		"too large":     func() io.Reader { return blanks{} },
		"broken off":    func() io.Reader { return failing{} },
		"a panic":       func() io.Reader { return panicking{"broken"} },
		"another panic": func() io.Reader { return io.MultiReader(strings.NewReader("{"), panicking{"broken"}) },
	} {
		ask(server, "POST", deadLegsPath, body(), "Content-Type", "application/json")
		if got := post(server, deadLegsPath, house); got.status != http.StatusOK {
			t.Fatalf("after a request that was %s: status %d", name, got.status)
		}
	}
}
