package control

import (
	"math"
	"slices"
	"strings"
	"testing"

	"recirc/calc/calendar"
	"recirc/calc/quantity"
)

func window(from, to quantity.Duration) Window {
	return Window{Type: calendar.Weekday, From: from, To: to}
}

// soundSettings are of no finding; the tests change one thing.
func soundSettings(k Kind) Settings {
	return Settings{
		Kind: k, Windows: []Window{window(clock(6, 0), clock(8, 0)), window(clock(22, 0), clock(1, 0))},
		Aquastat: Aquastat{Start: fahrenheit(85), Stop: fahrenheit(105)},
		Demand:   Demand{Lead: minutes(2), Probability: 0.8, LongestRun: minutes(10)},
		Cycle:    Cycle{On: minutes(15), Off: minutes(15)},
		LeastRun: minutes(2), LeastRest: minutes(2),
	}
}

func circumstances() Circumstances {
	return Circumstances{
		Warmest: fahrenheit(115), Coldest: fahrenheit(60), LeastRise: quantity.KelvinDifference(5),
		Draws: DrawTimes{Weekday: []quantity.Duration{clock(6, 30), clock(0, 30), clock(12, 0)}},
	}
}

func TestSoundSettingsHaveNoFindings(t *testing.T) {
	for _, k := range Kinds() {
		if got := Check(soundSettings(k), circumstances()); got != nil {
			t.Errorf("%s: %v", k, got)
		}
		mustMachine(t, soundSettings(k), weekday(), nil)
	}
}

// TestFindings: each change gives its finding and no other. Those that cannot run are refused
// by New, the others run.
func TestFindings(t *testing.T) {
	for _, c := range []struct {
		kind    Kind
		want    FindingName
		refused bool
		change  func(*Settings, *Circumstances)
	}{
		{"clockwork", KindUnknown, true, func(*Settings, *Circumstances) {}},
		{Continuous, OutOfRange, true, func(s *Settings, _ *Circumstances) { s.LeastRun = minutes(-1) }},
		{Continuous, OutOfRange, true, func(s *Settings, _ *Circumstances) { s.LeastRest = quantity.Seconds(math.NaN()) }},
		{Timer, WindowsMissing, true, func(s *Settings, _ *Circumstances) { s.Windows = nil }},
		{Timer, TooManyWindows, true, func(s *Settings, _ *Circumstances) { s.Windows = make([]Window, MaxWindows+1) }},
		{Timer, WindowEmpty, true, func(s *Settings, _ *Circumstances) { s.Windows[0].To = s.Windows[0].From }},
		{Timer, DayTypeUnknown, true, func(s *Settings, _ *Circumstances) { s.Windows[0].Type = "holiday" }},
		{Timer, OutOfRange, true, func(s *Settings, _ *Circumstances) { s.Windows[0].To = clock(25, 0) }},
		{Timer, OutOfRange, true, func(s *Settings, _ *Circumstances) { s.Windows[0].From = clock(24, 0) }},
		{Timer, WindowsOverlap, false, func(s *Settings, _ *Circumstances) { s.Windows[0].From = clock(0, 59) }},
		{Timer, WindowsOverlap, false, func(s *Settings, _ *Circumstances) { s.Windows[0].To = clock(22, 1) }},
		{Timer, WindowBelowRun, false, func(s *Settings, _ *Circumstances) { s.LeastRun = minutes(121) }},
		{TimerAndAquastat, TimerCoversNoDraw, false, func(_ *Settings, c *Circumstances) { c.Draws.Weekday = c.Draws.Weekday[2:] }},
		{Timer, TimerCoversNoDraw, false, func(_ *Settings, c *Circumstances) { c.Draws.Weekend = []quantity.Duration{clock(7, 0)} }},
		{AquastatOnly, StopBelowStart, true, func(s *Settings, _ *Circumstances) { s.Aquastat.Stop = fahrenheit(84) }},
		{AquastatOnly, StopBelowStart, true, func(s *Settings, _ *Circumstances) { s.Aquastat.Stop = s.Aquastat.Start }},
		{OnDemand, StopBelowStart, true, func(s *Settings, _ *Circumstances) { s.Aquastat.Stop = fahrenheit(84) }},
		{TimerAndAquastat, OutOfRange, true, func(s *Settings, _ *Circumstances) { s.Aquastat.Stop = quantity.Temperature{} }},
		{AquastatOnly, StopOutOfReach, false, func(_ *Settings, c *Circumstances) { c.Warmest = fahrenheit(105) }},
		{OnDemand, StopOutOfReach, false, func(_ *Settings, c *Circumstances) { c.Warmest = fahrenheit(100) }},
		{AquastatOnly, StartOutOfReach, false, func(_ *Settings, c *Circumstances) { c.Coldest = fahrenheit(86) }},
		{TimerAndAquastat, GapTooSmall, false, func(_ *Settings, c *Circumstances) { c.LeastRise = quantity.KelvinDifference(20/1.8 + 0.01) }},
		{OnDemand, OutOfRange, true, func(s *Settings, _ *Circumstances) { s.Demand.Probability = 1.1 }},
		{OnDemand, OutOfRange, true, func(s *Settings, _ *Circumstances) { s.Demand.Probability = math.NaN() }},
		{OnDemand, OutOfRange, true, func(s *Settings, _ *Circumstances) { s.Demand.Lead = minutes(-1) }},
		{OnDemand, LongestRunShort, true, func(s *Settings, _ *Circumstances) { s.Demand.LongestRun = minutes(1) }},
		{DutyCycle, CycleEmpty, true, func(s *Settings, _ *Circumstances) { s.Cycle = Cycle{} }},
		{DutyCycle, CycleTooShort, true, func(s *Settings, _ *Circumstances) {
			s.Cycle = Cycle{On: quantity.Seconds(1), Off: quantity.Seconds(1)}
		}},
		{DutyCycle, OutOfRange, true, func(s *Settings, _ *Circumstances) { s.Cycle.Off = quantity.Seconds(math.Inf(1)) }},
		{DutyCycle, NeverRuns, false, func(s *Settings, _ *Circumstances) { s.Cycle.On = quantity.Duration{} }},
		{DutyCycle, OnBelowRun, false, func(s *Settings, _ *Circumstances) { s.LeastRun = minutes(16) }},
		{DutyCycle, OffBelowRest, false, func(s *Settings, _ *Circumstances) { s.LeastRest = minutes(16) }},
	} {
		s, around := soundSettings(c.kind), circumstances()
		c.change(&s, &around)
		got := Check(s, around)
		if names := slices.Compact(namesOf(got)); !slices.Equal(names, []FindingName{c.want}) {
			t.Errorf("%s, %s: %v", c.kind, c.want, got)
			continue
		}
		if got[0].Detail == "" || strings.Contains(got[0].Detail, "%!") {
			t.Errorf("%s: %q", c.want, got[0].Detail)
		}
		_, err := New(s, weekday(), nil)
		if (err != nil) != c.refused || c.refused && faultsIn(err)[0] != c.want {
			t.Errorf("%s, %s: New gives %v", c.kind, c.want, err)
		}
	}
}

