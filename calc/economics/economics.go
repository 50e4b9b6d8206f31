// Package economics values energy and prices over years. It knows no pipes.
package economics

import (
	"math"

	"recirc/calc/quantity"
	"recirc/calc/source"
)

// PresentValueSource is where the present value of equal yearly amounts is from.
const PresentValueSource source.ID = "uniform_present_value"

// The greatest number of years, and the range of discount rates.
const (
	MostYears    = 100
	greatestRate = 1.0
)

// UniformPresentValue gives what equal amounts at the end of each year are worth
// today, over the amount of one year
//
//	F = (1 - (1 + r)^-n)/r,  n for r = 0
//
//	r  discount rate   1   0 to 1
//	n  years           1   1 to 100
//
// Prices stay as they are: r is a real rate, above inflation.
//
// Errors: a [*quantity.RangeError].
//
// Source: textbook engineering economics, uniform series present worth.
func UniformPresentValue(rate float64, years int) (float64, error) {
	const operation = "economics.UniformPresentValue"
	r, n := rate, float64(years)
	for _, err := range []error{
		quantity.Between(operation, "r", r, 0, greatestRate, "1"), quantity.Between(operation, "n", n, 1, MostYears, "1"),
	} {
		if err != nil {
			return 0, err
		}
	}
	if r == 0 {
		return n, nil
	}
	return -math.Expm1(-n*math.Log1p(r)) / r, nil // no digits are lost at small rates
}
