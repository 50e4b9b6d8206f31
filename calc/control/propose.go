package control

import (
	"math"

	"recirc/calc/quantity"
)

// RangeError is an argument outside the range of a proposal.
type RangeError = quantity.RangeError

// ProposeAquastat gives an aquastat that can stop
//
//	stop  = T - margin
//	start = stop - gap
//
//	T       what arrives at the sensor while the pump runs, steadily   K   233.15 to 423.15
//	margin  so that it stops though T was worked out                   K   0 to 100
//	gap     between start and stop                                     K   above 0, to 100
//
// The pump then stops on the way up, before T is reached, and the water
// behind the sensor is as warm as at stop.
//
// Errors: a [*RangeError].
//
// Source: common practice.
func ProposeAquastat(arrives quantity.Temperature, margin, gap quantity.TemperatureDifference) (Aquastat, error) {
	const operation = "control.ProposeAquastat"
	T, m, g := arrives.Kelvin(), margin.Kelvin(), gap.Kelvin()
	if err := quantity.Between(operation, "margin", m, 0, 100, "K"); err != nil {
		return Aquastat{}, err
	}
	if err := quantity.Between(operation, "gap", g, 1e-3, 100, "K"); err != nil {
		return Aquastat{}, err
	}
	if err := quantity.Between(operation, "T", T, coldest+m+g, hottest, "K"); err != nil {
		return Aquastat{}, err
	}
	return Aquastat{Start: quantity.Kelvin(T - m - g), Stop: quantity.Kelvin(T - m)}, nil
}

// ProposeCycle gives the whole minutes of a duty cycle
//
//	off = longest whole minutes in which the standing water stays usable
//	on  = shortest whole minutes in which it is renewed, and the least run
//
//	cool   time in which standing water cools from hot to what is just usable   s   60 to 86400
//	renew  time in which the running pump makes the loop hot again              s   0 to 43200
//
// On is at least a minute. Water that is to stay usable for less than a minute
// needs a pump that runs throughout.
//
// Errors: a [*RangeError].
//
// Source: common practice.
func ProposeCycle(cool, renew, leastRun quantity.Duration) (Cycle, error) {
	const operation = "control.ProposeCycle"
	if err := quantity.Between(operation, "cool", cool.Seconds(), 60, longestTime, "s"); err != nil {
		return Cycle{}, err
	}
	if err := quantity.Between(operation, "renew", renew.Seconds(), 0, longestTime/2, "s"); err != nil {
		return Cycle{}, err
	}
	if err := quantity.Between(operation, "least run", leastRun.Seconds(), 0, longestTime/2, "s"); err != nil {
		return Cycle{}, err
	}
	on := max(1, math.Ceil(max(renew.Seconds(), leastRun.Seconds())/60))
	return Cycle{On: quantity.Seconds(60 * on), Off: quantity.Seconds(60 * math.Floor(cool.Seconds()/60))}, nil
}
