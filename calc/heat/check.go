package heat

import (
	"recirc/calc/air"
	"recirc/calc/quantity"
)

// RangeError is the error of this package: an argument outside its range, or
// one that is no number.
type RangeError = quantity.RangeError

// Bounds far beyond any building. They keep every sum and quotient finite.
const (
	thinnest, thickest     = 1e-5, 20.0 // diameters, m
	leastK, greatestK      = 1e-4, 1e4  // conductivities, W/(m.K)
	coldest, hottest       = 100, 1000  // K
	leastFilm, greatestOne = 1e-3, 1e6  // coefficients, W/(m2.K)
	greatestHeat           = 1e8        // rho cp, J/(m3.K)
	greatestLength         = 1e5        // m
	leastHeight            = 1e-3       // m
	greatestSpeed          = 200        // of air, m/s
	greatestDepth          = 1e4        // m
)

// check looks at the pipe itself. coolest and warmest are the ends of the
// temperatures that it will have.
func (p *Pipe) check(c *quantity.Checks, coolest, warmest float64) {
	bore, outside := p.Tube.Bore.Metres(), p.Tube.Outside.Metres()
	c.Between("Bore", bore, thinnest, thickest, "m")
	c.Between("Outside", outside, bore, thickest, "m")
	if outside > bore {
		c.Between("wall conductivity", p.Tube.Conductivity.WattsPerMetreKelvin(), leastK, greatestK, "W/(m.K)")
	}
	c.Between("wall heat capacity", p.Tube.HeatCapacity, 0, greatestHeat, "J/(m3.K)")
	c.Between("Roughness", p.Tube.Roughness.Metres(), 0, bore/10, "m")
	c.Between("number of layers", float64(len(p.Layers)), 0, MaxLayers, "1")
	for i := range p.Layers {
		p.Layers[i].check(c, coolest, warmest)
	}
	checkHeight(c, p.Height)
	c.Between("FittingsAllowance", p.FittingsAllowance, 0, 100, "1")
	if p.Orientation != "" && p.Orientation != Horizontal && p.Orientation != Vertical && c.Err == nil {
		c.Err = &UnknownError{Operation: c.Operation, What: "orientation", Name: string(p.Orientation)}
	}
}

// check demands a conductivity above zero wherever the layer may be warm, so that
// heat flows one way and the layers' temperatures are unique.
func (l *Layer) check(c *quantity.Checks, coolest, warmest float64) {
	c.Between("Thickness", l.Thickness.Metres(), 0, thickest, "m")
	c.Between("PerKelvin", l.Conductivity.PerKelvin, -greatestK, greatestK, "W/(m.K2)")
	c.Between("conductivity at the coldest", l.Conductivity.at(coolest), leastK, greatestK, "W/(m.K)")
	c.Between("conductivity at the warmest", l.Conductivity.at(warmest), leastK, greatestK, "W/(m.K)")
	c.Between("layer heat capacity", l.HeatCapacity, 0, greatestHeat, "J/(m3.K)")
}

// checkHeight lets a height be unknown, or one that a pipe can have.
func checkHeight(c *quantity.Checks, h quantity.Length) {
	if h != (quantity.Length{}) {
		c.Between("Height", h.Metres(), leastHeight, greatestLength, "m")
	}
}

// check looks at what the kind reads, temperatures apart.
func (s *Surroundings) check(c *quantity.Checks, diameter, coolest, warmest float64) {
	T := s.Temperature.Kelvin()
	switch s.Kind {
	case StillAir, MovingAir:
		c.Between("Emissivity", s.Emissivity, 0, 1, "1")
		c.Between("coldest film temperature", (T+coolest)/2, air.Coldest, air.Hottest, "K")
		c.Between("warmest film temperature", (T+warmest)/2, air.Coldest, air.Hottest, "K")
		if s.Kind == MovingAir {
			c.Between("AirSpeed", s.AirSpeed.MetresPerSecond(), 0, greatestSpeed, "m/s")
		}
	case Buried, InSlab:
		c.Between("GroundConductivity", s.GroundConductivity.WattsPerMetreKelvin(), leastK, greatestK, "W/(m.K)")
		// Nearer than this the pipe would stand out of the surface.
		c.Between("Depth", s.Depth.Metres(), diameter/2*(1+1e-9), greatestDepth, "m")
	case GivenCoefficient:
		c.Between("Coefficient", s.Coefficient.WattsPerSquareMetreKelvin(), leastFilm, greatestOne, "W/(m2.K)")
	default:
		if c.Err == nil {
			c.Err = &UnknownError{Operation: c.Operation, What: "kind of surroundings", Name: string(s.Kind)}
		}
	}
}

// radiant is the temperature of what the pipe radiates to.
func (s *Surroundings) radiant() float64 {
	air := s.Kind == StillAir || s.Kind == MovingAir
	if T := s.Radiant.Kelvin(); air && T != 0 {
		return T
	}
	return s.Temperature.Kelvin()
}

// UnknownError is a name that is not of its list.
type UnknownError struct{ Operation, What, Name string }

func (e *UnknownError) Error() string {
	return e.Operation + ": there is no " + e.What + " " + `"` + e.Name + `"`
}
