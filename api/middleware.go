package api

import (
	"crypto/rand"
	"encoding/hex"
	"errors"
	"net/http"
	"runtime/debug"
	"strings"
	"time"

	"github.com/gin-gonic/gin"
	"github.com/rs/zerolog"
)

const (
	requestIDKey = "request_id"
	traceIDKey   = "trace_id"
)

// identify gives every request an id, the caller's X-Request-Id if it is fit to
// print, and picks up the trace id of a W3C traceparent.
func identify(c *gin.Context) {
	id := c.GetHeader("X-Request-Id")
	if !fitToPrint(id) {
		var random [12]byte
		_, _ = rand.Read(random[:]) // never fails, says its documentation
		id = hex.EncodeToString(random[:])
	}
	c.Set(requestIDKey, id)
	c.Header("X-Request-Id", id)
	if trace := parseTraceparent(c.GetHeader("traceparent")); trace != "" {
		c.Set(traceIDKey, trace)
	}
}

func requestID(c *gin.Context) string { return c.GetString(requestIDKey) }
func traceID(c *gin.Context) string   { return c.GetString(traceIDKey) }

func fitToPrint(id string) bool {
	if id == "" || len(id) > 64 {
		return false
	}
	return strings.IndexFunc(id, func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == '_' || r == '.')
	}) < 0
}

// parseTraceparent gives the trace id of version-traceid-parentid-flags (W3C
// Trace Context, level 1), empty if the header is not well formed.
func parseTraceparent(header string) string {
	parts := strings.Split(header, "-")
	if len(parts) < 4 || len(parts[0]) != 2 || len(parts[1]) != 32 || len(parts[2]) != 16 || len(parts[3]) != 2 {
		return ""
	}
	if parts[0] == "ff" || parts[0] == "00" && len(parts) != 4 {
		return ""
	}
	for _, p := range parts[:4] {
		if strings.Trim(p, "0123456789abcdef") != "" {
			return ""
		}
	}
	if strings.Trim(parts[1], "0") == "" || strings.Trim(parts[2], "0") == "" {
		return ""
	}
	return parts[1]
}

// logging writes one line a request, without its body.
func logging(log zerolog.Logger) gin.HandlerFunc {
	return func(c *gin.Context) {
		start := time.Now()
		c.Next()
		line := log.Info()
		if c.Writer.Status() >= http.StatusInternalServerError {
			line = log.Error()
		}
		if trace := traceID(c); trace != "" {
			line = line.Str("trace_id", trace)
		}
		line.Str("request_id", requestID(c)).
			Str("method", c.Request.Method).
			Str("route", c.FullPath()). // the pattern, never the raw path
			Int("status", c.Writer.Status()).
			Dur("duration_ms", time.Since(start)).
			Int64("bytes_in", max(c.Request.ContentLength, 0)).
			Int("bytes_out", max(c.Writer.Size(), 0)).
			Msg("request")
	}
}

// recovering turns a panic into a problem; the log has the stack, the caller
// the id to find it by.
func recovering(log zerolog.Logger) gin.HandlerFunc {
	return func(c *gin.Context) {
		defer func() {
			cause := recover()
			if cause == nil {
				return
			}
			if err, ok := cause.(error); ok && errors.Is(err, http.ErrAbortHandler) {
				panic(cause)
			}
			log.Error().Str("request_id", requestID(c)).Interface("panic", cause).Bytes("stack", debug.Stack()).Msg("panic")
			if c.Writer.Written() {
				c.Abort()
				return
			}
			internal.problem("A defect of this service stopped the calculation. The request_id finds it in the log.").write(c)
		}()
		c.Next()
	}
}
