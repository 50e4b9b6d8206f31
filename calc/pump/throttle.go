package pump

import (
	"math"

	"recirc/calc/hydraulic"
	"recirc/calc/quantity"
)

// Throttle is a valve that takes what a pump gives too much.
type Throttle struct {
	Kv   quantity.FlowCoefficient
	Head quantity.Length // that the valve takes

	// Wasted is the hydraulic power that turns to heat in the valve. A lower speed
	// would save it.
	Wasted quantity.Power
}

// ThrottleTo gives the valve that brings pumps to a flow in a system
//
//	dp = rho g (Hpump(Q) - Hsystem(Q)),  Kv = Q sqrt(rho/(1000 kg/m3)/dp)
//
//	Q    wanted flow   m3/s    > 0
//	rho  density       kg/m3   300 to 1100
//	Kv                 m3/s at 1 Pa
//
// A pump that meets the system at the flow needs no valve; then Kv is zero, which
// stands for none.
//
// Errors: a [*RangeError]; an [*Error] for a flow outside [Pumps.Range], or where
// the pump gives less than the system takes, [HeadShort].
//
// Source: IEC 60534-1, definition of the flow coefficient, from memory.
func (p Pumps) ThrottleTo(q quantity.Flow, s System, density float64) (Throttle, error) {
	const operation = "pump.ThrottleTo"
	Q := q.CubicMetresPerSecond()
	for _, err := range []error{
		rangeError(operation, "Q", Q, 1e-12, greatestFlow*mostPumps*fastest, "m3/s"),
		rangeError(operation, "rho", density, lightest, densest, "kg/m3"), checked(operation, s),
	} {
		if err != nil {
			return Throttle{}, err
		}
	}
	given, _, err := p.Head(q)
	if err != nil {
		return Throttle{}, err
	}
	taken, _ := s.Head(Q)
	over := given.Metres() - taken
	switch {
	case math.IsNaN(taken):
		return Throttle{}, &Error{Operation: operation, Reason: SystemUnsound}
	case over < -1e-9*given.Metres():
		return Throttle{}, &Error{Operation: operation, Reason: HeadShort, Symbol: "H", Value: taken, High: given.Metres(), Unit: "m"}
	case over <= 1e-9*given.Metres():
		return Throttle{}, nil
	}
	dp := density * quantity.StandardGravity * over
	return Throttle{
		Kv:   hydraulic.KvFor(q, quantity.Pascals(dp), hydraulic.Fluid{Density: density}),
		Head: quantity.Metres(over), Wasted: quantity.PowerWatts(dp * Q),
	}, nil
}
