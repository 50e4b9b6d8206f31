package hydraulic

import (
	_ "embed"
	"slices"
	"strings"

	"recirc/calc/internal/table"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

//go:embed data/velocity_limits.csv
var velocityLimitsCSV string

// VelocityLimit is one published limit on the velocity of water in pipes.
type VelocityLimit struct {
	ID, Document string
	Nominal      string // size it is for, in inches, a label; "" for any
	Service      string // as printed

	Above quantity.Temperature // of the water; zero: no bound
	UpTo  quantity.Temperature // of the water, included; zero: no bound

	Least    quantity.Velocity // zero: none
	Greatest quantity.Velocity

	Source source.ID
	Status source.Status
	Note   string

	materials []string
}

// Materials lists the materials of the catalogue of tubes that it is for; none
// stands for any. The list is the caller's own.
func (l VelocityLimit) Materials() []string { return slices.Clone(l.materials) }

// Applies reports that the limit is for a material and a temperature of the
// water. Size and service are for the caller to judge.
func (l VelocityLimit) Applies(material string, water quantity.Temperature) bool {
	T, above, upTo := water.Kelvin(), l.Above.Kelvin(), l.UpTo.Kelvin()
	return (len(l.materials) == 0 || slices.Contains(l.materials, material)) &&
		(above == 0 || T > above+sameTemperature) && (upTo == 0 || T <= upTo+sameTemperature)
}

// sameTemperature is the slack, in K, with which 140 degF is 60 degC.
const sameTemperature = 1e-6

var velocityLimits = readVelocityLimits()

// VelocityLimits lists the published limits. They disagree; the caller selects.
// The list is the caller's own.
func VelocityLimits() []VelocityLimit { return slices.Clone(velocityLimits) }

// VelocityLimitOf finds a limit by its id, and false if there is none.
func VelocityLimitOf(id string) (VelocityLimit, bool) {
	return find(velocityLimits, func(row *VelocityLimit) bool { return row.ID == id })
}

func readVelocityLimits() []VelocityLimit {
	var all []VelocityLimit
	for _, r := range table.MustRead(velocityLimitsCSV) {
		per := quantity.VelocityDimension.MustUnit(r.Text("unit")).Factor
		least, _ := r.Optional("least")
		all = append(all, VelocityLimit{
			ID: r.Text("id"), Document: r.Text("document"), Nominal: r.Text("nominal"), Service: r.Text("service"),
			Above: fahrenheit(r, "above_degF"), UpTo: fahrenheit(r, "up_to_degF"),
			Least: quantity.MetresPerSecond(least * per), Greatest: quantity.MetresPerSecond(r.Number("greatest") * per),
			Source: source.ID(r.Text("source")), Status: source.Status(r.Text("status")), Note: r.Text("note"),
			materials: strings.Fields(r.Text("materials")),
		})
	}
	return all
}

// fahrenheit reads a temperature, zero if the cell is empty.
func fahrenheit(r table.Row, column string) quantity.Temperature {
	F, ok := r.Optional(column)
	if !ok {
		return quantity.Temperature{}
	}
	degF := quantity.TemperatureDimension.MustUnit("degF")
	return quantity.Kelvin(degF.ToSI(F))
}
