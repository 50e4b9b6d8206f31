package water

import (
	"math"

	"recirc/calc/quantity"
	"recirc/calc/source"
)

// VapourSource is where the saturation line is published.
const VapourSource source.ID = "iapws_r7_97"

// critical is the end of the saturation line, in K.
const critical = 647.096

// VapourPressure gives the absolute pressure below which water of a temperature
// boils
//
//	p/(1 MPa) = [2C/(-B + sqrt(B^2 - 4AC))]^4
//	A = theta^2 + n1 theta + n2,  B = n3 theta^2 + n4 theta + n5,  C = n6 theta^2 + n7 theta + n8
//	theta = T + n9/(T - n10)
//
//	T  temperature   K   273.15 to 647.096
//
// Valid from the ice point to the critical point, for pure water. Dissolved gas
// comes out of solution at a higher pressure.
//
// Errors: a [*RangeError].
//
// Source: IAPWS R7-97, region 4, equation 30; coefficients from memory, they meet
// the release's three check values.
func VapourPressure(t quantity.Temperature) (quantity.Pressure, error) {
	T := t.Kelvin()
	if !(T >= Coldest-roundingSlack && T <= critical+roundingSlack) {
		return quantity.Pressure{}, quantity.Between("water.VapourPressure", "T", T, Coldest, critical, "K")
	}
	const (
		n1  = 0.11670521452767e4
		n2  = -0.72421316703206e6
		n3  = -0.17073846940092e2
		n4  = 0.12020824702470e5
		n5  = -0.32325550322333e7
		n6  = 0.14915108613530e2
		n7  = -0.48232657361591e4
		n8  = 0.40511340542057e6
		n9  = -0.23855557567849
		n10 = 0.65017534844798e3
	)
	theta := T + n9/(T-n10)
	a := (theta+n1)*theta + n2
	b := (n3*theta+n4)*theta + n5
	c := (n6*theta+n7)*theta + n8
	root := 2 * c / (-b + math.Sqrt(b*b-4*a*c))
	return quantity.Pascals(1e6 * root * root * root * root), nil
}
