package service

import (
	"recirc/calc/network"
	"recirc/calc/pump"
	"recirc/calc/quantity"
)

// LoopSimulationRequest asks what a loop does as it stands.
type LoopSimulationRequest struct {
	System       network.System
	Pump         LoopPump
	Draws        []Draw
	Elevations   []NodeElevation
	Target       LoopTarget
	Measured     []MeasuredReturn
	VelocityRule string
	Losses       LossMethods
	ShowWorking  bool
	USGallon     bool
}

// LoopPump is the pump on the joined return.
type LoopPump struct {
	Mode    pump.Mode
	Curve   []pump.Point
	Speed   *float64
	SetHead quantity.Length // zero: not given
	SetFlow quantity.Flow   // zero: not given
}

// Draw is a fixture that draws.
type Draw struct {
	Fixture string
	Flow    quantity.Flow // zero: the fixture's own
}

// NodeElevation is the height of a node.
type NodeElevation struct {
	Node      string
	Elevation quantity.Length
}

// MeasuredReturn is a temperature measured where the return of a connection ends.
type MeasuredReturn struct {
	Pipe        string
	Temperature quantity.Temperature
}

// LoopSimulationAnswer is a loop in its steady state.
type LoopSimulationAnswer struct {
	Circulation Circulation
	Pump        PumpDuty
	Mode        pump.Mode
	Connections []SimulatedConnection
	Pipes       []LoopPipe
	Nodes       []LoopNode
	Draws       []DrawState
	Mixing      *MixingState
	Fit         []FittedConnection // nil: nothing was measured
	Balance     SolutionBalance
	Circuits    []Circuit // for the picture
	Notes
	Working []Step
}

// ConnectionState is how a connection is served.
type ConnectionState string

// The states.
const (
	Served     ConnectionState = "served"
	Cold       ConnectionState = "cold"
	OverServed ConnectionState = "over_served"
	Backwards  ConnectionState = "backwards"
	StandsIdle ConnectionState = "standing"
)

// SimulatedConnection is one return connection as it is.
type SimulatedConnection struct {
	Pipe, Node                     string
	Flow, Needed                   quantity.Flow // Needed zero: the target cannot be kept
	State                          ConnectionState
	Target, Temperature, ReturnEnd quantity.Temperature // Target zero: at the heater
	Length                         quantity.Length
	Valve                          BalancingValve
}

// DrawState is a drawing fixture.
type DrawState struct {
	Fixture         string
	Flow, Backwards quantity.Flow
	Temperature     quantity.Temperature
}

// FittedConnection is what a measured return temperature implies.
type FittedConnection struct {
	Pipe         string
	Measured     quantity.Temperature
	Flow, Needed quantity.Flow // zero: no flow explains it, or keeps the target
	Change       string        // open, close, leave or measure_again
	Kv, WantedKv quantity.FlowCoefficient
	Detail       string
}

// SolutionBalance is how well a solution closes; ratios.
type SolutionBalance struct {
	Rounds                 int
	Mass, Pressure, Energy float64
}
