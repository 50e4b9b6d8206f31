// Package water gives the properties of liquid water that heat and flow need,
// by temperature.
package water

import (
	"math"

	"recirc/calc/quantity"
	"recirc/calc/source"
)

// Source is where the formulas are published.
const Source source.ID = "iapws_sr6_08"

// Properties are those of liquid water at one temperature.
type Properties struct {
	Density      float64 // kg/m3
	SpecificHeat float64 // at constant pressure, J/(kg.K)
	Viscosity    float64 // dynamic, Pa.s
	Conductivity float64 // W/(m.K)
	Expansion    float64 // of the volume at constant pressure, 1/K; below 0 under 4 degC
}

// KinematicViscosity is mu/rho, in m2/s.
func (p Properties) KinematicViscosity() float64 { return p.Viscosity / p.Density }

// Prandtl is the Prandtl number mu cp/lambda.
func (p Properties) Prandtl() float64 { return p.Viscosity * p.SpecificHeat / p.Conductivity }

// VolumetricHeat is rho cp, in J/(m3.K).
func (p Properties) VolumetricHeat() float64 { return p.Density * p.SpecificHeat }

// RangeError is the error of [At].
type RangeError = quantity.RangeError

// The range of [At], in K.
const (
	Coldest = 273.15
	Hottest = 383.15
)

// roundingSlack lets 110 degC pass that was read in another unit.
const roundingSlack = 1e-9

// At gives the properties of liquid water at 0.1 MPa
//
//	rho    = 1/v0,  v0 = (R T_R/p0) [a5 + sum_6..10 a_i alpha^n_i + sum_5..10 b_i beta^m_i]
//	cp     = -R [c3 + tau sum_1..3 n_i (n_i+1) a_i alpha^(n_i+2) + tau sum_1..4 m_i (m_i+1) b_i beta^(m_i+2)]
//	mu     = 1e-6 sum_1..4 a_i (T/300 K)^b_i
//	lambda = sum_1..4 c_i (T/300 K)^d_i
//	beta_v = (dv0/dT)/v0, differentiated term by term
//
//	T      temperature                   K         273.15 to 383.15
//	alpha  T_R/(593 K - T), beta T_R/(T - 232 K), tau T/T_R, T_R = 10 K
//	R      461.51805 J/(kg.K), p0 = 0.1 MPa
//
// Valid from 0 to 110 degC, above the boiling point of 99.6 degC as water that a
// higher pressure keeps liquid. The release itself goes down to -20 degC. Its
// uncertainties, from memory: density 1e-6, specific heat 0.1 %, viscosity 1 %,
// conductivity 2 %.
//
// The pressure of a building's water is neglected. From 5 to 95 degC a rise from
// 0.1 to 0.6 MPa makes water 0.022 to 0.025 % denser, lowers its specific heat by
// 0.03 to 0.05 %, lowers its viscosity by 0.05 % at the cold end and raises it by
// as much at the hot end, and makes it conduct 0.04 to 0.06 % better; a rise to
// 0.3 MPa does two fifths of that (IAPWS R7-97, R12-08 and R15-11).
//
// Errors: a [*RangeError] outside the range, or for a temperature that is no number.
//
// Source: IAPWS SR6-08(2011), Revised Supplementary Release on Properties of
// Liquid Water at 0.1 MPa.
func At(t quantity.Temperature) (Properties, error) {
	if T := t.Kelvin(); T >= Coldest-roundingSlack && T <= Hottest+roundingSlack {
		return at(T), nil
	}
	return Properties{}, quantity.Between("water.At", "T", t.Kelvin(), Coldest, Hottest, "K")
}

// at is [At] for the whole range of the release, which is 253.15 to 383.15 K.
func at(T float64) Properties {
	v, slope := volume(T)
	mu, lambda := transport(T)
	return Properties{
		Density: 1 / v, SpecificHeat: specificHeat(T), Viscosity: mu, Conductivity: lambda, Expansion: slope / v,
	}
}

// The constants of the release.
const (
	gasConstant = 461.51805 // J/(kg.K)
	reducing    = 10.0      // T_R, K
	upper       = 593.0     // T_a, K
	lower       = 232.0     // T_b, K
	pressure    = 1e5       // p0, Pa
)

// volume gives the specific volume, in m3/kg, and its slope dv/dT.
func volume(T float64) (v, slope float64) {
	alpha, beta := reducing/(upper-T), reducing/(T-lower)
	a := alpha * alpha * alpha * alpha
	// sum a_i alpha^n_i with n = 4, 5, 7, 8, 9, and sum n_i a_i alpha^n_i
	sumA := a * (a6 + alpha*(a7+alpha*alpha*(a8+alpha*(a9+alpha*a10))))
	slopeA := a * (4*a6 + alpha*(5*a7+alpha*alpha*(7*a8+alpha*(8*a9+alpha*9*a10))))
	// sum b_i beta^m_i with m = 1 to 6
	sumB := beta * (b5 + beta*(b6+beta*(b7+beta*(b8+beta*(b9+beta*b10)))))
	slopeB := beta * (b5 + beta*(2*b6+beta*(3*b7+beta*(4*b8+beta*(5*b9+beta*6*b10)))))
	const unit = gasConstant * reducing / pressure
	return unit * (a5 + sumA + sumB), unit * (alpha*slopeA - beta*slopeB) / reducing
}

// specificHeat is cp0, in J/(kg.K); the factors are n_i (n_i+1) and m_i (m_i+1).
func specificHeat(T float64) float64 {
	alpha, beta := reducing/(upper-T), reducing/(T-lower)
	aa, bb := alpha*alpha, beta*beta
	sumA := aa * aa * aa * (20*a1 + alpha*(30*a2+aa*56*a3))
	sumB := bb * bb * (6*b1 + beta*(12*b2+beta*(20*b3+beta*30*b4)))
	return -gasConstant * (c3 + T/reducing*(sumA+sumB))
}

// transport gives viscosity, in Pa.s, and conductivity, in W/(m.K). One
// logarithm serves all eight powers.
func transport(T float64) (mu, lambda float64) {
	l := math.Log(T / 300)
	mu = 1e-6 * (280.68*math.Exp(-1.9*l) + 511.45*math.Exp(-7.7*l) + 61.131*math.Exp(-19.6*l) + 0.45903*math.Exp(-40*l))
	lambda = 1.6630*math.Exp(-1.15*l) - 1.7781*math.Exp(-3.4*l) + 1.1567*math.Exp(-6.0*l) - 0.432115*math.Exp(-7.6*l)
	return mu, lambda
}
