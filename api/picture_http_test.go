package api_test

import (
	"bytes"
	"compress/gzip"
	"encoding/xml"
	"errors"
	"io"
	"net/http"
	"strings"
	"testing"

	"recirc/api"
)

const svg = "image/svg+xml"

// wellFormed gives what is wrong with an SVG document: it is XML, its root is
// an svg element, and it says its title in words.
func wellFormed(picture []byte) error {
	var open []string
	d := xml.NewDecoder(bytes.NewReader(picture))
	titled := false
	for {
		token, err := d.Token()
		switch e := token.(type) {
		case xml.StartElement:
			if len(open) == 0 && (e.Name != xml.Name{Space: "http://www.w3.org/2000/svg", Local: "svg"}) {
				return errors.New("the root is " + e.Name.Local + " of " + e.Name.Space)
			}
			open = append(open, e.Name.Local)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			titled = titled || len(open) == 2 && open[1] == "title" && len(bytes.TrimSpace(e)) > 0
		}
		switch {
		case errors.Is(err, io.EOF) && !titled:
			return errors.New("it has no title")
		case errors.Is(err, io.EOF):
			return nil
		case err != nil:
			return err
		}
	}
}

// TestWellFormedSeesBrokenPictures proves that the check above can fail.
func TestWellFormedSeesBrokenPictures(t *testing.T) {
	const good = `<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg"><title>a</title><text>b</text></svg>`
	if err := wellFormed([]byte(good)); err != nil {
		t.Fatal(err)
	}
	for _, edit := range [][2]string{
		{`</text>`, ``}, {`b<`, `b & c<`}, {`b<`, "b\x01<"}, {`b<`, `<b<`}, {`<title>a</title>`, ``}, {`<title>a</title>`, `<title> </title>`},
		{`www.w3.org/2000/svg`, `example.com`}, {`</svg>`, ``}, {good, ``}, {good, `{}`},
	} {
		if broken := strings.Replace(good, edit[0], edit[1], 1); wellFormed([]byte(broken)) == nil {
			t.Errorf("nothing is found wrong with %s", broken)
		}
	}
}

// TestExamplesAsPictures asks for a picture of every example. The contract says
// which operations have one; the others refuse.
func TestExamplesAsPictures(t *testing.T) {
	c, server, other := loadContract(t), newServer(t), newServer(t)
	drawn, refused := 0, 0
	for _, e := range examplesOf(t, c) {
		t.Run(e.path+" "+e.name, func(t *testing.T) {
			got := post(server, e.path, e.body, "Accept", svg)
			c.allowsAnswer(t, http.MethodPost, e.path, got)
			if c.doc.Paths.Find(e.path).Post.Responses.Status(200).Value.Content[svg] == nil {
				refused++
				if p := got.problem(t); p.Type != "urn:recirc:problem:not-acceptable" || got.status != http.StatusNotAcceptable {
					t.Errorf("status %d, %s", got.status, p.Type)
				}
				return
			}
			drawn++
			if kind := got.header.Get("Content-Type"); got.status != http.StatusOK || kind != svg {
				t.Fatalf("status %d, content type %q: %.300s", got.status, kind, got.body)
			}
			if err := wellFormed(got.body); err != nil {
				t.Error(err)
			}
			for _, s := range []*api.Server{server, other} {
				if again := post(s, e.path, e.body, "Accept", svg); !bytes.Equal(again.body, got.body) {
					t.Error("the second picture differs from the first")
				}
			}
		})
	}
	if drawn < 5 || refused < 3 {
		t.Errorf("%d examples were drawn and %d refused; there are 5 and 3 at least", drawn, refused)
	}
}

// TestPicturesSayWhatWasAsked draws what one body asks for, and another.
func TestPicturesSayWhatWasAsked(t *testing.T) {
	server := newServer(t)
	for _, path := range drawnPaths {
		us := post(server, path, fullRequest(t, path), "Accept", svg)
		si := post(server, path, edited(t, fullRequest(t, path), `/unit_system = "si"`), "Accept", svg)
		if bytes.Equal(us.body, si.body) || us.status != http.StatusOK || si.status != http.StatusOK {
			t.Errorf("%s: status %d and %d, or one picture in both unit systems", path, us.status, si.status)
		}
		curves := post(server, path, edited(t, fullRequest(t, path), `/show_working = true`), "Accept", svg)
		if !bytes.Equal(us.body, curves.body) {
			t.Errorf("%s: show_working, which is words, changes the picture", path)
		}
	}
	// A picture of waits has curves whether the JSON would list them or not.
	with := post(server, waitTimesPath, edited(t, fullRequest(t, waitTimesPath), `/show_curves = true`), "Accept", svg)
	if without := post(server, waitTimesPath, fullRequest(t, waitTimesPath), "Accept", svg); !bytes.Equal(with.body, without.body) {
		t.Error("show_curves changes the picture")
	}
}

