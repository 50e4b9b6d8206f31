package control

import (
	"errors"
	"slices"

	"pgregory.net/rapid"

	"recirc/calc/calendar"
	"recirc/calc/quantity"
)

// failer is a test or a property.
type failer interface {
	Helper()
	Errorf(format string, args ...any)
	Fatalf(format string, args ...any)
}

func minutes(m float64) quantity.Duration { return quantity.Seconds(60 * m) }

func clock(h, m float64) quantity.Duration { return quantity.Seconds(3600*h + 60*m) }

func fahrenheit(f float64) quantity.Temperature {
	return quantity.Kelvin(quantity.TemperatureDimension.US.ToSI(f))
}

func celsius(c float64) quantity.Temperature { return quantity.Celsius(c) }

func weekday() []calendar.DayType { return []calendar.DayType{calendar.Weekday} }

func mustMachine(t failer, s Settings, days []calendar.DayType, triggers []quantity.Duration) *Machine {
	t.Helper()
	m, err := New(s, days, triggers)
	if err != nil {
		t.Fatalf("%+v: %v", s, err)
	}
	return m
}

// namesOf gives the names of findings in order.
func namesOf(findings []Finding) []FindingName {
	var names []FindingName
	for _, f := range findings {
		names = append(names, f.Name)
	}
	return names
}

func faultsIn(err error) []FindingName {
	var typed *SettingsError
	if !errors.As(err, &typed) {
		return nil
	}
	return namesOf(typed.Findings)
}

// someSettings draws settings in whole minutes, so that a step a minute misses nothing.
func someSettings(t *rapid.T) Settings {
	s := Settings{
		Kind:      rapid.SampledFrom(Kinds()).Draw(t, "kind"),
		Aquastat:  Aquastat{Start: celsius(30), Stop: celsius(40)},
		Demand:    Demand{Lead: minutes(3), Probability: 0.7, LongestRun: minutes(float64(rapid.IntRange(10, 40).Draw(t, "longest")))},
		Cycle:     Cycle{On: minutes(float64(rapid.IntRange(1, 30).Draw(t, "on"))), Off: minutes(float64(rapid.IntRange(0, 30).Draw(t, "off")))},
		LeastRun:  minutes(float64(rapid.IntRange(0, 10).Draw(t, "least run"))),
		LeastRest: minutes(float64(rapid.IntRange(0, 10).Draw(t, "least rest"))),
	}
	for range rapid.IntRange(1, 4).Draw(t, "windows") {
		from := rapid.IntRange(0, 1439).Draw(t, "from")
		to := (from + rapid.IntRange(1, 1439).Draw(t, "length")) % 1440
		s.Windows = append(s.Windows, Window{
			Type: rapid.SampledFrom(calendar.DayTypes()).Draw(t, "type"), From: minutes(float64(from)), To: minutes(float64(to)),
		})
	}
	return s
}

func someDays(t *rapid.T) []calendar.DayType {
	return rapid.SliceOfN(rapid.SampledFrom(calendar.DayTypes()), 1, 4).Draw(t, "days")
}

// someReadings draws what a sensor reads, minute by minute; it changes now and then.
func someReadings(t *rapid.T, minutes int) []quantity.Temperature {
	readings := make([]quantity.Temperature, 0, minutes)
	for len(readings) < minutes {
		T := celsius(rapid.SampledFrom([]float64{20, 29, 30, 35, 40, 41, 60}).Draw(t, "reading"))
		for range rapid.IntRange(1, 200).Draw(t, "minutes of it") {
			readings = append(readings, T)
		}
	}
	return readings[:minutes]
}

// someTriggers draws triggers in whole minutes.
func someTriggers(t *rapid.T, minutesLong int) []quantity.Duration {
	var triggers []quantity.Duration
	for _, m := range rapid.SliceOfN(rapid.IntRange(0, minutesLong-1), 0, 20).Draw(t, "triggers") {
		triggers = append(triggers, minutes(float64(m)))
	}
	slices.SortFunc(triggers, bySeconds)
	return triggers
}
