// Package pump holds pump curves, how pumps are controlled, and where they run.
package pump

// Mode is how a pump is controlled.
type Mode string

// The modes.
const (
	ConstantSpeed        Mode = "constant_speed"
	ConstantPressure     Mode = "constant_pressure"     // the head is held
	ProportionalPressure Mode = "proportional_pressure" // the head is held on a line that rises with the flow
	Off                  Mode = "off"
)
