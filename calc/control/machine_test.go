package control

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/calendar"
	"recirc/calc/quantity"
)

// run steps a machine every minute and gives whether the pump runs in each.
func run(m *Machine, readings []quantity.Temperature) []bool {
	ran := make([]bool, len(readings))
	for i, T := range readings {
		ran[i] = m.Step(minutes(float64(i)), T)
	}
	m.Step(minutes(float64(len(readings))), celsius(20))
	return ran
}

// inWindow tells whether a minute lies in a window, straight from what a window
// is: of its own day, or of the day before past midnight.
func inWindow(windows []Window, days []calendar.DayType, minute int) bool {
	day, of := minute/1440, float64(minute%1440)*60
	today, before := days[day%len(days)], days[(day+len(days)-1)%len(days)]
	for _, w := range windows {
		from, to := w.From.Seconds(), w.To.Seconds()
		over := to <= from
		if w.Type == today && of >= from && (over || of < to) || over && w.Type == before && of < to {
			return true
		}
	}
	return false
}

const aFewDays = 3 * 1440

func TestWindowsNeverRunOutside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, days := someSettings(t), someDays(t)
		s.Kind = rapid.SampledFrom([]Kind{Timer, TimerAndAquastat}).Draw(t, "timed")
		for i, on := range run(mustMachine(t, s, days, nil), someReadings(t, aFewDays)) {
			if on && !inWindow(s.Windows, days, i) {
				t.Fatalf("runs in minute %d, outside the windows", i)
			}
		}
	})
}

// A timer without least times runs in its windows and nowhere else.
func TestTimerRunsInAllOfItsWindows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, days := someSettings(t), someDays(t)
		s.Kind, s.LeastRun, s.LeastRest = Timer, quantity.Duration{}, quantity.Duration{}
		for i, on := range run(mustMachine(t, s, days, nil), someReadings(t, aFewDays)) {
			if on != inWindow(s.Windows, days, i) {
				t.Fatalf("minute %d: runs %v, in a window %v", i, on, !on)
			}
		}
	})
}

func TestLeastRunAndRestAreKept(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, days := someSettings(t), someDays(t)
		ran := run(mustMachine(t, s, days, someTriggers(t, aFewDays)), someReadings(t, aFewDays))
		since, started := 0, false
		for i := 1; i < len(ran); i++ {
			if ran[i] == ran[i-1] {
				continue
			}
			length := float64(i - since)
			if ran[i-1] && length*60 < s.LeastRun.Seconds() {
				t.Fatalf("%+v: ran %v minutes up to minute %d", s, length, i)
			}
			if !ran[i-1] && started && length*60 < s.LeastRest.Seconds() {
				t.Fatalf("%+v: rested %v minutes up to minute %d", s, length, i)
			}
			since, started = i, true
		}
	})
}

func TestRunsAndStartsAreCounted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := mustMachine(t, someSettings(t), someDays(t), someTriggers(t, aFewDays))
		ran := run(m, someReadings(t, aFewDays))
		starts, length := 0, 0
		for i, on := range ran {
			if on {
				length++
				if i == 0 || !ran[i-1] {
					starts++
				}
			}
		}
		if m.Running() { // the step after the last may have started it
			starts++
			if ran[len(ran)-1] {
				starts--
			}
		}
		if m.Starts() != starts || math.Abs(m.Ran().Seconds()-60*float64(length)) > 1e-6 {
			t.Fatalf("%d starts and %v s, want %d and %d minutes", m.Starts(), m.Ran().Seconds(), starts, length)
		}
	})
}

