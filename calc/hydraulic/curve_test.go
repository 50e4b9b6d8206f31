package hydraulic

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/quantity"
)

func drawFluid(t *rapid.T) Fluid {
	return Fluid{
		Density:   rapid.Float64Range(960, 1000).Draw(t, "density"),
		Viscosity: rapid.Float64Range(2.5e-4, 1.5e-3).Draw(t, "viscosity"),
	}
}

// drawRun draws a pipe as buildings have them.
func drawRun(t *rapid.T) Pipe {
	f := func(low, high float64, label string) float64 { return rapid.Float64Range(low, high).Draw(t, label) }
	p := Pipe{
		Length: quantity.Metres(f(0.1, 200, "length")), Bore: quantity.Metres(f(0.005, 0.15, "bore")),
		Roughness:      quantity.Metres(rapid.SampledFrom([]float64{0, 1.5e-6, 7e-6, 1.5e-4}).Draw(t, "roughness")),
		SumK:           rapid.SampledFrom([]float64{0, 0, 1.5, 30}).Draw(t, "K"),
		HazenWilliamsC: rapid.SampledFrom([]float64{0, 0, 0, 130, 150}).Draw(t, "C"),
		Kv:             quantity.FlowCoefficientSI(rapid.SampledFrom([]float64{0, 0, 1e-7, 5e-6}).Draw(t, "Kv")),
	}
	if rapid.Bool().Draw(t, "equivalent") {
		p.EquivalentLength = quantity.Metres(f(0, 50, "equivalent length"))
	}
	return p
}

// drawFlow draws a flow by its Reynolds number, so that every regime comes.
func drawFlow(t *rapid.T, c *Curve, label string) float64 {
	return math.Pow(10, rapid.Float64Range(-1, 6.5).Draw(t, label)) / c.reynolds
}

func at(c Curve, q float64) float64 {
	drop, _ := c.At(q)
	return drop
}

// TestCurveIsTheLoss: a solver and a report see the same pipe.
func TestCurveIsTheLoss(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, f := drawRun(t), drawFluid(t)
		c := p.Curve(f)
		q := drawFlow(t, &c, "Re") * rapid.SampledFrom([]float64{1, -1}).Draw(t, "sign")
		l, err := p.Loss(quantity.CubicMetresPerSecond(q), f)
		if err != nil {
			t.Fatal(err)
		}
		parts := l.Friction.Pascals() + l.Fittings.Pascals() + l.Valves.Pascals()
		for _, got := range []float64{at(c, q), parts} {
			if math.Abs(got-l.Total.Pascals()) > 1e-12*math.Abs(got) || got*q <= 0 || l.Velocity.MetresPerSecond()*q <= 0 {
				t.Errorf("q %g: curve or sum of parts %g, loss %+v", q, got, l)
			}
		}
		// Darcy's equation by its parts, with the public factor.
		if p.Method() == DarcyWeisbach {
			v := l.Velocity.MetresPerSecond()
			factor, _ := FrictionFactor(l.Reynolds, p.Roughness.Metres()/p.Bore.Metres())
			want := factor * p.Length.Metres() / p.Bore.Metres() * f.Density * v * math.Abs(v) / 2
			if math.Abs(l.Friction.Pascals()-want) > 1e-11*math.Abs(want) {
				t.Errorf("friction %g, want %g", l.Friction.Pascals(), want)
			}
		}
	})
}

// TestDropIsOddAndRises strictly, across every change of formula.
func TestDropIsOddAndRises(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := drawRun(t).Curve(drawFluid(t))
		q := drawFlow(t, &c, "Re")
		drop, slope := c.At(q)
		back, slopeBack := c.At(-q)
		if back != -drop || slopeBack != slope || !(slope > 0) {
			t.Errorf("q %g: %g, slope %g; backwards %g, %g", q, drop, slope, back, slopeBack)
		}
		more := q * (1 + math.Pow(10, rapid.Float64Range(-9, 1).Draw(t, "step")))
		if !(at(c, more) > drop) {
			t.Errorf("q %g: %g; q %g: %g", q, drop, more, at(c, more))
		}
	})
}

