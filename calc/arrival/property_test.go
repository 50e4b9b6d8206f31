package arrival_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/arrival"
	"recirc/calc/quantity"
)

// drawFront draws a path as houses have them, of one to four segments, that
// starts at 10 to 35 degC in surroundings of 5 to 30 degC and gets water of 45
// to 70 degC.
func drawFront(t *rapid.T) arrival.Front {
	velocity := rapid.Float64Range(0.1, 2.5).Draw(t, "velocity")
	f := arrival.Front{Density: 990, SpecificHeat: 4180, Inlet: quantity.Celsius(rapid.Float64Range(45, 70).Draw(t, "inlet"))}
	walls := []string{"metal", "plastic", "lumped"}
	if rapid.IntRange(0, 5).Draw(t, "equilibrium") == 0 {
		walls = []string{"equilibrium"} // all or none: behind others it keeps fronts steeper than a cell
	}
	bore := math.Inf(1) // the smallest
	for range rapid.IntRange(1, 4).Draw(t, "segments") {
		f.Segments = append(f.Segments, drawSegment(t, walls))
		bore = math.Min(bore, f.Segments[len(f.Segments)-1].Bore.Metres())
	}
	flow := velocity * math.Pi / 4 * bore * bore
	f.Flow = quantity.CubicMetresPerSecond(flow)
	for i := range f.Segments {
		// A film as the flow makes it: a share of rho c u when turbulent, 3.66 k/d at least.
		s := &f.Segments[i]
		d := s.Bore.Metres()
		turbulent := rapid.Float64Range(0.002, 0.006).Draw(t, "Stanton") * f.Density * f.SpecificHeat * flow / (math.Pi / 4 * d * d)
		s.Film *= math.Max(turbulent, 3.66*0.63/d) // 0 in equilibrium
	}
	return f
}

func drawSegment(t *rapid.T, walls []string) arrival.Segment {
	bore := rapid.Float64Range(8, 40).Draw(t, "bore")
	s := arrival.Segment{
		Length: quantity.Metres(rapid.Float64Range(0.2, 25).Draw(t, "length")),
		Bore:   quantity.Millimetres(bore),
		Film:   1,
		UA:     rapid.Float64Range(0, 1).Draw(t, "UA"), Ambient: quantity.Celsius(rapid.Float64Range(5, 30).Draw(t, "ambient")),
		Initial: quantity.Celsius(rapid.Float64Range(10, 35).Draw(t, "initial")),
	}
	switch rapid.SampledFrom(walls).Draw(t, "wall") {
	case "metal":
		s.Outside, s.WallHeatCapacity = quantity.Millimetres(bore+rapid.Float64Range(1.2, 5).Draw(t, "walls")), 3.5e6
		s.WallConductivity = quantity.WattsPerMetreKelvin(rapid.Float64Range(14, 390).Draw(t, "conductivity"))
	case "plastic":
		s.Outside, s.WallHeatCapacity = quantity.Millimetres(bore*rapid.Float64Range(1.15, 1.6).Draw(t, "ratio")), 2.1e6
		s.WallConductivity = quantity.WattsPerMetreKelvin(rapid.Float64Range(0.15, 0.5).Draw(t, "conductivity"))
	case "lumped":
		s.Outside, s.WallHeatCapacity = quantity.Millimetres(bore+2), 3.5e6
	case "equilibrium":
		s.Outside, s.WallHeatCapacity, s.Film = quantity.Millimetres(bore+2), 3.5e6, 0
	}
	return s
}

// someThresholds are above every start and surroundings that drawFront draws.
var someThresholds = arrival.Options{Thresholds: celsius(36, 40, 44)}

// later reports that one crossing comes after another by more than a share of
// its time and a thousandth of the plug time; never is after everything.
func later(a, than arrival.Crossing, plug quantity.Duration, share float64) bool {
	switch {
	case !than.Reached:
		return false
	case !a.Reached:
		return true
	}
	return a.Time.Seconds() > than.Time.Seconds()*(1+share)+1e-3*plug.Seconds()
}

