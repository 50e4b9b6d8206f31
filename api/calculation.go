package api

import (
	"recirc/api/answer"
	"recirc/calc/fault"
)

// Limits is what one request may ask of this service.
type Limits struct {
	BodyBytes int64 // of the body, decompressed
	MostPipes int   // and as many fixtures
}

// DefaultLimits are 32 MiB and 50,000 pipes.
func DefaultLimits() Limits { return Limits{BodyBytes: 32 << 20, MostPipes: 50_000} }

// Calculation is one operation that turns a body into an answer, with or
// without a server around it.
type Calculation struct {
	Name string // as in the path /v1/NAME
	run  func(text string, limits Limits, faults *fault.List, w *answer.Writer) (broken *fault.Fault)
}

// Calculations lists the operations.
func Calculations() []Calculation {
	return []Calculation{
		{"dead-legs", deadLegs},
		{"wait-times", waitTimes},
	}
}

// Answer calculates. It gives the answer's JSON, or the problem: the same body
// always gives the same bytes.
func (c Calculation) Answer(text string, limits Limits) ([]byte, *Problem) {
	if int64(len(text)) > limits.BodyBytes {
		return nil, bodyTooLarge(limits)
	}
	var faults fault.List
	var w answer.Writer
	w.Grow(2 * len(text)) // what an answer usually takes
	broken := c.run(text, limits, &faults, &w)
	switch {
	case broken != nil:
		return nil, fromSyntax(broken)
	case !faults.Empty():
		return nil, fromFaults(&faults)
	}
	out, err := w.Bytes()
	if err != nil {
		return nil, internal.problem("The answer could not be written.")
	}
	return out, nil
}
