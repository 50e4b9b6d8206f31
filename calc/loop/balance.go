package loop

import (
	"recirc/calc/hydraulic"
	"recirc/calc/quantity"
)

// Balance is what the valves of a loop take, so that given flows come about.
type Balance struct {
	Circuit  []float64 // by connection, Pa: from the heater out and back, its valve open
	Valve    []float64 // by connection, Pa: what its valve takes, the open valve's part included
	Critical int       // the connection whose valve stays open
	Pressure float64   // Pa: of the critical circuit, with what all share
}

// Balance gives the pressure that the valve of every connection takes
//
//	dp valve = dp open + dp critical - dp circuit
//
//	dp circuit   sum over the pipes of the circuit and the open valve
//	dp critical  the greatest; among equals the first
//
//	q       through each connection                             m3/s
//	open    flow coefficient of each valve, open; zero: no loss
//	common  what the whole flow passes, heater and mixing valve  Pa
//
// The loop is closed: levels cancel.
//
// Errors: a [*quantity.RangeError] of a pipe.
//
// Source: pressures add along a circuit; textbook hydronics.
func (l *Loop) Balance(q []float64, open []quantity.FlowCoefficient, common float64) (*Balance, error) {
	drop, err := l.drops(l.Carry(q))
	if err != nil {
		return nil, err
	}
	b := &Balance{Circuit: make([]float64, len(q)), Valve: make([]float64, len(q))}
	for p := range l.Supplies { // from here on drop is that from the heater to the end of the pipe
		if next := l.Pipes[p].Next; next != None {
			drop[p] += drop[next]
		}
	}
	for p := len(l.Pipes) - 1; p >= l.Supplies; p-- { // and that from its start to the heater
		if next := l.Pipes[p].Next; next != None {
			drop[p] += drop[next]
		}
	}
	for i, c := range l.Connections {
		b.Valve[i] = hydraulic.KvDrop(quantity.CubicMetresPerSecond(q[i]), open[i], l.fluid()).Pascals()
		b.Circuit[i] = drop[c.Supply] + drop[c.Return] + b.Valve[i] + common
		if b.Circuit[i] > b.Circuit[b.Critical] {
			b.Critical = i
		}
	}
	b.Pressure = b.Circuit[b.Critical]
	for i := range b.Valve {
		b.Valve[i] += b.Pressure - b.Circuit[i]
	}
	return b, nil
}

func (l *Loop) drops(flow []float64) ([]float64, error) {
	drop := make([]float64, len(flow))
	for p, q := range flow {
		loss, err := l.Pipes[p].Line.Loss(quantity.CubicMetresPerSecond(q), l.fluid())
		if err != nil {
			return nil, err
		}
		drop[p] = loss.Total.Pascals()
	}
	return drop, nil
}

func (l *Loop) fluid() hydraulic.Fluid {
	return hydraulic.Fluid{Density: l.Water.Density, Viscosity: l.Water.Viscosity}
}
