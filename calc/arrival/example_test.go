package arrival_test

import (
	"fmt"

	"recirc/calc/arrival"
	"recirc/calc/quantity"
)

// Three sizes of copper in series, cold. Source of the figures: row HF-0033 of
// testdata/hot_front.csv, 42.8 s and 1.15 pipe volumes to 40 degC, 43.9 s to 45
// degC, in the long run 61.6 degC.
func ExampleFront_Arrive() {
	segment := func(length, bore, outside, film, ua float64) arrival.Segment {
		return arrival.Segment{
			Length: quantity.Metres(length), Bore: quantity.Millimetres(bore), Outside: quantity.Millimetres(outside),
			WallHeatCapacity: 8940 * 385, Film: film,
			UA: ua, Ambient: quantity.Celsius(12), Initial: quantity.Celsius(12),
		}
	}
	front := arrival.Front{
		Segments: []arrival.Segment{segment(9, 26, 28, 2192, 0.25), segment(6.76, 20, 22, 3596, 0.26), segment(4, 13, 15, 8049, 0.6)},
		Flow:     quantity.CubicMetresPerSecond(2e-4),
		Density:  993.4233082, SpecificHeat: 4178.21051,
		Inlet: quantity.Celsius(62),
	}
	a, err := front.Arrive(arrival.Options{Thresholds: []quantity.Temperature{quantity.Celsius(40), quantity.Celsius(45), quantity.Celsius(62)}})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("plug flow %.1f s, in the long run %.1f degC\n", a.PlugTime.Seconds(), a.Steady.Celsius())
	for _, c := range a.Crossings {
		if !c.Reached {
			fmt.Printf("%.0f degC never\n", c.Threshold.Celsius())
			continue
		}
		fmt.Printf("%.0f degC after %.1f s, %.2f pipe volumes\n", c.Threshold.Celsius(), c.Time.Seconds(), c.Ratio)
	}
	// Output:
	// plug flow 37.2 s, in the long run 61.6 degC
	// 40 degC after 42.8 s, 1.15 pipe volumes
	// 45 degC after 43.9 s, 1.18 pipe volumes
	// 62 degC never
}

// A long bare tube at a small flow never gets hot. Source of the figures: row
// HF-0007 of testdata/hot_front.csv.
func ExampleFront_Steady() {
	t, err := arrival.Front{
		Segments: []arrival.Segment{{
			Length: quantity.Metres(25), Bore: quantity.Millimetres(13), Outside: quantity.Millimetres(15),
			WallHeatCapacity: 8940 * 385, UA: 1.2, Ambient: quantity.Celsius(10), Initial: quantity.Celsius(10),
		}},
		Flow: quantity.CubicMetresPerSecond(2e-5), Density: 996.3263336, SpecificHeat: 4180.113073,
		Inlet: quantity.Celsius(46),
	}.Steady()
	fmt.Printf("%.2f degC %v\n", t.Celsius(), err)
	// Output: 35.11 degC <nil>
}

// Half an hour in an insulated copper tube. Source of the figures: row HF-0037
// of testdata/hot_front.csv.
func ExampleCooledInitial() {
	t, err := arrival.CooledInitial(arrival.Segment{
		Length: quantity.Metres(8), Bore: quantity.Millimetres(13), Outside: quantity.Millimetres(15),
		WallHeatCapacity: 8940 * 385, UA: 0.2, Ambient: quantity.Celsius(20),
	}, quantity.Celsius(55), quantity.Seconds(1800), 992.3111741, 4178.062828)
	fmt.Printf("%.4f degC %v\n", t.Celsius(), err)
	// Output: 40.9533 degC <nil>
}

// Half a gallon of water with an allowance of 20 % is 0.6 gal. Source: the
// programme's limits of 0.5 gal stored and 0.6 gal collected.
func ExampleMeasuredRatio() {
	flow := quantity.CubicMetresPerSecond(1.5 * gallon / 60)
	low, high, id := arrival.MeasuredRatio(flow)
	fmt.Printf("0.5 gal stored, %.2f to %.2f gal delivered (%s)\n", 0.5*low, 0.5*high, id)
	fmt.Printf("allowed: %.1f gal (%s)\n", 0.5*arrival.ProgrammeRatio, arrival.ProgrammeRatioSource)
	// Output:
	// 0.5 gal stored, 0.60 to 0.80 gal delivered (california_delivery_tests)
	// allowed: 0.6 gal (watersense_new_home_3_3)
}

// Without mixing across the flow, three quarters of what comes out are hot
// after one pipe volume: 1 - 1/4.
func ExampleLaminarShare() {
	fmt.Println(arrival.LaminarShare(0.5), arrival.LaminarShare(1))
	// Output: 0 0.75
}

// The coefficient of row HF-0045 of testdata/hot_front.csv is 0.00293 m2/s; the
// friction factor of a smooth bore at its Reynolds number of 14 889 is 0.0281.
func ExampleTaylorDispersion() {
	fmt.Printf("%.5f m2/s\n", arrival.TaylorDispersion(0.0065, 0.7533961803, 0.0281))
	// Output: 0.00293 m2/s
}