func clone(f arrival.Front) arrival.Front {
	f.Segments = append([]arrival.Segment(nil), f.Segments...)
	return f
}

func TestNeverBeforePlugFlow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := mustArrive(t, drawFront(t), someThresholds)
		for _, c := range a.Crossings {
			if c.Reached && c.Ratio < 1-1e-12 {
				t.Fatalf("%v degC after %v pipe volumes", c.Threshold.Celsius(), c.Ratio)
			}
		}
	})
}

func TestWarmerStartIsNeverLater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFront(t)
		warm := clone(f)
		s := &warm.Segments[rapid.IntRange(0, len(f.Segments)-1).Draw(t, "which")]
		s.Initial = quantity.Kelvin(s.Initial.Kelvin() + rapid.Float64Range(0, 20).Draw(t, "warmer"))
		a, b := mustArrive(t, f, someThresholds), mustArrive(t, warm, someThresholds)
		for i := range a.Crossings {
			if later(b.Crossings[i], a.Crossings[i], a.PlugTime, 0) {
				t.Fatalf("warmer: %+v, before: %+v", b.Crossings[i], a.Crossings[i])
			}
		}
	})
}

func TestBetterInsulationIsNeverLater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFront(t)
		for i := range f.Segments { // colder than anything, else insulation keeps heat out
			f.Segments[i].Ambient = quantity.Celsius(10)
		}
		insulated := clone(f)
		for i := range insulated.Segments {
			insulated.Segments[i].UA *= rapid.Float64Range(0, 1).Draw(t, "share")
		}
		a, b := mustArrive(t, f, someThresholds), mustArrive(t, insulated, someThresholds)
		for i := range a.Crossings {
			if later(b.Crossings[i], a.Crossings[i], a.PlugTime, 0) {
				t.Fatalf("insulated: %+v, before: %+v", b.Crossings[i], a.Crossings[i])
			}
		}
	})
}

func TestSplittingChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFront(t)
		split := clone(f)
		k := rapid.IntRange(0, len(f.Segments)-1).Draw(t, "which")
		share := rapid.Float64Range(0.02, 0.98).Draw(t, "share")
		first, second := f.Segments[k], f.Segments[k]
		first.Length = quantity.Metres(share * f.Segments[k].Length.Metres())
		second.Length = quantity.Metres(f.Segments[k].Length.Metres() - first.Length.Metres())
		split.Segments = append(append(append([]arrival.Segment(nil), f.Segments[:k]...), first, second), f.Segments[k+1:]...)
		same(t, f, split, false)
	})
}

func TestFinerGridChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFront(t)
		same(t, f, f, true)
	})
}

// same demands that two descriptions of one path reach thresholds at the same
// time, within 0.5 %. Where the outlet hardly rises, or a jump just touches the
// threshold, the time says little: the second may take that of a threshold 0.15 K
// lower or higher. The second has twice the cells if finer.
func same(t *rapid.T, f, g arrival.Front, finer bool) {
	t.Helper()
	a := mustArrive(t, f, someThresholds)
	o := arrival.Options{}
	if finer {
		o.Cells = 2 * a.Cells
	}
	for _, threshold := range someThresholds.Thresholds {
		k := threshold.Kelvin()
		o.Thresholds = append(o.Thresholds, quantity.Kelvin(k-0.15), quantity.Kelvin(k+0.15))
	}
	b := mustArrive(t, g, o)
	for i, c := range a.Crossings {
		first, last := b.Crossings[2*i], b.Crossings[2*i+1]
		if c.Reached && (!first.Reached || first.Time.Seconds() > 1.005*c.Time.Seconds() || last.Reached && last.Time.Seconds() < 0.995*c.Time.Seconds()) ||
			!c.Reached && last.Reached {
			t.Fatalf("%+v became %+v to %+v, plug time %v s", c, first, last, a.PlugTime.Seconds())
		}
	}
}

