package heat

import (
	"math"

	"recirc/calc/quantity"
	"recirc/calc/water"
)

// Capacity is the heat that a metre of standing pipe gives up per kelvin, in
// J/(m.K).
type Capacity struct {
	Water, Wall float64
	Insulation  float64 // as far as it counts
	Share       float64 // of the insulation's whole capacity that counts, 0..1; 0 without any
}

// Total is the sum.
func (c Capacity) Total() float64 { return c.Water + c.Wall + c.Insulation }

// Capacity gives the heat capacity of a metre of pipe for its cooling
//
//	C = rho cp pi/4 d^2 + C_wall + sum_j w_j C_j
//	w_j = mean of [(T - Te)/(Tw - Te)]^2 over the layer j, in the steady state
//
//	rho, cp  of the water at the temperature   kg/m3, J/(kg.K)
//	d        bore                              m
//	C_wall   rho cp of the wall, its area      J/(m.K)
//	C_j      likewise of each layer            J/(m.K)
//
// The wall counts in full: it is nearly as warm as the water. Insulation counts
// by the mean square of its temperature, for two reasons of equal weight: what is
// half as warm gives up half as much, and what it gives up has only half the way
// to go. With w_j the slowest mode of cooling is right to the second order
// (Rayleigh's quotient with the steady profile). It is 0.12 to 0.4 for ordinary
// covers, least for thick ones. Counting all would make the time 3 to 10 % too
// long, counting none 1 to 6 % too short; this is within 0.3 % of a solution
// resolved in the radius. share, if not nil, takes its place for all layers.
//
// Valid from 0 to 110 degC. Errors: a [*RangeError] or an [*UnknownError].
//
// Source: definition of heat capacity; the weight is derived here, after
// Rayleigh's principle.
func (p Pipe) Capacity(at quantity.Temperature, share *float64) (Capacity, error) {
	const op = "heat.Pipe.Capacity"
	w, err := water.At(at)
	if err != nil {
		return Capacity{}, err
	}
	m, err := p.model(op, at.Kelvin(), at.Kelvin(), quantity.Flow{})
	if err != nil {
		return Capacity{}, err
	}
	s, err := m.at(at.Kelvin())
	if err != nil {
		return Capacity{}, err
	}
	store, err := p.store(op, share)
	if err != nil {
		return Capacity{}, err
	}
	return store.at(&m, &s, &w), nil
}

// store is what of a pipe's capacity does not change with temperature.
type store struct {
	bore   float64 // area of the bore, m2
	wall   float64 // J/(m.K)
	layer  [MaxLayers]float64
	length [MaxLayers]float64 // ln(d2/d1) of each layer
	whole  float64            // of all layers
	share  *float64
}

func (p *Pipe) store(operation string, share *float64) (store, error) {
	if share != nil {
		if err := quantity.Between(operation, "share", *share, 0, 1, "1"); err != nil {
			return store{}, err
		}
	}
	bore, d := p.Tube.Bore.Metres(), p.Tube.Outside.Metres()
	s := store{bore: ring(0, bore), wall: p.Tube.HeatCapacity * ring(bore, d), share: share}
	for i := range p.Layers {
		outer := d + 2*p.Layers[i].Thickness.Metres()
		s.layer[i], s.length[i] = p.Layers[i].HeatCapacity*ring(d, outer), math.Log(outer/d)
		s.whole += s.layer[i]
		d = outer
	}
	return s, nil
}

// at gives the capacity in a steady state.
func (s *store) at(m *model, at *state, w *water.Properties) Capacity {
	c := Capacity{Water: w.VolumetricHeat() * s.bore, Wall: s.wall}
	switch {
	case s.whole == 0:
		return c
	case s.share != nil:
		c.Insulation, c.Share = *s.share*s.whole, *s.share
		return c
	}
	T := m.chain.water - at.q*(m.chain.film+m.chain.wall)
	inner := 1 - at.UA*(m.chain.film+m.chain.wall) // (T - Te)/(Tw - Te)
	for i := range m.chain.n {
		r := m.chain.shell[i].resistance(T, at.q)
		T -= at.q * r
		outer := inner - at.UA*r
		c.Insulation += s.layer[i] * meanSquare(inner, outer, s.length[i])
		inner = outer
	}
	c.Share = c.Insulation / s.whole
	return c
}

// meanSquare gives the mean over the area of the square of a quantity that falls
// from a to b with the logarithm of the radius
//
//	(2/(e^2L - 1)) integral_0^L e^2x (a - m x)^2 dx,  m = (a - b)/L, L = ln(r2/r1)
func meanSquare(a, b, L float64) float64 {
	if L < 1e-3 { // flat, where the closed form loses its digits
		return (a*a + a*b + b*b) / 3
	}
	m := (a - b) / L
	primitive := func(y float64) float64 { return y*y/2 + m*y/2 + m*m/4 }
	growth := math.Exp(2 * L)
	return 2 / (growth - 1) * (growth*primitive(b) - primitive(a))
}
