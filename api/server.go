// Package api speaks HTTP: routes, middleware, problem details, and the
// translation between the contract's JSON and the values of calc. It decides
// nothing about numbers.
package api

import (
	"net/http"
	"sync/atomic"

	"github.com/gin-gonic/gin"
	"github.com/klauspost/compress/gzhttp"
	"github.com/rs/zerolog"

	"recirc/api/answer"
	"recirc/openapi"
)

// Config is what a server may be told.
type Config struct {
	Limits      Limits
	BudgetBytes int64 // of all request bodies held at once
	Log         zerolog.Logger
}

// Server answers requests.
type Server struct {
	http.Handler
	routes   gin.RoutesInfo
	draining atomic.Bool
}

// NewServer makes a server. Nothing in it is global, so tests may have many.
func NewServer(cfg Config) (*Server, error) {
	s := &Server{}
	engine := newEngine(cfg)
	s.route(engine, cfg)
	s.routes = engine.Routes()
	compress, err := gzhttp.NewWrapper(gzhttp.MinSize(1024), gzhttp.CompressionLevel(1))
	if err != nil {
		return nil, err
	}
	s.Handler = headAsGet(compress(engine))
	return s, nil
}

// headAsGet answers HEAD as GET; net/http leaves the body out (RFC 9110, 9.3.2).
func headAsGet(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method == http.MethodHead {
			r = r.Clone(r.Context())
			r.Method = http.MethodGet
		}
		next.ServeHTTP(w, r)
	})
}

// Drain makes the readiness probe say no, so that no new requests are sent
// here while those in flight are answered.
func (s *Server) Drain() { s.draining.Store(true) }

func newEngine(cfg Config) *gin.Engine {
	gin.SetMode(gin.ReleaseMode)
	engine := gin.New()
	engine.ContextWithFallback = true // a cancelled request cancels what runs for it
	engine.HandleMethodNotAllowed = true
	engine.UseEscapedPath = true
	engine.RedirectTrailingSlash = false
	engine.RedirectFixedPath = false
	_ = engine.SetTrustedProxies(nil) // nil cannot fail
	engine.Use(identify, logging(cfg.Log), recovering(cfg.Log))
	engine.NoRoute(func(c *gin.Context) { notFound.problem("See /openapi.json for what there is.").write(c) })
	engine.NoMethod(func(c *gin.Context) {
		methodNotAllowed.problem("The Allow header lists the methods of this path.").write(c)
	})
	return engine
}

func (s *Server) route(engine *gin.Engine, cfg Config) {
	in := newIntake(cfg.Limits, cfg.BudgetBytes)
	json := accepting("application/json")
	for _, calculation := range Calculations() {
		engine.POST("/v1/"+calculation.Name, accepting(calculation.offers()...), answering(calculation, in))
	}
	engine.GET("/v1/tubes", json, tubes)
	engine.GET("/v1/fittings", json, fittings)
	engine.GET("/v1/fixture-types", json, fixtureTypesTable)
	engine.GET("/v1/draw-patterns", json, drawPatterns)
	engine.GET("/v1/rules", json, rulesTable)
	engine.GET("/v1/sources", json, sources)
	engine.GET("/openapi.json", func(c *gin.Context) { c.Data(http.StatusOK, "application/json", openapi.JSON()) })
	engine.GET("/openapi.yaml", func(c *gin.Context) { c.Data(http.StatusOK, "application/yaml", openapi.YAML()) })
	engine.GET("/docs", explorerPage)
	engine.GET("/docs/:file", explorerFile)
	engine.GET("/healthz", func(c *gin.Context) { c.Data(http.StatusOK, "application/json", probe()) })
	engine.GET("/readyz", s.ready)
}

func answering(calculation Calculation, in *intake) gin.HandlerFunc {
	return func(c *gin.Context) {
		text, done, problem := in.read(c)
		if problem != nil {
			problem.write(c)
			return
		}
		media := c.GetString(mediaKey)
		written, problem := in.calculate(c, calculation, media, text, done)
		if problem != nil {
			problem.write(c)
			return
		}
		in.send(c, media, written)
		answer.Recycle(written)
	}
}

func (s *Server) ready(c *gin.Context) {
	if s.draining.Load() {
		p := busy.problem("The service is shutting down.")
		p.retryAfter = "5"
		p.write(c)
		return
	}
	c.Data(http.StatusOK, "application/json", probe())
}
