package service

import (
	"recirc/calc/hydraulic"
	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

// TargetPlace is where a loop keeps its target.
type TargetPlace string

// The places.
const (
	AtConnections TargetPlace = "return_connections"
	AtReturnEnds  TargetPlace = "return_ends"
	AtHeater      TargetPlace = "heater"
)

// LoopTarget is what every branch shall keep: one of temperature and drop.
type LoopTarget struct {
	At          TargetPlace // empty: no target given
	Temperature quantity.Temperature
	Drop        quantity.TemperatureDifference
}

// LossMethods is how friction and the losses of fittings are found.
type LossMethods struct {
	Friction        hydraulic.Method // empty: Darcy-Weisbach
	HazenWilliamsC  float64          // zero: not given
	Fittings        string           // loss_coefficient, equivalent_length or length_allowance; empty: the first
	LengthAllowance *float64
}

// Circulation is the loop as a whole.
type Circulation struct {
	Flow                           quantity.Flow // through the pump, below zero backwards
	Outlet, Return                 quantity.Temperature
	HeatLoss, SupplyLoss, BackLoss quantity.HeatFlow
	Water                          quantity.Temperature // at which properties are taken
}

// PumpDuty is a flow with a head.
type PumpDuty struct {
	Flow      quantity.Flow
	Head      quantity.Length
	Pressure  quantity.Pressure
	Hydraulic quantity.Power
}

// ValveSetting is how far a balancing valve is open.
type ValveSetting string

// The settings.
const (
	ValveOpen      ValveSetting = "open"
	ValveThrottled ValveSetting = "throttled"
	ValveSmallest  ValveSetting = "smallest"
	ValveClosed    ValveSetting = "closed"
	ValveAsSet     ValveSetting = "as_set" // by the kv given, in a simulation
)

// BalancingValve is the valve of a connection.
type BalancingValve struct {
	Pipe        string // empty: assumed at the start of the return
	Setting     ValveSetting
	Kv          quantity.FlowCoefficient // zero and open: no loss of its own
	Drop        quantity.Pressure
	Temperature quantity.Temperature // zero: not said
}

// LoopPipe is one pipe of a loop.
type LoopPipe struct {
	Pipe          string
	Role          network.Role
	Series        string // empty for the caller's own dimensions
	Nominal       string
	Bore          quantity.Length
	Chosen        bool
	Flow          quantity.Flow // below zero backwards
	Loss          hydraulic.Loss
	Inlet, Outlet quantity.Temperature
	HeatLoss      quantity.HeatFlow
	Gradient      quantity.PressureGradient
	Drop          quantity.Pressure // balancing valve included
	Limit         quantity.Velocity // zero: the rule does not speak about it
	Judged        bool              // there is a limit of velocity or friction
	Within        bool

	at int32 // of the request
}

// LoopNode is one node of a loop.
type LoopNode struct {
	Node              string
	Temperature, Back quantity.Temperature // Back: at the heater, of what comes back; else zero
	Pressure          quantity.Pressure
	PressureKnown     bool
}

// MixingState is the mixing valve at the heater while nobody draws.
type MixingState struct {
	State                              string // as in the contract
	Store, Set, Return, Outlet, AtHalf quantity.Temperature
	ShareKnown                         bool
	HeaterShare                        float64
	HeaterFlow, ColdPortFlow           quantity.Flow
	Detail                             string
}

// ShortRuleComparison is a short rule of the trade beside the computed figure:
// of flows, or of heads.
type ShortRuleComparison struct {
	Rule, Detail       string
	Flow, ComputedFlow quantity.Flow   // zero: a rule about heads
	Head, ComputedHead quantity.Length // zero: a rule about flows
	Source             source.ID
}
