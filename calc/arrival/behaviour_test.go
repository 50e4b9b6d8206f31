package arrival_test

import (
	"math"
	"testing"

	"recirc/calc/arrival"
	"recirc/calc/quantity"
)

// TestCurveJumpsAtPlugTime: with little wall the outlet is cold up to the plug
// time and hot from then on.
func TestCurveJumpsAtPlugTime(t *testing.T) {
	f := copperPath()
	for i := range f.Segments {
		f.Segments[i].Outside, f.Segments[i].UA = f.Segments[i].Bore, 0
	}
	a := mustArrive(t, f, arrival.Options{Horizon: 2, Curve: 2001, Thresholds: celsius(20, 20.001, 59.999)})
	for i, p := range a.Curve {
		want := 60.0
		if i < 1000 {
			want = 20
		}
		if i != 1000 && !near(p.Temperature.Celsius(), want, 1e-9) {
			t.Fatalf("point %d: %v degC, want %v", i, p.Temperature.Celsius(), want)
		}
	}
	if a.Crossings[0].Time.Seconds() != 0 || !a.Crossings[0].Reached {
		t.Errorf("it starts at 20 degC, but reaches that %+v", a.Crossings[0])
	}
	for _, c := range a.Crossings[1:] {
		if !near(c.Ratio, 1, 1e-12) {
			t.Errorf("%v degC after %v volumes, want 1", c.Threshold.Celsius(), c.Ratio)
		}
	}
}

// TestLeftOverWater: the plug that the last draw left in a pipe of known
// volumes comes out at the times of its ends, whatever the cells. Without wall
// and loss nothing else happens.
func TestLeftOverWater(t *testing.T) {
	f := copperPath()
	for i := range f.Segments {
		f.Segments[i].Outside, f.Segments[i].UA = f.Segments[i].Bore, 0
	}
	f.Segments[1].Initial = quantity.Celsius(50)
	after := f.Segments[2].Length.Metres() * math.Pi / 4 * math.Pow(f.Segments[2].Bore.Metres(), 2) / f.Flow.CubicMetresPerSecond()
	for _, cells := range []int{0, 17, 64, 101} {
		a := mustArrive(t, f, arrival.Options{Cells: cells, Thresholds: celsius(45, 55)})
		for i, want := range []float64{after, a.PlugTime.Seconds()} {
			if got := a.Crossings[i].Time.Seconds(); !near(got, want, 1e-9) {
				t.Errorf("%d cells: crossing %d at %v s, want %v", cells, i, got, want)
			}
		}
	}
}

// TestInitialProfile: a profile is the same as many short segments that each
// have its temperature at their middle.
func TestInitialProfile(t *testing.T) {
	f := copperPath()
	f.Segments = f.Segments[:1]
	profile := clone(f)
	profile.Segments[0].InitialProfile = celsius(20, 44, 32)
	const parts = 60
	steps := clone(f)
	steps.Segments = nil
	for i := range parts {
		s := f.Segments[0]
		s.Length = quantity.Metres(s.Length.Metres() / parts)
		x := (float64(i) + 0.5) / parts
		s.Initial = quantity.Celsius(44 - 48*math.Abs(x-0.5)*math.Max(0, math.Copysign(1, 0.5-x)) - 24*math.Abs(x-0.5)*math.Max(0, math.Copysign(1, x-0.5)))
		steps.Segments = append(steps.Segments, s)
	}
	o := arrival.Options{Thresholds: celsius(30, 35, 38, 50, 55)}
	a, b := mustArrive(t, profile, o), mustArrive(t, steps, o)
	for i := range a.Crossings {
		if c, d := a.Crossings[i], b.Crossings[i]; !c.Reached || !near(c.Time.Seconds(), d.Time.Seconds(), 0.01*a.PlugTime.Seconds()) {
			t.Errorf("profile %+v, steps %+v", c, d)
		}
	}
	profile.Segments[0].InitialProfile = celsius(20, 20, 20, 20)
	if c, d := mustArrive(t, profile, o).Crossings[4], mustArrive(t, f, o).Crossings[4]; c != d {
		t.Errorf("a flat profile gives %+v, a temperature %+v", c, d)
	}
}

