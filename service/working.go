package service

import (
	"recirc/calc/quantity"
	"recirc/calc/source"
)

// Step is one line of working: the number the answer was made from, in SI, with
// the dimension it is shown in.
type Step struct {
	Subject      string // kind and id of the element
	Symbol, Name string
	Value        float64
	Dimension    *quantity.Dimension
	Equation     string
	Source       source.ID
}

// working gathers steps, or nothing where none are wanted.
type working struct {
	wanted bool
	steps  []Step
}

func (w *working) add(s Step) {
	if w.wanted {
		w.steps = append(w.steps, s)
	}
}

// sources lists what the steps cite.
func (w *working) sources() []source.ID {
	ids := make([]source.ID, len(w.steps))
	for i, s := range w.steps {
		ids[i] = s.Source
	}
	return ids
}