// TestPicturesOfAnyName draws names that a picture must not take for its own
// words, or that XML cannot hold.
func TestPicturesOfAnyName(t *testing.T) {
	server := newServer(t)
	for _, name := range []string{
		`</desc><script>`, `&amp;&`, `<!--`, `]]>`, `'`, `\"`, `\u0000`, `\u0001\u001f`, `\n\t`, `\uffff\ufffe`, `%s %d`, "\u6c34\U0001F6BF\u202e", strings.Repeat("x", 120), " ",
	} {
		for _, path := range drawnPaths {
			body := strings.NewReplacer(`"sink"`, `"`+name+`"`, `"main"`, `"`+name+`"`, `"back"`, `"`+strings.TrimSuffix(name, "x")+`-"`).Replace(houseFor(t, path))
			got := post(server, path, body, "Accept", svg)
			if got.status != http.StatusOK {
				t.Errorf("%s, the name %s: status %d: %s", path, name, got.status, got.body)
			} else if err := wellFormed(got.body); err != nil || bytes.Contains(got.body, []byte("<script")) {
				t.Errorf("%s, the name %s: %v", path, name, err)
			}
		}
	}
}

func TestAcceptChoosesBetweenJSONAndPicture(t *testing.T) {
	server := newServer(t)
	const json, none = "application/json", ""
	cases := []struct {
		accept, drawn, plain string // the media type of an operation with a picture, and of one without
		why                  string
	}{
		{"", json, json, "no header takes anything, and JSON is the usual"},
		{"*/*", json, json, "the usual one"},
		{svg, svg, none, ""},
		{"IMAGE/SVG+XML", svg, none, "media types know no case"},
		{"image/*", svg, none, ""},
		{json, json, json, ""},
		{"application/*", json, json, ""},
		{svg + ", " + json, json, json, "among equals the usual one, wherever it stands"},
		{json + ", " + svg, json, json, ""},
		{svg + ", " + json + ";q=0.9", svg, json, "the better one"},
		{json + ";q=0.1, " + svg + ";q=0.2", svg, json, "the better of two little wanted ones"},
		{svg + ";q=0.2, " + json + ";q=0.3", json, json, ""},
		{svg + ";q=0.001", svg, none, "little wanted is wanted"},
		{json + ";q=0.5, */*", svg, json, "the rest is wanted more"},
		{svg + ";q=0.5, */*;q=0.6", json, json, "the closer range decides for the picture"},
		{"image/*;q=0.5, " + svg + ";q=0.9, " + json + ";q=0.7", svg, json, "the closer range decides"},
		{json + ";q=0, " + svg, svg, none, "q=0 is a no"},
		{json + ";q=0, */*", svg, none, "anything but JSON"},
		{svg + ";q=0, */*", json, json, "anything but a picture"},
		{"image/*;q=0, */*", json, json, ""},
		{svg + ";q=0", none, none, ""},
		{svg + ";q=2", none, none, "no quality"},
		{"image/png", none, none, "another kind of picture"},
		{"image/svg", none, none, ""},
		{"application/xml", none, none, "SVG is XML, but is not named so here"},
		{"image/avif,image/webp,image/apng,image/svg+xml,image/*,*/*;q=0.8", svg, json, "what a browser sends for a picture"},
		{"text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8", json, json, "what a browser sends for a page"},
	}
	for _, row := range cases {
		headers := []string{"Accept", row.accept}
		if row.accept == "" {
			headers = nil
		}
		for _, r := range []struct {
			got  answer
			want string
		}{
			{post(server, waitTimesPath, house, headers...), row.drawn},
			{post(server, heatLossesPath, house, headers...), row.drawn},
			{post(server, loopDesignsPath, houseFor(t, loopDesignsPath), headers...), row.drawn},
			{post(server, deadLegsPath, house, headers...), row.plain},
			{get(server, "/v1/tubes", headers...), row.plain},
		} {
			status := http.StatusOK
			if r.want == none {
				status, r.want = http.StatusNotAcceptable, "application/problem+json"
			}
			if kind := r.got.header.Get("Content-Type"); r.got.status != status || kind != r.want {
				t.Errorf("Accept: %s: status %d, %s, want %s; %s", row.accept, r.got.status, kind, r.want, row.why)
			}
		}
	}
	// Two lines are one list.
	if got := post(server, waitTimesPath, house, "Accept", json+";q=0.5", "Accept", svg); got.header.Get("Content-Type") != svg {
		t.Errorf("Accept in two lines: %s", got.header.Get("Content-Type"))
	}
}

