package control

import (
	"errors"
	"math"
	"testing"

	"recirc/calc/calendar"
	"recirc/calc/quantity"
)

// FuzzMachine: whatever is set and read, settings are refused with names or the
// machine goes on: time advances, counts are sound, and least times and windows hold.
func FuzzMachine(f *testing.F) {
	f.Add(byte(3), 21600.0, 28800.0, 79200.0, 3600.0, 303.15, 313.15, 0.5, 600.0, 900.0, 900.0, 120.0, 60.0, 300.0, uint64(1))
	f.Add(byte(4), 0.0, 86400.0, 1.0, 0.5, 313.15, 313.15, 1.0, 1e-9, 1e-9, 60.0, 1e-9, 0.0, 310.0, uint64(2))
	for k := range byte(6) {
		for _, x := range []float64{0, 1e-320, 1e-9, 1e9, 1e308, -1, math.NaN(), math.Inf(1), math.Inf(-1)} {
			f.Add(k, x, 28800.0, 79200.0, x, 303.15, 313.15, 0.5, 600.0, 900.0, 900.0, x, 60.0, x, uint64(1))
			f.Add(k, 21600.0, x, x, 3600.0, x, 313.15, x, x, x, 900.0, 120.0, x, 300.0, uint64(1))
		}
	}
	f.Fuzz(func(t *testing.T, k byte, from0, to0, from1, to1, start, stop, p, longest, on, off, leastRun, leastRest, reads float64, seed uint64) {
		s := Settings{
			Kind: Kinds()[int(k)%len(Kinds())],
			Windows: []Window{
				{calendar.Weekday, quantity.Seconds(from0), quantity.Seconds(to0)},
				{calendar.Weekend, quantity.Seconds(from1), quantity.Seconds(to1)},
				{calendar.Weekday, quantity.Seconds(from1), quantity.Seconds(to1)},
			},
			Aquastat: Aquastat{quantity.Kelvin(start), quantity.Kelvin(stop)},
			Demand:   Demand{Lead: quantity.Seconds(leastRest), Probability: p, LongestRun: quantity.Seconds(longest), Seed: seed},
			Cycle:    Cycle{quantity.Seconds(on), quantity.Seconds(off)},
			LeastRun: quantity.Seconds(leastRun), LeastRest: quantity.Seconds(leastRest),
		}
		draws := []quantity.Duration{quantity.Seconds(from0), quantity.Seconds(to1), quantity.Seconds(reads)}
		Check(s, Circumstances{
			Warmest: quantity.Kelvin(reads), Coldest: quantity.Kelvin(start), LeastRise: quantity.KelvinDifference(p), Draws: DrawTimes{Weekday: draws},
		})
		wish := Wish{Type: calendar.Weekday, Before: quantity.Seconds(leastRest), After: quantity.Seconds(leastRun), Share: p, Most: int(k) - 1}
		if proposal, err := ProposeWindows(draws, wish); err == nil {
			if found := (Settings{Kind: Timer, Windows: proposal.Windows}).faults(); found != nil {
				t.Fatalf("a proposal that cannot be set: %+v, %v", proposal, found)
			}
		}
		m, err := New(s, calendar.Week(), Triggers(s.Demand, [][]quantity.Duration{draws, draws}))
		if err != nil {
			var typed *SettingsError
			if !errors.As(err, &typed) || len(typed.Findings) == 0 {
				t.Fatal(err)
			}
			return
		}
		changed, was := math.Inf(-1), false
		for i := range 200 {
			T := reads
			if i%3 == 1 {
				T = stop
			}
			now := m.now
			running := m.Step(quantity.Seconds(now), quantity.Kelvin(T))
			if running != was {
				if least := leastRun; !running && now-changed < least-2*rounding {
					t.Fatalf("ran from %v to %v s, the least run is %v", changed, now, least)
				}
				if running && now-changed < leastRest-2*rounding {
					t.Fatalf("rested from %v to %v s, the least rest is %v", changed, now, leastRest)
				}
				changed, was = now, running
			}
			if _, open := m.schedule.at(now); running && !open {
				t.Fatalf("runs at %v s, outside its windows", now)
			}
			next, ok := m.Next()
			if !ok {
				break
			}
			if next.Seconds() <= now {
				t.Fatalf("after %v s comes %v s", now, next.Seconds())
			}
			m.Step(next, quantity.Kelvin(T))
			if m.Ran().Seconds() > m.now+rounding || m.Starts() > i+2 {
				t.Fatalf("%d starts, ran %v of %v s", m.Starts(), m.Ran().Seconds(), m.now)
			}
			if m.Running() != was {
				changed, was = m.now, m.Running()
			}
		}
	})
}
