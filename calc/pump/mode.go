// Package pump holds pump curves, how pumps are controlled, and where they run.
package pump

import "recirc/calc/quantity"

// Mode is how a pump is controlled.
type Mode string

// The modes.
const (
	ConstantSpeed        Mode = "constant_speed"
	ConstantPressure     Mode = "constant_pressure"
	ProportionalPressure Mode = "proportional_pressure"
	Off                  Mode = "off"
)

// Point is one point of a pump curve.
type Point struct {
	Flow quantity.Flow
	Head quantity.Length
}
