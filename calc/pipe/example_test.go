package pipe_test

import (
	"fmt"

	"recirc/calc/pipe"
	"recirc/calc/quantity"
)

// Copper Tube Handbook, Table 14.2f: 3/4 type L holds 0.00336 ft3 per foot.
func ExampleTube_VolumePerLength() {
	tube, _ := pipe.Find("copper_type_l", "3/4")
	foot, _ := quantity.LengthDimension.Unit("ft")
	cubicFoot, _ := quantity.VolumeDimension.Unit("ft3")
	fmt.Printf("%.5f ft3/ft\n", cubicFoot.FromSI(tube.VolumePerLength().CubicMetresPerMetre()*foot.ToSI(1)))
	// Output: 0.00336 ft3/ft
}

// Tube table to EN 1057: 1 m of 28x1.5 is filled by 0.491 L.
func ExampleStoredVolume() {
	tube, _ := pipe.Find("copper_en1057", "28x1.5")
	litre, _ := quantity.VolumeDimension.Unit("L")
	fmt.Printf("%.3f L\n", litre.FromSI(pipe.StoredVolume(tube.Bore, quantity.Metres(1)).CubicMetres()))
	// Output: 0.491 L
}

// The same table the other way: 1.963 L fill 1 m of 54x2.
func ExampleDevelopedLengthHolding() {
	tube, _ := pipe.Find("copper_en1057", "54x2")
	litre, _ := quantity.VolumeDimension.Unit("L")
	fmt.Printf("%.3f m\n", pipe.DevelopedLengthHolding(quantity.CubicMetres(litre.ToSI(1.963)), tube.Bore).Metres())
	// Output: 1.000 m
}

func ExampleNominalInches() {
	row, ok := pipe.NominalInches("1-1/4")
	fmt.Println(row, ok)
	_, ok = pipe.NominalInches("15x1")
	fmt.Println(ok)
	// Output:
	// 1.25 true
	// false
}

// Code table of 90 ells, Schedule 40 screwed: 2.06 ft in 3/4 in. Table of minor
// losses: K is 1.5 for the threaded elbow.
func ExampleResistanceOf() {
	tube, _ := pipe.Find("steel_schedule_40", "3/4")
	foot, _ := quantity.LengthDimension.Unit("ft")
	elbow, _ := pipe.ResistanceOf("elbow_90", pipe.EquivalentLength, tube)
	fmt.Printf("%.2f ft\n", foot.FromSI(elbow.Length.Metres()))
	elbow, _ = pipe.ResistanceOf("elbow_90", pipe.LossCoefficient, tube)
	fmt.Printf("K %.1f\n", elbow.K)
	_, ok := pipe.ResistanceOf("strainer", pipe.LossCoefficient, tube)
	fmt.Println(ok)
	// Output:
	// 2.06 ft
	// K 1.5
	// false
}
