package heat

import (
	"errors"
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/quantity"
)

// TestComputedTemperatureAlong follows each chain of the rows from run to run.
func TestComputedTemperatureAlong(t *testing.T) {
	loss, n := 0.0, 0
	for _, r := range published("along.csv") {
		id := r.Text("case_id") + " " + r.Text("segment")
		if r.Text("kind") == "required_flow" {
			continue
		}
		n++
		stream := r.Number("mass_flow_kg_s") * r.Number("cp_J_kgK")
		if r.Text("segment") == "total" {
			near(t, id+" loss", loss, r.Number("heat_loss_W"), 1e-8)
			loss = 0
			continue
		}
		run := Run{UA: r.Number("U_linear_W_mK"), Length: quantity.Metres(r.Number("length_m")), Ambient: quantity.Celsius(r.Number("ambient_temperature_degC"))}
		a, err := TemperatureAlong(run, quantity.Celsius(r.Number("inlet_temperature_degC")), stream)
		if err != nil {
			t.Fatalf("%s: %v", id, err)
		}
		near(t, id+" outlet", a.Outlet.Celsius(), r.Number("outlet_temperature_degC"), 1e-9)
		near(t, id+" mean", a.Mean.Celsius(), r.Number("mean_temperature_degC"), 1e-9)
		near(t, id+" loss", a.Loss, r.Number("heat_loss_W"), 1e-8)
		near(t, id+" units", a.TransferUnits, r.Number("ntu"), 1e-9)
		near(t, id+" loss by the mean", run.UA*run.Length.Metres()*(a.Mean.Kelvin()-run.Ambient.Kelvin()), a.Loss, 1e-9)
		loss += a.Loss
	}
	if n < 70 {
		t.Errorf("only %d rows", n)
	}
}

// runsOf reads a chain that stands in one row, as a list in each cell.
func runsOf(t *testing.T, length, ua, ambient string) (runs []Run) {
	t.Helper()
	u, a := strings.Split(ua, ";"), strings.Split(ambient, ";")
	for i, l := range strings.Split(length, ";") {
		var v [3]float64
		for j, text := range []string{l, u[i], a[i]} {
			var err error
			if v[j], err = strconv.ParseFloat(text, 64); err != nil {
				t.Fatal(err)
			}
		}
		runs = append(runs, Run{Length: quantity.Metres(v[0]), UA: v[1], Ambient: quantity.Celsius(v[2])})
	}
	return runs
}

func TestComputedRequiredStream(t *testing.T) {
	n := 0
	for _, r := range published("along.csv") {
		if r.Text("kind") != "required_flow" {
			continue
		}
		n++
		runs := runsOf(t, r.Text("length_m"), r.Text("U_linear_W_mK"), r.Text("ambient_temperature_degC"))
		inlet, outlet := quantity.Celsius(r.Number("inlet_temperature_degC")), quantity.Celsius(r.Number("outlet_temperature_degC"))
		got, err := RequiredStream(runs, inlet, outlet)
		if err != nil {
			t.Fatalf("%s: %v", r.Text("case_id"), err)
		}
		cp := r.Number("cp_J_kgK")
		near(t, r.Text("case_id"), got/cp, r.Number("required_mass_flow_kg_s"), 1e-9)
		// What the comment says of the estimate without cooling.
		if linear := r.Number("required_mass_flow_linear_kg_s"); !(linear > 1.03*got/cp && linear < 1.16*got/cp) {
			t.Errorf("%s: the linear estimate is %.3f of it", r.Text("case_id"), linear/(got/cp))
		}
	}
	if n < 8 {
		t.Errorf("only %d rows", n)
	}
}

