package hydraulic

import "recirc/calc/quantity"

// Head gives a pressure as a column of water
//
//	h = dp/(rho g)
//
//	rho  density of the water, above 0   kg/m3
//	g    standard gravity
//
// Source: hydrostatics.
func Head(dp quantity.Pressure, density float64) quantity.Length {
	return quantity.Metres(dp.Pascals() / (density * quantity.StandardGravity))
}

// HeadPressure gives the pressure of a column of water, the inverse of [Head].
func HeadPressure(head quantity.Length, density float64) quantity.Pressure {
	return quantity.Pascals(head.Metres() * density * quantity.StandardGravity)
}
