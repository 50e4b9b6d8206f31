package api

import (
	"fmt"

	"recirc/api/answer"
	"recirc/api/body"
	"recirc/calc/rule"
	"recirc/service"
)

// Facts have the names, kinds and bounds of the rules' table of inputs.

var designFactsObject = body.NewObject("DesignFacts", append(
	factFields(rule.OfDesign, func(d *service.DesignCheckRequest) *rule.Facts { return &d.Facts }),
	body.Optional("fixtures", func(r *body.Reader, d *service.DesignCheckRequest) {
		d.Fixtures = readList(r, fixtureFactsObject, 0, mostElementFacts)
	}),
	body.Optional("pipes", func(r *body.Reader, d *service.DesignCheckRequest) {
		d.Pipes = readList(r, pipeFactsObject, 0, mostElementFacts)
	}),
)...)

var (
	fixtureFactsObject = elementFactsObject("FixtureFacts", "fixture", rule.OfFixture)
	pipeFactsObject    = elementFactsObject("PipeFacts", "pipe", rule.OfPipe)
)

func elementFactsObject(schema, element string, of rule.Subject) *body.Object[service.ElementFacts] {
	fields := []body.Field[service.ElementFacts]{
		body.Required(element, func(r *body.Reader, e *service.ElementFacts) { e.ID = identifier(r) }),
	}
	return body.NewObject(schema, append(fields, factFields(of, func(e *service.ElementFacts) *rule.Facts { return &e.Facts })...)...)
}

const mostElementFacts = 50_000

// factFields are the inputs that a request may give of one kind of element.
func factFields[T any](of rule.Subject, facts func(*T) *rule.Facts) []body.Field[T] {
	var fields []body.Field[T]
	for _, in := range rule.Inputs() {
		if in.Given && in.Of == of {
			read := factReader(in)
			fields = append(fields, body.Optional(in.Name, func(r *body.Reader, t *T) { read(r, facts(t)) }))
		}
	}
	return fields
}

func factReader(in *rule.Input) func(*body.Reader, *rule.Facts) {
	switch in.Kind {
	case rule.Flag:
		return func(r *body.Reader, f *rule.Facts) { f.GiveFlag(in, r.Bool()) }
	case rule.Word:
		return func(r *body.Reader, f *rule.Facts) {
			if word, ok := r.OneOf(in.Words, nil); ok {
				f.GiveWord(in, word)
			}
		}
	case rule.Count:
		return func(r *body.Reader, f *rule.Facts) {
			if n, ok := r.Count(int(in.Least), int(in.Most)); ok {
				f.Give(in, float64(n))
			}
		}
	}
	si := in.Dimension.SI
	within := body.Within(in.Least, in.Most, fmt.Sprintf("%s to %s %s", answer.NumberText(si.FromSI(in.Least)), answer.NumberText(si.FromSI(in.Most)), si.Symbol))
	return func(r *body.Reader, f *rule.Facts) {
		if x, ok := r.Amount(in.Dimension, within); ok {
			f.Give(in, x)
		}
	}
}
