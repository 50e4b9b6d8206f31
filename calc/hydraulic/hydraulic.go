// Package hydraulic gives the head that water loses in pipes, fittings and
// valves. It takes the properties of the water and plain figures for what is in
// the way, so that a book's example with another fluid tests it as well; which
// figures a pipe or a fitting has is for its caller to choose.
package hydraulic

import "recirc/calc/source"

// Where the formulas are published.
const (
	ColebrookSource     source.ID = "colebrook_1939"
	LaminarSource       source.ID = "hagen_poiseuille"
	DarcySource         source.ID = "darcy_weisbach"
	HazenWilliamsSource source.ID = "hazen_williams"
	ValveSource         source.ID = "flow_coefficient"
)

// Fluid is water as a loop sees it: one density and one viscosity.
type Fluid struct{ Density, Viscosity float64 } // kg/m3, Pa.s

// Method is how friction in a pipe is found.
type Method string

// The methods.
const (
	DarcyWeisbach Method = "darcy_weisbach"
	HazenWilliams Method = "hazen_williams"
)

// Regime of the water's flow.
type Regime string

// The regimes. In the transition no factor of friction is agreed: the policy of
// [FrictionFactor] alone moves the flow of a branch by up to 2.6 %.
const (
	Standing   Regime = "standing"   // Re = 0
	Laminar    Regime = "laminar"    // Re up to 2000
	Transition Regime = "transition" // between
	Turbulent  Regime = "turbulent"  // Re from 4000
)

// TransitionPolicy is what [FrictionFactor] does in the transition.
const TransitionPolicy = "linear between 2000 and 4000"

// TransitionSpread is how far, as a ratio, the flow of a branch moves if Re 2300
// parts laminar from turbulent instead; the most that was found in the computed
// networks that test this service.
const TransitionSpread = 0.026

// Reynolds numbers at the ends of the transition.
const (
	laminarUpTo   = 2000.0
	turbulentFrom = 4000.0
)

// RegimeOf tells the regime of a Reynolds number.
func RegimeOf(reynolds float64) Regime {
	switch {
	case reynolds == 0:
		return Standing
	case reynolds <= laminarUpTo:
		return Laminar
	case reynolds < turbulentFrom:
		return Transition
	}
	return Turbulent
}