func TestNewRefusesDaysAndTriggers(t *testing.T) {
	s := soundSettings(OnDemand)
	for name, c := range map[string]struct {
		days     []calendar.DayType
		triggers []quantity.Duration
		want     FindingName
	}{
		"no days":    {nil, nil, DaysMissing},
		"many days":  {make([]calendar.DayType, MaxDays+1), nil, DaysMissing},
		"other days": {[]calendar.DayType{"holiday"}, nil, DayTypeUnknown},
		"no time":    {weekday(), []quantity.Duration{quantity.Seconds(math.NaN())}, OutOfRange},
		"before":     {weekday(), []quantity.Duration{minutes(-1)}, OutOfRange},
	} {
		if _, err := New(s, c.days, c.triggers); !slices.Equal(faultsIn(err), []FindingName{c.want}) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestFindingsComeAllAtOnce(t *testing.T) {
	s := soundSettings(TimerAndAquastat)
	s.Windows[1].To = clock(30, 0)
	s.Aquastat.Stop = fahrenheit(1000)
	s.LeastRun = minutes(-1)
	if got := namesOf(Check(s, Circumstances{})); len(got) != 3 {
		t.Errorf("%v", got)
	}
}

// A window past midnight overlaps, wherever it stands in the list.
func TestOverlapsPastMidnight(t *testing.T) {
	late, early := window(clock(22, 0), clock(2, 0)), window(clock(1, 0), clock(3, 0))
	for _, windows := range [][]Window{{late, early}, {early, late}} {
		got := Check(Settings{Kind: Timer, Windows: windows}, Circumstances{})
		if len(got) != 1 || got[0].Name != WindowsOverlap || got[0].Index != 1 {
			t.Errorf("%v: %v", windows, got)
		}
	}
}

// Two windows that meet at midnight are one: a run of three hours fits into them,
// and a day of them has no edge.
func TestWindowsThatMeetAtMidnightAreOne(t *testing.T) {
	s := Settings{Kind: Timer, LeastRun: clock(3, 0), Windows: []Window{window(clock(0, 0), clock(2, 0)), window(clock(22, 0), clock(24, 0))}}
	if got := Check(s, Circumstances{}); got != nil {
		t.Errorf("%v", got)
	}
	m := mustMachine(t, s, weekday(), nil)
	if m.Step(clock(0, 0), celsius(20)) || !m.Step(clock(22, 0), celsius(20)) {
		t.Error("does not start at 22:00, with four hours before it, or starts at 0:00, with two")
	}
	if next, ok := m.Next(); !ok || next != clock(25, 0) { // its least run
		t.Errorf("next %v, %v", next.Seconds(), ok)
	}
	s.LeastRun, s.Windows[0].To, s.Windows[1].From = quantity.Duration{}, clock(22, 0), clock(22, 0)
	m = mustMachine(t, s, weekday(), nil)
	m.Step(clock(0, 0), celsius(20))
	if next, ok := m.Next(); ok {
		t.Errorf("a timer that is always on changes at %v s", next.Seconds())
	}
}

// Windows that touch are no overlap, and one of a day type is none with one of another.
func TestTouchingWindowsDoNotOverlap(t *testing.T) {
	s := soundSettings(Timer)
	s.Windows = []Window{
		window(clock(6, 0), clock(7, 0)), window(clock(7, 0), clock(8, 0)), window(clock(22, 0), clock(6, 0)),
		{Type: calendar.Weekend, From: clock(5, 0), To: clock(9, 0)},
	}
	if got := Check(s, Circumstances{}); got != nil {
		t.Errorf("%v", got)
	}
	if got := RunTime(s.Windows, calendar.Weekday); math.Abs(got.Seconds()-10*3600) > 1e-6 {
		t.Errorf("%v s a weekday, want 10 h", got.Seconds())
	}
}
