package hydraulic

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"recirc/calc/internal/table"
	"recirc/calc/quantity"
	"recirc/calc/water"
)

// published reads a table of testdata. A row without a source is refused.
func published(t testing.TB, name string) []table.Row {
	t.Helper()
	data, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	rows := table.MustRead(string(data))
	for i, r := range rows {
		if r.Text("source") == "" {
			t.Fatalf("%s: row %d has no source", name, i+1)
		}
	}
	return rows
}

// si gives a value in a unit of a dimension as SI.
func si(t testing.TB, d *quantity.Dimension, symbol string, value float64) float64 {
	t.Helper()
	u, ok := d.Unit(symbol)
	if !ok {
		t.Fatalf("%s has no unit %s", d.Name, symbol)
	}
	return u.ToSI(value)
}

func inches(v float64) quantity.Length { return quantity.Metres(v * 0.0254) }

func feet(v float64) quantity.Length { return quantity.Metres(v * 0.3048) }

func gpm(t testing.TB, v float64) quantity.Flow {
	t.Helper()
	return quantity.CubicMetresPerSecond(si(t, quantity.FlowDimension, "gal/min", v))
}

func waterAt(t testing.TB, celsius float64) Fluid {
	t.Helper()
	w, err := water.At(quantity.Celsius(celsius))
	if err != nil {
		t.Fatal(err)
	}
	return Fluid{Density: w.Density, Viscosity: w.Viscosity}
}

func mustLoss(t testing.TB, p Pipe, q quantity.Flow, f Fluid) Loss {
	t.Helper()
	l, err := p.Loss(q, f)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func near(t testing.TB, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s: %.12g, want %.12g within %.2g, off by %.2g", what, got, want, relative, got/want-1)
	}
}
