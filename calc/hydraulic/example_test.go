package hydraulic_test

import (
	"fmt"

	"recirc/calc/hydraulic"
	"recirc/calc/quantity"
)

func gpm(v float64) quantity.Flow {
	u, _ := quantity.FlowDimension.Unit("gal/min")
	return quantity.CubicMetresPerSecond(u.ToSI(v))
}

// Documentation of a general-purpose fluid-dynamics library: Colebrook's factor at
// Re 1e5 and e/D 1e-4 is 0.018513866077.
func ExampleColebrook() {
	f, _ := hydraulic.Colebrook(1e5, 1e-4)
	fmt.Printf("%.12f\n", f)
	// Output: 0.018513866077
}

// The same documentation: laminar at Re 128, the factor is 0.5.
func ExampleFrictionFactor() {
	f, _ := hydraulic.FrictionFactor(128, 0)
	fmt.Println(f, hydraulic.RegimeOf(128))
	// Output: 0.5 laminar
}

// Computed row DP-0002: 40 m of 12x1.0 with fittings of K 6.5, 0.0785 L/s at 50 degC,
// lose 56214.87418 Pa, of which 3208.179779 in the fittings.
func ExamplePipe_Loss() {
	p := hydraulic.Pipe{
		Length: quantity.Metres(40), Bore: quantity.Millimetres(10), Roughness: quantity.Millimetres(0.0015), SumK: 6.5,
	}
	l, err := p.Loss(quantity.CubicMetresPerSecond(7.85e-05), hydraulic.Fluid{Density: 988.1338693, Viscosity: 0.0005465618497})
	fmt.Printf("%.5f Pa, %.6f in the fittings, %s, %v\n", l.Total.Pascals(), l.Fittings.Pascals(), l.Regime, err)
	// Output: 56214.87418 Pa, 3208.179779 in the fittings, turbulent, <nil>
}

// Copper Tube Handbook, Table 14.6 (from memory): 4 gal/min in 1/2 in type L lose
// 0.106 psi per foot.
func ExampleHazenWilliamsGradient() {
	gradient, _ := hydraulic.HazenWilliamsGradient(gpm(4), quantity.Metres(0.545*0.0254), 150)
	psi, _ := quantity.PressureDimension.Unit("psi")
	fmt.Printf("%.3f psi/ft\n", psi.FromSI(gradient*0.3048))
	// Output: 0.106 psi/ft
}

// By definition: 2.8 m3/h at 1 bar.
func ExampleKvDrop() {
	hour, _ := quantity.FlowCoefficientDimension.Unit("m3/h")
	cold := hydraulic.Fluid{Density: 1000, Viscosity: 1e-3}
	dp := hydraulic.KvDrop(quantity.CubicMetresPerSecond(2.8/3600), quantity.FlowCoefficientSI(hour.ToSI(2.8)), cold)
	fmt.Printf("%.0f Pa\n", dp.Pascals())
	// Output: 100000 Pa
}

// A practitioner's case: a heater that takes 16 ft at 9.8 gal/min takes 1.0 ft at
// 2.5 and 1.5 ft at 3 gal/min.
func ExampleKvFor() {
	hot := hydraulic.Fluid{Density: 988, Viscosity: 0.6e-3}
	heater := hydraulic.KvFor(gpm(9.8), hydraulic.HeadPressure(quantity.Metres(16*0.3048), hot.Density), hot)
	for _, flow := range []float64{2.5, 3} {
		head := hydraulic.Head(hydraulic.KvDrop(gpm(flow), heater, hot), hot.Density)
		fmt.Printf("%.1f ft\n", head.Metres()/0.3048)
	}
	// Output:
	// 1.0 ft
	// 1.5 ft
}

// International Plumbing Code, appendix E: 0.433 psi per foot of cold water.
func ExampleHeadPressure() {
	psi, _ := quantity.PressureDimension.Unit("psi")
	fmt.Printf("%.3f psi\n", psi.FromSI(hydraulic.HeadPressure(quantity.Metres(0.3048), 999).Pascals()))
	// Output: 0.433 psi
}

// NF DTU 60.11 P1-2: return pipes run at 0.20 to 0.54 m/s and have 12 mm at least.
func ExampleSizingRule_Limits() {
	rule, _ := hydraulic.SizingRuleOf("nf_dtu_60_11")
	greatest, least, _, bore, known := rule.Limits("copper", quantity.Celsius(55))
	fmt.Printf("%.2f to %.2f m/s, %.0f mm, %v\n", least.MetresPerSecond(), greatest.MetresPerSecond(), 1000*bore.Metres(), known)
	// Output: 0.20 to 0.54 m/s, 12 mm, true
}