// TestInletRamp: without wall and loss the outlet repeats the inlet one plug
// time later.
func TestInletRamp(t *testing.T) {
	f := copperPath()
	for i := range f.Segments {
		f.Segments[i].Outside, f.Segments[i].UA = f.Segments[i].Bore, 0
	}
	point := func(s, c float64) arrival.Point {
		return arrival.Point{Time: quantity.Seconds(s), Temperature: quantity.Celsius(c)}
	}
	f.InletTable = []arrival.Point{point(0, 20), point(10, 25), point(25, 55), point(25, 40), point(60, 60)}
	a := mustArrive(t, f, arrival.Options{Thresholds: celsius(22.5, 45, 52, 58)})
	for i, want := range []float64{5, 20, 23.5, 56.5} {
		if got := a.Crossings[i].Time.Seconds() - a.PlugTime.Seconds(); !near(got, want, 1e-6*a.PlugTime.Seconds()) {
			t.Errorf("crossing %d enters at %v s, want %v", i, got, want)
		}
	}
	if !near(a.Steady.Celsius(), 60, 1e-9) {
		t.Errorf("steady %v, want the last temperature", a.Steady.Celsius())
	}
}

// TestDelayedJumpIsExact: without wall and loss the hot water that enters after
// a delay is at the outlet one plug time later, not a cell before or after.
func TestDelayedJumpIsExact(t *testing.T) {
	f := copperPath()
	for i := range f.Segments {
		f.Segments[i].Outside, f.Segments[i].UA = f.Segments[i].Bore, 0
	}
	for _, delay := range []float64{0.1, 1, 7.77, 300, 1e5} {
		f.StartUpDelay, f.BeforeStart = quantity.Seconds(delay), quantity.Celsius(30)
		a := mustArrive(t, f, arrival.Options{Thresholds: celsius(25, 59)})
		plug := a.PlugTime.Seconds()
		if delay >= 1 && !near(a.Crossings[0].Time.Seconds(), plug, 1e-9) {
			t.Errorf("water from before the start after %v s, want %v", a.Crossings[0].Time.Seconds(), plug)
		}
		if got := a.Crossings[1].Time.Seconds(); !near(got, plug+delay, 1e-9*(plug+delay)) {
			t.Errorf("hot water after %v s, want %v", got, plug+delay)
		}
	}
}

// TestSettlesAtSteady: what the grid comes to is what the closed form says, also
// where the film resists as much as the surroundings.
func TestSettlesAtSteady(t *testing.T) {
	for name, f := range map[string]arrival.Front{"copper": copperPath(), "plastic": plasticPath()} {
		for _, film := range []float64{100, 4000} {
			for i := range f.Segments {
				f.Segments[i].Film, f.Segments[i].UA = film, 20
			}
			a := mustArrive(t, f, arrival.Options{Horizon: 60, Curve: 2})
			if got, want := a.Curve[1].Temperature.Celsius(), a.Steady.Celsius(); want > 58 || !near(got, want, 1e-3) {
				t.Errorf("%s, film %v: settles at %v degC, closed form %v", name, film, got, want)
			}
		}
	}
}