func TestSteadyBoundsWhatIsReached(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFront(t)
		steady, err := f.Steady()
		if err != nil || steady.Kelvin() > f.Inlet.Kelvin() {
			t.Fatalf("steady %v above inlet %v (%v)", steady.Celsius(), f.Inlet.Celsius(), err)
		}
		above := quantity.Kelvin(steady.Kelvin() + rapid.Float64Range(1e-6, 5).Draw(t, "above"))
		below := quantity.Kelvin(steady.Kelvin() - 0.5)
		a := mustArrive(t, f, arrival.Options{Thresholds: []quantity.Temperature{above, below}})
		if a.Steady != steady {
			t.Fatalf("steady %v and %v", a.Steady, steady)
		}
		if above.Celsius() > 36 && a.Crossings[0].Reached {
			t.Fatalf("%v reached, steady is %v", above.Celsius(), steady.Celsius())
		}
		if !a.Crossings[1].Reached {
			t.Fatalf("%v not reached, steady is %v", below.Celsius(), steady.Celsius())
		}
	})
}

func TestEnergyBalance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFront(t)
		for i := range f.Segments {
			f.Segments[i].Dispersion = rapid.SampledFrom([]float64{0, 0.003, 0.1}).Draw(t, "dispersion")
		}
		a := mustArrive(t, f, arrival.Options{Horizon: 1.5, Curve: 2})
		if !(a.Residual < 1e-9) {
			t.Fatalf("residual %v", a.Residual)
		}
	})
}

// TestDelayOnlyDelays: as long as water of the temperature that all has enters,
// nothing happens, however long that takes. A cell is allowed, since the slug
// that holds the jump is left out.
func TestDelayOnlyDelays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFront(t)
		for i := range f.Segments {
			f.Segments[i].Initial, f.Segments[i].Ambient = quantity.Celsius(20), quantity.Celsius(20)
		}
		a := mustArrive(t, f, someThresholds)
		delay := a.PlugTime.Seconds() * math.Exp(rapid.Float64Range(-6, 12).Draw(t, "delay"))
		f.StartUpDelay, f.BeforeStart = quantity.Seconds(delay), quantity.Celsius(20)
		b := mustArrive(t, f, someThresholds)
		for i, c := range a.Crossings {
			d := b.Crossings[i]
			if c.Reached != d.Reached || c.Reached && !near(d.Time.Seconds()-delay, c.Time.Seconds(), 0.01*c.Time.Seconds()+1e-9*delay) {
				t.Fatalf("%+v, after a delay of %v s %+v", c, delay, d)
			}
		}
	})
}

// TestTableIsTheSameAsADelay: the two ways to say it.
func TestTableIsTheSameAsADelay(t *testing.T) {
	f := copperPath()
	f.StartUpDelay, f.BeforeStart = quantity.Seconds(17.3), quantity.Celsius(35)
	want := mustArrive(t, f, arrival.Options{Thresholds: celsius(30, 40, 50), Curve: 50})
	f.InletTable = []arrival.Point{
		{Time: quantity.Seconds(0), Temperature: f.BeforeStart}, {Time: f.StartUpDelay, Temperature: f.BeforeStart},
		{Time: f.StartUpDelay, Temperature: f.Inlet}, {Time: quantity.Seconds(100), Temperature: f.Inlet},
	}
	f.Inlet, f.StartUpDelay = quantity.Temperature{}, quantity.Seconds(-1) // not looked at
	got := mustArrive(t, f, arrival.Options{Thresholds: celsius(30, 40, 50), Curve: 50, Horizon: want.Curve[49].Time.Seconds() / want.PlugTime.Seconds()})
	for i := range want.Crossings {
		if !near(got.Crossings[i].Time.Seconds(), want.Crossings[i].Time.Seconds(), 1e-9) || !got.Crossings[i].Reached {
			t.Errorf("%+v, want %+v", got.Crossings[i], want.Crossings[i])
		}
	}
	for i := range want.Curve {
		if !near(got.Curve[i].Temperature.Kelvin(), want.Curve[i].Temperature.Kelvin(), 1e-6) {
			t.Errorf("%+v, want %+v", got.Curve[i], want.Curve[i])
		}
	}
}
