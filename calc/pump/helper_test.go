package pump

import (
	"errors"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/internal/table"
	"recirc/calc/quantity"
)

// failer is a test or a property.
type failer interface {
	Helper()
	Errorf(format string, args ...any)
	Fatalf(format string, args ...any)
}

func reference(name string) []table.Row { return table.MustReadCited(os.DirFS("testdata"), name) }

func numbers(t testing.TB, list string) []float64 {
	t.Helper()
	var all []float64
	for _, text := range strings.Split(list, ";") {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, v)
	}
	return all
}

func near(t failer, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s: %.12g, want %.12g within %.2g, off by %.2g", what, got, want, relative, got/want-1)
	}
}

func metres(v float64) quantity.Length { return quantity.Metres(v) }

func flow(v float64) quantity.Flow { return quantity.CubicMetresPerSecond(v) }

func points(flows, heads, powers []float64) []Point {
	all := make([]Point, len(flows))
	for i := range flows {
		all[i] = Point{Flow: flow(flows[i]), Head: metres(heads[i])}
		if powers != nil {
			all[i].Power = quantity.PowerWatts(powers[i])
		}
	}
	return all
}

func mustCurve(t failer, all []Point, by Interpolation) *Curve {
	t.Helper()
	c, err := NewCurve(all, by)
	if err != nil {
		t.Fatalf("%v: %v", all, err)
	}
	return c
}

// circulator is an invented small pump.
func circulator(t failer) *Curve {
	return mustCurve(t, points(
		[]float64{0, 1e-4, 2e-4, 3e-4, 4e-4, 5e-4, 6e-4}, []float64{1.5, 1.46, 1.36, 1.19, 0.95, 0.63, 0.22},
		[]float64{18, 21, 24, 26.5, 28, 29, 29.5}), Monotone)
}

// exactly is the pump H = a - c Q^2 up to a flow, whose laws are known without a
// computer.
func exactly(t failer, a, c, last float64) *Curve {
	var f, h []float64
	for i := range 5 {
		q := last * float64(i) / 4
		f, h = append(f, q), append(h, max(0, a-c*q*q)) // rounding may be below zero at the end
	}
	return mustCurve(t, points(f, h, nil), LeastSquares)
}

// falling draws a curve whose head falls from point to point, with power.
func falling(t *rapid.T) *Curve {
	n := rapid.IntRange(2, 12).Draw(t, "points")
	q, h, p := 0.0, 0.0, rapid.Float64Range(1, 100).Draw(t, "least power")
	f, heads, powers := make([]float64, n), make([]float64, n), make([]float64, n)
	for i := range n {
		f[i], powers[i] = q, p
		q += rapid.Float64Range(1e-5, 3e-4).Draw(t, "step")
		p += rapid.Float64Range(-0.5, 5).Draw(t, "power")
		p = max(p, 0.1)
	}
	for i := n - 1; i >= 0; i-- {
		heads[i] = h
		h += rapid.Float64Range(0.01, 2).Draw(t, "fall")
	}
	by := rapid.SampledFrom([]Interpolation{Monotone, Linear}).Draw(t, "by")
	return mustCurve(t, points(f, heads, powers), by)
}

func reasonOf(err error) Reason {
	var typed *Error
	if errors.As(err, &typed) {
		return typed.Reason
	}
	return ""
}

func isRange(err error) bool {
	var typed *RangeError
	return errors.As(err, &typed)
}
