package hydraulic

import (
	"errors"
	"math"
	"testing"

	"recirc/calc/quantity"
)

// TestHazenWilliamsAsComputed: form D of the computed rows is ours; the others are
// as far off as their README says.
func TestHazenWilliamsAsComputed(t *testing.T) {
	n := 0
	for _, r := range published("friction_factor.csv") {
		if r.Text("kind") != "hazen_williams" {
			continue
		}
		n++
		id, D, C := r.Text("case_id"), quantity.Metres(r.Number("inside_diameter_m")), r.Number("hw_coefficient_C")
		q := quantity.CubicMetresPerSecond(r.Number("flow_m3_s"))
		got, err := HazenWilliamsGradient(q, D, C)
		if err != nil {
			t.Errorf("%s: %v", id, err)
		}
		near(t, id, got, r.Number("hw_gradient_form_D_Pa_m"), 1e-9)
		back, _ := HazenWilliamsGradient(quantity.CubicMetresPerSecond(-q.CubicMetresPerSecond()), D, C)
		if back != got {
			t.Errorf("%s: %g backwards", id, back)
		}
		p := Pipe{Length: quantity.Metres(r.Number("length_m")), Bore: D, HazenWilliamsC: C}
		l := mustLoss(t, p, q, Fluid{Density: 999, Viscosity: 1.1e-3})
		near(t, id+" in a pipe", l.Total.Pascals(), got*p.Length.Metres(), 1e-12)
		if l.Factor != 0 || p.Method() != HazenWilliams {
			t.Errorf("%s: %+v by %s", id, l, p.Method())
		}
		for _, form := range []string{"hw_head_form_A_m", "hw_head_form_B_m", "hw_head_form_C_m"} {
			near(t, id+" "+form, Head(l.Total, 999).Metres(), r.Number(form), 0.015)
		}
	}
	if n != 25 {
		t.Errorf("%d rows, want 25", n)
	}
}

// TestHazenWilliamsIsForColdWater: what its comment says of hot water, for the
// copper tubes of the printed tables.
func TestHazenWilliamsIsForColdWater(t *testing.T) {
	hot, n := waterAt(t, 60), 0
	for _, r := range published("friction_tables.csv") {
		if r.Text("kind") != "friction table" {
			continue
		}
		q, D := gpm(t, r.Number("flow_gpm")), quantity.Millimetres(r.Number("inside_diameter_mm"))
		l := mustLoss(t, Pipe{Length: quantity.Metres(1), Bore: D, Roughness: quantity.Millimetres(0.0015)}, q, hot)
		if v := l.Velocity.MetresPerSecond(); v < 1 || v > 2 {
			continue
		}
		n++
		p, _ := HazenWilliamsGradient(q, D, 150)
		if over := p/l.Total.Pascals() - 1; over < 0.05 || over > 0.2 {
			t.Errorf("%s %s: %.1f %% over", r.Text("material"), r.Text("nominal_size"), 100*over)
		}
	}
	if n < 30 {
		t.Errorf("only %d rows", n)
	}
}

func TestHazenWilliamsRefuses(t *testing.T) {
	for _, c := range []struct{ q, D, C float64 }{
		{math.NaN(), 0.02, 150}, {101, 0.02, 150}, {1e-4, 0, 150}, {1e-4, 0.02, 0}, {1e-4, 0.02, 0.5}, {1e-4, 0.02, math.Inf(1)},
	} {
		var out *RangeError
		if p, err := HazenWilliamsGradient(quantity.CubicMetresPerSecond(c.q), quantity.Metres(c.D), c.C); !errors.As(err, &out) || p != 0 {
			t.Errorf("%+v: %g, %v", c, p, err)
		}
	}
}
