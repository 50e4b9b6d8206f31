package arrival_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/arrival"
	"recirc/calc/quantity"
)

const gallon = 231 * 0.0254 * 0.0254 * 0.0254 // US, m3

// A programme's purge of half a gallon takes 20 s at 1.5 gal/min and 60 s at
// 0.5 gal/min. Source: US DOE Building Science Education, problem set on
// water-programme criteria, with its limit of 0.5 gal and 1 gal = 128 fl oz.
func ExamplePlugFlow() {
	half := quantity.CubicMetres(0.5 * gallon)
	for _, gpm := range []float64{1.5, 0.5} {
		t := arrival.PlugFlow(half, quantity.CubicMetresPerSecond(gpm*gallon/60))
		fmt.Printf("%.0f s\n", t.Seconds())
	}
	// Output:
	// 20 s
	// 60 s
}

func ExampleDrawnVolume() {
	v := arrival.DrawnVolume(quantity.CubicMetresPerSecond(1e-4), quantity.Seconds(30))
	fmt.Printf("%.3f m3\n", v.CubicMetres())
	// Output: 0.003 m3
}

func TestPlugFlowInverts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := quantity.CubicMetres(rapid.Float64Range(1e-6, 10).Draw(t, "m3"))
		q := quantity.CubicMetresPerSecond(rapid.Float64Range(1e-6, 0.1).Draw(t, "m3/s"))
		back := arrival.DrawnVolume(q, arrival.PlugFlow(v, q)).CubicMetres()
		if math.Abs(back-v.CubicMetres()) > 1e-12*v.CubicMetres() {
			t.Fatalf("%v came back as %v", v, back)
		}
	})
}

// TestClasses goes by the published bounds 0-10 s, 11-30 s, over 30 s.
// Source: Domestic Water Heating Design Manual, 2nd ed., performance criteria.
func TestClasses(t *testing.T) {
	for seconds, want := range map[float64]string{0: "acceptable", 10: "acceptable", 10.4: "marginal", 11: "marginal", 30: "marginal", 30.001: "unacceptable", 31: "unacceptable", 1e9: "unacceptable"} {
		if got := arrival.Class(quantity.Seconds(seconds)).Name; got != want {
			t.Errorf("%v s is %s, want %s", seconds, got, want)
		}
	}
}
