package pipe

import (
	"math"

	"recirc/calc/quantity"
)

// Resistance is what one fitting or valve adds to its pipe: a loss coefficient
// or an equivalent length, never both.
type Resistance struct {
	K      float64         // ratio to the velocity head in the bore; zero with a Length
	Length quantity.Length // of the same tube; zero with a K
	Row    FittingLoss     // the published row that it is from
}

// ResistanceOf chooses what one fitting or valve of a type adds to a tube. by
// is [LossCoefficient] or [EquivalentLength]. Of valves only figures for the
// open valve are taken. Where nothing speaks for one joint or form the greater
// figure is taken, the safe side. The column fits of the table marks the rows.
//
// By loss coefficient one row stands for the type on every tube:
//
//  1. K as printed; the threaded joint, which is greater than the flanged one;
//  2. else the two-K row, without its Reynolds term,
//
// that is
//
//	K = Kinf (1 + 1 in/d)
//
//	K, Kinf  ratios to the velocity head v^2/(2 g)   1
//	d        bore of the tube                        m   d > 0
//
// The term left out is K1/Re: 0.03 to 0.2 at Re = 10,000, more in slower flow.
// For a ball valve the reduced trim is taken, which is greater than the full
// line size. A three-K row or L/D is never needed: each such type has a K or a
// two-K row. No figure exists for coupling, check and compression_stop.
//
// By equivalent length, in this order:
//
//  1. the row of this type and nominal size in inches with the joint that fits
//     the tube. Copper: soldered copper tube, else wrought fittings. Plastic and
//     multilayer: solvent weld. Steel: screwed Schedule 40, else threaded pipe;
//  2. the longest row of this type and size;
//  3. where the size is not printed or not in inches, Le = (L/D) d;
//
// else there is none: long-radius 45 elbow, diaphragm, plug, lift check and
// tilting disk check never have one, others not in every size.
//
// It is false for a type without such a figure (reducer, union, balancing,
// thermostatic_balancing and strainer have none by either method), for another
// method, for an unknown type, and for a bore that gives no finite figure above 0.
// The other method is never taken in place of the asked one.
//
// Source: that of the row; the choice among rows is common practice.
func ResistanceOf(fitting string, by LossMethod, on Tube) (Resistance, bool) {
	row := resistances.row(fitting, by, on)
	if row == nil {
		return Resistance{}, false
	}
	const inch = 0.0254 // m
	r, d := Resistance{Row: *row}, on.Bore.Metres()
	switch row.Method {
	case LossCoefficient:
		r.K = row.LossCoefficient
	case TwoK:
		r.K = row.KInfinity * (1 + inch/d)
	case EquivalentLength:
		r.Length = row.EquivalentLength
	case LengthOverDiameter:
		r.Length = quantity.Metres(row.LengthOverDiameter * d)
	}
	if figure := r.K + r.Length.Metres(); !(figure > 0) || math.IsInf(figure, 1) {
		return Resistance{}, false
	}
	return r, true
}
