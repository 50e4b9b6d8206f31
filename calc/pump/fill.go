package pump

import (
	"recirc/calc/quantity"
	"recirc/calc/source"
)

// FillSource is where the rule for pumps on demand is from.
const FillSource source.ID = "plug_flow"

// FlowToFill gives the flow of a pump on demand, which must fill the pipe from the
// hot source to the far fixture while a person waits
//
//	Q = V/t
//
//	V  volume of the pipe       m3  0 to 1e4
//	t  time that it may take    s   0.1 to 86400
//
// Such a pump is sized by this time and not by the heat that a loop loses. The wall
// takes up heat too, so that hot water comes later than by plug flow.
//
// Errors: a [*RangeError].
//
// Source: plug flow, textbook kinematics.
func FlowToFill(v quantity.Volume, in quantity.Duration) (quantity.Flow, error) {
	const operation = "pump.FlowToFill"
	V, t := v.CubicMetres(), in.Seconds()
	if err := rangeError(operation, "V", V, 0, 1e4, "m3"); err != nil {
		return quantity.Flow{}, err
	}
	if err := rangeError(operation, "t", t, 0.1, 86400, "s"); err != nil {
		return quantity.Flow{}, err
	}
	return quantity.CubicMetresPerSecond(V / t), nil
}
