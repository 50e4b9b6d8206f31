package api

import (
	"net/http"

	"github.com/gin-gonic/gin"
	"github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"recirc/calc/fault"
)

// Problem is an RFC 9457 problem details object.
type Problem struct {
	Type          string         `json:"type"`
	Title         string         `json:"title"`
	Status        int            `json:"status"`
	Detail        string         `json:"detail"`
	Instance      string         `json:"instance"`
	RequestID     string         `json:"request_id"`
	TraceID       string         `json:"trace_id,omitempty"`
	Errors        []problemFault `json:"errors,omitempty"`
	ErrorsLeftOut int            `json:"errors_left_out,omitzero"`

	retryAfter string // seconds, for a problem that passes
}

type problemFault struct {
	Pointer   *string    `json:"pointer,omitzero"` // "" is the root
	Parameter string     `json:"parameter,omitempty"`
	Code      fault.Code `json:"code"`
	Detail    string     `json:"detail"`
}

// problemKind is what is the same for every problem of a kind.
type problemKind struct {
	name, title string
	status      int
}

// The kinds of problem, the one table from kind to status.
var (
	malformed            = problemKind{"malformed", "The body is not valid JSON", http.StatusBadRequest}
	notFound             = problemKind{"not-found", "Nothing at this path", http.StatusNotFound}
	methodNotAllowed     = problemKind{"method-not-allowed", "Method not allowed here", http.StatusMethodNotAllowed}
	notAcceptable        = problemKind{"not-acceptable", "No acceptable media type", http.StatusNotAcceptable}
	tooLarge             = problemKind{"too-large", "Larger than this service takes", http.StatusRequestEntityTooLarge}
	unsupportedMediaType = problemKind{"unsupported-media-type", "Unsupported media type", http.StatusUnsupportedMediaType}
	invalid              = problemKind{"invalid", "The request has faults", http.StatusUnprocessableEntity}
	internal             = problemKind{"internal", "Internal error", http.StatusInternalServerError}
	busy                 = problemKind{"busy", "Not now", http.StatusServiceUnavailable}
)

func problemKinds() []problemKind {
	return []problemKind{malformed, notFound, methodNotAllowed, notAcceptable, tooLarge, unsupportedMediaType, invalid, internal, busy}
}

func (k problemKind) problem(detail string) *Problem {
	return &Problem{Type: "urn:recirc:problem:" + k.name, Title: k.title, Status: k.status, Detail: detail}
}

// fromFaults makes the problem of a list of faults of the body.
func fromFaults(faults *fault.List) *Problem {
	kind, detail := invalid, "The errors say what to change, each with its place in the body."
	for _, f := range faults.Faults() {
		switch f.Code {
		case fault.TooManyPipes, fault.TooManyFixtures, fault.TooManyCandidates, fault.BodyTooLarge:
			kind, detail = tooLarge, f.Detail
		}
	}
	p := kind.problem(detail)
	for _, f := range faults.Faults() {
		p.Errors = append(p.Errors, problemFault{Pointer: &f.Pointer, Code: f.Code, Detail: f.Detail})
	}
	p.ErrorsLeftOut = faults.Dropped()
	return p
}

// fromSyntax makes the problem of a body that is not JSON.
func fromSyntax(f *fault.Fault) *Problem {
	p := malformed.problem(f.Detail)
	p.Errors = []problemFault{{Pointer: &f.Pointer, Code: f.Code, Detail: f.Detail}}
	return p
}

// write ends a request with a problem, whatever Accept says.
func (p *Problem) write(c *gin.Context) {
	p.RequestID, p.TraceID = requestID(c), traceID(c)
	p.Instance = "urn:recirc:request:" + p.RequestID
	if p.retryAfter != "" {
		c.Header("Retry-After", p.retryAfter)
	}
	c.Abort()
	c.Data(p.Status, "application/problem+json", p.JSON())
}

// JSON is the problem as it goes over the wire.
func (p *Problem) JSON() []byte {
	text, _ := json.Marshal(p, jsontext.AllowInvalidUTF8(true)) // a caller's bytes that are not UTF-8 become U+FFFD; nothing else can fail
	return text
}
