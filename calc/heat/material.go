package heat

import (
	_ "embed"
	"slices"

	"recirc/calc/internal/table"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

//go:embed data/materials.csv
var materialsCSV string

//go:embed data/emissivities.csv
var emissivitiesCSV string

// Material is what the wall of a tube is made of.
type Material struct {
	ID           string // as the catalogue of tubes has it
	Conductivity quantity.Conductivity
	Density      float64 // kg/m3
	SpecificHeat float64 // J/(kg.K)
	Surface      string  // of an ordinary tube, see [EmissivityOf]

	Source source.ID
	Status source.Status
	Note   string
}

// HeatCapacity is rho cp, in J/(m3.K), as [Tube] has it.
func (m Material) HeatCapacity() float64 { return m.Density * m.SpecificHeat }

// Emissivity of a surface.
type Emissivity struct {
	ID, Title string
	Low, High float64 // in print
	Value     float64 // to use where no more is known

	Source source.ID
	Status source.Status
	Note   string
}

var (
	materials    = readMaterials()
	emissivities = readEmissivities()
)

// Materials lists the materials in their order. The list is the caller's own.
func Materials() []Material { return slices.Clone(materials) }

// MaterialOf finds the properties of a wall by the material's id, and false if
// there are none.
func MaterialOf(id string) (Material, bool) {
	i := slices.IndexFunc(materials, func(m Material) bool { return m.ID == id })
	if i < 0 {
		return Material{}, false
	}
	return materials[i], true
}

// Emissivities lists the surfaces in their order. The list is the caller's own.
func Emissivities() []Emissivity { return slices.Clone(emissivities) }

// EmissivityOf finds the emissivity of a surface by its id, and false if there
// is none.
func EmissivityOf(id string) (Emissivity, bool) {
	i := slices.IndexFunc(emissivities, func(e Emissivity) bool { return e.ID == id })
	if i < 0 {
		return Emissivity{}, false
	}
	return emissivities[i], true
}

// JacketSurface is the surface of pipe insulation of which no more is known.
const JacketSurface = "jacket_nonmetal"

func readMaterials() []Material {
	var all []Material
	for _, r := range table.MustRead(materialsCSV) {
		all = append(all, Material{
			ID: r.Text("id"), Conductivity: quantity.WattsPerMetreKelvin(r.Number("conductivity_W_mK")),
			Density: r.Number("density_kg_m3"), SpecificHeat: r.Number("specific_heat_J_kgK"), Surface: r.Text("surface"),
			Source: source.ID(r.Text("source")), Status: source.Status(r.Text("status")), Note: r.Text("note"),
		})
	}
	return all
}

func readEmissivities() []Emissivity {
	var all []Emissivity
	for _, r := range table.MustRead(emissivitiesCSV) {
		all = append(all, Emissivity{
			ID: r.Text("id"), Title: r.Text("title"), Low: r.Number("low"), High: r.Number("high"), Value: r.Number("value"),
			Source: source.ID(r.Text("source")), Status: source.Status(r.Text("status")), Note: r.Text("note"),
		})
	}
	return all
}
