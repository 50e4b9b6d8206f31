package hydraulic

import (
	"math"
	"os"
	"testing"

	"recirc/calc/internal/table"
	"recirc/calc/quantity"
	"recirc/calc/water"
)

func published(name string) []table.Row { return table.MustReadCited(os.DirFS("testdata"), name) }

func inches(v float64) quantity.Length { return quantity.Metres(v * 0.0254) }

func feet(v float64) quantity.Length { return quantity.Metres(v * 0.3048) }

func gpm(t testing.TB, v float64) quantity.Flow {
	t.Helper()
	return quantity.CubicMetresPerSecond(quantity.FlowDimension.MustUnit("gal/min").ToSI(v))
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
