package quantity_test

import (
	_ "embed"
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"math/big"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/quantity"
)

//go:embed testdata/conversions.csv
var conversions string

func dimensionNamed(t *testing.T, name string) *quantity.Dimension {
	t.Helper()
	for _, d := range quantity.Dimensions() {
		if d.Name == name {
			return d
		}
	}
	t.Fatalf("no dimension %q", name)
	return nil
}

// TestFactorsAreExact compares every factor with the exact fraction that the
// defining values give. Two roundings, one of each unit's factor, are allowed.
func TestFactorsAreExact(t *testing.T) {
	r := csv.NewReader(strings.NewReader(conversions))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) < 40 {
		t.Fatalf("only %d rows", len(rows))
	}
	for _, row := range rows[1:] {
		id, dimension, from, to, fraction := row[0], row[1], row[2], row[3], row[4]
		d := dimensionNamed(t, dimension)
		f, okFrom := d.Unit(from)
		g, okTo := d.Unit(to)
		exact, okFraction := new(big.Rat).SetString(fraction)
		if !okFrom || !okTo || !okFraction {
			t.Errorf("%s: cannot read %v", id, row)
			continue
		}
		want, _ := exact.Float64()
		if got := f.Factor / g.Factor; math.Abs(got-want) > 4e-16*want {
			t.Errorf("%s: 1 %s = %v %s, want %v", id, from, got, to, want)
		}
	}
}

// TestTemperature checks levels and differences apart: 10 degF is a level of
// 260.9 K and a difference of 5.56 K. Expected: the defining values.
func TestTemperature(t *testing.T) {
	level := quantity.TemperatureDimension
	degF, _ := level.Unit("degF")
	degC, _ := level.Unit("degC")
	for f, c := range map[float64]float64{104: 40, 110: 43.333333333333336, 120: 48.888888888888886, 140: 60, 32: 0, -40: -40} {
		if got := degC.FromSI(degF.ToSI(f)); math.Abs(got-c) > 1e-12*400 {
			t.Errorf("%v degF = %v degC, want %v", f, got, c)
		}
	}
	difference, _ := quantity.TemperatureDifferenceDimension.Unit("degF")
	if got := difference.ToSI(20); math.Abs(got-100.0/9) > 1e-12 {
		t.Errorf("a difference of 20 degF is %v K, want 11.11", got)
	}
}

// TestFlowCoefficient: exact Cv to Kv is 0.8649776554 for one water density on
// both sides (rational arithmetic from the defining values and one square root).
func TestFlowCoefficient(t *testing.T) {
	kv, _ := quantity.FlowCoefficientDimension.Unit("m3/h")
	cv, _ := quantity.FlowCoefficientDimension.Unit("gal/min")
	if got := kv.FromSI(cv.ToSI(4)); math.Abs(got-3.459910622) > 1e-9 {
		t.Errorf("Cv 4 is Kv %v, want 3.459910622", got)
	}
	if got := kv.ToSI(2.5) * math.Sqrt(1000) * 1000; math.Abs(got-0.06944444444) > 1e-10 {
		t.Errorf("Kv 2.5 passes %v L/s at 1 kPa, want 0.06944444444", got)
	}
}

// TestImperialGallon: 1.20095 US gallons (4.54609 L over 3.785411784 L).
func TestImperialGallon(t *testing.T) {
	imperial, _ := quantity.VolumeDimension.Unit("gal_imp")
	us, _ := quantity.VolumeDimension.Unit("gal")
	if got := us.FromSI(imperial.ToSI(1)); math.Abs(got-1.20095) > 1e-5 {
		t.Errorf("got %v", got)
	}
}

func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.SampledFrom(quantity.Dimensions()).Draw(t, "dimension")
		u := rapid.SampledFrom(d.Units).Draw(t, "unit")
		x := rapid.Float64Range(-1e12, 1e12).Draw(t, "value")
		back := u.FromSI(u.ToSI(x))
		if math.Abs(back-x) > 1e-12*(math.Abs(x)+math.Abs(u.Offset)/u.Factor) {
			t.Fatalf("%v %s came back as %v", x, u.Symbol, back)
		}
	})
}

func TestSymbolsAreUniqueWithinADimension(t *testing.T) {
	for _, d := range quantity.Dimensions() {
		seen := map[string]bool{}
		for _, s := range d.Symbols() {
			if seen[s] {
				t.Errorf("%s has %q twice", d.Name, s)
			}
			seen[s] = true
		}
		if !seen[d.SI.Symbol] || !seen[d.US.Symbol] {
			t.Errorf("%s: an answer would use a unit that a request may not", d.Name)
		}
	}
}

func TestUnknownUnitPanics(t *testing.T) {
	if ft := quantity.LengthDimension.MustUnit("ft"); ft.ToSI(1) != 0.3048 { // the international foot
		t.Errorf("a foot is %v m", ft.ToSI(1))
	}
	defer func() {
		if message := fmt.Sprint(recover()); message != `quantity: Length has no unit "psi"` {
			t.Errorf("panic %s", message)
		}
	}()
	quantity.LengthDimension.MustUnit("psi")
}

// TestChecksKeepTheFirstError: what was wrong first is told.
func TestChecksKeepTheFirstError(t *testing.T) {
	c := quantity.Checks{Operation: "p.F"}
	c.Between("a", 1, 0, 1, "m")
	if c.Err != nil {
		t.Fatal(c.Err)
	}
	c.Between("b", math.NaN(), 0, 1, "s")
	c.Between("c", 9, 0, 1, "K")
	var e *quantity.RangeError
	if !errors.As(c.Err, &e) || e.Symbol != "b" || e.Operation != "p.F" || e.Unit != "s" {
		t.Errorf("%+v", c.Err)
	}
}
