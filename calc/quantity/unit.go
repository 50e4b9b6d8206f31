// Package quantity has a type for every physical quantity of the trade, its
// units, and exact conversion between them. Values are SI inside; a unit is met
// only where a request is read or an answer is written.
package quantity

import (
	"fmt"
	"sort"
)

// Unit is one accepted unit of a [Dimension]: SI = value*Factor + Offset.
type Unit struct {
	Symbol string
	Factor float64 // from this unit to the SI unit, correctly rounded from the exact ratio
	Offset float64 // only temperature has one
}

// ToSI converts a value in this unit.
func (u Unit) ToSI(value float64) float64 { return value*u.Factor + u.Offset }

// FromSI converts an SI value to this unit.
func (u Unit) FromSI(si float64) float64 { return (si - u.Offset) / u.Factor }

// Dimension is a kind of quantity with the units accepted for it.
type Dimension struct {
	Name  string // as the contract names its schema
	Units []Unit // SI first
	SI    Unit   // written when an answer is in unit system si
	US    Unit   // written when an answer is in unit system us_customary
}

// Unit finds a unit by its symbol.
func (d *Dimension) Unit(symbol string) (Unit, bool) {
	for _, u := range d.Units {
		if u.Symbol == symbol {
			return u, true
		}
	}
	return Unit{}, false
}

// MustUnit finds the unit of a table that is part of the program. It panics if
// there is none.
func (d *Dimension) MustUnit(symbol string) Unit {
	u, ok := d.Unit(symbol)
	if !ok {
		panic(fmt.Sprintf("quantity: %s has no unit %q", d.Name, symbol))
	}
	return u
}

// Symbols lists the accepted units.
func (d *Dimension) Symbols() []string {
	s := make([]string, len(d.Units))
	for i, u := range d.Units {
		s[i] = u.Symbol
	}
	return s
}

// Dimensions lists every dimension, by name.
func Dimensions() []*Dimension {
	all := []*Dimension{
		LengthDimension, AreaDimension, VolumeDimension, VolumePerLengthDimension, FlowDimension, VelocityDimension, DurationDimension,
		TemperatureDimension, TemperatureDifferenceDimension, ConductivityDimension, SurfaceCoefficientDimension,
		ThermalResistanceDimension, LinearHeatLossDimension, LinearTransmittanceDimension, LinearResistanceDimension, HeatFlowDimension, EnergyDimension, PressureDimension,
		PressureGradientDimension, PowerDimension, MassDimension, EmissionFactorDimension,
		FlowCoefficientDimension,
	}
	sort.Slice(all, func(i, j int) bool { return all[i].Name < all[j].Name })
	return all
}

// DimensionsOf lists the names of the dimensions that accept a unit.
func DimensionsOf(symbol string) []string {
	var names []string
	for _, d := range Dimensions() {
		if _, ok := d.Unit(symbol); ok {
			names = append(names, d.Name)
		}
	}
	return names
}
