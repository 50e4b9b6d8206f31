package picture_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"recirc/api/picture"
	"recirc/calc/quantity"
)

// inventedArrangement costs so much at first and each year, waits so long in the
// middle, and uses so many kWh and litres a year.
func inventedArrangement(name string, first, yearly, wait, heater, pump, trace, local, litres float64) picture.Arrangement {
	a := picture.Arrangement{
		Name: name, Heater: quantity.Joules(3.6e6 * heater), Pump: quantity.Joules(3.6e6 * pump),
		Trace: quantity.Joules(3.6e6 * trace), LocalHeater: quantity.Joules(3.6e6 * local), Wasted: quantity.CubicMetres(litres / 1000),
	}
	for year := range 21 {
		a.Costs = append(a.Costs, first+yearly*float64(year))
	}
	for i := range 12 {
		a.Waits = append(a.Waits, picture.Served{Within: quantity.Seconds(wait * (0.2 + 0.15*float64(i))), Share: float64(i+1) / 12})
	}
	return a
}

func six() *picture.Arrangements {
	all := []picture.Arrangement{
		inventedArrangement("as it is", 0, 520, 30, 3900, 0, 0, 0, 21000), inventedArrangement("dedicated return, timer", 1850, 430, 4, 4300, 45, 0, 0, 4200),
		inventedArrangement("dedicated return, always on", 1800, 640, 1.5, 6100, 260, 0, 0, 1500), inventedArrangement("on demand at the fixture", 900, 400, 3, 3950, 6, 0, 0, 2600),
		inventedArrangement("heat traced", 2600, 590, 3, 3700, 0, 1450, 0, 2600), inventedArrangement("local heater under the far sink", 1200, 450, 6, 3200, 0, 0, 900, 6000),
	}
	all[4].Costs = nil
	return &picture.Arrangements{All: all, Currency: "EUR", Discounted: true}
}

func manyArrangements(n int) *picture.Arrangements {
	a := &picture.Arrangements{Currency: "JPY"}
	for i := range n {
		x := float64(i)
		a.All = append(a.All, inventedArrangement(fmt.Sprintf("variant %d of the long corridor's return", i+1), 1e5+1e4*x, 6e4-2e3*x, 2+x/3, 4000-40*x, 30+10*x, 25*x, 100, 9000-500*x))
	}
	return a
}

// TestComparisonPictures compares invented comparisons with the pictures in testdata.
func TestComparisonPictures(t *testing.T) {
	for _, p := range []struct {
		name string
		of   *picture.Arrangements
		us   bool
	}{{"comparison.svg", six(), false}, {"comparison-many.svg", manyArrangements(15), true}} {
		got, err := picture.Comparison(p.of, p.us)
		if err != nil {
			t.Fatal(err)
		}
		comparePicture(t, p.name, got)
	}
}

// TestComparisonSays what is drawn, and what is not.
func TestComparisonSays(t *testing.T) {
	noCosts := six()
	for i := range noCosts.All {
		noCosts.All[i].Costs = nil
	}
	noDraws := six()
	noDraws.All[1].Waits = nil
	hostile := six()
	hostile.All[0].Name, hostile.All[4].Name, hostile.Currency = markup, markup, markup
	atOnce := &picture.Arrangements{All: []picture.Arrangement{{Name: "still", Costs: []float64{5}, Waits: []picture.Served{{Share: 1}}}}}
	for _, p := range []struct {
		name      string
		of        *picture.Arrangements
		us        bool
		says, not []string
	}{
		{"six", six(), false, []string{
			"<title>Arrangements compared</title>", ">cumulative cost at present value, EUR<", ">years after the base date<", ">wait for usable water, s<", ">draws served within it, %<",
			">kWh a year<", ">L a year<", ">heater<", ">pump<", ">trace heating<", ">local heater<", ">as it is  10400<", ">Costs not assessed: heat traced.<",
			"as it is: 10400 EUR after 20 years; 3900 kWh and 21000 L of wasted water a year.", "heat traced: costs not assessed;",
		}, []string{"left out", "No waits known"}},
		{"US units", six(), true, []string{">million Btu a year<", ">gal a year<"}, []string{"kWh", ">L a year<"}},
		{"too many", manyArrangements(15), false, []string{"The first 12 of 15 arrangements are shown; 3 are left out.", "3 more arrangements are left out.", "variant 12 ", ">cumulative cost, JPY<"}, []string{"variant 13 ", "e+0"}},
		{"as many as fit", manyArrangements(12), false, []string{"variant 12 "}, []string{"left out"}},
		{"no costs at all", noCosts, false, []string{"Costs not assessed: as it is, dedicated return, timer,", ">kWh a year<"}, []string{"years after"}},
		{"one without draws", noDraws, false, []string{">No waits known: dedicated return, timer.<"}, nil},
		{"nothing moves", atOnce, false, []string{">still  5<", ">still<"}, []string{">heater<"}},
		{"none", &picture.Arrangements{}, false, []string{"<title>Arrangements compared</title>"}, nil},
		{"names that are markup", hostile, false, nil, []string{"<script>", "\x00"}},
	} {
		t.Run(p.name, func(t *testing.T) {
			got, err := picture.Comparison(p.of, p.us)
			if err != nil {
				t.Fatal(err)
			}
			checkSays(t, got, p.says, p.not)
			if strings.Contains(string(got), "NaN") {
				t.Error("a place is no number")
			}
		})
	}
}

// TestComparisonIsBounded: a wait of every draw of a building for a year makes no
// picture of megabytes.
func TestComparisonIsBounded(t *testing.T) {
	a := six()
	const draws = 200_000
	for i := range a.All {
		a.All[i].Waits = nil
		for n := range draws {
			a.All[i].Waits = append(a.All[i].Waits, picture.Served{Within: quantity.Seconds(float64(n) / 1000), Share: float64(n+1) / draws})
		}
	}
	got, err := picture.Comparison(a, false)
	if err != nil || len(got) > 1<<20 {
		t.Fatalf("%d bytes, %v", len(got), err)
	}
}

func TestComparisonRefuses(t *testing.T) {
	nan := math.NaN()
	for what, change := range map[string]func(*picture.Arrangement){
		"a cost":        func(a *picture.Arrangement) { a.Costs[3] = nan },
		"a wait":        func(a *picture.Arrangement) { a.Waits[3].Within = quantity.Seconds(nan) },
		"a share":       func(a *picture.Arrangement) { a.Waits[3].Share = math.Inf(1) },
		"an energy":     func(a *picture.Arrangement) { a.Pump = quantity.Joules(nan) },
		"water":         func(a *picture.Arrangement) { a.Wasted = quantity.CubicMetres(math.Inf(1)) },
		"energy given":  func(a *picture.Arrangement) { a.Heater = quantity.Joules(-1) },
		"the last wait": func(a *picture.Arrangement) { a.Waits[len(a.Waits)-1].Within = quantity.Seconds(nan) },
	} {
		a := six()
		change(&a.All[0])
		if got, err := picture.Comparison(a, false); err == nil {
			t.Errorf("%s: %.200s", what, got)
		}
	}
}
