package pump

import (
	"recirc/calc/quantity"
	"recirc/calc/water"
)

// Suction is what stands before a pump. In a closed loop the place is where the
// pressure is known, such as the heater.
type Suction struct {
	Pressure    quantity.Pressure // absolute, at the place; a gauge shows it less the air's
	Above       quantity.Length   // of the place over the pump's inlet; below zero if it is lower
	Loss        quantity.Length   // head lost from there to the inlet
	Temperature quantity.Temperature
}

// NPSHAvailable gives the net positive suction head that stands before a pump: by
// how much the head at its inlet is above that at which the water boils
//
//	NPSHa = (p - pv)/(rho g) + z - Hl
//
//	p        absolute pressure at a place before the pump   Pa   0 to 1e8
//	pv, rho  vapour pressure and density of the water       Pa, kg/m3
//	z        height of the place over the inlet             m    -1e4 to 1e4
//	Hl       head lost on the way                           m    0 to 1e4
//
// Valid from 0 to 110 degC, for water without free gas. It is below zero where the
// water boils before it comes to the pump.
//
// Errors: a [*RangeError].
//
// Source: ISO 9906, from memory; vapour pressure by [water.VapourPressure].
func NPSHAvailable(s Suction) (quantity.Length, error) {
	const operation = "pump.NPSHAvailable"
	p, z, Hl := s.Pressure.Pascals(), s.Above.Metres(), s.Loss.Metres()
	w, err := water.At(s.Temperature)
	if err != nil {
		return quantity.Length{}, err
	}
	pv, err := water.VapourPressure(s.Temperature)
	for _, err := range []error{
		err, rangeError(operation, "p", p, 0, 1e8, "Pa"),
		rangeError(operation, "z", z, -greatestHead, greatestHead, "m"), rangeError(operation, "Hl", Hl, 0, greatestHead, "m"),
	} {
		if err != nil {
			return quantity.Length{}, err
		}
	}
	return quantity.Metres((p-pv.Pascals())/(w.Density*quantity.StandardGravity) + z - Hl), nil
}

// NPSHMargin gives by how much the suction head available is above the one that
// pumps require at a flow; below zero the pump cavitates. A margin of 0.5 m or more
// is common practice.
//
//	margin = NPSHa - NPSHr(Q)
//
// required has the curve of NPSHr, which rises, in the place of the heads. Its
// speed and number in parallel count as in [Pumps.Head]; leave the speed at that of
// the curve to be on the safe side, since NPSHr falls less than the laws say.
//
// Errors: as [Pumps.Head]; a [*RangeError] for pumps in series, of which only the
// first sees the suction.
func NPSHMargin(available quantity.Length, required Pumps, q quantity.Flow) (quantity.Length, error) {
	const operation = "pump.NPSHMargin"
	if err := rangeError(operation, "NPSHa", available.Metres(), -3*greatestHead, 3*greatestHead, "m"); err != nil {
		return quantity.Length{}, err
	}
	if err := rangeError(operation, "s", float64(required.Series), 0, 1, "1"); err != nil {
		return quantity.Length{}, err
	}
	r, _, err := required.Head(q)
	if err != nil {
		return quantity.Length{}, err
	}
	return quantity.Metres(available.Metres() - r.Metres()), nil
}
