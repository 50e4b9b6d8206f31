package api

import (
	"recirc/calc/source"
	"recirc/service"
)

// What every answer carries beside its results, as the contract writes it.
type (
	assumption struct {
		Code     string    `json:"code"`
		Detail   string    `json:"detail"`
		Value    string    `json:"value"`
		Pointers []string  `json:"pointers"`
		Source   source.ID `json:"source,omitempty"`
	}
	warning struct {
		Code    string `json:"code"`
		Pointer string `json:"pointer"`
		Detail  string `json:"detail"`
	}
	caution struct {
		Code   string    `json:"code"`
		Detail string    `json:"detail"`
		Source source.ID `json:"source,omitempty"`
	}
	workingStep struct {
		Subject  string    `json:"subject"`
		Symbol   string    `json:"symbol"`
		Name     string    `json:"name"`
		Value    number    `json:"value"`
		Unit     string    `json:"unit"`
		Equation string    `json:"equation"`
		Source   source.ID `json:"source"`
	}
	notes struct {
		Assumptions []assumption  `json:"assumptions"`
		Warnings    []warning     `json:"warnings"`
		Cautions    []caution     `json:"cautions"`
		Sources     []source.ID   `json:"sources"`
		Working     []workingStep `json:"working,omitempty"`
	}
)

func fromNotes(n *service.Notes, steps []service.Step, u units) notes {
	out := notes{Sources: n.Sources()}
	for _, a := range n.Assumptions {
		out.Assumptions = append(out.Assumptions, assumption(a))
	}
	for _, w := range n.Warnings {
		out.Warnings = append(out.Warnings, warning(w))
	}
	for _, c := range n.Cautions {
		out.Cautions = append(out.Cautions, caution(c))
	}
	if steps != nil {
		out.Working = make([]workingStep, len(steps))
	}
	for i, s := range steps {
		unit := u.unit(s.Dimension)
		out.Working[i] = workingStep{s.Subject, s.Symbol, s.Name, number(unit.FromSI(s.Value)), unit.Symbol, s.Equation, s.Source}
	}
	return out
}