func TestRequiredStreamInvertsTheChain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		inlet := rapid.Float64Range(40, 80).Draw(t, "inlet")
		stream := rapid.Float64Range(20, 5000).Draw(t, "stream")
		var runs []Run
		T, warmest := quantity.Celsius(inlet), 0.0
		for range rapid.IntRange(1, 5).Draw(t, "runs") {
			r := Run{
				UA: rapid.Float64Range(0, 0.8).Draw(t, "UA"), Length: quantity.Metres(rapid.Float64Range(0, 20).Draw(t, "length")),
				Ambient: quantity.Celsius(rapid.Float64Range(-10, 30).Draw(t, "ambient")),
			}
			a, err := TemperatureAlong(r, T, stream)
			if err != nil {
				t.Fatal(err)
			}
			T, warmest = a.Outlet, max(warmest, r.Ambient.Celsius())
			runs = append(runs, r)
		}
		if T.Celsius() < warmest+0.1 || T.Celsius() > inlet-0.01 {
			t.Skip("no drop, or all of it")
		}
		got, err := RequiredStream(runs, quantity.Celsius(inlet), T)
		if err != nil || math.Abs(got-stream) > 1e-8*stream {
			t.Fatalf("%v, %v, want %v", got, err, stream)
		}
	})
}

// TestSplittingARunChangesNothing: two halves in series are the whole.
func TestSplittingARunChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := Run{
			UA: rapid.Float64Range(0, 3).Draw(t, "UA"), Length: quantity.Metres(rapid.Float64Range(0, 500).Draw(t, "length")),
			Ambient: quantity.Celsius(rapid.Float64Range(-20, 90).Draw(t, "ambient")),
		}
		inlet := quantity.Celsius(rapid.Float64Range(1, 99).Draw(t, "inlet"))
		stream := rapid.Float64Range(0.1, 1e5).Draw(t, "stream")
		first, second := r, r
		first.Length = quantity.Metres(r.Length.Metres() * rapid.Float64Range(0, 1).Draw(t, "part"))
		second.Length = quantity.Metres(r.Length.Metres() - first.Length.Metres())
		whole, err := TemperatureAlong(r, inlet, stream)
		a, errA := TemperatureAlong(first, inlet, stream)
		b, errB := TemperatureAlong(second, a.Outlet, stream)
		if err != nil || errA != nil || errB != nil {
			t.Fatal(err, errA, errB)
		}
		if math.Abs(b.Outlet.Kelvin()-whole.Outlet.Kelvin()) > 1e-9 || math.Abs(a.Loss+b.Loss-whole.Loss) > 1e-9*stream*100 {
			t.Fatalf("%+v and %+v, whole %+v", a, b, whole)
		}
	})
}

func TestRequiredStreamRefuses(t *testing.T) {
	run := Run{UA: 0.25, Length: quantity.Metres(20), Ambient: quantity.Celsius(20)}
	for name, c := range map[string]struct {
		runs          []Run
		inlet, outlet float64
	}{
		"outlet above the inlet":  {[]Run{run}, 60, 61},
		"outlet at the inlet":     {[]Run{run}, 60, 60},
		"outlet at ambient":       {[]Run{run}, 60, 20},
		"outlet below an ambient": {[]Run{run, {UA: 0.1, Length: quantity.Metres(1), Ambient: quantity.Celsius(58)}}, 60, 55},
		"a run of no length":      {[]Run{{UA: 0.1, Length: quantity.Metres(math.NaN()), Ambient: quantity.Celsius(20)}}, 60, 55},
	} {
		_, err := RequiredStream(c.runs, quantity.Celsius(c.inlet), quantity.Celsius(c.outlet))
		var outside *RangeError
		if !errors.As(err, &outside) {
			t.Errorf("%s: %v, want a RangeError", name, err)
		}
	}
	for name, runs := range map[string][]Run{"no runs": nil, "a run that loses nothing": {{Length: quantity.Metres(10), Ambient: quantity.Celsius(20)}}} {
		if got, err := RequiredStream(runs, quantity.Celsius(60), quantity.Celsius(55)); got != 0 || err != nil {
			t.Errorf("%s: %v, %v, want 0", name, got, err)
		}
	}
}
