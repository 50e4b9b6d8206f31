package heat

import "math"

// chain is what lies between the water and the outermost surface.
type chain struct {
	water float64 // K
	film  float64 // resistance of the film inside, m.K/W
	wall  float64 // of the wall
	n     int
	shell [MaxLayers]shell
}

// shell is a layer of insulation.
type shell struct {
	factor         float64 // ln(d2/d1)/(2 pi)
	k, per, refers float64 // conductivity k + per (Tm - refers)
}

func (p *Pipe) chain() (c chain, diameter float64) {
	d := p.Tube.Outside.Metres()
	if bore := p.Tube.Bore.Metres(); d > bore {
		c.wall = math.Log(d/bore) / (2 * math.Pi * p.Tube.Conductivity.WattsPerMetreKelvin())
	}
	c.n = len(p.Layers)
	for i := range p.Layers {
		l := &p.Layers[i]
		outer := d + 2*l.Thickness.Metres()
		c.shell[i] = shell{
			factor: math.Log(outer/d) / (2 * math.Pi),
			k:      l.Conductivity.K.WattsPerMetreKelvin(), per: l.Conductivity.PerKelvin, refers: l.Conductivity.Reference.Kelvin(),
		}
		d = outer
	}
	return c, d
}

// surface gives the temperature of the outermost surface when q W/m flow through,
// and how fast it falls with q, in m.K/W. Layer by layer it solves
//
//	q ln(d2/d1)/(2 pi) = k(Tm) (T1 - T2),  Tm = (T1 + T2)/2
//
// which is quadratic in T1 - T2 where k depends on temperature. It is false if
// no difference carries that much heat, because k would fall below zero first.
func (c *chain) surface(q float64) (T, fall float64, ok bool) {
	fall = c.film + c.wall
	T = c.water - q*fall
	for i := range c.n {
		s := &c.shell[i]
		if s.per == 0 {
			r := s.factor / s.k
			T, fall = T-q*r, fall+r
			continue
		}
		k1 := s.k + s.per*(T-s.refers)
		square := k1*k1 - 2*s.per*q*s.factor
		if !(k1 > 0 && square > 0) {
			return 0, 0, false
		}
		k2 := math.Sqrt(square) // conductivity at the outer side
		T -= 2 * q * s.factor / (k1 + k2)
		fall = (k1*fall + s.factor) / k2
	}
	return T, fall, true
}

// insulation gives the resistance of the layers when q W/m flow through.
func (c *chain) insulation(q float64) float64 {
	T, sum := c.water-q*(c.film+c.wall), 0.0
	for i := range c.n {
		r := c.shell[i].resistance(T, q)
		T, sum = T-q*r, sum+r
	}
	return sum
}

// resistance of a shell whose inner side is at T.
func (s *shell) resistance(T, q float64) float64 {
	k1 := s.k + s.per*(T-s.refers)
	if s.per == 0 {
		return s.factor / s.k
	}
	return 2 * s.factor / (k1 + math.Sqrt(max(0, k1*k1-2*s.per*q*s.factor)))
}
