package pipe

import "fmt"

// What the column fits says of equivalent lengths. The longest of a size is
// marked by none; it is found.
const (
	fitsCopper, fitsCopperSecond = "copper", "copper_second"
	fitsSteel, fitsSteelSecond   = "steel", "steel_second"
	fitsPlastic                  = "plastic"
	fitsAny, fitsNone            = "any", ""
	longest                      = "longest"
)

var (
	choiceForCopper  = []string{fitsCopper, fitsCopperSecond, longest}
	choiceForPlastic = []string{fitsPlastic, longest}
	choiceForSteel   = []string{fitsSteel, fitsSteelSecond, longest}
	choiceForOthers  = []string{longest}
)

// choiceFor lists what is looked for, first choice first.
func choiceFor(m Material) []string {
	switch m {
	case Copper:
		return choiceForCopper
	case PEX, PERT, CPVC, PPR, PEXAlPEX, PEAlPE, Multilayer:
		return choiceForPlastic
	case SteelGalvanised, SteelStainless:
		return choiceForSteel
	}
	return choiceForOthers
}

type lengthKey struct {
	fitting, fits string
	inches        float64
}

// resistanceIndex points into the table, so that choosing a row allocates nothing.
type resistanceIndex struct {
	coefficients, ratios map[string]*FittingLoss // by type
	lengths              map[lengthKey]*FittingLoss
}

var resistances = indexResistances(fittingLosses)

func (x *resistanceIndex) row(fitting string, by LossMethod, on Tube) *FittingLoss {
	switch by {
	case LossCoefficient:
		return x.coefficients[fitting]
	case EquivalentLength:
		if row := x.length(fitting, on); row != nil {
			return row
		}
		return x.ratios[fitting]
	}
	return nil
}

func (x *resistanceIndex) length(fitting string, on Tube) *FittingLoss {
	inches, ok := NominalInches(on.Nominal)
	if !ok {
		return nil
	}
	for _, fits := range choiceFor(on.Material) {
		if row := x.lengths[lengthKey{fitting, fits, inches}]; row != nil {
			return row
		}
	}
	return nil
}

func indexResistances(all []FittingLoss) *resistanceIndex {
	x := &resistanceIndex{
		coefficients: map[string]*FittingLoss{}, ratios: map[string]*FittingLoss{},
		lengths: map[lengthKey]*FittingLoss{},
	}
	for i := range all {
		row := &all[i]
		switch {
		case row.Method == EquivalentLength:
			x.addLength(row)
		case row.fits == fitsNone:
		case row.fits != fitsAny:
			panic(fmt.Sprintf("pipe: fittings.csv: %s, %s: fits %q", row.Type, row.Description, row.fits))
		case row.Method == LengthOverDiameter:
			addOnce(x.ratios, row.Type, row)
		case row.Method == LossCoefficient, row.Method == TwoK:
			addOnce(x.coefficients, row.Type, row)
		default:
			panic(fmt.Sprintf("pipe: fittings.csv: %s, %s: no figure by %s", row.Type, row.Description, row.Method))
		}
	}
	return x
}

func (x *resistanceIndex) addLength(row *FittingLoss) {
	inches, ok := NominalInches(row.Nominal)
	if !ok {
		panic(fmt.Sprintf("pipe: fittings.csv: %s: size %q is not in inches", row.Type, row.Nominal))
	}
	switch row.fits {
	case fitsCopper, fitsCopperSecond, fitsSteel, fitsSteelSecond, fitsPlastic:
		addOnce(x.lengths, lengthKey{row.Type, row.fits, inches}, row)
	case fitsAny:
	default:
		panic(fmt.Sprintf("pipe: fittings.csv: %s %s: fits %q", row.Type, row.Nominal, row.fits))
	}
	key := lengthKey{row.Type, longest, inches}
	if l := x.lengths[key]; l == nil || row.EquivalentLength.Metres() > l.EquivalentLength.Metres() {
		x.lengths[key] = row
	}
}

// addOnce panics where two rows stand for one tube: the table would then leave
// the choice to chance.
func addOnce[K comparable](m map[K]*FittingLoss, key K, row *FittingLoss) {
	if m[key] != nil {
		panic(fmt.Sprintf("pipe: fittings.csv: two rows stand for %v", key))
	}
	m[key] = row
}
