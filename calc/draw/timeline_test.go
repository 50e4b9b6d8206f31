package draw_test

import (
	"math"
	"math/rand"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/calendar"
	"recirc/calc/draw"
	"recirc/calc/quantity"
)

// 10 L at 10 L/min run a minute. A second draw that comes 30 s later waits for
// the first; one at another fixture, or one that comes as the first ends, does not.
func TestOverlapsAreRunOneAfterTheOther(t *testing.T) {
	one := draw.Event{At: hours(7), Volume: litres(10), Flow: litresPerMinute(10), Use: draw.Shower}
	later := func(s float64, fixture int) draw.Event {
		return draw.Event{At: quantity.Seconds(7*3600 + s), Volume: litres(10), Flow: litresPerMinute(5), Fixture: fixture, Use: draw.Shower}
	}
	got, err := draw.Timeline([]draw.Event{later(30, 0), later(30, 1), one, later(180, 0)}, 2)
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != 3 {
		t.Fatalf("%d draws, want 3: %+v", len(got), got)
	}
	merged := got[0]
	near(t, "volume", merged.Volume.CubicMetres(), 0.020, 1e-12)
	near(t, "length", merged.Lasts().Seconds(), 60+120, 1e-12)
	if merged.At != one.At || merged.Use != draw.Shower || got[1].Fixture != 1 || got[2].At.Seconds() != 7*3600+180 {
		t.Errorf("%+v", got)
	}
}

func TestTimelineProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const fixtures = 3
		events := someEvents(t, 40)
		var volume, length, fastest [fixtures]float64
		for i := range events {
			f := rapid.IntRange(0, fixtures-1).Draw(t, "fixture")
			events[i].Fixture = f
			volume[f] += events[i].Volume.CubicMetres()
			length[f] += events[i].Lasts().Seconds()
			fastest[f] = max(fastest[f], events[i].Flow.CubicMetresPerSecond())
		}
		got, err := draw.Timeline(events, fixtures)
		if err != nil {
			t.Fatal(err)
		}
		var until [fixtures]float64
		for i, e := range got {
			f := e.Fixture
			if i > 0 && (e.At.Seconds() < got[i-1].At.Seconds() || e.At == got[i-1].At && f < got[i-1].Fixture) {
				t.Fatalf("%d is out of order: %+v", i, got)
			}
			if e.At.Seconds() < until[f] {
				t.Fatalf("%d overlaps at fixture %d: %+v", i, f, got)
			}
			until[f] = e.At.Seconds() + e.Lasts().Seconds()
			volume[f] -= e.Volume.CubicMetres()
			length[f] -= e.Lasts().Seconds()
			if e.Flow.CubicMetresPerSecond() > fastest[f]*(1+1e-12) {
				t.Fatalf("%d is faster than any draw of its fixture", i)
			}
		}
		for f := range fixtures {
			if math.Abs(volume[f]) > 1e-12 || math.Abs(length[f]) > 1e-8 {
				t.Fatalf("fixture %d: %g m3 and %g s lost", f, volume[f], length[f])
			}
		}
		shuffled := slices.Clone(events)
		rand.New(rand.NewSource(1)).Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
		if again, err := draw.Timeline(shuffled, fixtures); err != nil || !slices.Equal(again, got) {
			t.Fatalf("another order of the request gives %+v, %v", again, err)
		}
	})
}

