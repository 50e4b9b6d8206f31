// Package air gives the properties of the dry air around a pipe, by temperature.
package air

import (
	"math"

	"recirc/calc/quantity"
	"recirc/calc/source"
)

// Where the formulas are published.
const (
	StateSource     source.ID = "lemmon_2000"
	TransportSource source.ID = "lemmon_jacobsen_2004"
)

// Properties are those of dry air at one temperature.
type Properties struct {
	Density      float64 // kg/m3
	SpecificHeat float64 // at constant pressure, J/(kg.K)
	Viscosity    float64 // dynamic, Pa.s
	Conductivity float64 // W/(m.K)
	Expansion    float64 // of the volume at constant pressure, 1/K
}

// KinematicViscosity is mu/rho, in m2/s.
func (p Properties) KinematicViscosity() float64 { return p.Viscosity / p.Density }

// Diffusivity is the thermal diffusivity lambda/(rho cp), in m2/s.
func (p Properties) Diffusivity() float64 { return p.Conductivity / (p.Density * p.SpecificHeat) }

// Prandtl is the Prandtl number mu cp/lambda.
func (p Properties) Prandtl() float64 { return p.Viscosity * p.SpecificHeat / p.Conductivity }

// RangeError is the error of [At].
type RangeError = quantity.RangeError

// The range of [At], in K.
const (
	Coldest = 200.0
	Hottest = 400.0
)

// The air of the formulas.
const (
	atmosphere        = 101325.0  // Pa
	gasConstant       = 8.31451   // J/(mol.K), the one of Lemmon (2000)
	molarMass         = 28.96546  // g/mol, dry air
	reducingT         = 132.6312  // K
	reducingDensity   = 10447.7   // mol/m3
	ternaryMass       = 28.9586   // g/mol, of nitrogen, oxygen and argon alone, in the transport formula
	lennardJonesT     = 103.3     // K
	lennardJonesSigma = 0.36      // nm
	chapmanEnskog     = 0.0266958 // of viscosity in uPa.s
)

// At gives the properties of dry air at 101325 Pa
//
//	rho    = p M/(R T (1 + B rho_n)),  rho_n = rho/M
//	cp     = ideal-gas part (constant and two vibrations) and the part of B
//	mu     = mu0(T) + residual part to the first power of density
//	lambda = lambda0(T, mu0) + residual part to the second power of density
//	beta   = 1/T
//
//	T  temperature              K         200 to 400
//	B  second virial coefficient of the air, by its equation of state
//	M  28.96546 g/mol, R 8.31451 J/(mol.K)
//
// Terms of higher density are left out; at one atmosphere they are below 2e-5.
// The uncertainty of the transport formulas at low density is, from memory, 1 %
// in viscosity and 2 % in conductivity. Expansion is that of the ideal gas; the
// real one is 0.3 % higher at room temperature. Humidity is left out: saturated
// air of 30 degC is 1.6 % lighter. So is height above the sea: density falls by
// 11 % in the first 1000 m, and natural convection with it by 5 to 6 %.
//
// Errors: a [*RangeError] outside the range, or for a temperature that is no number.
//
// Source: Lemmon, Jacobsen, Penoncello and Friend (2000), J. Phys. Chem. Ref.
// Data 29, 331 (density, specific heat); Lemmon and Jacobsen (2004), Int. J.
// Thermophysics 25, 21 (viscosity, conductivity). Coefficients from memory; the
// tests compare them with computed values and with the check points of 2004.
func At(t quantity.Temperature) (Properties, error) {
	T := t.Kelvin()
	if err := quantity.Between("air.At", "T", T, Coldest, Hottest, "K"); err != nil {
		return Properties{}, err
	}
	p := powersOf(T)
	n, cp := state(T, p)
	mu, lambda := transport(T, n/reducingDensity, p)
	return Properties{
		Density: n * molarMass / 1000, SpecificHeat: cp, Viscosity: mu, Conductivity: lambda, Expansion: 1 / T,
	}, nil
}

// powers of the reduced inverse temperature tau = 132.6312 K/T. Most exponents
// are tenths, so that one exponential serves them.
type powers struct {
	log, one      float64
	tenth         float64 // tau^0.1
	fifth         float64 // tau^0.2
	threeFifths   float64 // tau^0.6
	sixteenTenths float64 // tau^1.6
}

func powersOf(T float64) powers {
	p := powers{one: reducingT / T}
	p.log = math.Log(p.one)
	p.tenth = math.Exp(0.1 * p.log)
	p.fifth = p.tenth * p.tenth
	p.threeFifths = p.fifth * p.fifth * p.fifth
	p.sixteenTenths = p.one * p.threeFifths
	return p
}

// state gives the density, in mol/m3, and the specific heat, in J/(kg.K), from
// the terms of the equation of state that are linear in density.
func state(T float64, p powers) (n, cp float64) {
	w033 := 0.713116392079 * math.Exp(0.33*p.log)
	w101 := -1.61824192067 * math.Exp(1.01*p.log)
	w16 := -0.101365037912 * p.sixteenTenths
	square := p.one * p.one
	w36 := -0.146629609713 * square * p.sixteenTenths
	w35 := 0.0148287891978 * square * p.one * math.Sqrt(p.one)
	b := 0.118160747229 + w033 + w101 + w16 + w36 + w35
	slope := 0.33*w033 + 1.01*w101 + 1.6*w16 + 3.6*w36 + 3.5*w35
	bend := 0.33*(0.33-1)*w033 + 1.01*0.01*w101 + 1.6*0.6*w16 + 3.6*2.6*w36 + 3.5*2.5*w35

	ideal := atmosphere / (gasConstant * T)
	delta := ideal / reducingDensity
	for range 2 { // delta b is 2.5e-3 at most, so what is missing falls by 400 each time
		delta = ideal / reducingDensity / (1 + b*delta)
	}
	cv := idealHeat(p) - delta*bend
	gain := 1 + delta*(b-slope)
	cp = gasConstant / molarMass * 1000 * (cv + gain*gain/(1+2*delta*b))
	return delta * reducingDensity, cp
}

// idealHeat is cv/R of the ideal gas.
func idealHeat(p powers) float64 {
	poly := (-12*0.605719400e-7/p.one+6*0.210274769e-4)/(p.one*p.one) + 2*0.158860716e-3/p.one
	return 2.490888032 + poly + 0.75*0.195363420e-3*p.one*math.Sqrt(p.one) +
		vibration(0.791309509, 25.36365*p.one) + vibration(0.212236768, 16.90741*p.one)
}

// vibration is the heat capacity of an oscillator, Einstein's function.
func vibration(share, x float64) float64 {
	e := math.Exp(-x)
	return share * x * x * e / ((1 - e) * (1 - e))
}

// transport gives viscosity, in Pa.s, and conductivity, in W/(m.K), at a
// reduced density delta.
func transport(T, delta float64, p powers) (mu, lambda float64) {
	l := math.Log(T / lennardJonesT)
	omega := math.Exp(0.431 + l*(-0.4623+l*(0.08406+l*(0.005341-l*0.00331))))
	dilute := chapmanEnskog * math.Sqrt(ternaryMass*T) / (lennardJonesSigma * lennardJonesSigma * omega)
	mu = dilute + delta*(10.72*p.fifth-8.876*p.threeFifths)
	lambda = 1.308*dilute + 1.405/(p.one*p.tenth) - 1.036/(p.fifth*p.tenth) + delta*(8.743*p.tenth+14.76*delta)
	return mu * 1e-6, lambda * 1e-3
}
