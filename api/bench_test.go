package api_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"testing"
	"time"

	"github.com/gin-gonic/gin"
	"github.com/rs/zerolog"

	"recirc/api"
)

// houseOf draws an invented building of so many fixtures: a trunk with a branch
// to every fixture, as a plumber would draw a house. It has two pipes a fixture.
func houseOf(fixtures int, options string) []byte {
	var b bytes.Buffer
	b.WriteString(`{"system":{"heater":{"node":"heater","type":"storage","outlet_temperature":{"value":140,"unit":"degF"}},"pipes":[`)
	for i := range fixtures {
		floor, from := i%25, fmt.Sprintf("tee-%d", i)
		up := from
		if floor > 0 {
			up = fmt.Sprintf("tee-%d", i-1)
		} else {
			up = "heater"
		}
		fmt.Fprintf(&b, `{"id":"main-%d","from":%q,"to":%q,"role":"supply","length":{"value":8,"unit":"ft"},"tube":{"series":"copper_type_l","nominal":"3/4"},"fittings":[{"type":"elbow_90","count":2}]},`, i, up, from)
		fmt.Fprintf(&b, `{"id":"branch-%d","from":%q,"to":"outlet-%d","role":"supply","length":{"value":11,"unit":"ft"},"tube":{"series":"pex_sdr9","nominal":"1/2"}},`, i, from, i)
	}
	b.Truncate(b.Len() - 1)
	b.WriteString(`],"fixtures":[`)
	for i := range fixtures {
		fmt.Fprintf(&b, `{"id":"fixture-%d","node":"outlet-%d","type":"lavatory_faucet","hot_flow":{"value":0.8,"unit":"gal/min"}},`, i, i)
	}
	b.Truncate(b.Len() - 1)
	b.WriteString(`]}` + options + `}`)
	return b.Bytes()
}

const lean = `,"detail":"fixtures","limits":["ipc_607_2","watersense_3_3_volume"]`

// start serves a handler on loopback and gives a function that posts a body.
func start(b *testing.B, h http.Handler) func([]byte) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		b.Fatal(err)
	}
	s := &http.Server{Handler: h}
	go func() { _ = s.Serve(l) }()
	b.Cleanup(func() { _ = s.Close() })
	client := &http.Client{Transport: &http.Transport{DisableCompression: true, MaxIdleConnsPerHost: 16}}
	url := "http://" + l.Addr().String() + "/v1/dead-legs"
	return func(body []byte) {
		res, err := client.Post(url, "application/json", bytes.NewReader(body))
		if err != nil {
			b.Fatal(err)
		}
		_, _ = io.Copy(io.Discard, res.Body)
		_ = res.Body.Close()
		if res.StatusCode != 200 {
			b.Fatal(res.Status)
		}
	}
}

func service(b *testing.B) http.Handler {
	s, err := api.NewServer(api.Config{Limits: api.DefaultLimits(), BudgetBytes: 256 << 20, Log: zerolog.Nop()})
	if err != nil {
		b.Fatal(err)
	}
	return s
}

// echoBytes is a bare gin handler that sends the body back as it came.
func echoBytes() http.Handler {
	gin.SetMode(gin.ReleaseMode)
	e := gin.New()
	e.POST("/v1/dead-legs", func(c *gin.Context) {
		body, _ := c.GetRawData()
		c.Data(200, "application/json", body)
	})
	return e
}

// echoJSON is a bare gin handler that reads the body as JSON and sends it back,
// with gin's own binding and rendering.
func echoJSON() http.Handler {
	e := gin.New()
	e.POST("/v1/dead-legs", func(c *gin.Context) {
		var v any
		if err := c.ShouldBindJSON(&v); err == nil {
			c.JSON(200, v)
		}
	})
	return e
}

// BenchmarkDeadLegs drives two echo handlers and the service with one body over
// loopback. The service's line gives its throughput as a ratio to each echo's.
func BenchmarkDeadLegs(b *testing.B) {
	for _, size := range []struct {
		name     string
		fixtures int
	}{{"house25", 25}, {"building5000", 5000}} {
		body := houseOf(size.fixtures, lean)
		if !json.Valid(body) {
			b.Fatal("the benchmark's body is no JSON")
		}
		echoes := map[string]time.Duration{}
		for _, h := range []struct {
			name    string
			handler http.Handler
		}{{"echo-bytes", echoBytes()}, {"echo-json", echoJSON()}, {"service", service(b)}} {
			b.Run(size.name+"/"+h.name, func(b *testing.B) {
				post := start(b, h.handler)
				b.SetBytes(int64(len(body)))
				b.ReportAllocs()
				for b.Loop() {
					post(body)
				}
				each := b.Elapsed() / time.Duration(b.N)
				if h.name != "service" {
					echoes[h.name] = each
					return
				}
				for echo, took := range echoes {
					b.ReportMetric(float64(took)/float64(each), "x-"+echo)
				}
			})
		}
	}
}

// BenchmarkAnswer is the calculation alone, without HTTP.
func BenchmarkAnswer(b *testing.B) {
	for _, row := range []struct {
		name, calculation string
		fixtures          int
		options           string
	}{
		{"dead-legs-25", "dead-legs", 25, lean},
		{"dead-legs-5000", "dead-legs", 5000, lean},
		{"wait-times-25-thermal", "wait-times", 25, ``},
		{"wait-times-25-plug-flow", "wait-times", 25, `,"method":"plug_flow"`},
		{"heat-losses-50-pipes", "heat-losses", 25, ``},
		{"heat-losses-10000-pipes", "heat-losses", 5000, ``},
	} {
		body := string(houseOf(row.fixtures, row.options))
		for _, calculation := range api.Calculations() {
			if calculation.Name != row.calculation {
				continue
			}
			b.Run(row.name, func(b *testing.B) {
				b.SetBytes(int64(len(body)))
				b.ReportAllocs()
				for b.Loop() {
					if _, problem := calculation.Answer(body, api.DefaultLimits()); problem != nil {
						b.Fatal(string(problem.JSON()))
					}
				}
			})
		}
	}
}
