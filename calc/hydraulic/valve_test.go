package hydraulic

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/quantity"
)

func kv(t testing.TB, cubicMetresPerHour float64) quantity.FlowCoefficient {
	t.Helper()
	return quantity.FlowCoefficientSI(quantity.FlowCoefficientDimension.MustUnit("m3/h").ToSI(cubicMetresPerHour))
}

// TestKvIsTheFlowAtOneBar: by definition a valve of Kv 2.8 passes 2.8 m3/h of
// water of 1000 kg/m3 at 1 bar, and half of that at a quarter.
func TestKvIsTheFlowAtOneBar(t *testing.T) {
	cold := Fluid{Density: 1000, Viscosity: 1e-3}
	flow := quantity.CubicMetresPerSecond(2.8 / 3600)
	near(t, "drop", KvDrop(flow, kv(t, 2.8), cold).Pascals(), 1e5, 1e-14)
	near(t, "Kv", KvFor(quantity.CubicMetresPerSecond(1.4/3600), quantity.Pascals(-25e3), cold).SI(), kv(t, 2.8).SI(), 1e-14)
	near(t, "half the density", KvDrop(flow, kv(t, 2.8), Fluid{Density: 500}).Pascals(), 5e4, 1e-14)
	near(t, "backwards", KvDrop(quantity.CubicMetresPerSecond(-2.8/3600), kv(t, 2.8), cold).Pascals(), -1e5, 1e-14)
	// The trade's Kv = 0.865 Cv, in three digits.
	cv := quantity.FlowCoefficientDimension.MustUnit("gal/min").ToSI(1)
	near(t, "Cv", cv/kv(t, 1).SI(), 0.865, 0.0005/0.865)
}

// TestValvesInSeries: two alike pass 1/sqrt(2) of one; the drops add.
func TestValvesInSeries(t *testing.T) {
	near(t, "two alike", SeriesKv(kv(t, 2), kv(t, 2)).SI(), kv(t, math.Sqrt2).SI(), 1e-14)
	none := quantity.FlowCoefficient{}
	if SeriesKv() != none || SeriesKv(none, none) != none || SeriesKv(none, kv(t, 2)) != SeriesKv(kv(t, 2)) {
		t.Error("no valve is not free of loss")
	}
	rapid.Check(t, func(t *rapid.T) {
		k := func(label string) quantity.FlowCoefficient {
			return quantity.FlowCoefficientSI(rapid.Float64Range(1e-8, 1e-4).Draw(t, label))
		}
		a, b, q, f := k("a"), k("b"), quantity.CubicMetresPerSecond(rapid.Float64Range(1e-6, 1e-2).Draw(t, "q")), drawFluid(t)
		sum := KvDrop(q, a, f).Pascals() + KvDrop(q, b, f).Pascals()
		dp := KvDrop(q, SeriesKv(a, b), f)
		if math.Abs(dp.Pascals()/sum-1) > 1e-12 {
			t.Errorf("%g, want %g", dp.Pascals(), sum)
		}
		if back := KvFor(q, dp, f); math.Abs(back.SI()/SeriesKv(a, b).SI()-1) > 1e-12 {
			t.Errorf("back to %g", back.SI())
		}
	})
}

func TestNoValve(t *testing.T) {
	f, q, none := Fluid{Density: 1000, Viscosity: 1e-3}, quantity.CubicMetresPerSecond(1e-4), quantity.FlowCoefficient{}
	if KvDrop(q, none, f).Pascals() != 0 || KvFor(q, quantity.Pressure{}, f) != none || KvFor(quantity.Flow{}, quantity.Pascals(1), f) != none {
		t.Error("no valve takes pressure")
	}
	l := mustLoss(t, Pipe{Kv: kv(t, 1)}, q, f)
	if l.Total != l.Valves || l.Total != KvDrop(q, kv(t, 1), f) || l.Velocity.MetresPerSecond() != 0 {
		t.Errorf("a valve alone: %+v", l)
	}
}

// TestHead: 1 m of water of 1000 kg/m3 is 9806.65 Pa by the definition of g.
func TestHead(t *testing.T) {
	near(t, "1 m", HeadPressure(quantity.Metres(1), 1000).Pascals(), 9806.65, 1e-15)
	near(t, "and back", Head(quantity.Pascals(9806.65), 1000).Metres(), 1, 1e-15)
}
