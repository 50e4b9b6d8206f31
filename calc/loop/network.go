package loop

import (
	"errors"
	"fmt"

	"recirc/calc/hydraulic"
	"recirc/calc/quantity"
)

// Network is links between nodes, closed but for what enters and is drawn.
type Network struct {
	Nodes int
	Links []Link
	Root  int32 // pressure zero; what is missing of the inflows enters here, what is over leaves

	// By node, m3/s, below zero where water is drawn; nil: none. At the root an inflow
	// moves no flow, since the root balances it at once; it counts for the temperature,
	// as water that enters, mixes and leaves.
	Inflow []float64

	Mains quantity.Temperature // of all that enters
}

// Link is a pipe, a valve, a heater or a pump between two nodes.
type Link struct {
	From, To int32
	Curve    hydraulic.Curve // what it takes of pressure
	Closed   bool            // a shut valve: nothing flows
	OneWay   bool            // a check valve: nothing flows from To to From
	Lift     float64         // Pa gained on the way from From to To, whatever flows: buoyancy
	Pump     Gain            // nil: none
	law      *law            // thermostatic, of a [Simulation]; nil: none

	UA      float64 // W/K, of the whole link
	Ambient quantity.Temperature
	Heated  quantity.Temperature // of what leaves a heater, on either side; zero: no heater
}

// Gain is the pressure that a pump adds at a flow, and its slope: Pa and
// Pa/(m3/s). It should fall with the flow.
type Gain func(q float64) (gain, slope float64)

// Flows is a solved network.
type Flows struct {
	Q        []float64 // by link, m3/s; below zero from To to From
	Pressure []float64 // by node, Pa above the root

	Steps            int     // of Newton's method
	MassResidual     float64 // greatest missing at a node, relative to the greatest flow, at least 1e-5 m3/s
	PressureResidual float64 // greatest missing along a link, relative to the greatest pressure, at least 10 Pa
}

// ErrTangled is a network whose links cross so often that its equations would
// take minutes: some thousand nodes joined at random, or a grid of 150 by 150. What
// branches and comes together again as a building's loops do is far from it, however
// large.
var ErrTangled = errors.New("loop.Solve: the network is too tangled")

// CutOffError is a node at which water is drawn although no way leads there from
// the root, through closed links and check valves; or at which water enters and
// cannot leave.
type CutOffError struct{ Node int32 }

func (e *CutOffError) Error() string {
	return fmt.Sprintf("loop.Solve: water is drawn at node %d, which is cut off", e.Node)
}

// UnsolvedError is a network whose flows were not found; the worst link is named.
type UnsolvedError struct {
	Link     int32
	Residual float64
}

func (e *UnsolvedError) Error() string {
	return fmt.Sprintf("loop.Solve: no flows were found; link %d misses its pressure by a share of %.2g", e.Link, e.Residual)
}
