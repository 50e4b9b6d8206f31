package pump

import (
	"fmt"

	"recirc/calc/quantity"
)

// RangeError is an argument that no pump has, or one that is no number.
type RangeError = quantity.RangeError

func rangeError(operation, symbol string, value, low, high float64, unit string) error {
	return quantity.Between(operation, symbol, value, low, high, unit)
}

// Reason is why a question has no answer.
type Reason string

// The reasons.
const (
	AboveShutOff    Reason = "above_shut_off"
	BelowCurveStart Reason = "below_curve_start"
	BeyondCurveEnd  Reason = "beyond_curve_end"
	SpeedTooHigh    Reason = "speed_too_high"
	SpeedTooLow     Reason = "speed_too_low"
	HeadShort       Reason = "head_short"
	PowerUnknown    Reason = "power_unknown"
	PumpOff         Reason = "pump_off"
	SystemUnsound   Reason = "system_unsound"
)

var reasons = map[Reason]string{
	AboveShutOff:    "the system takes more head than the pump gives at any flow",
	BelowCurveStart: "this lies before the first point of the pump curve, where nothing is known",
	BeyondCurveEnd:  "this lies beyond the last point of the pump curve, where nothing is known",
	SpeedTooHigh:    "the pump would have to run faster than it may",
	SpeedTooLow:     "the pump would have to run slower than it may",
	HeadShort:       "the pump gives less head than the system takes",
	PowerUnknown:    "the curve came without power",
	PumpOff:         "the pump is off",
	SystemUnsound:   "the system curve gave something that is no number",
}

// Error is a question that a pump curve has no answer to.
type Error struct {
	Operation string
	Reason    Reason
	Symbol    string  // what was asked for or needed, "" if nothing was
	Value     float64 // SI
	Low, High float64 // between which there would be an answer
	Unit      string
}

func (e *Error) Error() string {
	text := fmt.Sprintf("%s: %s (%s)", e.Operation, reasons[e.Reason], e.Reason)
	if e.Symbol == "" {
		return text
	}
	return fmt.Sprintf("%s: %s = %g %s, known from %g to %g %s", text, e.Symbol, e.Value, e.Unit, e.Low, e.High, e.Unit)
}
