package hydraulic

import "recirc/calc/quantity"

// RangeError is the error of this package: an argument outside its range, or
// one that is no number.
type RangeError = quantity.RangeError

// checks keeps the first fault of several.
type checks struct {
	operation string
	err       error
}

func (c *checks) between(symbol string, value, low, high float64, unit string) {
	if c.err == nil && !(value >= low && value <= high) {
		c.err = quantity.Between(c.operation, symbol, value, low, high, unit)
	}
}

// orNone lets zero pass too, where it says that there is none.
func (c *checks) orNone(symbol string, value, low, high float64, unit string) {
	if value != 0 {
		c.between(symbol, value, low, high, unit)
	}
}

// Bounds at or beyond any building. They keep every power and quotient finite.
const (
	leastReynolds, greatestReynolds = 1e-100, 1e8
	greatestRoughness               = 0.05      // of the bore
	thinnest, thickest              = 1e-5, 20  // bores, m
	greatestLength                  = 1e6       // m
	greatestK                       = 1e9       // sum of loss coefficients
	leastC, greatestC               = 1, 1000   // of Hazen and Williams
	leastKv, greatestKv             = 1e-12, 10 // m3/s at 1 Pa
	greatestFlow                    = 100       // m3/s
)

func (f Fluid) check(c *checks) {
	c.between("density", f.Density, 1, 1e4, "kg/m3")
	c.between("viscosity", f.Viscosity, 1e-6, 1, "Pa.s")
}

func (p Pipe) check(c *checks) {
	D := p.Bore.Metres()
	if p.hasTube() || D != 0 {
		c.between("D", D, thinnest, thickest, "m")
		c.between("e", p.Roughness.Metres(), 0, greatestRoughness*D, "m")
	}
	c.between("L", p.Length.Metres(), 0, greatestLength, "m")
	c.between("Le", p.EquivalentLength.Metres(), 0, greatestLength, "m")
	c.between("K", p.SumK, 0, greatestK, "1")
	c.orNone("C", p.HazenWilliamsC, leastC, greatestC, "1")
	c.orNone("Kv", p.Kv.SI(), leastKv, greatestKv, "m3/s at 1 Pa")
}
