package api

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"strings"

	"github.com/gin-gonic/gin"
	"github.com/klauspost/compress/gzip"
	"golang.org/x/sync/semaphore"

	"recirc/calc/fault"
)

// intake reads request bodies and keeps all of them together within a budget,
// so that many large bodies at once wait outside instead of filling the memory.
type intake struct {
	limits Limits
	budget *semaphore.Weighted
}

func newIntake(limits Limits, budgetBytes int64) *intake {
	return &intake{limits, semaphore.NewWeighted(max(budgetBytes, limits.BodyBytes))}
}

// read gives the body and a function that gives its share of the budget back,
// or the problem.
func (in *intake) read(c *gin.Context) (text []byte, done func(), problem *Problem) {
	if problem := checkContentType(c.Request); problem != nil {
		return nil, nil, problem
	}
	zipped, problem := isZipped(c.Request)
	if problem != nil {
		return nil, nil, problem
	}
	size := c.Request.ContentLength
	if size > in.limits.BodyBytes {
		return nil, nil, bodyTooLarge(in.limits)
	}
	if size < 0 || zipped {
		size = in.limits.BodyBytes
	}
	if !in.budget.TryAcquire(size) {
		problem := busy.problem("The service holds as many request bodies as it may. Try again.")
		problem.retryAfter = "1"
		return nil, nil, problem
	}
	kept := false
	defer func() { // also on a panic's way out
		if !kept {
			in.budget.Release(size)
		}
	}()
	if text, problem = in.body(c, zipped); problem != nil {
		return nil, nil, problem
	}
	kept = true
	return text, func() { in.budget.Release(size) }, nil
}

func (in *intake) body(c *gin.Context, zipped bool) ([]byte, *Problem) {
	var from io.Reader = http.MaxBytesReader(c.Writer, c.Request.Body, in.limits.BodyBytes)
	if zipped {
		unzip, err := gzip.NewReader(from)
		if err != nil {
			return nil, malformed.problem("The body is said to be gzip, and is not.")
		}
		from = unzip
	}
	var buffer bytes.Buffer
	if n := c.Request.ContentLength; n > 0 && !zipped {
		buffer.Grow(int(n) + bytes.MinRead)
	}
	_, err := buffer.ReadFrom(io.LimitReader(from, in.limits.BodyBytes+1))
	var overLimit *http.MaxBytesError
	switch {
	case errors.As(err, &overLimit) || int64(buffer.Len()) > in.limits.BodyBytes:
		return nil, bodyTooLarge(in.limits)
	case err != nil:
		return nil, malformed.problem("The body ended before it was complete.")
	}
	return buffer.Bytes(), nil
}

func bodyTooLarge(limits Limits) *Problem {
	detail := fmt.Sprintf("The body is larger than %d bytes, the limit of this service.", limits.BodyBytes)
	p := tooLarge.problem(detail)
	root := ""
	p.Errors = []problemFault{{Pointer: &root, Code: fault.BodyTooLarge, Detail: detail}}
	return p
}

func checkContentType(r *http.Request) *Problem {
	given := r.Header.Get("Content-Type")
	kind, parameters, err := mime.ParseMediaType(given)
	if err != nil || kind != "application/json" {
		return unsupportedMediaType.problem("Send the body with Content-Type: application/json.")
	}
	if charset, ok := parameters["charset"]; ok && !strings.EqualFold(charset, "utf-8") {
		return unsupportedMediaType.problem("JSON is UTF-8; no other charset is read.")
	}
	return nil
}

func isZipped(r *http.Request) (bool, *Problem) {
	switch strings.ToLower(r.Header.Get("Content-Encoding")) {
	case "", "identity":
		return false, nil
	case "gzip":
		return true, nil
	}
	return false, unsupportedMediaType.problem("The Content-Encoding must be gzip or identity.")
}
