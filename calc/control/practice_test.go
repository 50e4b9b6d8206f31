package control

import (
	"math"
	"testing"

	"recirc/calc/calendar"
	"recirc/calc/quantity"
)

// What these tests expect is common practice, with no published source.

// An aquastat starts at 85 degF and stops at 105 degF.
func TestPracticeAquastat(t *testing.T) {
	s := Settings{Kind: AquastatOnly, Aquastat: Aquastat{Start: fahrenheit(85), Stop: fahrenheit(105)}}
	if got := Check(s, Circumstances{Warmest: fahrenheit(120), Coldest: fahrenheit(70)}); got != nil {
		t.Fatal(got)
	}
	m := mustMachine(t, s, weekday(), nil)
	for i, c := range []struct {
		reads float64
		want  bool
	}{{100, false}, {86, false}, {85, true}, {95, true}, {104, true}, {105, false}, {86, false}, {80, true}} {
		if got := m.Step(minutes(float64(i)), fahrenheit(c.reads)); got != c.want {
			t.Errorf("at %v degF: runs %v", c.reads, got)
		}
	}
}

// A household rises at 6:30; its timer starts half an hour before.
func TestPracticeTimer(t *testing.T) {
	p, err := ProposeWindows([]quantity.Duration{clock(6, 30), clock(6, 50), clock(7, 10)},
		Wish{Type: calendar.Weekday, Before: minutes(30), After: minutes(10), Share: 1})
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Windows) != 1 || p.Windows[0].From != clock(6, 0) || p.Windows[0].To != clock(7, 20) {
		t.Errorf("%+v, want 6:00 to 7:20", p.Windows)
	}
}

// 15 minutes on and 15 off is half of the day and 48 starts.
func TestPracticeCycle(t *testing.T) {
	m := mustMachine(t, Settings{Kind: DutyCycle, Cycle: Cycle{On: minutes(15), Off: minutes(15)}}, weekday(), nil)
	for minute := range 24 * 60 {
		m.Step(minutes(float64(minute)), celsius(40))
	}
	if m.Starts() != 48 {
		t.Errorf("%d starts", m.Starts())
	}
	m.Step(clock(24, 0), celsius(40))
	if m.Ran() != clock(12, 0) {
		t.Errorf("runs %v s", m.Ran().Seconds())
	}
	// Water that stays usable for a good quarter of an hour and is renewed within one.
	c, err := ProposeCycle(minutes(15.9), minutes(14.2), minutes(3))
	if err != nil || c != (Cycle{On: minutes(15), Off: minutes(15)}) {
		t.Errorf("%+v, %v", c, err)
	}
}

// Cases F01 and F02 of the project's cases, as practitioners told them: 110 degF arrives, set to
// 100 degF the pump stops on the way up; set to 190 degF behind a tank of 130 degF it never
// does.
func TestPracticeAquastatBelowWhatArrives(t *testing.T) {
	a, err := ProposeAquastat(fahrenheit(110), quantity.KelvinDifference(10/1.8), quantity.KelvinDifference(20/1.8))
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(a.Stop.Kelvin()-fahrenheit(100).Kelvin()) > 1e-9 || math.Abs(a.Start.Kelvin()-fahrenheit(80).Kelvin()) > 1e-9 {
		t.Errorf("%+v, want 80 to 100 degF", a)
	}
	s := Settings{Kind: AquastatOnly, Aquastat: Aquastat{Start: fahrenheit(170), Stop: fahrenheit(190)}}
	got := Check(s, Circumstances{Warmest: fahrenheit(130)})
	if names := namesOf(got); len(names) != 1 || names[0] != StopOutOfReach {
		t.Errorf("190 degF behind a tank of 130 degF: %v", got)
	}
	m := mustMachine(t, s, weekday(), nil)
	for minute := range 24*60 + 1 {
		m.Step(minutes(float64(minute)), fahrenheit(130))
	}
	if m.Ran() != clock(24, 0) {
		t.Errorf("runs %v s a day, want all of it", m.Ran().Seconds())
	}
}

func TestProposalsRefuse(t *testing.T) {
	k := quantity.KelvinDifference
	for _, c := range []struct {
		arrives     quantity.Temperature
		margin, gap float64
	}{{celsius(50), -1, 5}, {celsius(50), 5, 0}, {celsius(200), 5, 5}, {celsius(-30), 5, 10}, {quantity.Kelvin(math.NaN()), 1, 1}, {celsius(50), math.NaN(), 1}} {
		if a, err := ProposeAquastat(c.arrives, k(c.margin), k(c.gap)); err == nil {
			t.Errorf("%+v gives %+v", c, a)
		}
	}
	for _, c := range [][3]float64{{0.5, 1, 0}, {10, -1, 0}, {10, 1, -1}, {math.NaN(), 1, 1}, {10, math.Inf(1), 0}, {2000, 1, 1}} {
		if cycle, err := ProposeCycle(minutes(c[0]), minutes(c[1]), minutes(c[2])); err == nil {
			t.Errorf("%v gives %+v", c, cycle)
		}
	}
}
