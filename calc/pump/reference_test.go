package pump

import (
	"math"
	"slices"
	"testing"

	"recirc/calc/hydraulic"
	"recirc/calc/internal/table"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

func rowCurve(t testing.TB, r table.Row, by Interpolation) *Curve {
	t.Helper()
	return mustCurve(t, points(numbers(t, r.Text("curve_flow_m3_s")), numbers(t, r.Text("curve_head_m")), nil), by)
}

func rowPumps(t testing.TB, r table.Row) Pumps {
	t.Helper()
	p := Pumps{
		Curve:    rowCurve(t, r, Interpolation(r.Text("interpolation"))),
		Parallel: int(r.Number("pumps_in_parallel")), Series: int(r.Number("pumps_in_series")),
	}
	p.Speed, _ = r.Optional("speed_ratio")
	return p
}

// TestComputedDuties meets every computed row. The rows have ten digits.
func TestComputedDuties(t *testing.T) {
	rows := reference("duty.csv")
	if len(rows) != 73 {
		t.Fatalf("%d rows, want 73", len(rows))
	}
	for _, r := range rows {
		id, p := r.Text("case_id"), rowPumps(t, r)
		if r.Text("kind") == "speed_for_duty" {
			speed, err := p.SpeedFor(flow(r.Number("required_flow_m3_s")), metres(r.Number("required_head_m")), 0.1, 2)
			if err != nil {
				t.Errorf("%s: %v", id, err)
			}
			near(t, id+" speed", speed, r.Number("speed_ratio"), 1e-9)
			continue
		}
		duties, err := p.Duties(Parabola{Static: metres(r.Number("static_head_m")), Coefficient: r.Number("system_k_s2_m5")})
		if result := r.Text("result"); result != "ok" {
			want := map[string]Reason{"beyond_curve_end": BeyondCurveEnd, "no_duty_static_head_above_shut_off": AboveShutOff}[result]
			if want == "" || reasonOf(err) != want {
				t.Errorf("%s: %v, want %s", id, err, result)
			}
			continue
		}
		if err != nil || len(duties) != 1 || !duties[0].Stable {
			t.Errorf("%s: %+v, %v, want one stable duty", id, duties, err)
			continue
		}
		d := duties[0]
		near(t, id+" flow", d.Flow.CubicMetresPerSecond(), r.Number("duty_flow_m3_s"), 1e-9)
		near(t, id+" head", d.Head.Metres(), r.Number("duty_head_m"), 1e-9)
		near(t, id+" flow of one", d.Flow.CubicMetresPerSecond()/r.Number("pumps_in_parallel"), r.Number("flow_per_pump_m3_s"), 1e-9)
		power, err := HydraulicPower(d.Flow, d.Head, r.Number("density_kg_m3"))
		if err != nil {
			t.Error(err)
		}
		near(t, id+" power", power.Watts(), r.Number("hydraulic_power_total_W"), 1e-9)
	}
}

// TestComputedFits compares the parabolas themselves.
func TestComputedFits(t *testing.T) {
	seen := 0
	for _, r := range reference("duty.csv") {
		if r.Text("interpolation") != "quadratic_lsq" {
			continue
		}
		seen++
		a, b, c := leastSquares(numbers(t, r.Text("curve_flow_m3_s")), numbers(t, r.Text("curve_head_m")))
		near(t, r.Text("case_id")+" a", a, r.Number("quadratic_a_m"), 1e-9)
		near(t, r.Text("case_id")+" b", b, r.Number("quadratic_b_s_m2"), 1e-9)
		near(t, r.Text("case_id")+" c", c, r.Number("quadratic_c_s2_m5"), 1e-9)
	}
	if seen < 20 {
		t.Errorf("only %d fits", seen)
	}
}

// TestComputedNetworkPumps: head at the flow that a whole network settled at, power,
// and the speed for a balanced network's duty.
func TestComputedNetworkPumps(t *testing.T) {
	rows := reference("network_pumps.csv")
	if len(rows) != 45 {
		t.Fatalf("%d rows, want 45", len(rows))
	}
	for _, r := range rows {
		id, p := r.Text("id"), Pumps{Curve: rowCurve(t, r, Monotone)}
		q := flow(r.Number("flow_m3_s"))
		if want, ok := r.Optional("speed_ratio"); ok {
			speed, err := p.SpeedFor(q, metres(r.Number("head_m")), 0.1, 2)
			if err != nil {
				t.Errorf("%s: %v", id, err)
			}
			near(t, id+" speed", speed, want, 1e-8)
			p.Speed = speed
		}
		head, _, err := p.Head(q)
		if err != nil {
			t.Errorf("%s: %v", id, err)
		}
		near(t, id+" head", head.Metres(), r.Number("head_m"), 1e-8)
		power, _ := HydraulicPower(q, head, r.Number("density_kg_m3"))
		near(t, id+" power", power.Watts(), r.Number("hydraulic_power_W"), 1e-8)
	}
}

// TestSlopesByHand: the weighted harmonic mean and the three-point rule, from the
// definition in exact fractions. h = 1, 2, 1 and m = -1, -2, -3 give inside
// 9/(5/-1 + 4/-2) = -9/7 and 9/(4/-2 + 5/-3) = -27/11, at the ends
// (4*-1 + 2)/3 = -2/3 and (4*-3 + 2)/3 = -10/3.
func TestSlopesByHand(t *testing.T) {
	got := slopes([]float64{0, 1, 3, 4}, []float64{9, 8, 4, 1})
	for i, want := range []float64{-2.0 / 3, -9.0 / 7, -27.0 / 11, -10.0 / 3} {
		near(t, "slope", got[i], want, 1e-15)
	}
	// A turn is flat; an end that would turn the wrong way is flat, one that would
	// fall too fast is held at three times the secant.
	for _, c := range []struct{ y, want []float64 }{
		{[]float64{0, 1, 0, 0}, []float64{2, 0, 0, 0}},
		{[]float64{0, 1, 9, 10}, []float64{0, 16.0 / 9, 16.0 / 9, 0}},
		{[]float64{0, 1, -9, -9}, []float64{3, 0, 0, 0}},
	} {
		if got := slopes([]float64{0, 1, 2, 3}, c.y); !slices.EqualFunc(got, c.want, func(a, b float64) bool { return math.Abs(a-b) < 1e-15 }) {
			t.Errorf("%v: slopes %v, want %v", c.y, got, c.want)
		}
	}
}

func TestSourcesAreRegistered(t *testing.T) {
	for _, id := range []source.ID{CurveSource, DutySource, AffinitySource, ControlSource, PowerSource, hydraulic.ValveSource, FillSource} {
		if _, ok := source.Find(id); !ok {
			t.Errorf("%s is not in the registry", id)
		}
	}
}

// TestPowerByDefinition: water's own hydraulic power is checked with the rows; efficiency
// and energy are definitions. 2.5 W out of 20 W is an eighth; 20 W through a year of
// 8760 h are 175.2 kWh.
func TestPowerByDefinition(t *testing.T) {
	e, err := Efficiency(quantity.PowerWatts(2.5), quantity.PowerWatts(20))
	if err != nil || e != 0.125 {
		t.Errorf("%v, %v", e, err)
	}
	if _, err := Efficiency(quantity.PowerWatts(21), quantity.PowerWatts(20)); !isRange(err) {
		t.Errorf("more out than in: %v", err)
	}
	energy, err := YearlyEnergy(quantity.PowerWatts(20), quantity.Seconds(8760*3600))
	if err != nil {
		t.Error(err)
	}
	near(t, "energy", energy.Joules()/3.6e6, 175.2, 1e-12)
	for _, bad := range []float64{-1, math.NaN(), math.Inf(1)} {
		_, errFlow := HydraulicPower(flow(bad), metres(1), 983)
		_, errDensity := HydraulicPower(flow(1), metres(1), bad)
		_, errIn := Efficiency(quantity.PowerWatts(1), quantity.PowerWatts(bad))
		_, errPower := YearlyEnergy(quantity.PowerWatts(bad), quantity.Seconds(1))
		_, errTime := YearlyEnergy(quantity.PowerWatts(1), quantity.Seconds(bad))
		for _, err := range []error{errFlow, errDensity, errIn, errPower, errTime} {
			if !isRange(err) {
				t.Errorf("%v: %v, want a RangeError", bad, err)
			}
		}
	}
}
