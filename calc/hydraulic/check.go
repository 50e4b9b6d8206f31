package hydraulic

import "recirc/calc/quantity"

// RangeError is the error of this package: an argument outside its range, or
// one that is no number.
type RangeError = quantity.RangeError

// orNone lets zero pass too, where it says that there is none.
func orNone(c *quantity.Checks, symbol string, value, low, high float64, unit string) {
	if value != 0 {
		c.Between(symbol, value, low, high, unit)
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

func (f Fluid) check(c *quantity.Checks) {
	c.Between("density", f.Density, 1, 1e4, "kg/m3")
	c.Between("viscosity", f.Viscosity, 1e-6, 1, "Pa.s")
}

func (p Pipe) check(c *quantity.Checks) {
	D := p.Bore.Metres()
	if p.hasTube() || D != 0 {
		c.Between("D", D, thinnest, thickest, "m")
		c.Between("e", p.Roughness.Metres(), 0, greatestRoughness*D, "m")
	}
	c.Between("L", p.Length.Metres(), 0, greatestLength, "m")
	c.Between("Le", p.EquivalentLength.Metres(), 0, greatestLength, "m")
	c.Between("K", p.SumK, 0, greatestK, "1")
	orNone(c, "C", p.HazenWilliamsC, leastC, greatestC, "1")
	orNone(c, "Kv", p.Kv.SI(), leastKv, greatestKv, "m3/s at 1 Pa")
}
