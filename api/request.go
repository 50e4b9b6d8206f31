package api

import (
	"context"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"runtime"
	"strconv"
	"strings"
	"sync"
	"time"

	"github.com/gin-gonic/gin"
	"github.com/klauspost/compress/gzip"
	"golang.org/x/sync/semaphore"

	"recirc/calc/fault"
)

// intake reads request bodies and keeps what all requests hold at once within a
// budget of memory, so that many large ones wait outside instead of ending the
// process.
type intake struct {
	limits Limits
	budget *semaphore.Weighted
	total  int64
	slots  *semaphore.Weighted // calculations at work; more than processors gain nothing
}

// bodyCost is the memory that a request takes while it is answered, as a
// multiple of its body: the text, what is read from it, the answer that grows.
const bodyCost = 4

// patience is how long a request waits for its share of memory or a slot.
const patience = 2 * time.Second

func newIntake(limits Limits, budgetBytes int64) *intake {
	total := max(budgetBytes, bodyCost*limits.BodyBytes)
	return &intake{limits, semaphore.NewWeighted(total), total, semaphore.NewWeighted(int64(runtime.GOMAXPROCS(0)))}
}

// read gives the body and a function that gives its share of the budget back,
// or the problem.
func (in *intake) read(c *gin.Context) (text string, done func(), problem *Problem) {
	if problem := checkContentType(c.Request); problem != nil {
		return "", nil, problem
	}
	zipped, problem := isZipped(c.Request)
	if problem != nil {
		return "", nil, problem
	}
	size := c.Request.ContentLength
	if size > in.limits.BodyBytes {
		return "", nil, bodyTooLarge(in.limits)
	}
	if size < 0 || zipped {
		size = in.limits.BodyBytes
	}
	if !acquire(c.Request.Context(), in.budget, bodyCost*size) {
		return "", nil, tooBusy()
	}
	release := func() { in.budget.Release(bodyCost * size) }
	kept := false
	defer func() {
		if !kept { // also where reading panics
			release()
		}
	}()
	if text, problem = in.body(c, zipped); problem != nil {
		return "", nil, problem
	}
	kept = true
	return text, release, nil
}

// acquire waits for a share, but not for long and not for a caller who left. Its
// context is the request's own: gin's goes to the next request while the timer
// still looks at it.
func acquire(ctx context.Context, from *semaphore.Weighted, n int64) bool {
	if from.TryAcquire(n) {
		return true
	}
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	return from.Acquire(ctx, n) == nil
}

func tooBusy() *Problem {
	p := busy.problem("The service holds as many requests as it may. Try again.")
	p.retryAfter = "1"
	return p
}

// pieces are what bodies are read through.
var pieces = sync.Pool{New: func() any { return new([32 << 10]byte) }}

func (in *intake) body(c *gin.Context, zipped bool) (string, *Problem) {
	var from io.Reader = http.MaxBytesReader(c.Writer, c.Request.Body, in.limits.BodyBytes)
	if zipped {
		unzip, err := gzip.NewReader(from)
		if err != nil {
			return "", malformed.problem("The body is said to be gzip, and is not.")
		}
		from = unzip
	}
	var text strings.Builder
	if n := c.Request.ContentLength; n > 0 && !zipped {
		text.Grow(int(n))
	}
	piece := pieces.Get().(*[32 << 10]byte)
	defer pieces.Put(piece)
	_, err := io.CopyBuffer(&text, io.LimitReader(from, in.limits.BodyBytes+1), piece[:])
	var overLimit *http.MaxBytesError
	switch {
	case errors.As(err, &overLimit) || int64(text.Len()) > in.limits.BodyBytes:
		return "", bodyTooLarge(in.limits)
	case err != nil:
		return "", malformed.problem("The body ended before it was complete.")
	}
	return text.String(), nil
}

// calculate answers a text when a slot is free, and is then done with it.
func (in *intake) calculate(c *gin.Context, calculation Calculation, media, text string, done func()) ([]byte, *Problem) {
	defer done()
	if !acquire(c.Request.Context(), in.slots, 1) {
		return nil, tooBusy()
	}
	defer in.slots.Release(1)
	return calculation.answerAs(media, text, in.limits)
}

// send writes an answer, whose buffer counts against the budget for as long as a
// slow reader takes.
func (in *intake) send(c *gin.Context, media string, answer []byte) {
	n := min(int64(cap(answer)), in.total)
	if !acquire(c.Request.Context(), in.budget, n) {
		tooBusy().write(c)
		return
	}
	defer in.budget.Release(n)
	c.Header("Content-Length", strconv.Itoa(len(answer))) // else net/http cuts it into chunks
	if strings.HasPrefix(media, "text/") {
		media += "; charset=utf-8"
	}
	c.Data(http.StatusOK, media, answer)
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
