package hydraulic

import (
	"math"

	"recirc/calc/quantity"
)

// FrictionFactor gives Darcy's friction factor of a round pipe that runs full
//
//	Re <= 2000         f = 64/Re
//	2000 < Re < 4000   f = (1 - g) 64/2000 + g f(4000),  g = (Re - 2000)/2000
//	Re >= 4000         f by [Colebrook]
//
//	Re   reynolds, v D/nu                    1   above 0, up to 1e8
//	e/D  relativeRoughness, of the bore      1   0 to 0.05
//
// Valid for developed flow. Between laminar and turbulent there is no agreed
// value; here it is the straight line in Re, which has no jump and rises, and
// [RegimeOf] says so. Darcy's factor is four times Fanning's.
//
// Errors: a [*RangeError].
//
// Source: Hagen and Poiseuille; Colebrook (1939); the line in the transition is
// a policy of ours, not published.
func FrictionFactor(reynolds, relativeRoughness float64) (float64, error) {
	c := quantity.Checks{Operation: "hydraulic.FrictionFactor"}
	c.Between("Re", reynolds, leastReynolds, greatestReynolds, "1")
	c.Between("e/D", relativeRoughness, 0, greatestRoughness, "1")
	if c.Err != nil {
		return 0, c.Err
	}
	return factor(reynolds, relativeRoughness), nil
}

func factor(re, roughness float64) float64 {
	switch {
	case re <= laminarUpTo:
		return 64 / re
	case re < turbulentFrom:
		g := (re - laminarUpTo) / (turbulentFrom - laminarUpTo)
		return (1-g)*laminarEnd + g*colebrook(turbulentFrom, roughness)
	}
	return colebrook(re, roughness)
}

const laminarEnd = 64 / laminarUpTo // the factor where the transition begins

// Colebrook gives Darcy's friction factor of turbulent flow, converged
//
//	1/sqrt(f) = -2 log10[e/(3.7 D) + 2.51/(Re sqrt(f))]
//
//	Re   reynolds            1   500 to 1e20
//	e/D  relativeRoughness   1   0 to 0.2
//
// Published for turbulent flow, Re 4000 to 1e8 and e/D up to 0.05; beyond it is
// the root of the equation and no more. It is within 1e-12 of the root, below Re
// 4000 within 1e-9.
//
// Errors: a [*RangeError].
//
// Source: Colebrook (1939), J. Inst. Civ. Eng. 11, 133-156, from memory; compared
// with computed values.
func Colebrook(reynolds, relativeRoughness float64) (float64, error) {
	c := quantity.Checks{Operation: "hydraulic.Colebrook"}
	c.Between("Re", reynolds, 500, 1e20, "1")
	c.Between("e/D", relativeRoughness, 0, 0.2, "1")
	if c.Err != nil {
		return 0, c.Err
	}
	return colebrook(reynolds, relativeRoughness), nil
}

func colebrook(re, roughness float64) float64 {
	x, _ := colebrookRoot(roughness/roughPart, smoothPart/re)
	return 1 / (x * x)
}

const roughPart, smoothPart = 3.7, 2.51 // Colebrook's

// colebrookRoot solves x = -2 log10(a + b x) for x = 1/sqrt(f), and gives with it
// ku = 2/ln(10) b/(a + b x), the slope of the logarithm there.
//
// All but a line in x, the equation lets every iteration gain many digits. One
// substitution of x = 9, the middle of the range, is an explicit start within 5 %;
// two steps of Halley's method, each of the third order, then leave rounding only.
// The test against bisection holds that for every Re and e/D in use.
func colebrookRoot(a, b float64) (x, ku float64) {
	const k = 2 / math.Ln10
	x = -k * math.Log(a+9*b)
	for range 2 {
		inner := a + b*x
		ku = k * b / inner
		g := x + k*math.Log(inner)
		slope := 1 + ku
		curve := -ku * ku / k
		x -= 2 * g * slope / (2*slope*slope - g*curve)
	}
	return x, k * b / (a + b*x)
}
