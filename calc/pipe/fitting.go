package pipe

import (
	_ "embed"
	"slices"

	"recirc/calc/internal/table"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

//go:embed data/fittings.csv
var fittingsCSV string

// LossMethod is what kind of figure a loss is published as. v is the mean
// velocity in the bore d, g gravity, Re the Reynolds number, h the head loss.
type LossMethod string

// The methods.
const (
	LossCoefficient    LossMethod = "loss_coefficient"     // h = K v^2/(2 g)
	EquivalentLength   LossMethod = "equivalent_length"    // h as that of so much straight pipe
	LengthOverDiameter LossMethod = "length_over_diameter" // equivalent length in bores
	TwoK               LossMethod = "two_k"                // K = K1/Re + Kinf (1 + 1 in/d)
	ThreeK             LossMethod = "three_k"              // K = K1/Re + Kinf (1 + Kd/Dn^0.3), Dn the nominal size in inches
)

// FittingLoss is one published figure for one type of fitting or valve. A zero
// length or ratio is not printed; no printed one is zero.
type FittingLoss struct {
	Type        string // one of [FittingTypes] or [ValveTypes]
	Kind        string // fitting or valve
	Description string // as printed
	Joint       string // pipe material or joint that the figure is for
	Nominal     string // in inches, a label; "" for every size
	Method      LossMethod

	EquivalentLength   quantity.Length
	LossCoefficient    float64 // K, ratio
	LengthOverDiameter float64 // ratio
	K1, KInfinity      float64 // ratios of the two-K and three-K methods
	KD                 float64 // of the three-K method, with the size in inches to the power 0.3

	Source source.ID
	Status source.Status
	Note   string

	fits string // the tube that [ResistanceOf] chooses the row for, as the table says
}

var fittingLosses = readFittingLosses()

// FittingLosses lists the figures by type, method and size. The list is the
// caller's own. Sources differ by a factor of two and more for the same small
// elbow, so they stand side by side and none is preferred here; [ResistanceOf]
// chooses one.
func FittingLosses() []FittingLoss { return slices.Clone(fittingLosses) }

// FittingTypes lists the types of fittings. A long-radius bend has a radius of
// at least 1.5 diameters. A reducer and a union have no published figure.
func FittingTypes() []string {
	return []string{
		"elbow_90", "elbow_90_long_radius", "elbow_45", "elbow_45_long_radius", "bend_180",
		"tee_run", "tee_branch", "coupling", "reducer", "union",
	}
}

// ValveTypes lists the types of valves. Balancing valves and strainers have no
// published figure: their loss is the flow coefficient that the caller gives.
func ValveTypes() []string {
	return []string{
		"ball", "gate", "globe", "angle", "butterfly", "diaphragm", "plug",
		"check", "swing_check", "lift_check", "tilting_disk_check", "compression_stop",
		"balancing", "thermostatic_balancing", "strainer",
	}
}

func readFittingLosses() []FittingLoss {
	rows := table.MustRead(fittingsCSV)
	feet := quantity.LengthDimension.MustUnit("ft")
	all := make([]FittingLoss, len(rows))
	for i, r := range rows {
		number := func(column string) float64 {
			v, _ := r.Optional(column)
			return v
		}
		all[i] = FittingLoss{
			Type: r.Text("type"), Kind: r.Text("kind"), Description: r.Text("description"), Joint: r.Text("joint"),
			Nominal: r.Text("nominal"), Method: LossMethod(r.Text("method")),
			EquivalentLength: quantity.Metres(feet.ToSI(number("equivalent_length_ft"))),
			LossCoefficient:  number("k"), LengthOverDiameter: number("length_over_diameter"),
			K1: number("k1"), KInfinity: number("k_infinity"), KD: number("k_d"),
			Source: source.ID(r.Text("source")), Status: source.Status(r.Text("status")), Note: r.Text("note"),
			fits: r.Text("fits"),
		}
	}
	return all
}
