package heat

import (
	"math"

	"recirc/calc/air"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

// RadiationSource is where the law of radiation is from.
const RadiationSource source.ID = "grey_surface_radiation"

// stefanBoltzmann is sigma, in W/(m2.K4), exact in the SI of 2019.
const stefanBoltzmann = 5.670374419e-8

// RadiationCoefficient gives the coefficient of radiation, in W/(m2.K)
//
//	h_r = e sigma (Ts^2 + Tr^2)(Ts + Tr)
//
//	e       emissivity of the surface, 0 to 1              1
//	Ts, Tr  surface, and the large surfaces it looks at    K
//
// Times Ts - Tr this is the exact fourth-power law, not an approximation for
// small differences.
//
// Errors: a [*RangeError].
//
// Source: radiation of a small grey surface in large surroundings, textbook
// physics; sigma of CODATA 2018.
func RadiationCoefficient(emissivity float64, surface, surrounding quantity.Temperature) (quantity.SurfaceCoefficient, error) {
	c := quantity.Checks{Operation: "heat.RadiationCoefficient"}
	c.Between("e", emissivity, 0, 1, "1")
	c.Between("Ts", surface.Kelvin(), coldest, hottest, "K")
	c.Between("Tr", surrounding.Kelvin(), coldest, hottest, "K")
	if c.Err != nil {
		return quantity.SurfaceCoefficient{}, c.Err
	}
	return quantity.WattsPerSquareMetreKelvin(radiation(emissivity, surface.Kelvin(), surrounding.Kelvin())), nil
}

func radiation(e, Ts, Tr float64) float64 { return e * stefanBoltzmann * (Ts*Ts + Tr*Tr) * (Ts + Tr) }

// outside is what lies beyond the outermost surface.
type outside struct {
	kind      Kind
	D, H      float64 // diameter of the outermost surface; height of a vertical run, 0: horizontal
	Ta, Tr    float64
	e, speed  float64
	linear    float64         // of what does not depend on temperature: resistance, m.K/W; 0: air
	given     float64         // coefficient of GivenCoefficient
	fixed     *air.Properties // stands in for the air's own properties, for tests with a table's
	standing  Notes           // that hold at every temperature
	perimeter float64
}

func (p *Pipe) outside(diameter float64) outside {
	s := &p.Surroundings
	o := outside{
		kind: s.Kind, D: diameter, Ta: s.Temperature.Kelvin(), Tr: s.radiant(), e: s.Emissivity,
		speed: s.AirSpeed.MetresPerSecond(), perimeter: math.Pi * diameter,
	}
	switch s.Kind {
	case GivenCoefficient:
		o.given = s.Coefficient.WattsPerSquareMetreKelvin()
		o.linear = 1 / (o.perimeter * o.given)
	case Buried, InSlab:
		o.linear = 1 / (s.GroundConductivity.WattsPerMetreKelvin() * shapeFactor(s.Kind, diameter, s.Depth.Metres()))
		if s.Kind == InSlab && s.Depth.Metres() < diameter {
			o.standing |= noteShallow
		}
	}
	if o.linear == 0 && p.Orientation == Vertical {
		o.H = heightOr(p.Height.Metres())
		if p.Height.Metres() == 0 {
			o.standing |= noteHeight
		}
	}
	return o
}

// face is the outermost surface at one temperature.
type face struct {
	flux, slope           float64 // loss, W/m, and what it gains per kelvin of the surface
	convection, radiation float64 // W/(m2.K)
	film                  convection
}

// at gives the loss of a surface of a temperature. The slope is good to a few
// percent, which is all that a search for the temperature needs.
func (o *outside) at(Ts float64) (face, error) {
	if o.linear > 0 {
		return face{flux: (Ts - o.Ta) / o.linear, slope: 1 / o.linear, convection: o.given}, nil
	}
	Tf := (Ts + o.Ta) / 2
	film := o.fixed
	if film == nil {
		own, err := air.At(quantity.Kelvin(Tf))
		if err != nil {
			return face{}, err
		}
		film = &own
	}
	f := face{film: o.convection(Ts-o.Ta, film), radiation: radiation(o.e, Ts, o.Tr)}
	f.convection = f.film.coefficient
	f.flux = o.perimeter * (f.convection*(Ts-o.Ta) + f.radiation*(Ts-o.Tr))
	// Of air, nu alpha goes as T^3.5, beta as 1/T and conductivity as T^0.86.
	n := f.film.exponent
	drift := (Ts - o.Ta) / Tf * (2.25*n - 0.43)
	f.slope = o.perimeter * (f.convection*(1+n-drift) + 4*o.e*stefanBoltzmann*Ts*Ts*Ts)
	return f, nil
}

func (o *outside) convection(difference float64, film *air.Properties) convection {
	var natural convection
	length := o.D
	if o.H > 0 {
		length = o.H
		natural = vertical(o.D, o.H, difference, film)
	} else {
		natural = horizontal(o.D, difference, film)
	}
	if o.kind != MovingAir {
		return natural
	}
	// Grashof number of the diameter, as the Reynolds number is.
	part := o.D / length
	return windy(crossflow(o.D, o.speed, film), natural, natural.rayleigh/film.Prandtl()*part*part*part)
}
