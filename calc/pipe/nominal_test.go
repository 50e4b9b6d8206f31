package pipe_test

import (
	"testing"

	"recirc/calc/pipe"
)

func TestNominalInches(t *testing.T) {
	for nominal, want := range map[string]float64{
		"1/4": 0.25, "5/16": 0.3125, "3/8": 0.375, "1/2": 0.5, "5/8": 0.625, "3/4": 0.75, "7/8": 0.875,
		"1": 1, "1-1/4": 1.25, "1-1/2": 1.5, "2": 2, "2-1/2": 2.5, "3": 3, "3-1/2": 3.5, "4": 4, "5": 5, "6": 6,
	} {
		if got, ok := pipe.NominalInches(nominal); !ok || got != want {
			t.Errorf("%q: %g, %v, want %g", nominal, got, ok, want)
		}
	}
}

func TestOtherTextIsNoSizeInInches(t *testing.T) {
	for _, nominal := range []string{
		"", "0", "01", "+1", "-1", "1.25", "0.75", "1 1/4", "1-", "-1/4", "1-1", "4/4", "5/4", "0/4", "1/3", "1/0", "1/", "/4",
		"1/2/2", "1-1/4-1/4", "6-1/2", "8", "10", "15", "22", "999", "15x1", "66.7", "DN15", "2 or larger", "¾", "1e0",
	} {
		if got, ok := pipe.NominalInches(nominal); ok || got != 0 {
			t.Errorf("%q: %g, %v", nominal, got, ok)
		}
	}
}

// A nominal size in mm must not be taken for inches, nor one in inches be missed.
func TestNominalInchesFollowTheSystemOfTheSeries(t *testing.T) {
	for _, s := range pipe.AllSeries() {
		for _, nominal := range pipe.Nominals(s.ID) {
			if _, ok := pipe.NominalInches(nominal); ok != (s.NominalSystem == "inch") {
				t.Errorf("%s %s (%s): %v", s.ID, nominal, s.NominalSystem, ok)
			}
		}
	}
	for _, f := range pipe.FittingLosses() {
		if _, ok := pipe.NominalInches(f.Nominal); ok != (f.Nominal != "") {
			t.Errorf("%s %q: %v", f.Type, f.Nominal, ok)
		}
	}
}

func FuzzNominalInches(f *testing.F) {
	for _, seed := range []string{"3/4", "1-1/4", "15x1", "", "1-", "99/99", "-", "/"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, nominal string) {
		if got, ok := pipe.NominalInches(nominal); ok != (got > 0) || got > 6 {
			t.Errorf("%q: %g, %v", nominal, got, ok)
		}
	})
}

func FuzzNearSeries(f *testing.F) {
	for _, seed := range []string{"copper", "", "\xff\xfe", "pex_sdr9_", "_____"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, name string) {
		near := pipe.NearSeries(name)
		if len(near) > 5 {
			t.Errorf("%q: %d names", name, len(near))
		}
		for _, id := range near {
			if _, ok := pipe.FindSeries(id); !ok {
				t.Errorf("%q: %q is no series", name, id)
			}
		}
	})
}
