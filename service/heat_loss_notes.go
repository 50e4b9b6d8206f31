package service

import (
	"fmt"

	"recirc/calc/heat"
	"recirc/calc/quantity"
)

// stretched says once for each kind where a correlation was.
func (q *heatLosses) stretched() {
	first, count := map[heat.Note]int{}, map[heat.Note]int{}
	var order []heat.Note
	for i := range q.a.Pipes {
		for _, note := range q.a.Pipes[i].Loss.Notes.List() {
			if count[note] == 0 {
				first[note] = i
				order = append(order, note)
			}
			count[note]++
		}
	}
	for _, note := range order {
		if sentence := noteSentences[note]; sentence != "" {
			q.a.warn("outside_correlation_range", pipePointer(int32(first[note]), ""), fmt.Sprintf("%s Pipes: %d, the first %q.", sentence, count[note], q.a.Pipes[first[note]].Pipe))
		}
	}
}

// noteSentences says what a note of the physics means for the numbers.
var noteSentences = map[heat.Note]string{
	heat.NoteNaturalRange: "Free convection lies outside the range that its correlation was measured in; the loss is less certain.",
	heat.NoteSlender:      "The vertical pipe is more slender than where its correlation was compared; the loss is less certain.",
	heat.NoteForcedRange:  "The wind lies outside the range that its correlation was measured in; the loss is less certain.",
	heat.NoteMixed:        "Free convection and wind both matter; the greater was taken, and the loss may be somewhat higher.",
	heat.NoteTransition:   "The flow is between laminar and turbulent; the inside film is a straight line between the two.",
	heat.NoteInsideRange:  "The flow lies outside the range of the correlation for the inside film; it matters little for the loss.",
	heat.NoteShallow:      "The pipe lies closer to the face of the slab than its diameter; the shape factor is less certain.",
}

// hotSurface is the temperature from which touching a surface is spoken of.
// Common practice: about 60 degC on bare metal hurts within seconds.
var hotSurface = quantity.Celsius(55)

func (q *heatLosses) cautions() {
	hottest := 0.0
	for i := range q.a.Pipes {
		hottest = max(hottest, q.a.Pipes[i].Loss.Surface.Kelvin())
	}
	if hottest >= hotSurface.Kelvin() {
		q.a.caution(Caution{Code: "hot_surface", Detail: "Some pipe surface is at 55 degC or more and can burn on touch; insulate or guard what people can reach.", Source: "common_practice"})
	}
	q.a.cautionScaldingAt(q.water)
	for _, to := range q.coolDown {
		if c := to.Celsius(); c >= 20 && c <= 50 {
			q.a.cautionStagnation()
			return
		}
	}
}
