package arrival

import (
	"math"

	"recirc/calc/quantity"
)

// CooledInitial gives the temperature of a segment that was full of water of
// one temperature and then stood
//
//	T = Ta + (T0 - Ta) exp(-U t/C),  C = pi/4 (rho c d2 + (rho c)p (D2 - d2))
//
//	T0     temperature before                     K
//	Ta     surroundings                           K
//	U      outer wall surface to surroundings     W/(m.K)   U >= 0
//	t      time it stood                          s         t >= 0
//	C      heat capacity of water and wall        J/(m.K)
//	rho, c density and specific heat of the water kg/m3, J/(kg.K)
//	d, D   bore and outside diameter              m
//
// Valid while the inner film and the wall resist little beside U, so that water
// and wall cool as one, and while U is constant: with the U of the start a bare
// pipe cools 4 to 9 % too fast. Heat in the insulation is not counted, which
// makes an insulated pipe cool 1 to 6 % too fast.
//
// An argument outside its range, NaN or infinite gives an [*InputError].
//
// Source: cooling of a lumped capacity, textbook; from memory.
func CooledInitial(s Segment, before quantity.Temperature, stood quantity.Duration, density, specificHeat float64) (quantity.Temperature, error) {
	s.Initial, s.InitialProfile = before, nil
	c := &fields{}
	c.above0("density", density)
	c.above0("specificHeat", specificHeat)
	c.temperature("before", before)
	c.atLeast0("stood", stood.Seconds())
	s.check(c)
	if err := c.result(); err != nil {
		return quantity.Temperature{}, err
	}
	if s.UA == 0 {
		return before, nil
	}
	water, wall := Front{Density: density, SpecificHeat: specificHeat}.capacities(s)
	ambient := s.Ambient.Kelvin()
	t := ambient + (before.Kelvin()-ambient)*math.Exp(-s.UA*stood.Seconds()/(water+wall))
	if math.IsNaN(t) || math.IsInf(t, 0) {
		return quantity.Temperature{}, &InputError{"Segment", t, "gives no finite temperature"}
	}
	return quantity.Kelvin(t), nil
}

// initialAt is the initial temperature at a share of the length, in K.
func (s *Segment) initialAt(share float64) float64 {
	n := len(s.InitialProfile)
	switch n {
	case 0:
		return s.Initial.Kelvin()
	case 1:
		return s.InitialProfile[0].Kelvin()
	}
	x := share * float64(n-1)
	i := min(int(x), n-2)
	a, b := s.InitialProfile[i].Kelvin(), s.InitialProfile[i+1].Kelvin()
	return a + (x-float64(i))*(b-a)
}

// initialRange is the coldest and the hottest of it.
func (s *Segment) initialRange() (low, high float64) {
	low = s.initialAt(0)
	high = low
	for _, t := range s.InitialProfile {
		low, high = math.Min(low, t.Kelvin()), math.Max(high, t.Kelvin())
	}
	return low, high
}

// volume is the content of the path.
func (f Front) volume() quantity.Volume {
	v := 0.0
	for _, s := range f.Segments {
		v += math.Pi / 4 * s.Bore.Metres() * s.Bore.Metres() * s.Length.Metres()
	}
	return quantity.CubicMetres(v)
}
