package pump

import (
	"recirc/calc/quantity"
	"recirc/calc/source"
)

// PowerSource is where head and power of a pump are defined.
const PowerSource source.ID = "iso_9906"

// greatestOfAll is that of the most pumps at the highest speed, W.
const greatestOfAll = greatestPower * mostPumps * mostPumps * fastest * fastest * fastest

// The range of densities, in kg/m3: water from freezing to the critical point.
const lightest, densest = 300.0, 1100.0

// HydraulicPower gives the power that the water takes up
//
//	P = rho g Q H
//
//	rho   density of the water       kg/m3  300 to 1100
//	Q, H  flow and head              m3/s, m  >= 0
//	g     9.80665                    m/s2
//
// Errors: a [*RangeError].
//
// Source: ISO 9906, pump power output, from memory.
func HydraulicPower(q quantity.Flow, head quantity.Length, density float64) (quantity.Power, error) {
	const operation = "pump.HydraulicPower"
	Q, H := q.CubicMetresPerSecond(), head.Metres()
	for _, err := range []error{
		rangeError(operation, "Q", Q, 0, greatestFlow, "m3/s"), rangeError(operation, "H", H, 0, greatestHead*mostPumps, "m"),
		rangeError(operation, "rho", density, lightest, densest, "kg/m3"),
	} {
		if err != nil {
			return quantity.Power{}, err
		}
	}
	return quantity.PowerWatts(density * quantity.StandardGravity * Q * H), nil
}

// Efficiency gives what of the electrical power the water takes up, 0 to 1. A small
// circulator may have 0.05 to 0.2, a large one 0.5 (common practice).
//
// Errors: a [*RangeError], also if the water takes up more than goes in, which
// tells of a curve with wrong power.
func Efficiency(hydraulic, electrical quantity.Power) (float64, error) {
	const operation = "pump.Efficiency"
	in := electrical.Watts()
	if err := rangeError(operation, "electrical", in, 1e-9, greatestOfAll, "W"); err != nil {
		return 0, err
	}
	if err := rangeError(operation, "hydraulic", hydraulic.Watts(), 0, in, "W"); err != nil {
		return 0, err
	}
	return hydraulic.Watts() / in, nil
}

const year = 366 * 86400.0 // s, the longest

// YearlyEnergy gives the electrical energy of pumps that run for some time a year.
//
// Errors: a [*RangeError].
func YearlyEnergy(electrical quantity.Power, running quantity.Duration) (quantity.Energy, error) {
	const operation = "pump.YearlyEnergy"
	P, t := electrical.Watts(), running.Seconds()
	if err := rangeError(operation, "P", P, 0, greatestOfAll, "W"); err != nil {
		return quantity.Energy{}, err
	}
	if err := rangeError(operation, "t", t, 0, year, "s"); err != nil {
		return quantity.Energy{}, err
	}
	return quantity.Joules(P * t), nil
}
