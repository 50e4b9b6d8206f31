package pipe

import (
	"math"

	"recirc/calc/quantity"
)

// VolumePerLength gives the content of the tube per length
//
//	V' = pi/4 d^2
//
//	V'  content per length  m3/m
//	d   bore                m     d > 0
//
// It goes by the bore that the catalogue or the caller states, never by the
// nominal size. Fittings, and swelling by pressure and temperature, are left
// out. There is no error: every tube of the catalogue has a bore, and a zero
// bore gives zero.
//
// Source: volume of a cylinder, textbook geometry; checked against the code
// volume table and the Copper Tube Handbook, Table 14.2f.
func (t Tube) VolumePerLength() quantity.VolumePerLength {
	return quantity.CubicMetresPerMetre(area(t.Bore))
}

// StoredVolume gives the water that a run of tube holds
//
//	V = pi/4 d^2 L
//
//	V  stored volume     m3
//	d  bore              m    d >= 0
//	L  developed length  m    L >= 0, along the axis through every bend
//
// Fittings are counted as the tube they replace. Arguments outside their range
// are not refused; callers check them before.
//
// Source: volume of a cylinder, textbook geometry; checked against the filling
// volumes in a tube table to EN 1057.
func StoredVolume(bore, developedLength quantity.Length) quantity.Volume {
	return quantity.CubicMetres(area(bore) * developedLength.Metres())
}

// DevelopedLengthHolding gives the length of tube that holds a volume, the
// inverse of [StoredVolume]
//
//	L = V / (pi/4 d^2)
//
//	L  developed length  m
//	V  stored volume     m3   V >= 0
//	d  bore              m    d > 0
//
// A zero bore gives +Inf, or NaN with V = 0; callers check it before.
//
// Source: volume of a cylinder, textbook geometry; checked against the greatest
// lengths of a code table that follow from 64 fluid ounces.
func DevelopedLengthHolding(v quantity.Volume, bore quantity.Length) quantity.Length {
	return quantity.Metres(v.CubicMetres() / area(bore))
}

// area is that of the bore, in m2.
func area(bore quantity.Length) float64 {
	d := bore.Metres()
	return math.Pi / 4 * d * d
}
