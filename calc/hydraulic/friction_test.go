package hydraulic

import (
	"errors"
	"math"
	"testing"
)

// TestFrictionFactorsAsComputed: the rows of a general-purpose library and of a
// 40-digit root.
func TestFrictionFactorsAsComputed(t *testing.T) {
	kinds := map[string]int{}
	for _, r := range published("friction_factor.csv") {
		kind, id := r.Text("kind"), r.Text("case_id")
		kinds[kind]++
		if kind == "hazen_williams" {
			continue
		}
		re, roughness := r.Number("reynolds"), r.Number("relative_roughness")
		converged, err := Colebrook(re, roughness)
		if err != nil {
			t.Errorf("%s: %v", id, err)
		}
		near(t, id+" Colebrook", converged, r.Number("f_colebrook"), 1e-9)
		got, err := FrictionFactor(re, roughness)
		if err != nil {
			t.Errorf("%s: %v", id, err)
		}
		if kind != "transitional_policy" {
			near(t, id, got, r.Number("friction_factor_darcy"), 1e-9)
		}
		near(t, id+" with the policy", got, r.Number("f_linear_blend_2000_4000"), 1e-9)
		regime := map[string]Regime{"laminar": Laminar, "transitional": Transition, "turbulent": Turbulent}[r.Text("regime")]
		if RegimeOf(re) != regime {
			t.Errorf("%s: regime %s, want %s", id, RegimeOf(re), r.Text("regime"))
		}
	}
	if kinds["colebrook"] < 100 || kinds["laminar"] < 5 || kinds["transitional_policy"] < 10 {
		t.Errorf("rows by kind: %v", kinds)
	}
}

// TestPublishedFactors: printed examples and a grid to six decimals.
func TestPublishedFactors(t *testing.T) {
	compared := 0
	for _, r := range published("friction_tables.csv") {
		tolerance := 0.0
		switch r.Text("kind") {
		case "friction factor (Colebrook, computed)":
			tolerance = 0.5e-6 / r.Number("darcy_friction_factor") // half of the last digit
		case "friction factor (published example)":
			switch r.Text("material") {
			case "Colebrook exact", "laminar 64/Re":
				tolerance = 1e-10
			case "Churchill 1977":
				tolerance = 0.005 // of another formula
			case "Haaland", "Blasius (0.3164 Re^-0.25)":
				tolerance = 0.025
			case "Moody explicit":
				tolerance = 0.03
			}
		}
		if tolerance == 0 {
			continue
		}
		got, err := FrictionFactor(r.Number("reynolds_number"), r.Number("relative_roughness"))
		if err != nil {
			t.Error(err)
		}
		near(t, r.Text("kind")+" "+r.Text("material"), got, r.Number("darcy_friction_factor"), tolerance*(1+1e-9))
		compared++
	}
	if compared != 30 {
		t.Errorf("%d printed factors compared, want 30", compared)
	}
}

// bisected solves Colebrook's equation by halving, with no start and no slope.
func bisected(re, roughness float64) float64 {
	low, high := 1e-3, 1e3 // of x = 1/sqrt(f)
	for range 200 {
		x := low + (high-low)/2
		if x+2*math.Log10(roughness/3.7+2.51*x/re) < 0 {
			low = x
		} else {
			high = x
		}
	}
	return 1 / (low * low)
}

// TestColebrookIsConverged over the whole chart and beyond, against bisection.
func TestColebrookIsConverged(t *testing.T) {
	worst, at := 0.0, [2]float64{}
	try := func(re, roughness float64) {
		got, err := Colebrook(re, roughness)
		if err != nil {
			t.Fatal(err)
		}
		if off := math.Abs(got/bisected(re, roughness) - 1); !(off <= worst) {
			worst, at = off, [2]float64{re, roughness}
		}
	}
	for i := range 201 {
		re := 4e3 * math.Pow(1e8/4e3, float64(i)/200)
		try(re, 0)
		for j := range 61 {
			try(re, 1e-8*math.Pow(0.05/1e-8, float64(j)/60)*(1-1e-15))
		}
	}
	beyond := func(reynolds ...float64) {
		for _, re := range reynolds {
			for _, roughness := range []float64{0, 1e-300, 1e-6, 1e-3, 0.05, 0.2} {
				try(re, roughness)
			}
		}
	}
	beyond(4e3, 1e9, 1e12, 1e20)
	if !(worst <= 1e-12) {
		t.Errorf("off by %.2g at Re %g, e/D %g", worst, at[0], at[1])
	}
	beyond(500, 1000, 2000, 3999)
	if !(worst <= 1e-9) {
		t.Errorf("below turbulent flow off by %.2g at Re %g, e/D %g", worst, at[0], at[1])
	}
}

// TestFactorHasNoJump where the formula changes, and rises in the transition.
func TestFactorHasNoJump(t *testing.T) {
	for _, roughness := range []float64{0, 1e-4, 0.01, 0.05} {
		for _, re := range []float64{laminarUpTo, turbulentFrom} {
			below, _ := FrictionFactor(re*(1-1e-12), roughness)
			above, _ := FrictionFactor(re*(1+1e-12), roughness)
			near(t, "across the end of the transition", above, below, 1e-11)
		}
		last, _ := FrictionFactor(laminarUpTo, roughness)
		for re := laminarUpTo + 50; re <= turbulentFrom; re += 50 {
			f, _ := FrictionFactor(re, roughness)
			if f <= last {
				t.Errorf("e/D %g: falls to %g at Re %g", roughness, f, re)
			}
			last = f
		}
	}
}

func TestFactorsRefuse(t *testing.T) {
	for _, c := range []struct{ re, roughness float64 }{
		{0, 0}, {-1, 0}, {1.1e8, 0}, {math.NaN(), 0}, {math.Inf(1), 0}, {1e5, -1e-9}, {1e5, 0.051}, {1e5, math.NaN()}, {1e-320, 0},
	} {
		var out *RangeError
		if f, err := FrictionFactor(c.re, c.roughness); !errors.As(err, &out) || f != 0 {
			t.Errorf("%+v: %v, %v", c, f, err)
		}
	}
	for _, c := range []struct{ re, roughness float64 }{{499, 0}, {1e21, 0}, {math.NaN(), 0}, {1e5, 0.21}, {1e5, -1}} {
		var out *RangeError
		if f, err := Colebrook(c.re, c.roughness); !errors.As(err, &out) || f != 0 {
			t.Errorf("Colebrook %+v: %v, %v", c, f, err)
		}
	}
}
