package draw_test

import (
	"errors"
	"math"
	"os"

	"pgregory.net/rapid"

	"recirc/calc/draw"
	"recirc/calc/internal/table"
	"recirc/calc/quantity"
)

// failer is a test or a property.
type failer interface {
	Helper()
	Errorf(format string, args ...any)
	Fatalf(format string, args ...any)
}

func reference(name string) []table.Row { return table.MustReadCited(os.DirFS("testdata"), name) }

func near(t failer, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s: %.12g, want %.12g within %.2g", what, got, want, relative)
	}
}

func litres(v float64) quantity.Volume { return quantity.CubicMetres(v / 1000) }

func litresPerMinute(q float64) quantity.Flow { return quantity.CubicMetresPerSecond(q / 60000) }

func hours(h float64) quantity.Duration { return quantity.Seconds(h * 3600) }

func patternOf(t failer, id string) draw.Pattern {
	t.Helper()
	p, ok := draw.PatternOf(id)
	if !ok {
		t.Fatalf("no pattern %s", id)
	}
	return p
}

// faultsOf gives the names of the faults, nil for another error or none.
func faultsOf(err error) []draw.FaultName {
	var typed *draw.FaultError
	if !errors.As(err, &typed) {
		return nil
	}
	var names []draw.FaultName
	for _, f := range typed.Faults {
		names = append(names, f.Name)
	}
	return names
}

func someEvents(t *rapid.T, most int) []draw.Event {
	events := make([]draw.Event, rapid.IntRange(1, most).Draw(t, "draws"))
	for i := range events {
		events[i] = draw.Event{
			At:     quantity.Seconds(float64(rapid.IntRange(0, 86399).Draw(t, "at"))),
			Volume: litres(rapid.Float64Range(0.1, 150).Draw(t, "volume")),
			Flow:   litresPerMinute(rapid.Float64Range(1, 20).Draw(t, "flow")),
			Use:    rapid.SampledFrom(append(draw.Uses(), "")).Draw(t, "use"),
		}
	}
	return events
}

func someFixtures(t *rapid.T, most int, uses bool) []draw.Fixture {
	fixtures := make([]draw.Fixture, rapid.IntRange(1, most).Draw(t, "fixtures"))
	for i := range fixtures {
		fixtures[i] = draw.Fixture{ID: string(rune('a' + i)), Share: rapid.Float64Range(0.1, 5).Draw(t, "share")}
		if uses {
			fixtures[i].Uses = rapid.SliceOfN(rapid.SampledFrom(draw.Uses()), 0, 3).Draw(t, "uses")
		}
	}
	return fixtures
}

func isRange(err error) bool {
	var typed *draw.RangeError
	return errors.As(err, &typed)
}