func TestEveryFaultIsNamed(t *testing.T) {
	good := draw.Event{At: hours(7), Volume: litres(10), Flow: litresPerMinute(10)}
	for _, c := range []struct {
		want   draw.FaultName
		change func(*draw.Event)
	}{
		{draw.TimeOutOfDay, func(e *draw.Event) { e.At = hours(24) }},
		{draw.TimeOutOfDay, func(e *draw.Event) { e.At = hours(-0.1) }},
		{draw.NotFinite, func(e *draw.Event) { e.At = quantity.Seconds(math.NaN()) }},
		{draw.VolumeNotPositive, func(e *draw.Event) { e.Volume = litres(-1) }},
		{draw.VolumeNotPositive, func(e *draw.Event) { e.Volume = litres(0) }},
		{draw.NotFinite, func(e *draw.Event) { e.Volume = litres(math.Inf(1)) }},
		{draw.TooLarge, func(e *draw.Event) { e.Volume = litres(1e9) }},
		{draw.FlowNotPositive, func(e *draw.Event) { e.Flow = litresPerMinute(0) }},
		{draw.FlowNotPositive, func(e *draw.Event) { e.Flow = litresPerMinute(-3) }},
		{draw.NotFinite, func(e *draw.Event) { e.Flow = litresPerMinute(math.NaN()) }},
		{draw.LastsTooLong, func(e *draw.Event) { e.Flow = litresPerMinute(1e-3) }},
		{draw.LastsTooLong, func(e *draw.Event) { e.Flow = quantity.CubicMetresPerSecond(1e-320) }},
		{draw.UseUnknown, func(e *draw.Event) { e.Use = "car_wash" }},
		{draw.FixtureUnknown, func(e *draw.Event) { e.Fixture = 1 }},
		{draw.FixtureUnknown, func(e *draw.Event) { e.Fixture = -1 }},
	} {
		e := good
		c.change(&e)
		if _, err := draw.Timeline([]draw.Event{good, e}, 1); !slices.Equal(faultsOf(err), []draw.FaultName{c.want}) {
			t.Errorf("%+v: %v, want %s", e, err, c.want)
		}
	}
	bad := draw.Event{At: hours(25), Volume: litres(-1), Fixture: 7, Use: "?"}
	_, err := draw.Timeline([]draw.Event{bad}, 1)
	want := []draw.FaultName{draw.TimeOutOfDay, draw.VolumeNotPositive, draw.FlowNotPositive, draw.UseUnknown, draw.FixtureUnknown}
	if got := faultsOf(err); !slices.Equal(got, want) {
		t.Errorf("all at once: %v, want %v", got, want)
	}
	if _, err := draw.Timeline(make([]draw.Event, draw.MaxEvents+1), 1); !slices.Equal(faultsOf(err), []draw.FaultName{draw.TooMany}) {
		t.Errorf("too many: %v", err)
	}
	long := draw.Event{Volume: litres(10), Flow: litresPerMinute(10.0 / 1200)} // 20 hours
	if _, err := draw.Timeline([]draw.Event{long, long}, 1); !slices.Equal(faultsOf(err), []draw.FaultName{draw.LastsTooLong}) {
		t.Errorf("two draws of 20 hours: %v", err)
	}
}

func TestScaleGivesTheDailyVolume(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		events := someEvents(t, 30)
		daily := rapid.Float64Range(1, 1000).Draw(t, "litres")
		got, err := draw.Scale(events, litres(daily))
		if err != nil {
			t.Fatal(err)
		}
		near(t, "volume", draw.Total(got).CubicMetres(), daily/1000, 1e-12)
		for i := range got {
			ratio := got[i].Volume.CubicMetres() / events[i].Volume.CubicMetres()
			near(t, "ratio", ratio, daily/1000/draw.Total(events).CubicMetres(), 1e-12)
			if got[i].Flow != events[i].Flow || got[i].At != events[i].At {
				t.Fatalf("%+v became %+v", events[i], got[i])
			}
		}
	})
	if _, err := draw.Scale(nil, litres(100)); !slices.Equal(faultsOf(err), []draw.FaultName{draw.NothingToShare}) {
		t.Errorf("no draws: %v", err)
	}
	for _, v := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		if _, err := draw.Scale(someDay(), litres(v)); err == nil {
			t.Errorf("%v L a day are taken", v)
		}
	}
	// 10 L at 10 L/min made 1,000 m3 would run 69 days.
	if _, err := draw.Scale(someDay()[:1], litres(1e6)); !slices.Equal(faultsOf(err), []draw.FaultName{draw.LastsTooLong}) {
		t.Errorf("a draw of days: %v", err)
	}
}

// someDay is an invented day.
func someDay() []draw.Event {
	return []draw.Event{
		{At: hours(7), Volume: litres(10), Flow: litresPerMinute(10), Use: draw.Shower},
		{At: hours(19), Volume: litres(5), Flow: litresPerMinute(5)},
	}
}

func TestDaysByType(t *testing.T) {
	d := draw.Days{Weekday: someDay(), Weekend: someDay()[:1]}
	if len(d.On(calendar.Weekday)) != 2 || len(d.On(calendar.Weekend)) != 1 || d.On("holiday") != nil {
		t.Error("days are mixed up")
	}
}
