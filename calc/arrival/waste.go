package arrival

import (
	"math"

	"recirc/calc/quantity"
)

// meanSteps is into how many parts each stretch between two jumps is cut to
// average the outlet temperature; the error is that of the midpoint rule on a
// smooth curve, below 1e-4 of the temperature range.
const meanSteps = 200

// mean is the average of the outlet temperature from 0 to a time, stretch by
// stretch between the jumps.
func (tr *trace) mean(until float64) float64 {
	if until <= 0 {
		return tr.first
	}
	sum := 0.0
	for i := range tr.breaks {
		_, _, start, end := tr.piece(i)
		if end = math.Min(end, until); end <= start {
			break
		}
		step := (end - start) / meanSteps
		for k := range meanSteps {
			sum += step * tr.at(start+(float64(k)+0.5)*step)
		}
	}
	return sum / until
}

// LeftInPipe gives the heat that a path still holds above its surroundings when
// a long draw ends, in water and wall, all of which dies there
//
//	E    = sum (Cw + Cp) L (Tm - Ta)
//	Tm   = Ta + (T1 - Ta) (1 - exp(-N))/N
//	N    = U L/(q rho c),  T1 and U as in [Front.Steady]
//
//	Cw, Cp  heat capacity of water and wall per length   J/(m.K)
//	L       length                                       m
//	Ta      surroundings; of a segment with U = 0 its start
//
// The wall counts at the water's temperature. A segment that is colder than its
// surroundings counts below zero. Arguments are those that [Front.Arrive] has
// accepted.
//
// Source: energy content of a body of known temperature, textbook; from memory.
func (f Front) LeftInPipe() quantity.Energy {
	energy, in := 0.0, f.finalInlet()
	for _, s := range f.Segments {
		ambient := s.Ambient.Kelvin()
		if s.UA == 0 {
			ambient = s.initialAt(0)
		}
		water, wall := f.capacities(s)
		units := lossPerKelvin(s) * s.Length.Metres() / (f.Flow.CubicMetresPerSecond() * f.Density * f.SpecificHeat)
		share := 1.0
		if units > 0 {
			share = -math.Expm1(-units) / units
		}
		energy += (water + wall) * s.Length.Metres() * (in - ambient) * share
		in = f.steadyAfter(s, in)
	}
	return quantity.Joules(energy)
}
