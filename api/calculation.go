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
	Name  string // as in the path /v1/NAME
	Drawn bool   // it has a picture too
	run   func(*question) (broken *fault.Fault)
}

// Calculations lists the operations.
func Calculations() []Calculation {
	return []Calculation{
		{"dead-legs", false, deadLegs},
		{"wait-times", true, waitTimes},
		{"heat-losses", true, heatLosses},
		{"loop-designs", true, loopDesigns},
		{"loop-simulations", true, loopSimulations},
		{"pump-selections", true, pumpSelections},
		{"control-simulations", true, controlSimulations},
		{"retrofit-comparisons", true, retrofitComparisons},
	}
}

// Media types of answers.
const (
	mediaJSON = "application/json"
	mediaSVG  = "image/svg+xml"
)

// offers lists the media types of a calculation, the usual one first.
func (c Calculation) offers() []string {
	if c.Drawn {
		return []string{mediaJSON, mediaSVG}
	}
	return []string{mediaJSON}
}

// question is one body on its way to an answer.
type question struct {
	text    string
	limits  Limits
	picture bool // draw the answer
	faults  fault.List

	system *systemDocument // being read, into lists
	lists  *systemLists

	answer    answer.Writer
	drawing   []byte
	drawError error
}

// give draws an answer or writes it, whichever was asked for.
func give[A any](q *question, us bool, a *A, draw func(a *A, us bool) ([]byte, error), write func(*answer.Writer, *A)) {
	q.answer.US = us
	if q.picture {
		q.drawing, q.drawError = draw(a, us)
	} else {
		write(&q.answer, a)
	}
}

// Answer calculates. It gives the answer's JSON, or the problem: the same body
// always gives the same bytes.
func (c Calculation) Answer(text string, limits Limits) ([]byte, *Problem) {
	return c.answerAs(mediaJSON, text, limits)
}

// Picture draws the answer as SVG, for a calculation that has a picture.
func (c Calculation) Picture(text string, limits Limits) ([]byte, *Problem) {
	return c.answerAs(mediaSVG, text, limits)
}

func (c Calculation) answerAs(media string, text string, limits Limits) ([]byte, *Problem) {
	if int64(len(text)) > limits.BodyBytes {
		return nil, bodyTooLarge(limits)
	}
	q := &question{text: text, limits: limits, picture: media == mediaSVG}
	if !q.picture {
		q.answer.Grow(2 * len(text)) // what an answer usually takes
	}
	broken := c.run(q)
	q.end()
	switch {
	case broken != nil:
		return nil, fromSyntax(broken)
	case !q.faults.Empty():
		return nil, fromFaults(&q.faults)
	}
	out, err := q.drawing, q.drawError
	if !q.picture {
		out, err = q.answer.Bytes()
	}
	if err != nil {
		return nil, internal.problem("The answer could not be written.")
	}
	return out, nil
}
