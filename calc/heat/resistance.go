package heat

import (
	"math"

	"recirc/calc/internal/solve"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

// ConductionSource is where series resistances are from.
const ConductionSource source.ID = "cylinder_conduction"

// WallResistance gives the resistance of a metre of a hollow cylinder, in m.K/W
//
//	R = ln(d2/d1)/(2 pi k)
//
//	d1, d2  inner and outer diameter   m        0 < d1 <= d2
//	k       conductivity               W/(m.K)  k > 0
//
// Errors: a [*RangeError].
//
// Source: Fourier's law for a cylinder, textbook conduction.
func WallResistance(inner, outer quantity.Length, k quantity.Conductivity) (float64, error) {
	c := quantity.Checks{Operation: "heat.WallResistance"}
	d1, d2, K := inner.Metres(), outer.Metres(), k.WattsPerMetreKelvin()
	c.Between("d1", d1, thinnest, thickest, "m")
	c.Between("d2", d2, d1, thickest, "m")
	c.Between("k", K, leastK, greatestK, "W/(m.K)")
	if c.Err != nil {
		return 0, c.Err
	}
	return math.Log(d2/d1) / (2 * math.Pi * K), nil
}

// FilmResistance gives the resistance of a film on a metre of a cylinder, in m.K/W
//
//	R = 1/(pi d h)
//
//	d  diameter of the surface   m         d > 0
//	h  coefficient               W/(m2.K)  h > 0
//
// Errors: a [*RangeError].
//
// Source: definition of the surface coefficient.
func FilmResistance(diameter quantity.Length, h quantity.SurfaceCoefficient) (float64, error) {
	c := quantity.Checks{Operation: "heat.FilmResistance"}
	d, H := diameter.Metres(), h.WattsPerSquareMetreKelvin()
	c.Between("d", d, thinnest, thickest, "m")
	c.Between("h", H, leastFilm, greatestOne, "W/(m2.K)")
	if c.Err != nil {
		return 0, c.Err
	}
	return 1 / (math.Pi * d * H), nil
}

// CriticalRadius gives the outer radius at which a layer lets most heat through
//
//	r = k/h
//
//	k  conductivity of the layer                      W/(m.K)   k > 0
//	h  coefficient of the outer surface, held fixed   W/(m2.K)  h > 0
//
// Above it, more of the layer always saves. Below it, more of the layer loses
// more at first. In still air h itself falls as the layer grows, so the true
// radius is smaller yet.
//
// Errors: a [*RangeError].
//
// Source: maximum of the series resistances, textbook conduction.
func CriticalRadius(k quantity.Conductivity, h quantity.SurfaceCoefficient) (quantity.Length, error) {
	c := quantity.Checks{Operation: "heat.CriticalRadius"}
	c.Between("k", k.WattsPerMetreKelvin(), leastK, greatestK, "W/(m.K)")
	c.Between("h", h.WattsPerSquareMetreKelvin(), leastFilm, greatestOne, "W/(m2.K)")
	if c.Err != nil {
		return quantity.Length{}, c.Err
	}
	return quantity.Metres(k.WattsPerMetreKelvin() / h.WattsPerSquareMetreKelvin()), nil
}

// Cover is pipe insulation of one layer.
type Cover struct {
	Inner        quantity.Length // diameter of the tube under it
	Conductivity quantity.Conductivity
}

// RValue gives the resistance of a thickness of pipe cover, by the area of its
// outer surface
//
//	R = r2 ln(r2/r1)/k,  r2 = r1 + s
//
//	r1  half the inner diameter   m
//	s   thickness                 m        s >= 0
//	k   conductivity              W/(m.K)  k > 0
//
// That is how codes mean the R-value of a pipe cover. It is more than s/k, which
// would be that of a flat board.
//
// Errors: a [*RangeError].
//
// Source: Fourier's law for a cylinder, textbook conduction.
func (c Cover) RValue(thickness quantity.Length) (quantity.ThermalResistance, error) {
	if err := c.check("heat.Cover.RValue", "s", thickness.Metres(), 0, thickest, "m"); err != nil {
		return quantity.ThermalResistance{}, err
	}
	return quantity.SquareMetreKelvinPerWatt(c.rValue(thickness.Metres())), nil
}

// Thickness gives the least thickness of pipe cover that has an R-value, the
// inverse of [Cover.RValue].
//
// Errors: a [*RangeError], also if no thickness up to 20 m reaches it.
func (c Cover) Thickness(r quantity.ThermalResistance) (quantity.Length, error) {
	const op = "heat.Cover.Thickness"
	R := r.SquareMetreKelvinPerWatt()
	if err := c.check(op, "R", R, 0, math.MaxFloat64, "m2.K/W"); err != nil {
		return quantity.Length{}, err
	}
	if most := c.rValue(thickest); R > most {
		return quantity.Length{}, quantity.Between(op, "R", R, 0, most, "m2.K/W")
	}
	s, err := solve.Root(func(s float64) float64 { return c.rValue(s) - R }, 0, thickest, 1e-13, 200)
	return quantity.Metres(s), err
}

func (c Cover) rValue(s float64) float64 {
	r1 := c.Inner.Metres() / 2
	return (r1 + s) * math.Log1p(s/r1) / c.Conductivity.WattsPerMetreKelvin()
}

func (c Cover) check(op, symbol string, value, low, high float64, unit string) error {
	all := quantity.Checks{Operation: op}
	all.Between("d1", c.Inner.Metres(), thinnest, thickest, "m")
	all.Between("k", c.Conductivity.WattsPerMetreKelvin(), leastK, greatestK, "W/(m.K)")
	all.Between(symbol, value, low, high, unit)
	return all.Err
}
