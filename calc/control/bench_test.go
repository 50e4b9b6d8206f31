package control

import (
	"testing"

	"recirc/calc/calendar"
	"recirc/calc/quantity"
)

// BenchmarkYear jumps through a year of a timer with an aquastat whose sensor
// changes every ten minutes.
func BenchmarkYear(b *testing.B) {
	s := Settings{
		Kind: TimerAndAquastat, Aquastat: Aquastat{Start: celsius(30), Stop: celsius(40)},
		Windows: []Window{
			{Type: calendar.Weekday, From: clock(6, 0), To: clock(8, 0)}, {Type: calendar.Weekday, From: clock(17, 0), To: clock(22, 0)},
			{Type: calendar.Weekend, From: clock(7, 0), To: clock(23, 0)},
		},
	}
	steps := 0
	for b.Loop() {
		m := mustMachine(b, s, calendar.Week(), nil)
		for t, i := 0.0, 0; t < 365*calendar.SecondsOfDay; i++ {
			m.Step(quantity.Seconds(t), celsius([2]float64{29, 41}[i%2]))
			t += 600
			if next, ok := m.Next(); ok {
				t = min(t, next.Seconds())
			}
			steps++
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(steps), "ns/step")
}

// BenchmarkProposeWindows chooses at most four windows for three quarters of 100 draws.
func BenchmarkProposeWindows(b *testing.B) {
	draws := make([]quantity.Duration, 100)
	for i := range draws {
		draws[i] = quantity.Seconds(float64(i * i * 8))
	}
	w := Wish{Type: calendar.Weekday, Before: minutes(10), After: minutes(10), Share: 0.75, Most: 4}
	for b.Loop() {
		if _, err := ProposeWindows(draws, w); err != nil {
			b.Fatal(err)
		}
	}
}
