package hydraulic

import (
	"errors"
	"math"
	"testing"

	"recirc/calc/quantity"
)

// TestPressureDropsAsComputed: every row of the computed table, with the row's
// own water.
func TestPressureDropsAsComputed(t *testing.T) {
	kinds := map[string]int{}
	for _, r := range published("pipe_pressure_drop.csv") {
		id := r.Text("case_id")
		kinds[r.Text("kind")]++
		p := Pipe{
			Length: quantity.Metres(r.Number("length_m")), Bore: quantity.Metres(r.Number("inside_diameter_m")),
			Roughness: quantity.Metres(r.Number("roughness_m")), SumK: r.Number("sum_minor_loss_K"),
		}
		f := Fluid{Density: r.Number("density_kg_m3"), Viscosity: r.Number("viscosity_Pa_s")}
		l := mustLoss(t, p, quantity.CubicMetresPerSecond(r.Number("flow_m3_s")), f)
		near(t, id+" velocity", l.Velocity.MetresPerSecond(), r.Number("velocity_m_s"), 1e-9)
		near(t, id+" Reynolds", l.Reynolds, r.Number("reynolds"), 1e-9)
		near(t, id+" fittings", l.Fittings.Pascals(), r.Number("dp_minor_Pa"), 1e-9)
		if r.Text("kind") == "transitional" {
			if total, low, high := l.Total.Pascals(), r.Number("dp_total_if_laminar_Pa"), r.Number("dp_total_if_turbulent_Pa"); !(low < total && total < high) || l.Regime != Transition {
				t.Errorf("%s: %g Pa, %s, want between %g and %g", id, total, l.Regime, low, high)
			}
			continue
		}
		if string(l.Regime) != r.Text("regime") {
			t.Errorf("%s: %s, want %s", id, l.Regime, r.Text("regime"))
		}
		near(t, id+" factor", l.Factor, r.Number("friction_factor_darcy"), 1e-9)
		near(t, id+" friction", l.Friction.Pascals(), r.Number("dp_friction_Pa"), 1e-9)
		near(t, id+" total", l.Total.Pascals(), r.Number("dp_total_Pa"), 1e-9)
		near(t, id+" head", Head(l.Total, f.Density).Metres(), r.Number("head_total_m"), 1e-9)
	}
	if kinds["straight"] != 22 || kinds["with_fittings"] != 22 || kinds["low_flow"] != 4 || kinds["transitional"] != 3 {
		t.Errorf("rows by kind: %v", kinds)
	}
}

func TestEquivalentLengthIsLength(t *testing.T) {
	f := waterAt(t, 55)
	for _, C := range []float64{0, 145} {
		q := gpm(t, 3)
		whole := mustLoss(t, Pipe{Length: feet(100), Bore: inches(0.785), HazenWilliamsC: C}, q, f)
		split := mustLoss(t, Pipe{Length: feet(80), EquivalentLength: feet(20), Bore: inches(0.785), HazenWilliamsC: C}, q, f)
		near(t, "total", split.Total.Pascals(), whole.Total.Pascals(), 1e-12)
		near(t, "share of the fittings", split.Fittings.Pascals(), whole.Friction.Pascals()/5, 1e-12)
	}
}

// TestStandingWaterLosesNothing, and says so without a sign.
func TestStandingWaterLosesNothing(t *testing.T) {
	p := Pipe{Length: feet(100), Bore: inches(0.785), SumK: 3, Kv: quantity.FlowCoefficientSI(1e-6)}
	for _, q := range []float64{0, math.Copysign(0, -1)} {
		l := mustLoss(t, p, quantity.CubicMetresPerSecond(q), waterAt(t, 55))
		want := Loss{Regime: Standing, Velocity: l.Velocity, Reynolds: l.Reynolds}
		if l != want || l.Velocity.MetresPerSecond() != 0 || l.Reynolds != 0 || math.Signbit(l.Total.Pascals()) {
			t.Errorf("%+v", l)
		}
	}
}

func TestPipeRefuses(t *testing.T) {
	m, nan := quantity.Metres, math.NaN()
	good := Pipe{Length: m(10), Bore: m(0.02), Roughness: m(1e-6)}
	q, f := quantity.CubicMetresPerSecond(1e-4), Fluid{Density: 1000, Viscosity: 1e-3}
	if _, err := good.Loss(q, f); err != nil {
		t.Fatal(err)
	}
	for symbol, change := range map[string]func(p *Pipe, q *quantity.Flow, f *Fluid){
		"L":         func(p *Pipe, _ *quantity.Flow, _ *Fluid) { p.Length = m(-1) },
		"Le":        func(p *Pipe, _ *quantity.Flow, _ *Fluid) { p.EquivalentLength = m(nan) },
		"D":         func(p *Pipe, _ *quantity.Flow, _ *Fluid) { p.Bore = m(0) },
		"e":         func(p *Pipe, _ *quantity.Flow, _ *Fluid) { p.Roughness = m(0.0011) },
		"K":         func(p *Pipe, _ *quantity.Flow, _ *Fluid) { p.SumK = -1 },
		"C":         func(p *Pipe, _ *quantity.Flow, _ *Fluid) { p.HazenWilliamsC = -150 },
		"Kv":        func(p *Pipe, _ *quantity.Flow, _ *Fluid) { p.Kv = quantity.FlowCoefficientSI(-1) },
		"q":         func(_ *Pipe, q *quantity.Flow, _ *Fluid) { *q = quantity.CubicMetresPerSecond(math.Inf(-1)) },
		"Re":        func(_ *Pipe, q *quantity.Flow, _ *Fluid) { *q = quantity.CubicMetresPerSecond(-50) },
		"density":   func(_ *Pipe, _ *quantity.Flow, f *Fluid) { f.Density = 0 },
		"viscosity": func(_ *Pipe, _ *quantity.Flow, f *Fluid) { f.Viscosity = 0 },
	} {
		p, flow, fluid := good, q, f
		change(&p, &flow, &fluid)
		l, err := p.Loss(flow, fluid)
		var out *RangeError
		if !errors.As(err, &out) || out.Symbol != symbol || l != (Loss{}) {
			t.Errorf("%s: %v, %+v", symbol, err, l)
		}
	}
}
