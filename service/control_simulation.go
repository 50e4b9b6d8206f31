package service

import (
	"recirc/calc/control"
	"recirc/calc/network"
	"recirc/calc/quantity"
)

// ControlSimulationRequest asks for a day or a week of one arrangement.
type ControlSimulationRequest struct {
	System      network.System
	Arrangement Arrangement
	Draws       DrawPlan
	Conditions  YearConditions
	Span        Span     // empty: a weekday
	Month       int      // from 1; 0: not given
	Nodes       []string // whose temperatures are reported
	Wish        ProposalWish
	ShowWorking bool
	USGallon    bool
	Unreadable  bool // some of it could not be read: only the system is looked at
}

// Span is what is simulated.
type Span string

// The spans.
const (
	WeekdaySpan Span = "weekday"
	WeekendSpan Span = "weekend"
	WeekSpan    Span = "week"
)

// Spans lists the spans.
func Spans() []Span { return []Span{WeekdaySpan, WeekendSpan, WeekSpan} }

// ProposalWish is what proposed settings shall keep. What is nil or zero was not given.
type ProposalWish struct {
	Covered       float64
	Before, After *quantity.Duration
	Margin, Gap   quantity.TemperatureDifference
}

// ControlSimulationAnswer is the day or the week.
type ControlSimulationAnswer struct {
	Arrangement string
	Span        Span
	Month       int
	Pumps       []PumpDay
	Nodes       []NodeDay
	Draws       []DrawServed
	Waits       WaitDistribution
	Water       WaterBalance
	Heat        HeatBalance
	PumpEnergy  quantity.Energy
	HasPump     bool
	Balance     float64
	Findings    []ControlFinding
	Aquastat    *control.Aquastat // of the control, for the picture; nil without a sensor
	Proposals   ControlProposals
	Notes
	Working []Step
}

// PumpDay is when a pump runs.
type PumpDay struct {
	Fixture string // empty: near the heater
	Runs    []PumpRun
	RunTime quantity.Duration
	Starts  int
}

// PumpRun is one run, from midnight of the first day.
type PumpRun struct{ From, To quantity.Duration }

// NodeDay is the water at a node over time.
type NodeDay struct {
	Node            string
	Lowest, Highest quantity.Temperature
	Points          []TimedTemperature
}

// TimedTemperature is a temperature at a time from midnight of the first day.
type TimedTemperature struct {
	Time        quantity.Duration
	Temperature quantity.Temperature
}

// DrawServed is one draw.
type DrawServed struct {
	Fixture    string
	At         quantity.Duration // from midnight of the first day
	Water      DrawnWater
	Wait       quantity.Duration
	Served     bool
	RunToWaste quantity.Volume
	Mean       quantity.Temperature
}

// ControlFinding is a setting that cannot do what it is meant to.
type ControlFinding struct {
	Code    control.FindingName
	Pointer string
	Detail  string
}

// ControlProposals are settings that follow from draws and cooling; nil where one
// makes no sense.
type ControlProposals struct {
	Timer    *TimerProposal
	Aquastat *AquastatProposal
	Cycle    *CycleProposal
}

// TimerProposal covers the wanted share of draws with the least run time.
type TimerProposal struct {
	Windows []ControlWindow
	RunTime quantity.Duration // a day
	Covered float64
}

// AquastatProposal stops below what arrives.
type AquastatProposal struct {
	Arrives  quantity.Temperature
	Aquastat control.Aquastat
}

// CycleProposal keeps the loop usable.
type CycleProposal struct {
	Cool, Renew quantity.Duration
	Cycle       control.Cycle
}
