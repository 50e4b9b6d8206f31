package economics

import (
	_ "embed"
	"slices"

	"recirc/calc/internal/table"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

//go:embed data/emission_factors.csv
var emissionFactorsCSV string

//go:embed data/heat_contents.csv
var heatContentsCSV string

// Carrier is what energy is bought as.
type Carrier string

// The carriers.
const (
	Electricity           Carrier = "electricity"
	NaturalGas            Carrier = "natural_gas"
	FuelOil               Carrier = "fuel_oil"
	LiquefiedPetroleumGas Carrier = "liquefied_petroleum_gas"
)

// EmissionFactor is the mass of a gas given off for the energy delivered.
type EmissionFactor struct {
	ID, Title    string
	Carrier      Carrier
	Gas          string // CO2, CH4 or N2O
	Region, Year string
	Published    string // as its source prints it, such as "53.06 kg/mmBtu"

	KilogramsPerJoule float64 // of fuels by high heat value

	Source source.ID
	Status source.Status
	Note   string
}

// HeatContent is the high heat value of a fuel by volume.
type HeatContent struct {
	ID, Title    string
	Carrier      Carrier
	Region, Year string
	Published    string // as its source prints it, such as "1038 Btu/ft3"

	JoulesPerCubicMetre float64

	Source source.ID
	Status source.Status
	Note   string
}

var (
	emissionFactors = readEmissionFactors()
	heatContents    = readHeatContents()
)

// EmissionFactors lists the published factors, in the order of the table. The list
// is the caller's own.
func EmissionFactors() []EmissionFactor { return slices.Clone(emissionFactors) }

// HeatContents lists the published heat contents, in the order of the table. The
// list is the caller's own.
func HeatContents() []HeatContent { return slices.Clone(heatContents) }

// FindEmissionFactor finds a factor by its exact id, and false if there is none.
func FindEmissionFactor(id string) (EmissionFactor, bool) {
	i := slices.IndexFunc(emissionFactors, func(f EmissionFactor) bool { return f.ID == id })
	if i < 0 {
		return EmissionFactor{}, false
	}
	return emissionFactors[i], true
}

// FindHeatContent finds a heat content by its exact id, and false if there is none.
func FindHeatContent(id string) (HeatContent, bool) {
	i := slices.IndexFunc(heatContents, func(h HeatContent) bool { return h.ID == id })
	if i < 0 {
		return HeatContent{}, false
	}
	return heatContents[i], true
}

// The units of the prints, in SI. mmBtu is a million Btu, lb the avoirdupois pound.
var (
	energy       = quantity.EnergyDimension.MustUnit
	cubicFoot    = quantity.VolumeDimension.MustUnit("ft3").Factor
	gallon       = quantity.VolumeDimension.MustUnit("gal").Factor
	millionBtu   = 1e6 * energy("Btu").Factor
	emissionUnit = map[string]float64{
		"kg/mmBtu": 1 / millionBtu, "lb/kWh": pound / energy("kWh").Factor, "lb/MWh": pound / energy("MWh").Factor,
	}
	heatUnit = map[string]float64{
		"Btu/ft3": millionBtu / 1e6 / cubicFoot, "mmBtu/ft3": millionBtu / cubicFoot, "mmBtu/gal": millionBtu / gallon,
	}
)

const pound = 0.45359237 // kg

func readEmissionFactors() []EmissionFactor {
	var all []EmissionFactor
	for _, r := range table.MustRead(emissionFactorsCSV) {
		all = append(all, EmissionFactor{
			ID: r.Text("id"), Title: r.Text("title"), Carrier: Carrier(r.Text("carrier")), Gas: r.Text("gas"),
			Region: r.Text("region"), Year: r.Text("year"), Published: r.Text("factor") + " " + r.Text("unit"),
			KilogramsPerJoule: r.Number("factor") * unitOf(emissionUnit, r),
			Source:            source.ID(r.Text("source")), Status: source.Status(r.Text("status")), Note: r.Text("note"),
		})
	}
	return all
}

func readHeatContents() []HeatContent {
	var all []HeatContent
	for _, r := range table.MustRead(heatContentsCSV) {
		all = append(all, HeatContent{
			ID: r.Text("id"), Title: r.Text("title"), Carrier: Carrier(r.Text("carrier")),
			Region: r.Text("region"), Year: r.Text("year"), Published: r.Text("content") + " " + r.Text("unit"),
			JoulesPerCubicMetre: r.Number("content") * unitOf(heatUnit, r),
			Source:              source.ID(r.Text("source")), Status: source.Status(r.Text("status")), Note: r.Text("note"),
		})
	}
	return all
}

// unitOf gives a unit in SI. An unknown one is a slip in the table, which panics
// like any other.
func unitOf(units map[string]float64, r table.Row) float64 {
	factor, ok := units[r.Text("unit")]
	if !ok {
		panic("economics: no unit " + r.Text("unit"))
	}
	return factor
}
