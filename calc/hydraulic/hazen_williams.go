package hydraulic

import (
	"math"

	"recirc/calc/quantity"
)

// Of the formula of Hazen and Williams, in the form that the trade's tables use.
const (
	hazenConstant           = 4.52 // psi/ft, with gal/min and in
	flowPower, hazenBoreExp = 1.85, 4.87

	creepSpeed = 1e-3 // m/s; slower, the power is continued as a line
)

// hazenSI is the same constant in Pa/m with m3/s and m, by the exact units.
var hazenSI = hazenConstant * psiPerFoot / math.Pow(gallonPerMinute, flowPower) * math.Pow(inch, hazenBoreExp)

var (
	psiPerFoot      = quantity.PressureDimension.MustUnit("psi").Factor / quantity.LengthDimension.MustUnit("ft").Factor
	gallonPerMinute = quantity.FlowDimension.MustUnit("gal/min").Factor
	inch            = quantity.LengthDimension.MustUnit("in").Factor
)

// HazenWilliamsGradient gives the friction of cold water per metre of pipe, in
// Pa/m
//
//	p = 4.52 Q^1.85/(C^1.85 d^4.87)   psi/ft, Q in gal/min, d in in
//
//	q  flow, |q| counts   m3/s   up to 100
//	D  bore               m      1e-5 to 20
//	C  coefficient        1      1 to 1000; 130 to 150 is printed for copper
//
// Converted with the exact units. It knows no viscosity: made for water near
// 16 degC in turbulent flow, at 60 degC and 1 to 2 m/s in copper it is 5 to 20 %
// over [DarcyWeisbach] with C = 150, and more with the lower C in print. Other
// forms in use, V = 0.849 C R^0.63 S^0.54 and those with the power 1.852, are up
// to 1.5 % apart. Below 1 mm/s it goes on to zero as a line.
//
// Errors: a [*RangeError].
//
// Source: Hazen and Williams (1905) in the form of the Copper Tube Handbook and
// of fire-protection practice, from memory; compared with computed values.
func HazenWilliamsGradient(q quantity.Flow, D quantity.Length, C float64) (float64, error) {
	c := quantity.Checks{Operation: "hydraulic.HazenWilliamsGradient"}
	c.Between("q", q.CubicMetresPerSecond(), -greatestFlow, greatestFlow, "m3/s")
	c.Between("D", D.Metres(), thinnest, thickest, "m")
	c.Between("C", C, leastC, greatestC, "1")
	if c.Err != nil {
		return 0, c.Err
	}
	curve := Pipe{Length: quantity.Metres(1), Bore: D, HazenWilliamsC: C}.Curve(Fluid{Density: 1000, Viscosity: 1e-3})
	drop, _ := curve.friction(math.Abs(q.CubicMetresPerSecond()))
	return drop, nil
}

// hazenWilliams is the formula itself, in Pa/m.
func hazenWilliams(q, D, C float64) float64 {
	return hazenSI * math.Pow(q/C, flowPower) / math.Pow(D, hazenBoreExp)
}