// TestJumpsAreTheSameAsMinutes steps one machine every minute and another only when
// Next says so or the sensor changes.
func TestJumpsAreTheSameAsMinutes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, days, triggers := someSettings(t), someDays(t), someTriggers(t, aFewDays)
		readings := someReadings(t, aFewDays)
		slow := run(mustMachine(t, s, days, triggers), readings)
		m := mustMachine(t, s, days, triggers)
		at, steps := 0, 0
		for at < len(slow) {
			on := m.Step(minutes(float64(at)), readings[at])
			steps++
			to := len(slow)
			if next, ok := m.Next(); ok {
				if next.Seconds() <= 60*float64(at) {
					t.Fatalf("after minute %d comes %v s", at, next.Seconds())
				}
				to = min(to, int(math.Ceil(next.Seconds()/60-1e-9)))
			}
			for i := at; i < to; i++ {
				if readings[i] != readings[at] {
					to = i
				}
				if i < to && slow[i] != on {
					t.Fatalf("%+v: in minute %d the pump runs %v, by jumps %v", s, i, slow[i], on)
				}
			}
			at = to
		}
		if s.Kind != DutyCycle && steps > 1500 { // a cycle may change every minute
			t.Fatalf("%d steps are no jumps", steps)
		}
	})
}

// TestWatchesIsWhatChanges: a reading short of the watched one changes nothing,
// that one does.
func TestWatchesIsWhatChanges(t *testing.T) {
	s := Settings{Kind: AquastatOnly, Aquastat: Aquastat{Start: fahrenheit(85), Stop: fahrenheit(105)}}
	m := mustMachine(t, s, weekday(), nil)
	m.Step(minutes(0), fahrenheit(95))
	for i, want := range []struct {
		limit  float64
		rising bool
	}{{85, false}, {105, true}, {85, false}} {
		limit, rising, ok := m.Watches()
		if !ok || limit != fahrenheit(want.limit) || rising != want.rising {
			t.Fatalf("%d: watches %v, rising %v, %v", i, limit, rising, ok)
		}
		short := limit.Kelvin() + 1e-9
		if rising {
			short = limit.Kelvin() - 1e-9
		}
		before := m.Running()
		if m.Step(minutes(float64(2*i+1)), quantity.Kelvin(short)) != before {
			t.Errorf("%d: changes before %v", i, limit)
		}
		if m.Step(minutes(float64(2*i+2)), limit) == before {
			t.Errorf("%d: does not change at %v", i, limit)
		}
	}
	if _, _, ok := mustMachine(t, Settings{Kind: Continuous}, weekday(), nil).Watches(); ok {
		t.Error("a continuous pump watches a sensor")
	}
}

func TestContinuousRunsThroughout(t *testing.T) {
	m := mustMachine(t, Settings{Kind: Continuous}, weekday(), nil)
	m.Step(minutes(0), celsius(90))
	m.Step(clock(240, 0), celsius(0))
	if m.Starts() != 1 || m.Ran() != clock(240, 0) {
		t.Errorf("%d starts, %v s", m.Starts(), m.Ran().Seconds())
	}
	if next, ok := m.Next(); ok {
		t.Errorf("a continuous pump changes at %v", next)
	}
}

func TestDutyCycleHasItsShare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		on := rapid.Float64Range(30, 3000).Draw(t, "on")
		off := rapid.Float64Range(30, 3000).Draw(t, "off")
		const cycles = 50
		m := mustMachine(t, Settings{Kind: DutyCycle, Cycle: Cycle{On: quantity.Seconds(on), Off: quantity.Seconds(off)}}, weekday(), nil)
		end := cycles * (on + off)
		at := 0.0
		for at < end*(1-1e-12) {
			m.Step(quantity.Seconds(at), celsius(20))
			next, ok := m.Next()
			if !ok {
				t.Fatal("a cycle ends")
			}
			at = next.Seconds()
		}
		if share := m.Ran().Seconds() / m.now; m.Starts() != cycles || math.Abs(m.Ran().Seconds()-cycles*on) > 1e-6 {
			t.Fatalf("%d starts, share %v, want %d and %v", m.Starts(), share, cycles, on/(on+off))
		}
	})
}

// A time that runs backwards, or is none, changes no count.
func TestTimeDoesNotRunBackwards(t *testing.T) {
	m := mustMachine(t, Settings{Kind: Continuous}, weekday(), nil)
	for _, s := range []float64{0, 600, 300, math.NaN(), math.Inf(1), math.Inf(-1), -5} {
		m.Step(quantity.Seconds(s), quantity.Kelvin(math.NaN()))
	}
	if m.Ran().Seconds() != 600 {
		t.Errorf("ran %v s, want 600", m.Ran().Seconds())
	}
}