// TestProblemsAreNeverDrawn asks for pictures of requests that go wrong.
func TestProblemsAreNeverDrawn(t *testing.T) {
	c, server := loadContract(t), newServer(t, withLimits(api.Limits{BodyBytes: 4000, MostPipes: 3}))
	for _, path := range []string{waitTimesPath, heatLossesPath} {
		for status, got := range map[int]answer{
			400: post(server, path, `{`, "Accept", svg),
			406: post(server, path, house, "Accept", "image/png"),
			413: post(server, path, edited(t, house, pipeOf("fourth", "supply", "t", "k2")), "Accept", svg),
			415: ask(server, "POST", path, strings.NewReader(house), "Accept", svg),
			422: post(server, path, `{}`, "Accept", svg),
			500: ask(server, "POST", path, panicking{"broken"}, "Accept", svg, "Content-Type", "application/json"),
		} {
			if got.problem(t); got.status != status {
				t.Errorf("%s: status %d, want %d", path, got.status, status)
			}
			c.allowsAnswer(t, http.MethodPost, path, got)
		}
		unphysical := edited(t, house, `/system/pipes/0/insulation = {"thickness":{"value":1,"unit":"mm"},"conductivity":{"value":1e-9,"unit":"W/(m.K)"}}`)
		asJSON, asPicture := post(server, path, unphysical, "X-Request-Id", "same"), post(server, path, unphysical, "X-Request-Id", "same", "Accept", svg)
		if asJSON.status != http.StatusUnprocessableEntity || !bytes.Equal(asJSON.body, asPicture.body) {
			t.Errorf("%s: status %d, or the problem depends on what is accepted", path, asJSON.status)
		}
	}
}

// TestOtherMethodsKnowNoPicture: what Accept says changes nothing there.
func TestOtherMethodsKnowNoPicture(t *testing.T) {
	server := newServer(t)
	for _, path := range calculationPaths {
		for _, method := range []string{"HEAD", "GET", "OPTIONS", "PUT"} {
			for _, accept := range []string{svg, "application/json", "text/csv"} {
				got := ask(server, method, path, strings.NewReader(house), "Content-Type", "application/json", "Accept", accept)
				if allow := got.header.Get("Allow"); got.status != http.StatusMethodNotAllowed || allow != "POST" {
					t.Errorf("%s %s, Accept: %s: status %d, Allow %q", method, path, accept, got.status, allow)
				}
				got.problem(t)
			}
		}
	}
	for _, path := range []string{"/openapi.json", "/openapi.yaml", "/healthz", "/readyz", "/docs", "/docs/explorer.js"} {
		plain, asked := get(server, path), get(server, path, "Accept", svg)
		if asked.status != http.StatusOK || !bytes.Equal(plain.body, asked.body) {
			t.Errorf("%s, which has one form: status %d, or another body", path, asked.status)
		}
	}
}

func TestPicturesAreCompressedWhenAsked(t *testing.T) {
	server := newServer(t)
	for _, path := range drawnPaths {
		plain := post(server, path, houseFor(t, path), "Accept", svg)
		got := post(server, path, houseFor(t, path), "Accept", svg, "Accept-Encoding", "gzip")
		if got.header.Get("Content-Encoding") != "gzip" || got.header.Get("Content-Type") != svg {
			t.Fatalf("%s: %q, %q", path, got.header.Get("Content-Encoding"), got.header.Get("Content-Type"))
		}
		z, err := gzip.NewReader(bytes.NewReader(got.body))
		if err != nil {
			t.Fatal(err)
		}
		if picture, err := io.ReadAll(z); err != nil || !bytes.Equal(picture, plain.body) {
			t.Errorf("%s: another picture (%v)", path, err)
		}
	}
}