// TestSlopeIsExact: by central differences, with a step that stays inside the
// regime.
func TestSlopeIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawRun(t)
		c := p.Curve(drawFluid(t))
		q := drawFlow(t, &c, "Re")
		h := 1e-5 * q
		for _, end := range []float64{laminarUpTo / c.reynolds, turbulentFrom / c.reynolds, c.creep} {
			if math.Abs(q-end) <= 2*h {
				t.Skip("at a jump of the slope")
			}
		}
		_, slope := c.At(q)
		if got := (at(c, q+h) - at(c, q-h)) / (2 * h); math.Abs(got/slope-1) > 1e-8 {
			t.Errorf("Re %g: slope %.12g, by differences %.12g", c.reynolds*q, slope, got)
		}
	})
}

// TestCurveHasNoJump where the formula changes, but for its slope.
func TestCurveHasNoJump(t *testing.T) {
	f := waterAt(t, 55)
	smooth := Pipe{Length: feet(100), Bore: inches(0.785)}.Curve(f)
	hazen := Pipe{Length: feet(100), Bore: inches(0.785), HazenWilliamsC: 150}.Curve(f)
	for _, c := range []struct {
		name  string
		curve Curve
		q     float64
	}{
		{"Re 2000", smooth, laminarUpTo / smooth.reynolds}, {"Re 4000", smooth, turbulentFrom / smooth.reynolds},
		{"creep", hazen, hazen.creep},
	} {
		below, slopeBelow := c.curve.At(c.q * (1 - 1e-13))
		above, slopeAbove := c.curve.At(c.q * (1 + 1e-13))
		near(t, c.name, above, below, 1e-12)
		if !(math.Abs(slopeAbove/slopeBelow-1) > 0.01) {
			t.Errorf("%s: slope %g and %g; the formula does not change here", c.name, slopeBelow, slopeAbove)
		}
	}
}

// TestSlopeWhereWaterStands: friction has one, a plain square has none.
func TestSlopeWhereWaterStands(t *testing.T) {
	f := waterAt(t, 55)
	for _, c := range []struct {
		name    string
		pipe    Pipe
		sloping bool
	}{
		{"pipe", Pipe{Length: feet(1), Bore: inches(0.785)}, true},
		{"Hazen-Williams", Pipe{Length: feet(1), Bore: inches(0.785), HazenWilliamsC: 150}, true},
		{"fittings by length", Pipe{EquivalentLength: feet(1), Bore: inches(0.785)}, true},
		{"valve alone", Pipe{Kv: quantity.FlowCoefficientSI(1e-6)}, false},
		{"fitting alone", Pipe{Bore: inches(0.785), SumK: 2}, false},
	} {
		curve := c.pipe.Curve(f)
		drop, slope := curve.At(0)
		if drop != 0 || (slope > 0) != c.sloping || slope < 0 {
			t.Errorf("%s: %g, %g", c.name, drop, slope)
		}
	}
}

// TestSplittingChangesNothing: two pipes in series lose what one does.
func TestSplittingChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, f := drawRun(t), drawFluid(t)
		whole := p.Curve(f)
		q := drawFlow(t, &whole, "Re")
		share := rapid.Float64Range(0, 1).Draw(t, "share")
		first, second := p, p
		first.Length, second.Length = quantity.Metres(p.Length.Metres()*share), quantity.Metres(p.Length.Metres()*(1-share))
		first.EquivalentLength, first.SumK, first.Kv = quantity.Length{}, 0, quantity.FlowCoefficient{}
		if sum := at(first.Curve(f), q) + at(second.Curve(f), q); math.Abs(sum/at(whole, q)-1) > 1e-12 {
			t.Errorf("%g in two, %g in one", sum, at(whole, q))
		}
	})
}

// TestLongerOrNarrowerNeverLosesLess.
func TestLongerOrNarrowerNeverLosesLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, f := drawRun(t), drawFluid(t)
		c := p.Curve(f)
		q := drawFlow(t, &c, "Re")
		longer, narrower, rougher := p, p, p
		longer.Length = quantity.Metres(p.Length.Metres() * rapid.Float64Range(1, 3).Draw(t, "longer"))
		narrower.Bore = quantity.Metres(p.Bore.Metres() / rapid.Float64Range(1, 3).Draw(t, "narrower"))
		rougher.Roughness = quantity.Metres(p.Roughness.Metres() + rapid.Float64Range(0, 1e-4).Draw(t, "rougher"))
		for name, worse := range map[string]Pipe{"longer": longer, "narrower": narrower, "rougher": rougher} {
			if got := at(worse.Curve(f), q); !(got >= at(c, q)*(1-1e-12)) {
				t.Errorf("%s: %g after %g", name, got, at(c, q))
			}
		}
	})
}
