// Package heat gives what a pipe loses to its surroundings: per metre, along
// its length with flow, and in time without.
package heat

import (
	"math"

	"recirc/calc/quantity"
)

// Pipe is a metre of pipe with what is around it.
type Pipe struct {
	Tube         Tube
	Layers       []Layer // of insulation, from the tube outwards; none: bare
	Surroundings Surroundings

	Orientation Orientation
	// Height of a vertical run. Zero: not known, and [HeightAssumed] is used; that
	// matters little, because the film of a tall pipe hardly depends on it.
	Height quantity.Length

	// FittingsAllowance raises the loss for valves, fittings and hangers: 0.10 adds
	// 10 %. The resistances are those of the pipe itself.
	FittingsAllowance float64
}

// Tube is the wall between water and insulation.
type Tube struct {
	Bore, Outside quantity.Length       // inside and outside diameter
	Conductivity  quantity.Conductivity // of the wall
	HeatCapacity  float64               // rho cp of the wall, J/(m3.K)
	Roughness     quantity.Length       // of the bore; zero: smooth
}

// Layer is one layer of insulation.
type Layer struct {
	Thickness    quantity.Length
	Conductivity Conductivity
	HeatCapacity float64 // rho cp, J/(m3.K); 0: stores nothing
}

// Conductivity is linear in the mean temperature of a layer
//
//	k = K + PerKelvin (Tm - Reference)
//
// which for a linear material is exact, not an approximation: the integral of
// k dT over the layer is k(Tm) times the difference.
type Conductivity struct {
	K         quantity.Conductivity
	Reference quantity.Temperature // at which K holds
	PerKelvin float64              // W/(m.K) per K; 0: constant
}

// Constant is a conductivity that does not change with temperature.
func Constant(k quantity.Conductivity) Conductivity { return Conductivity{K: k} }

// At is the conductivity at a mean temperature of the layer.
func (c Conductivity) At(mean quantity.Temperature) quantity.Conductivity {
	return quantity.WattsPerMetreKelvin(c.at(mean.Kelvin()))
}

func (c Conductivity) at(T float64) float64 {
	return c.K.WattsPerMetreKelvin() + c.PerKelvin*(T-c.Reference.Kelvin())
}

// Orientation of a pipe.
type Orientation string

// The orientations; "" is Horizontal.
const (
	Horizontal Orientation = "horizontal"
	Vertical   Orientation = "vertical"
)

// HeightAssumed is the height of a vertical run that is not known, in metres: a
// storey, common practice.
const HeightAssumed = 3.0

// MaxLayers is how many layers a pipe may have.
const MaxLayers = 8

// OuterDiameter is that of whatever is outermost.
func (p Pipe) OuterDiameter() quantity.Length {
	d := p.Tube.Outside.Metres()
	for _, l := range p.Layers {
		d += 2 * l.Thickness.Metres()
	}
	return quantity.Metres(d)
}

// ring is the area between two diameters.
func ring(inner, outer float64) float64 { return math.Pi / 4 * (outer - inner) * (outer + inner) }
