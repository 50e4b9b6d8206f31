package service

import (
	"recirc/calc/network"
	"recirc/calc/quantity"
)

// LoopDesignRequest asks for the loop of a system with returns.
type LoopDesignRequest struct {
	System           network.System // read with UnsizedReturns
	Target           LoopTarget
	LeastFlow        quantity.Flow // through every connection; zero: not given
	Connections      []ConnectionLimit
	Sizing           ReturnSizing
	Losses           LossMethods
	ActivationMargin *float64
	ShowWorking      bool
	USGallon         bool
}

// ConnectionLimit is what holds for the connection at which a return pipe starts.
type ConnectionLimit struct {
	Pipe             string
	LeastFlow        quantity.Flow        // zero: not given
	LeastTemperature quantity.Temperature // zero: not given
}

// ReturnSizing is how return pipes are judged and chosen; zero amounts are not
// given and follow the rule.
type ReturnSizing struct {
	Rule, Series     string
	GreatestVelocity quantity.Velocity
	LeastVelocity    quantity.Velocity
	GreatestFriction quantity.PressureGradient
	LeastBore        quantity.Length
}

// LoopDesignAnswer is a designed loop.
type LoopDesignAnswer struct {
	Circulation Circulation
	Duty        PumpDuty
	Statement   string
	Critical    CriticalCircuit
	Connections []DesignedConnection
	Pipes       []LoopPipe
	Nodes       []LoopNode
	Mixing      *MixingState
	Comparisons []ShortRuleComparison
	Circuits    []Circuit // for the picture
	Notes
	Working []Step
}

// CriticalCircuit is the circuit with the greatest loss.
type CriticalCircuit struct {
	Connection string
	Pipes      []string
	Length     quantity.Length
	Drop       quantity.Pressure
	Parts      []CircuitPart
}

// CircuitPart is what pressure is spent on, as the contract names it.
type CircuitPart struct {
	Part string
	Drop quantity.Pressure
}

// FlowFloor is what sets the flow of a connection.
type FlowFloor string

// The floors.
const (
	FloorHeatLoss      FlowFloor = "heat_loss"
	FloorGiven         FlowFloor = "given_minimum"
	FloorDefault       FlowFloor = "default_minimum"
	FloorLeastVelocity FlowFloor = "least_velocity"
	FloorValve         FlowFloor = "valve_minimum"
	FloorActivation    FlowFloor = "tankless_activation"
)

// DesignedConnection is one return connection.
type DesignedConnection struct {
	Pipe, Node             string
	Flow, HeatLossFlow     quantity.Flow
	GovernedBy             FlowFloor
	Target                 quantity.Temperature // zero: the target is at the heater
	Temperature, ReturnEnd quantity.Temperature
	Length                 quantity.Length
	CircuitDrop            quantity.Pressure // with its valve open
	Critical               bool
	Valve                  BalancingValve
}

// Circuit is the temperature along one circuit, from the heater out and back.
type Circuit struct {
	Connection string
	Distance   []quantity.Length
	Water      []quantity.Temperature
	Turn       int                  // index of the connection
	Target     quantity.Temperature // zero: none at this connection
	Cold       bool
}
