package hydraulic

import (
	_ "embed"
	"slices"

	"recirc/calc/internal/table"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

//go:embed data/roughness.csv
var roughnessCSV string

// Roughness is the absolute roughness inside new tube of a material.
type Roughness struct {
	ID        string          // of the material, as the catalogue of tubes has it
	Value     quantity.Length // to use where no more is known
	Low, High quantity.Length // in use

	Source source.ID
	Status source.Status
	Note   string
}

var roughnesses = readRoughnesses()

// Roughnesses lists the roughness of every material. The list is the caller's own.
func Roughnesses() []Roughness { return slices.Clone(roughnesses) }

// RoughnessOf finds the roughness of a wall by the material's id, and false if
// there is none.
func RoughnessOf(material string) (Roughness, bool) {
	return find(roughnesses, func(row *Roughness) bool { return row.ID == material })
}

func readRoughnesses() []Roughness {
	var all []Roughness
	for _, r := range table.MustRead(roughnessCSV) {
		all = append(all, Roughness{
			ID: r.Text("id"), Value: quantity.Millimetres(r.Number("value_mm")),
			Low: quantity.Millimetres(r.Number("low_mm")), High: quantity.Millimetres(r.Number("high_mm")),
			Source: source.ID(r.Text("source")), Status: source.Status(r.Text("status")), Note: r.Text("note"),
		})
	}
	return all
}
