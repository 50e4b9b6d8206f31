package service

import (
	"math"

	"recirc/calc/heat"
	"recirc/calc/quantity"
)

// warmPipe is a pipe that loses heat, with what was found when it was last asked.
// Finding it costs more than all else that a round does for a pipe.
type warmPipe struct {
	heat.Pipe
	asked    bool
	at, flow float64 // K and m3/s
	loss     heat.Loss
}

// What must change for a loss to be found anew. A kelvin moves UA by less than
// 1 %, the flow moves a film that is less than 7 % of the resistance, so UA keeps
// to 1e-10.
const (
	sameHeat = 1e-8 // K
	sameFlow = 1e-9 // relative
)

// loses gives the loss of a metre with water of a temperature in K and a flow in
// m3/s; zero: standing.
func (w *warmPipe) loses(T, q float64) (*heat.Loss, error) {
	if w.asked && math.Abs(T-w.at) <= sameHeat && math.Abs(q-w.flow) <= sameFlow*q {
		return &w.loss, nil
	}
	loss, err := w.Loss(quantity.Kelvin(T), quantity.CubicMetresPerSecond(q))
	if err != nil {
		return nil, err
	}
	w.asked, w.at, w.flow, w.loss = true, T, q, loss
	return &w.loss, nil
}
