// Package economics values costs over years by the conventions of life-cycle
// costing in NIST Handbook 135: amounts in prices of the base date, falling due at
// the end of their year, discounted to the base date. Amounts are in one currency,
// which the caller knows. It knows no pipes.
package economics

import "recirc/calc/source"

// The sources.
const (
	PresentValueSource source.ID = "uniform_present_value" // of equal yearly amounts
	HandbookSource     source.ID = "nist_handbook_135"     // of everything else
)

// MostYears is the greatest number of years from the base date to the end.
const MostYears = 100

// Bounds of rates a year, as shares of 1. A real rate is below zero when prices
// rise by more than interest.
const (
	LeastRate    = -0.5
	GreatestRate = 1.0
)
