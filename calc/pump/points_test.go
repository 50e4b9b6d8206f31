package pump

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// TestEachFaultHasItsName: one slip in a sound curve gives one fault, at its point.
func TestEachFaultHasItsName(t *testing.T) {
	sound := func() []Point {
		return points([]float64{0, 1e-4, 2e-4, 3e-4}, []float64{4, 3, 2, 1}, []float64{10, 12, 14, 15})
	}
	with := func(i int, p Point) []Point {
		all := sound()
		all[i] = p
		return all
	}
	point := func(q, h, p float64) Point { return points([]float64{q}, []float64{h}, []float64{p})[0] }
	many := make([]float64, MaxPoints+1)
	for i := range many {
		many[i] = float64(i+1) * 1e-5
	}
	for _, c := range []struct {
		name   string
		points []Point
		by     Interpolation
		fault  Fault
		index  int
	}{
		{"none", nil, Monotone, TooFewPoints, -1},
		{"one point", sound()[:1], Monotone, TooFewPoints, -1},
		{"two for a parabola", sound()[:2], LeastSquares, TooFewPoints, -1},
		{"too many", points(many, many, nil), Monotone, TooManyPoints, -1},
		{"unheard interpolation", sound(), "cubic", UnknownInterpolation, -1},
		{"flow is no number", with(2, point(math.NaN(), 2, 14)), Monotone, NotFinite, 2},
		{"head is infinite", with(2, point(2e-4, math.Inf(1), 14)), Monotone, NotFinite, 2},
		{"head is infinite downwards", with(2, point(2e-4, math.Inf(-1), 14)), Monotone, NotFinite, 2},
		{"power is no number", with(0, point(0, 4, math.NaN())), Monotone, NotFinite, 0},
		{"flow of a river", with(3, point(101, 1, 15)), Monotone, TooLarge, 3},
		{"head of a mountain", with(0, point(0, 1.1e4, 10)), Monotone, TooLarge, 0},
		{"power of a plant", with(3, point(3e-4, 1, 1.1e9)), Monotone, TooLarge, 3},
		{"flow below zero", with(0, point(-1e-5, 4, 10)), Monotone, FlowNegative, 0},
		{"head below zero from the start", with(0, point(0, -1, 10)), Monotone, HeadNegative, 0},
		{"power below zero", with(1, point(1e-4, 3, -12)), Monotone, PowerNegative, 1},
		{"head crosses zero", with(3, point(3e-4, -0.5, 15)), Monotone, CrossesZero, 3},
		{"parabola crosses zero", points([]float64{0, 1e-4, 2e-4}, []float64{1, 1, 0}, nil), LeastSquares, "", 0},
		{"parabola crosses zero after all", points([]float64{0, 1e-4, 2e-4, 3e-4}, []float64{4, 0.2, 0.1, 0}, nil), LeastSquares, CrossesZero, -1},
		{"parabola of power crosses zero", points([]float64{0, 1e-4, 2e-4, 3e-4}, []float64{4, 3, 2, 1}, []float64{9, 0.1, 0.1, 0.1}), LeastSquares, PowerNegative, -1},
		{"same flow twice", with(2, point(1e-4, 2, 14)), Monotone, FlowRepeated, 2},
		{"same flow but for rounding", with(2, point(1e-4*(1+1e-12), 2, 14)), Monotone, FlowRepeated, 2},
		{"flow falls", with(2, point(0.5e-4, 2, 14)), Monotone, FlowDecreasing, 2},
		{"flows of nothing", points([]float64{0, 1e-10}, []float64{2, 1}, nil), Monotone, FlowTooSmall, -1},
		{"no head at all", points([]float64{0, 1e-4}, []float64{0, 0}, nil), Monotone, NoHead, -1},
		{"power at some points", with(1, point(1e-4, 3, 0)), Monotone, PowerMissing, 1},
	} {
		curve, err := NewCurve(c.points, c.by)
		if c.fault == "" {
			if err != nil {
				t.Errorf("%s: %v", c.name, err)
			}
			continue
		}
		var typed *CurveError
		if curve != nil || !errors.As(err, &typed) || len(typed.Faults) != 1 {
			t.Errorf("%s: %v, want one fault", c.name, err)
			continue
		}
		if got := typed.Faults[0]; got.Fault != c.fault || got.Index != c.index || got.Detail == "" || !strings.Contains(err.Error(), string(c.fault)) {
			t.Errorf("%s: %+v, want %s at %d", c.name, got, c.fault, c.index)
		}
	}
}

func TestAllFaultsAtOnce(t *testing.T) {
	_, err := NewCurve(points([]float64{-1, 0, math.NaN()}, []float64{1, math.Inf(1), -1}, []float64{-1, 1, 1}), Monotone)
	var typed *CurveError
	if !errors.As(err, &typed) || len(typed.Faults) != 5 {
		t.Errorf("%+v, want five faults", err)
	}
}

// TestRises: a hump at the start is allowed and told.
func TestRises(t *testing.T) {
	c := mustCurve(t, points([]float64{0, 1e-4, 2e-4, 3e-4, 4e-4}, []float64{2, 2.2, 2.3, 2.3, 1}, nil), Monotone)
	rises := c.Rises()
	if len(rises) != 1 || rises[0] != (Span{From: flow(0), To: flow(2e-4)}) {
		t.Errorf("rises %v, want from 0 to 2e-4", rises)
	}
	if got := circulator(t).Rises(); got != nil {
		t.Errorf("a falling curve rises at %v", got)
	}
}

// TestNothingBeyondThePoints: outside there is an error with its reason, at the
// points there are the points.
func TestNothingBeyondThePoints(t *testing.T) {
	c := mustCurve(t, points([]float64{1e-4, 2e-4, 4e-4}, []float64{3, 2.5, 1}, []float64{10, 12, 13}), Monotone)
	for _, q := range []float64{1e-4, 1e-4 * (1 - 1e-13), 4e-4, 4e-4 * (1 + 1e-13)} {
		h, _, err := c.Head(flow(q))
		p, errP := c.Power(flow(q))
		if want := map[bool]float64{true: 3, false: 1}[q < 2e-4]; err != nil || errP != nil || math.Abs(h.Metres()-want) > 1e-15 || p.Watts() < 10 {
			t.Errorf("%v: %v, %v, %v, %v", q, h, err, p, errP)
		}
	}
	for q, want := range map[float64]Reason{0: BelowCurveStart, 0.9e-4: BelowCurveStart, 4.1e-4: BeyondCurveEnd, 100: BeyondCurveEnd} {
		_, _, err := c.Head(flow(q))
		_, errP := c.Power(flow(q))
		if reasonOf(err) != want || reasonOf(errP) != want {
			t.Errorf("%v: %v, %v, want %s", q, err, errP, want)
		}
	}
	for _, q := range []float64{-1e-9, math.NaN(), math.Inf(1), math.Inf(-1)} {
		if _, _, err := c.Head(flow(q)); !isRange(err) {
			t.Errorf("%v: %v, want a RangeError", q, err)
		}
	}
	bare := mustCurve(t, points([]float64{0, 1e-4}, []float64{2, 1}, nil), Monotone)
	if _, err := bare.Power(flow(0)); reasonOf(err) != PowerUnknown || bare.HasPower() {
		t.Errorf("power out of nowhere: %v", err)
	}
}
