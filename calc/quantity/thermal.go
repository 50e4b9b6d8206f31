package quantity

import "fmt"

// ThermalResistance is that of a square metre, in m2.K/W; the R-value.
type ThermalResistance struct{ m2kw float64 }

func SquareMetreKelvinPerWatt(v float64) ThermalResistance { return ThermalResistance{v} }

func (r ThermalResistance) SquareMetreKelvinPerWatt() float64 { return r.m2kw }

// RangeError is an argument outside the range in which a formula holds, or one
// that is no number.
type RangeError struct {
	Operation string // package and function, such as water.At
	Symbol    string // the argument, as the function's comment names it
	Value     float64
	Low, High float64 // the range, ends included
	Unit      string  // SI, of the three
}

func (e *RangeError) Error() string {
	return fmt.Sprintf("%s: %s is %g %s, outside the range from %g to %g %s", e.Operation, e.Symbol, e.Value, e.Unit, e.Low, e.High, e.Unit)
}

// Between gives a [*RangeError] unless low <= value <= high; NaN is outside
// every range.
func Between(operation, symbol string, value, low, high float64, unit string) error {
	if value >= low && value <= high {
		return nil
	}
	return &RangeError{Operation: operation, Symbol: symbol, Value: value, Low: low, High: high, Unit: unit}
}

// Checks looks at the arguments of one operation, and keeps the first error.
type Checks struct {
	Operation string // package and function
	Err       error
}

// Between is [Between] for the operation, unless something was wrong before.
func (c *Checks) Between(symbol string, value, low, high float64, unit string) {
	if c.Err == nil {
		c.Err = Between(c.Operation, symbol, value, low, high, unit)
	}
}
