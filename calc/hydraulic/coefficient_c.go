package hydraulic

import (
	_ "embed"
	"slices"
	"strings"

	"recirc/calc/internal/table"
	"recirc/calc/source"
)

//go:embed data/hazen_williams_c.csv
var coefficientsCSV string

// CoefficientC is one published value of C for [HazenWilliamsGradient].
type CoefficientC struct {
	ID, Description string // as printed
	Low, High       float64

	Source source.ID
	Status source.Status
	Note   string

	materials []string
}

// Materials lists the materials of the catalogue of tubes that it covers; none if
// it is for something that the catalogue does not have. The list is the caller's.
func (c CoefficientC) Materials() []string { return slices.Clone(c.materials) }

var coefficients = readCoefficients()

// CoefficientsC lists the published values. They go from 130 to 150 for copper,
// which is 30 % of the loss; none is preferred here. The list is the caller's own.
func CoefficientsC() []CoefficientC { return slices.Clone(coefficients) }

func readCoefficients() []CoefficientC {
	var all []CoefficientC
	for _, r := range table.MustRead(coefficientsCSV) {
		all = append(all, CoefficientC{
			ID: r.Text("id"), Description: r.Text("description"), Low: r.Number("low"), High: r.Number("high"),
			Source: source.ID(r.Text("source")), Status: source.Status(r.Text("status")), Note: r.Text("note"),
			materials: strings.Fields(r.Text("materials")),
		})
	}
	return all
}
