package hydraulic

import (
	"math"
	"strings"
	"testing"

	"recirc/calc/internal/table"
	"recirc/calc/quantity"
)

// halfDigit is half a unit of the last digit that a table prints, in its unit.
// Trailing zeros are lost in the collection, so that it goes by table.
func halfDigit(r table.Row, printed float64) float64 {
	switch s := r.Text("source"); {
	case strings.HasPrefix(s, "irrigation"):
		return 0.005
	case strings.HasPrefix(s, "builder"):
		return 0.5 * math.Pow(10, math.Floor(math.Log10(printed))-2) // three digits
	}
	return 0.05 // 0.001 psi per ft
}

// TestFrictionTables: every printed row of copper and PEX tube.
//
// Velocity: within half of its last digit.
//
// Hazen-Williams with the C that the row implies: C is rounded to 1, the loss as
// printed, and the C was found with another of the forms, which are up to 0.9 %
// apart.
//
// Darcy-Weisbach with water of 60 degF: within 25 % beyond rounding. The tables
// stand for C 130 to 150, which is 30 % between them; ours is between them.
func TestFrictionTables(t *testing.T) {
	n, cold := 0, waterAt(t, 15.6)
	for _, r := range published("friction_tables.csv") {
		if r.Text("kind") != "friction table" {
			continue
		}
		n++
		what := r.Text("material") + " " + r.Text("nominal_size") + ", gal/min " + r.Text("flow_gpm") + ", " + r.Text("source")
		printed, inPsi := r.Optional("loss_psi_per_100ft")
		per := quantity.PressureDimension.MustUnit("psi").ToSI(1) / 30.48 // Pa/m per psi/100 ft
		if !inPsi {
			printed = r.Number("loss_ft_per_100ft")
			per = HeadPressure(quantity.Metres(0.01), 999).Pascals()
		}
		half := halfDigit(r, printed)
		q, D := gpm(t, r.Number("flow_gpm")), quantity.Millimetres(r.Number("inside_diameter_mm"))

		l := mustLoss(t, Pipe{Length: quantity.Metres(1), Bore: D, Roughness: quantity.Millimetres(0.0015)}, q, cold)
		if v := l.Velocity.MetresPerSecond() / 0.3048; math.Abs(v-r.Number("velocity_ft_per_s")) > 0.0051 {
			t.Errorf("%s: %.3f ft/s, printed %s", what, v, r.Text("velocity_ft_per_s"))
		}
		if ours := l.Friction.Pascals() / per; ours < 0.8*(printed-half) || ours > 1.25*(printed+half) {
			t.Errorf("%s: %.4g, printed %g", what, ours, printed)
		}
		if C, ok := r.Optional("implied_hazen_williams_c"); ok {
			p, err := HazenWilliamsGradient(q, D, C)
			if err != nil {
				t.Error(err)
			}
			near(t, what+", Hazen-Williams", p/per, printed, half/printed+flowPower*0.5/C+0.009)
		}
	}
	if n != 91 {
		t.Errorf("%d rows, want 91", n)
	}
}

// TestSmoothTubeCoefficients: the handbook method H = alpha c L gpm^1.75 for smooth
// tube rests on Blasius' factor, which is within 3 % of Colebrook's between Re
// 4000 and 1e5.
func TestSmoothTubeCoefficients(t *testing.T) {
	n, f := 0, waterAt(t, 48.9)
	const poundPerFoot = 1.4881639435695537 // Pa.s in lb/(ft.s)
	alpha := math.Pow(f.Density/16.01846337396014/(f.Viscosity/poundPerFoot), -0.25)
	near(t, "alpha at 120 degF as computed elsewhere", alpha, 0.0496, 0.002)
	for _, r := range published("friction_tables.csv") {
		mm, ok := r.Optional("inside_diameter_mm")
		if !strings.HasPrefix(r.Text("kind"), "smooth-tube") || !ok {
			continue
		}
		for _, flow := range []float64{1, 2, 4, 8} {
			l := mustLoss(t, Pipe{Length: feet(1), Bore: quantity.Millimetres(mm)}, gpm(t, flow), f)
			if l.Reynolds < 4000 || l.Reynolds > 1e5 {
				continue
			}
			n++
			got := Head(l.Total, f.Density).Metres() / 0.3048
			near(t, r.Text("material")+" "+r.Text("nominal_size"), got, alpha*r.Number("head_loss_coefficient_c")*math.Pow(flow, 1.75), 0.03)
		}
	}
	if n < 15 {
		t.Errorf("only %d compared", n)
	}
}

// TestVelocityInSchedule40AndInCopper: a forum's 2 ft/s in 1/2 in pipe is
// 1.89 gal/min, true for a bore of 0.621 in; type L copper carries 1.45 gal/min.
func TestVelocityInSchedule40AndInCopper(t *testing.T) {
	for bore, flow := range map[float64]float64{0.621: 1.89, 0.545: 1.45} {
		l := mustLoss(t, Pipe{Length: feet(1), Bore: inches(bore)}, gpm(t, flow), waterAt(t, 20))
		near(t, "2 ft/s", l.Velocity.MetresPerSecond()/0.3048, 2, 0.005/flow)
	}
}
