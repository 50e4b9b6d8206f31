package pump_test

import (
	"fmt"

	"recirc/calc/pump"
	"recirc/calc/quantity"
)

// An invented pump in an invented loop, PUMP-0001 of the computed rows: 2.102812725e-4
// m3/s at 1.346444603 m.
func Example() {
	var points []pump.Point
	for i, head := range []float64{1.5, 1.46, 1.36, 1.19, 0.95, 0.63, 0.22} {
		points = append(points, pump.Point{Flow: quantity.CubicMetresPerSecond(float64(i) * 1e-4), Head: quantity.Metres(head)})
	}
	curve, err := pump.NewCurve(points, pump.Monotone)
	if err != nil {
		fmt.Println(err)
		return
	}
	duties, err := pump.Pumps{Curve: curve}.Duties(pump.Parabola{Coefficient: 30450000})
	if err != nil {
		fmt.Println(err)
		return
	}
	d := duties[0]
	fmt.Printf("%.6g m3/s at %.6g m, stable %v\n", d.Flow.CubicMetresPerSecond(), d.Head.Metres(), d.Stable)
	// Output: 0.000210281 m3/s at 1.34644 m, stable true
}
