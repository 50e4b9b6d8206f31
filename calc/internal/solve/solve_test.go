package solve_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/internal/solve"
)

// closed is a function whose root is known without a computer.
type closed struct {
	name string
	f    func(float64) float64
	a, b float64
	root float64
	most int // evaluations that the method may take for 1e-14
}

func closedForms() []closed {
	return []closed{
		{"square root of two", func(x float64) float64 { return x*x - 2 }, 0, 2, math.Sqrt2, 12},
		{"ends the other way round", func(x float64) float64 { return x*x - 2 }, 2, 0, math.Sqrt2, 12},
		{"falling", func(x float64) float64 { return 2 - x*x }, 0, 2, math.Sqrt2, 12},
		{"line", func(x float64) float64 { return 3*x - 1 }, -5, 10, 1.0 / 3, 12},
		{"logarithm", func(x float64) float64 { return math.Exp(x) - 10 }, -10, 10, math.Ln10, 20},
		{"cube root near the end of a wide bracket", func(x float64) float64 { return x*x*x - 1e-9 }, 0, 1000, 1e-3, 40},
		{"flat about the root", func(x float64) float64 { return math.Pow(x-1, 9) }, 0, 4, 1, 120},
		{"steep", math.Cbrt, -1, 8, 0, 250},
		{"jump", func(x float64) float64 { return math.Copysign(1, x-0.3) }, -1, 1, 0.3, 60},
		{"root at the lower end", func(x float64) float64 { return x }, 0, 1, 0, 1},
		{"root at the upper end", func(x float64) float64 { return x - 1 }, 0, 1, 1, 1},
	}
}

func TestRootMeetsClosedForms(t *testing.T) {
	for _, c := range closedForms() {
		got, err := solve.Root(c.f, c.a, c.b, 1e-15, c.most)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if math.Abs(got-c.root) > 4e-15*math.Abs(c.root)+1e-28 {
			t.Errorf("%s: %v, want %v", c.name, got, c.root)
		}
	}
}

// A bracket is never left, wherever the function would throw a secant.
func TestRootStaysInItsBracket(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		root := rapid.Float64Range(-10, 10).Draw(t, "root")
		a, b := root-rapid.Float64Range(1e-6, 100).Draw(t, "below"), root+rapid.Float64Range(1e-6, 100).Draw(t, "above")
		power := rapid.SampledFrom([]float64{0.2, 1, 3, 7}).Draw(t, "power")
		got, err := solve.Root(func(x float64) float64 {
			if x < a || x > b {
				t.Fatalf("looked at %v outside %v to %v", x, a, b)
			}
			return math.Copysign(math.Pow(math.Abs(x-root), power), x-root)
		}, a, b, 1e-12, 200)
		if err != nil || math.Abs(got-root) > 1e-11*math.Abs(root)+1e-11 {
			t.Fatalf("got %v, %v, want %v", got, err, root)
		}
	})
}

func TestRootTellsWhyItFails(t *testing.T) {
	square := func(x float64) float64 { return x*x - 2 }
	for _, c := range []struct {
		name   string
		f      func(float64) float64
		a, b   float64
		limit  int
		reason error
	}{
		{"no change of sign", square, 2, 3, 50, solve.ErrNoBracket},
		{"no number at an end", math.Sqrt, -1, 1, 50, solve.ErrNotFinite},
		{"no number inside", func(x float64) float64 { return x * math.Sqrt(math.Abs(x)-0.9) }, -1, 1, 50, solve.ErrNotFinite},
		{"a bracket without width", func(x float64) float64 { return x }, -math.MaxFloat64, math.MaxFloat64, 50, solve.ErrNotFinite},
		{"too few steps", square, 0, 2, 3, solve.ErrLimit},
	} {
		got, err := solve.Root(c.f, c.a, c.b, 1e-15, c.limit)
		var typed *solve.Error
		if !errors.Is(err, c.reason) || !errors.As(err, &typed) || !math.IsNaN(got) {
			t.Errorf("%s: %v, %v, want %v", c.name, got, err, c.reason)
			continue
		}
		if typed.Steps > c.limit || !strings.Contains(err.Error(), "f(") {
			t.Errorf("%s: %v after %d steps", c.name, err, typed.Steps)
		}
	}
}

func TestRisingMeetsClosedForms(t *testing.T) {
	for _, c := range []struct {
		name             string
		f                func(float64) (float64, float64)
		start, low, high float64
		root             float64
		most             int
	}{
		{"square root of two", func(x float64) (float64, float64) { return x*x - 2, 2 * x }, 1, 0, 10, math.Sqrt2, 7},
		{"slope 3 % off", func(x float64) (float64, float64) { return x*x - 2, 2.06 * x }, 1, 0, 10, math.Sqrt2, 14},
		{"slope far off", func(x float64) (float64, float64) { return math.Atan(x - 1), 0.01 }, 5, -20, 20, 1, 70},
		{"start outside the bracket", func(x float64) (float64, float64) { return x - 1, 1 }, 50, 0, 4, 1, 5},
		{"step out of the bracket", func(x float64) (float64, float64) { return math.Exp(x) - 1, math.Exp(x) }, -30, -30, 3, 0, 90},
		{"root at an end", func(x float64) (float64, float64) { return x, 1 }, 3, 0, 4, 0, 1200},
	} {
		seen := math.NaN()
		got, err := solve.Rising(func(x float64) (float64, float64) {
			if x < c.low || x > c.high {
				t.Errorf("%s: looked at %v outside %v to %v", c.name, x, c.low, c.high)
			}
			seen = x
			return c.f(x)
		}, c.start, c.low, c.high, 1e-14, c.most)
		if err != nil || math.Abs(got-c.root) > 1e-13*math.Abs(c.root)+1e-13 {
			t.Errorf("%s: %v, %v, want %v", c.name, got, err, c.root)
		}
		if got != seen {
			t.Errorf("%s: %v, but the last point looked at is %v", c.name, got, seen)
		}
	}
}

func TestRisingTellsWhyItFails(t *testing.T) {
	if got, err := solve.Rising(func(x float64) (float64, float64) { return math.NaN(), 1 }, 1, 0, 2, 1e-9, 9); !errors.Is(err, solve.ErrNotFinite) || !math.IsNaN(got) {
		t.Errorf("no number: %v, %v", got, err)
	}
	looked := 0
	_, err := solve.Rising(func(x float64) (float64, float64) { looked++; return x*x*x - 2, 1000 }, 0.5, 0, 2, 1e-15, 9)
	if !errors.Is(err, solve.ErrLimit) || looked != 9 {
		t.Errorf("too few steps: %v after %d", err, looked)
	}
}
