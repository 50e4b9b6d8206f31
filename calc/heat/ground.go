package heat

import (
	"math"

	"recirc/calc/quantity"
	"recirc/calc/source"
)

// GroundSource is where the shape factors are published.
const GroundSource source.ID = "conduction_shape_factors"

// ShapeFactor gives the heat that a pipe in ground or slab loses per metre, per
// kelvin and per unit of conductivity: q = S k (Ts - T)
//
//	Buried   S = 2 pi/arccosh(2 z/D)
//	InSlab   S = 2 pi/ln(8 z/(pi D))
//
//	D  diameter of the outermost surface              m  D > 0
//	z  from the surface, or from each face, to axis   m  z > D/2
//
// Buried: exact for one pipe of one surface temperature below a wide surface of
// another, in ground that is the same throughout. InSlab: for a pipe midway
// between two faces of one temperature; exact for a thin pipe, within 1 % at
// z = D; a pipe nearer to the faces loses more than this, and a note says so.
// Both are of the steady state, which ground reaches only after weeks; until
// then it takes more heat than this.
//
// Errors: a [*RangeError]; an [*UnknownError] for another kind.
//
// Source: conduction shape factors, as in Incropera and others, Fundamentals of
// Heat and Mass Transfer, Table 4.1, from memory.
func ShapeFactor(k Kind, diameter, depth quantity.Length) (float64, error) {
	c := quantity.Checks{Operation: "heat.ShapeFactor"}
	D, z := diameter.Metres(), depth.Metres()
	c.Between("D", D, thinnest, thickest, "m")
	c.Between("z", z, D/2*(1+1e-9), greatestDepth, "m")
	if c.Err != nil {
		return 0, c.Err
	}
	if k != Buried && k != InSlab {
		return 0, &UnknownError{Operation: c.Operation, What: "shape factor of the kind", Name: string(k)}
	}
	return shapeFactor(k, D, z), nil
}

func shapeFactor(k Kind, D, z float64) float64 {
	if k == InSlab {
		return 2 * math.Pi / math.Log(8*z/(math.Pi*D))
	}
	return 2 * math.Pi / math.Acosh(2*z/D)
}