// TestJumpsInEachCell: an inlet that jumps more often than slugs enter gives
// slugs of its mean, and an outlet of it.
func TestJumpsInEachCell(t *testing.T) {
	f := copperPath()
	for i := range f.Segments {
		f.Segments[i].Outside, f.Segments[i].UA = f.Segments[i].Bore, 0
	}
	for i := range 1000 {
		from, to := quantity.Seconds(0.1*float64(i)), quantity.Seconds(0.1*float64(i+1))
		warm := quantity.Celsius(50 + 10*float64(i%2))
		f.InletTable = append(f.InletTable, arrival.Point{Time: from, Temperature: warm}, arrival.Point{Time: to, Temperature: warm})
	}
	a := mustArrive(t, f, arrival.Options{Thresholds: celsius(51), Horizon: 2.5, Curve: 51})
	if !near(a.Crossings[0].Ratio, 1, 0.02) {
		t.Errorf("warm after %v volumes", a.Crossings[0].Ratio)
	}
	for _, p := range a.Curve[25:] {
		if !near(p.Temperature.Celsius(), 55, 2) {
			t.Errorf("%v degC after %v s, the mean is 55", p.Temperature.Celsius(), p.Time.Seconds())
		}
	}
}

// TestNothingIsHotterThanItWas: warm water that stood in the middle cools on its
// way through a cold end, less and less; the line through its last slugs must
// not be drawn to above where it started.
func TestNothingIsHotterThanItWas(t *testing.T) {
	segment := func(length, bore, start float64) arrival.Segment {
		return arrival.Segment{
			Length: quantity.Metres(length), Bore: quantity.Millimetres(bore), Outside: quantity.Millimetres(bore + 2),
			WallHeatCapacity: 3.5e6, Film: 8e4, Initial: quantity.Celsius(start),
		}
	}
	for warm := 4.0; warm < 8; warm += 0.25 {
		f := arrival.Front{
			Segments: []arrival.Segment{segment(20, 34, 13), segment(warm, 8, 35), segment(2, 16, 10)},
			Flow:     quantity.CubicMetresPerSecond(9e-4), Density: 990, SpecificHeat: 4180, Inlet: quantity.Celsius(60),
		}
		a := mustArrive(t, f, arrival.Options{Thresholds: celsius(35.01)})
		if c := a.Crossings[0]; !c.Reached || c.Ratio < 1 {
			t.Errorf("%v m of water of 35 degC: %+v", warm, c)
		}
	}
}

// TestHorizonEnds: what is reached behind the horizon is not reached.
func TestHorizonEnds(t *testing.T) {
	f := copperPath()
	all := mustArrive(t, f, arrival.Options{Thresholds: celsius(40, 55)})
	between := (all.Crossings[0].Ratio + all.Crossings[1].Ratio) / 2
	a := mustArrive(t, f, arrival.Options{Thresholds: celsius(40, 55), Horizon: between})
	if !a.Crossings[0].Reached || a.Crossings[1].Reached || a.Crossings[1].Time.Seconds() != 0 {
		t.Errorf("up to %v volumes: %+v", between, a.Crossings)
	}
	// Also between the horizon and the next slug.
	if a := mustArrive(t, f, arrival.Options{Thresholds: celsius(40), Horizon: all.Crossings[0].Ratio * (1 - 1e-9)}); a.Crossings[0].Reached {
		t.Errorf("reached at %+v, just behind the horizon", a.Crossings[0])
	}
}

// TestManyShortSegments: a path in a thousand pieces, most of them shorter than
// a cell, arrives like the whole.
func TestManyShortSegments(t *testing.T) {
	f := plasticPath()
	pieces := clone(f)
	pieces.Segments = nil
	for _, s := range f.Segments {
		s.Length = quantity.Metres(s.Length.Metres() / 333)
		for range 333 {
			pieces.Segments = append(pieces.Segments, s)
		}
	}
	o := arrival.Options{Thresholds: celsius(35, 45, 52)}
	a, b := mustArrive(t, f, o), mustArrive(t, pieces, o)
	for i := range a.Crossings {
		if c, d := a.Crossings[i], b.Crossings[i]; !d.Reached || !near(c.Time.Seconds(), d.Time.Seconds(), 0.005*c.Time.Seconds()) {
			t.Errorf("whole %+v, pieces %+v", c, d)
		}
	}
}
