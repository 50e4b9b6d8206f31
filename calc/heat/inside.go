package heat

import (
	"math"

	"recirc/calc/hydraulic"
	"recirc/calc/quantity"
	"recirc/calc/source"
	"recirc/calc/water"
)

// InsideSource is where the film inside is published.
const InsideSource source.ID = "gnielinski_2013"

// Regime of the water's flow.
type Regime string

// The regimes.
const (
	Standing   Regime = "standing"
	Laminar    Regime = "laminar"
	Transition Regime = "transition"
	Turbulent  Regime = "turbulent"
)

// Film is the film of the water on the wall.
type Film struct {
	Coefficient quantity.SurfaceCoefficient
	Nusselt     float64
	Reynolds    float64
	Friction    float64 // Darcy's factor, where the film is turbulent; else 0
	Regime      Regime
	Notes       Notes
}

// Reynolds numbers at the ends of the transition.
const (
	laminarUpTo   = 2300.0
	turbulentFrom = 4000.0
)

// InsideFilm gives the film of water that flows in a tube
//
//	Re < 2300           Nu = 3.66
//	2300 <= Re < 4000   Nu = (1 - g) 3.66 + g Nu(4000),  g = (Re - 2300)/1700
//	Re >= 4000          Nu = (f/8)(Re - 1000) Pr/{1 + 12.7 sqrt(f/8) [Pr^(2/3) - 1]}
//	1/sqrt(f) = -2 log10[e/(3.7 D) + 2.51/(Re sqrt(f))]
//
//	Re  4 q/(pi D nu)                     1
//	q   flow, t.Bore and t.Roughness are D and e
//	Pr  Prandtl number of the water       1     0.5 to 2000
//	h   Nu k/D, by the bore               W/(m2.K)
//
// Valid for developed flow, of one wall temperature where laminar, up to Re 5e6.
// Turbulent flow is within 10 %. There is no agreed value between laminar and
// turbulent; here it is the straight line in Re, which has no jump, and a note
// says so. Water near the wall is cooler and thicker; left out, because this
// film is below 1 % of the resistance of a pipe with turbulent flow and below
// 7 % with laminar flow. Natural convection would add to laminar flow; left out.
//
// Errors: a [*RangeError].
//
// Source: Gnielinski (1976) and (2013), Int. J. Heat Mass Transfer 63, 134;
// friction of Colebrook (1939); from memory, compared with computed values.
func InsideFilm(t Tube, flow quantity.Flow, w water.Properties) (Film, error) {
	c := quantity.Checks{Operation: "heat.InsideFilm"}
	D, q, e := t.Bore.Metres(), flow.CubicMetresPerSecond(), t.Roughness.Metres()
	c.Between("D", D, thinnest, thickest, "m")
	c.Between("e", e, 0, D/10, "m")
	c.Between("q", q, 0, greatestFlow, "m3/s")
	c.Between("viscosity of the water", w.Viscosity, 1e-6, 1, "Pa.s")
	c.Between("density of the water", w.Density, 1, 1e4, "kg/m3")
	c.Between("specific heat of the water", w.SpecificHeat, 1, 1e5, "J/(kg.K)")
	c.Between("conductivity of the water", w.Conductivity, 1e-3, 1e2, "W/(m.K)")
	if c.Err != nil {
		return Film{}, c.Err
	}
	return insideFilm(D, e, q, &w), nil
}

const greatestFlow = 100.0 // m3/s

func insideFilm(D, e, q float64, w *water.Properties) Film {
	re, pr := 4*q/(math.Pi*D*w.KinematicViscosity()), w.Prandtl()
	f := Film{Reynolds: re}
	const laminar = 3.66 // of one wall temperature
	switch {
	case re == 0:
		f.Regime = Standing
		return f
	case re < laminarUpTo:
		f.Regime, f.Nusselt = Laminar, laminar
	case re < turbulentFrom:
		f.Regime, f.Notes = Transition, noteTransition
		g := (re - laminarUpTo) / (turbulentFrom - laminarUpTo)
		nu, _ := gnielinski(turbulentFrom, pr, e/D)
		f.Nusselt = (1-g)*laminar + g*nu
	default:
		f.Regime = Turbulent
		f.Nusselt, f.Friction = gnielinski(re, pr, e/D)
		if !(re <= 5e6 && pr >= 0.5 && pr <= 2000) {
			f.Notes |= noteInsideRange
		}
	}
	f.Coefficient = quantity.WattsPerSquareMetreKelvin(f.Nusselt * w.Conductivity / D)
	return f
}

func gnielinski(re, pr, roughness float64) (nu, friction float64) {
	friction, _ = hydraulic.Colebrook(re, roughness) // it takes more than the checks let through
	eighth := friction / 8
	cube := math.Cbrt(pr)
	return eighth * (re - 1000) * pr / (1 + 12.7*math.Sqrt(eighth)*(cube*cube-1)), friction
}
