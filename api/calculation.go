package api

import (
	"slices"

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
	Name string   // as in the path /v1/NAME
	also []string // media types of its answer beside JSON
	run  func(*question) (broken *fault.Fault)
}

// Calculations lists the operations.
func Calculations() []Calculation {
	return []Calculation{
		{"dead-legs", nil, deadLegs},
		{"wait-times", asPicture, waitTimes},
		{"heat-losses", asPicture, heatLosses},
		{"loop-designs", asPicture, loopDesigns},
		{"loop-simulations", asPicture, loopSimulations},
		{"pump-selections", asPicture, pumpSelections},
		{"control-simulations", asPicture, controlSimulations},
		{"retrofit-comparisons", asPicture, retrofitComparisons},
		{"design-checks", []string{mediaSARIF, mediaXML, mediaCSV, mediaText}, designChecks},
	}
}

// Media types of answers.
const (
	mediaJSON  = "application/json"
	mediaSVG   = "image/svg+xml"
	mediaSARIF = "application/sarif+json"
	mediaXML   = "application/xml" // JUnit XML has no type of its own
	mediaCSV   = "text/csv"
	mediaText  = "text/plain"
)

var asPicture = []string{mediaSVG}

// offers lists the media types of a calculation, the usual one first.
func (c Calculation) offers() []string { return append([]string{mediaJSON}, c.also...) }

// question is one body on its way to an answer.
type question struct {
	text   string
	limits Limits
	media  string // in which the answer is to come
	faults fault.List

	system *systemDocument // being read, into lists
	lists  *systemLists

	answer     answer.Writer // JSON
	other      []byte        // any other medium
	otherError error
}

// asJSON reports that the answer is to be JSON, as it is where nothing else was
// asked for.
func (q *question) asJSON() bool { return q.media == mediaJSON || q.media == "" }

// picture reports that the answer is to be drawn.
func (q *question) picture() bool { return q.media == mediaSVG }

// give draws an answer or writes it, whichever was asked for.
func give[A any](q *question, us bool, a *A, draw func(a *A, us bool) ([]byte, error), write func(*answer.Writer, *A)) {
	q.answer.US = us
	if q.picture() {
		q.other, q.otherError = draw(a, us)
	} else {
		write(&q.answer, a)
	}
}

// Drawn reports that it has a picture too.
func (c Calculation) Drawn() bool { return slices.Contains(c.also, mediaSVG) }

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
	q := &question{text: text, limits: limits, media: media}
	if q.asJSON() {
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
	out, err := q.other, q.otherError
	if q.asJSON() {
		out, err = q.answer.Bytes()
	}
	if err != nil {
		return nil, internal.problem("The answer could not be written.")
	}
	return out, nil
}
