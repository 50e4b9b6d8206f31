package economics

import (
	"math"

	"recirc/calc/quantity"
)

// SinglePresentValue gives what an amount at the end of a year is worth at the
// base date, over that amount
//
//	SPV = (1 + r)^-t
//
//	r  discount rate                        1   -0.5 to 1
//	t  years after the base date            1   0 to 100
//
// Errors: a [*quantity.RangeError].
//
// Source: NIST Handbook 135, single present value factor, from memory.
func SinglePresentValue(rate float64, year int) (float64, error) {
	c := quantity.Checks{Operation: "economics.SinglePresentValue"}
	c.Between("r", rate, LeastRate, GreatestRate, "1")
	c.Between("t", float64(year), 0, MostYears, "1")
	if c.Err != nil {
		return 0, c.Err
	}
	return grown(rate, -year), nil
}

// UniformPresentValue gives what equal amounts at the end of each year are worth
// at the base date, over the amount of one year
//
//	UPV = (1 - (1 + r)^-n)/r,  n for r = 0
//
//	r  discount rate   1   -0.5 to 1
//	n  years           1   1 to 100
//
// Prices stay as they are: r is a real rate, above inflation.
//
// Errors: a [*quantity.RangeError].
//
// Source: textbook engineering economics, uniform series present worth; the same
// as the uniform present value factor of NIST Handbook 135, from memory.
func UniformPresentValue(rate float64, years int) (float64, error) {
	c := quantity.Checks{Operation: "economics.UniformPresentValue"}
	c.Between("r", rate, LeastRate, GreatestRate, "1")
	c.Between("n", float64(years), 1, MostYears, "1")
	if c.Err != nil {
		return 0, c.Err
	}
	return uniform(rate, years), nil
}

// ModifiedUniformPresentValue gives what yearly amounts that escalate are worth at
// the base date, over the amount of one year in prices of the base date
//
//	UPV* = sum over t = 1 to n of ((1 + e)/(1 + r))^t
//	     = (1 + e)/(r - e) (1 - ((1 + e)/(1 + r))^n),  n for e = r
//
//	r  discount rate         1   -0.5 to 1
//	e  escalation a year     1   -0.5 to 1; both real, or both with inflation
//	n  years                 1   1 to 100
//
// The first year's amount has already escalated once. Who knows the amount of the
// first year divides it by 1 + e.
//
// Errors: a [*quantity.RangeError].
//
// Source: NIST Handbook 135, modified uniform present value factor, from memory.
// Federal practice takes projected price indices by year in place of one e.
func ModifiedUniformPresentValue(rate, escalation float64, years int) (float64, error) {
	c := quantity.Checks{Operation: "economics.ModifiedUniformPresentValue"}
	c.Between("r", rate, LeastRate, GreatestRate, "1")
	c.Between("e", escalation, LeastRate, GreatestRate, "1")
	c.Between("n", float64(years), 1, MostYears, "1")
	if c.Err != nil {
		return 0, c.Err
	}
	return uniform((rate-escalation)/(1+escalation), years), nil // the rate above the escalation
}

// AnnualEquivalent gives the equal amount at the end of each year that is worth as
// much as a present value
//
//	A = P/UPV(r, n)
//
//	P  present value   money   -1e100 to 1e100
//	r  discount rate   1       -0.5 to 1
//	n  years           1       1 to 100
//
// Errors: a [*quantity.RangeError].
//
// Source: NIST Handbook 135, uniform capital recovery factor, from memory.
func AnnualEquivalent(present, rate float64, years int) (float64, error) {
	c := quantity.Checks{Operation: "economics.AnnualEquivalent"}
	c.Between("P", present, -greatestFlow, greatestFlow, "money")
	c.Between("r", rate, LeastRate, GreatestRate, "1")
	c.Between("n", float64(years), 1, MostYears, "1")
	if c.Err != nil {
		return 0, c.Err
	}
	return present / uniform(rate, years), nil
}

// RealRate takes general inflation out of a rate, of discount or of escalation
//
//	d = (1 + D)/(1 + i) - 1
//
//	D  nominal rate, with inflation   1   -0.5 to 1
//	i  inflation                      1   -0.5 to 1
//
// Errors: a [*quantity.RangeError].
//
// Source: NIST Handbook 135, real and nominal rates, from memory.
func RealRate(nominal, inflation float64) (float64, error) {
	c := quantity.Checks{Operation: "economics.RealRate"}
	c.Between("D", nominal, LeastRate, GreatestRate, "1")
	c.Between("i", inflation, LeastRate, GreatestRate, "1")
	return (nominal - inflation) / (1 + inflation), c.Err
}

// NominalRate puts general inflation into a rate; it undoes [RealRate]
//
//	D = (1 + d)(1 + i) - 1
//
//	d  real rate, without inflation   1   -0.5 to 1
//	i  inflation                      1   -0.5 to 1
//
// Errors: a [*quantity.RangeError].
//
// Source: NIST Handbook 135, real and nominal rates, from memory.
func NominalRate(real, inflation float64) (float64, error) {
	c := quantity.Checks{Operation: "economics.NominalRate"}
	c.Between("d", real, LeastRate, GreatestRate, "1")
	c.Between("i", inflation, LeastRate, GreatestRate, "1")
	return real + inflation + real*inflation, c.Err
}

// uniform is the sum of (1 + r)^-t over the years.
func uniform(r float64, years int) float64 {
	if r == 0 {
		return float64(years)
	}
	return -math.Expm1(-float64(years)*math.Log1p(r)) / r // no digits are lost at small rates
}

// grown is (1 + r)^years.
func grown(r float64, years int) float64 { return math.Exp(float64(years) * math.Log1p(r)) }
