package heat

import (
	"math"

	"recirc/calc/air"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

// Where the correlations of natural convection are published.
const (
	HorizontalSource source.ID = "churchill_chu_1975_cylinder"
	PlateSource      source.ID = "churchill_chu_1975_plate"
	SlenderSource    source.ID = "popiel_2008"
)

// convection is a film of air at one surface temperature.
type convection struct {
	coefficient float64 // W/(m2.K)
	exponent    float64 // d ln h/d ln |Ts - Ta|, properties held
	rayleigh    float64
	reynolds    float64
	notes       Notes
}

// horizontal gives natural convection about a horizontal cylinder
//
//	Nu = {0.60 + 0.387 Ra^(1/6)/[1 + (0.559/Pr)^(9/16)]^(8/27)}^2
//	Ra = g beta |Ts - Ta| D^3/(nu alpha)
//
//	D         diameter of the outermost surface    m
//	Ts, Ta    surface and air                      K
//	nu,alpha  of the air at (Ts + Ta)/2            m2/s
//
// Valid for 1e-5 < Ra < 1e12, which no pipe leaves except one as cold as its
// air; there Nu tends to 0.36. Other correlations in use (Morgan; Kuehn and
// Goldstein) differ from it by up to 10 %.
//
// Source: Churchill and Chu (1975), Int. J. Heat Mass Transfer 18, 1049.
func horizontal(D, difference float64, film *air.Properties) convection {
	ra := rayleigh(D, difference, film)
	x := buoyancy(ra, 0.559, math.Log(film.Prandtl()))
	root := 0.60 + x
	c := convection{coefficient: root * root * film.Conductivity / D, exponent: x / (3 * root), rayleigh: ra}
	if !(ra > 1e-5 && ra < 1e12) {
		c.notes |= noteNaturalRange
	}
	return c
}

// vertical gives natural convection about a vertical cylinder: that of a plate of
// its height, and more by the factor of its curvature
//
//	Nu = Nu_plate [1 + B xi^C],  xi = sqrt(32) Gr^(-1/4) H/D
//	Nu_plate = {0.825 + 0.387 Ra^(1/6)/[1 + (0.492/Pr)^(9/16)]^(8/27)}^2
//	B = 0.0571322 + 0.20305 Pr^-0.43
//	C = 0.9165 - 0.0043 Pr^0.5 + 0.01333 ln Pr + 0.0004809/Pr
//
//	H       height of the run; Nu, Gr and Ra = Gr Pr are of this length   m
//	D       diameter of the outermost surface                             m
//
// The plate is valid for 0.1 < Ra < 1e12. The factor was fitted to laminar
// numerical results; here it also raises turbulent films, as on the tall thin
// pipes of a building, which the plate alone would leave a quarter lower. Beyond
// xi = 5 a note says so. In xi, Gr counts as 1e5 at least: without that the film
// would rise again, without end, as a pipe comes within a hundredth of a kelvin
// of its air.
//
// Source: Churchill and Chu (1975), Int. J. Heat Mass Transfer 18, 1323; Popiel
// (2008), Heat Transfer Engineering 29, 521; both from memory.
func vertical(D, H, difference float64, film *air.Properties) convection {
	ra := rayleigh(H, difference, film)
	pr := film.Prandtl()
	logPr := math.Log(pr)
	x := buoyancy(ra, 0.492, logPr)
	root := 0.825 + x
	B := 0.0571322 + 0.20305*math.Exp(-0.43*logPr)
	C := 0.9165 - 0.0043*math.Sqrt(pr) + 0.01333*logPr + 0.0004809/pr
	grashof, bend := ra/pr, -C/4
	if grashof < 1e5 {
		grashof, bend = 1e5, 0
	}
	xi := math.Sqrt(32) * H / D / math.Sqrt(math.Sqrt(grashof))
	c := convection{rayleigh: ra}
	if !(ra > 0.1 && ra < 1e12) {
		c.notes |= noteNaturalRange
	}
	if !(xi <= 5) {
		c.notes |= noteSlender
	}
	gain := B * math.Exp(C*math.Log(xi))
	c.coefficient = root * root * (1 + gain) * film.Conductivity / H
	c.exponent = x/(3*root) + bend*gain/(1+gain)
	return c
}

func rayleigh(length, difference float64, film *air.Properties) float64 {
	return quantity.StandardGravity * film.Expansion * math.Abs(difference) * length * length * length /
		(film.KinematicViscosity() * film.Diffusivity())
}

// buoyancy is 0.387 Ra^(1/6)/[1 + (c/Pr)^(9/16)]^(8/27), by logarithms, because
// this is where most of the time of a loss goes.
func buoyancy(ra, c, logPr float64) float64 {
	if ra == 0 {
		return 0
	}
	return 0.387 * math.Exp(math.Log(ra)/6-8.0/27*math.Log(1+math.Exp(9.0/16*(math.Log(c)-logPr))))
}

// Convection is a film of air.
type Convection struct {
	Coefficient quantity.SurfaceCoefficient
	Nusselt     float64 // by the diameter, or by the height of a vertical pipe
	Rayleigh    float64 // by the same length
}

// Still is a pipe in still air.
type Still struct {
	Diameter    quantity.Length // of the outermost surface
	Orientation Orientation
	Height      quantity.Length // of a vertical run; zero: [HeightAssumed]
}

// NaturalConvection gives the film of still air about a surface of known
// temperature; what [Pipe.Loss] uses, for checks against print.
//
// Errors: a [*RangeError], also where the mean of the two temperatures is
// outside 200 to 400 K.
//
// Source: Churchill and Chu (1975); Popiel (2008) for a vertical pipe.
func NaturalConvection(s Still, surface, surrounding quantity.Temperature) (Convection, error) {
	c := quantity.Checks{Operation: "heat.NaturalConvection"}
	D, H := s.Diameter.Metres(), s.Height.Metres()
	c.Between("Diameter", D, thinnest, thickest, "m")
	checkHeight(&c, s.Height)
	c.Between("surface temperature", surface.Kelvin(), coldest, hottest, "K")
	c.Between("air temperature", surrounding.Kelvin(), coldest, hottest, "K")
	if c.Err != nil {
		return Convection{}, c.Err
	}
	film, err := air.At(quantity.Kelvin((surface.Kelvin() + surrounding.Kelvin()) / 2))
	if err != nil {
		return Convection{}, err
	}
	difference, length := surface.Kelvin()-surrounding.Kelvin(), D
	var v convection
	if s.Orientation == Vertical {
		length = heightOr(H)
		v = vertical(D, length, difference, &film)
	} else {
		v = horizontal(D, difference, &film)
	}
	return Convection{
		Coefficient: quantity.WattsPerSquareMetreKelvin(v.coefficient),
		Nusselt:     v.coefficient * length / film.Conductivity, Rayleigh: v.rayleigh,
	}, nil
}

func heightOr(H float64) float64 {
	if H == 0 {
		return HeightAssumed
	}
	return H
}
