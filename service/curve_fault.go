package service

import (
	"errors"

	"recirc/calc/fault"
	"recirc/calc/pump"
)

// curveFaults are the codes of what may be wrong with the points of a curve. What
// is not here cannot pass the reading of a request, but for its number of points.
var curveFaults = map[pump.Fault]fault.Code{
	pump.FlowRepeated:   fault.CurveFlowRepeated,
	pump.FlowDecreasing: fault.CurveFlowDecreasing,
	pump.FlowTooSmall:   fault.CurveWithoutOutput,
	pump.NoHead:         fault.CurveWithoutOutput,
	pump.HeadNegative:   fault.CurveHeadNegative,
	pump.CrossesZero:    fault.CurveHeadCrossesZero,
	pump.PowerNegative:  fault.CurvePowerNegative,
	pump.PowerMissing:   fault.CurvePowerPartly,
	pump.TooFewPoints:   fault.CurveAtOneFlow, // or one point, which no request has
}

// curveFault turns what is wrong with points into faults at their places.
func curveFault(err error, at string, faults *fault.List) {
	var wrong *pump.CurveError
	if !errors.As(err, &wrong) {
		faults.Add(at, fault.OutOfRange, "Of this curve, %s.", reasonOf(err))
		return
	}
	for _, f := range wrong.Faults {
		code, ok := curveFaults[f.Fault]
		if !ok {
			code = fault.OutOfRange
		}
		pointer := at
		if f.Index >= 0 {
			pointer = listPointer(at, f.Index, "")
		}
		faults.Add(pointer, code, "Of this curve, %s.", f.Detail)
	}
}
