package service

import (
	"recirc/calc/control"
	"recirc/calc/quantity"
)

// Control is what a caller says of the control of a pump. What is nil or empty was
// not given.
type Control struct {
	Kind     control.Kind
	Windows  []ControlWindow
	Aquastat *control.Aquastat
	Sensor   string // node; empty: the usual place
	Trigger  *DemandTrigger
	Cycle    *control.Cycle

	LeastRun, LeastRest *quantity.Duration
}

// ControlWindow is a window of a timer on one type of day, or on both where Days
// is empty.
type ControlWindow struct {
	Days     string
	From, To quantity.Duration // since midnight
}

// DemandTrigger is how an on-demand pump is triggered.
type DemandTrigger struct {
	Kind        string // at_fixture, remote_button or occupancy
	Lead        *quantity.Duration
	Probability *float64
	LongestRun  *quantity.Duration
	Seed        uint64
}

// TriggerKinds lists what may trigger an on-demand pump.
func TriggerKinds() []string { return []string{triggerAtFixture, "remote_button", "occupancy"} }

const triggerAtFixture = "at_fixture"
