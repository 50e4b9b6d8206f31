package pipe_test

import (
	"slices"
	"testing"

	"recirc/calc/pipe"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

// Rows per source: 383 printed rows, and one more for each further type that a
// row is for (gate or ball; gate, ball or plug; globe of angle or Y form).
func TestEveryFittingOfTheReferenceIsThere(t *testing.T) {
	got := map[source.ID]int{}
	for _, f := range pipe.FittingLosses() {
		got[f.Source]++
	}
	want := map[source.ID]int{
		"minor_loss_table": 19, "schedule_40_equivalent_feet": 10 + 1, "hooper_1981": 21 + 3, "darby_1999": 18,
		"irc_2018_a_2_2": 36, "pvc_equivalent_feet": 40, "cidwt_2008": 91, "illinois_890_table_q": 74, "copper_tube_handbook_14_7": 74,
	}
	total := 0
	for id, n := range want {
		total += n
		if got[id] != n {
			t.Errorf("%s: %d rows, want %d", id, got[id], n)
		}
	}
	if n := len(pipe.FittingLosses()); n != total || total != 383+4 {
		t.Errorf("%d rows, want %d", n, total)
	}
}

func TestEveryFittingNamesTypeSourceAndStatus(t *testing.T) {
	for _, f := range pipe.FittingLosses() {
		fitting, valve := slices.Contains(pipe.FittingTypes(), f.Type), slices.Contains(pipe.ValveTypes(), f.Type)
		if fitting != (f.Kind == "fitting") || valve != (f.Kind == "valve") || fitting == valve {
			t.Errorf("%s (%s): kind %q", f.Type, f.Description, f.Kind)
		}
		s, ok := source.Find(f.Source)
		if !ok || f.Description == "" {
			t.Errorf("%s: source %q, description %q", f.Type, f.Source, f.Description)
		}
		if f.Status != s.Status {
			t.Errorf("%s %s: status %q, its source says %q", f.Type, f.Nominal, f.Status, s.Status)
		}
	}
}

func TestEachMethodHasItsNumbers(t *testing.T) {
	for _, f := range pipe.FittingLosses() {
		length, k, ratio := f.EquivalentLength.Metres() > 0, f.LossCoefficient > 0, f.LengthOverDiameter > 0
		twoK, threeK := f.K1 > 0 && f.KInfinity > 0, f.K1 > 0 && f.KInfinity > 0 && f.KD > 0
		var ok bool
		switch f.Method {
		case pipe.LossCoefficient:
			ok = k && !length && !ratio && !twoK
		case pipe.EquivalentLength: // one code prints K and L/D beside the length
			ok = length && k == ratio && k == (f.Source == "irc_2018_a_2_2") && !twoK
		case pipe.LengthOverDiameter:
			ok = ratio && !length && !k && !twoK
		case pipe.TwoK:
			ok = twoK && !threeK && !length && !k && !ratio
		case pipe.ThreeK:
			ok = threeK && !length && !k && !ratio
		}
		if !ok {
			t.Errorf("%s (%s, %s): %+v", f.Type, f.Description, f.Method, f)
		}
	}
}

func TestFittingFiguresSpeltOutFromThePrint(t *testing.T) {
	feet := func(f pipe.FittingLoss) float64 {
		return quantity.LengthDimension.MustUnit("ft").FromSI(f.EquivalentLength.Metres())
	}
	for _, c := range []struct {
		kind, description, nominal string
		source                     source.ID
		figure                     func(pipe.FittingLoss) float64
		want                       float64
	}{
		{"compression_stop", "compression stop", "3/4", "illinois_890_table_q", feet, 21},
		{"elbow_45", "45 ell", "1/2", "irc_2018_a_2_2", feet, 0.73},
		{"tee_branch", "tee branch", "2", "pvc_equivalent_feet", feet, 12},
		{"swing_check", "swing check valve", "4", "cidwt_2008", feet, 38},
		{"butterfly", "butterfly valve", "3", "copper_tube_handbook_14_7", feet, 15.5},
		{"gate", "gate valve, 3/4 closed", "", "minor_loss_table", func(f pipe.FittingLoss) float64 { return f.LossCoefficient }, 17},
		{"globe", "globe valve, full open", "", "schedule_40_equivalent_feet", func(f pipe.FittingLoss) float64 { return f.LengthOverDiameter }, 340},
		{"lift_check", "lift check valve", "", "hooper_1981", func(f pipe.FittingLoss) float64 { return f.KInfinity }, 10},
		{"diaphragm", "diaphragm valve", "", "darby_1999", func(f pipe.FittingLoss) float64 { return f.KD }, 4.9},
		{"plug", "gate, ball or plug valve, full line size", "", "hooper_1981", func(f pipe.FittingLoss) float64 { return f.K1 }, 300},
	} {
		found := slices.DeleteFunc(pipe.FittingLosses(), func(f pipe.FittingLoss) bool {
			return f.Type != c.kind || f.Description != c.description || f.Nominal != c.nominal || f.Source != c.source
		})
		if len(found) != 1 {
			t.Errorf("%s %s %q: %d rows", c.source, c.description, c.nominal, len(found))
			continue
		}
		if got := c.figure(found[0]); !within(got, c.want, 1e-12*c.want) {
			t.Errorf("%s %s %q: %g, printed %g", c.source, c.description, c.nominal, got, c.want)
		}
	}
}

// One code prints length, L/D and (elsewhere) bore: they must agree.
func TestScheduleFortyLengthsAreRatioTimesBore(t *testing.T) {
	bore := map[string]float64{} // in
	for _, r := range published(t, "published_bores.csv") {
		if r.Text("series") == "steel_schedule_40" {
			bore[r.Text("nominal")] = r.Number("published")
		}
	}
	rows := 0
	for _, f := range pipe.FittingLosses() {
		if f.Source != "irc_2018_a_2_2" {
			continue
		}
		rows++
		want := f.LengthOverDiameter * quantity.DiameterDimension.MustUnit("in").ToSI(bore[f.Nominal])
		if got := f.EquivalentLength.Metres(); !within(got, want, 0.012*want) {
			t.Errorf("%s %s: %g m, L/D times bore is %g m", f.Description, f.Nominal, got, want)
		}
	}
	if rows != 36 {
		t.Errorf("%d rows, want 36", rows)
	}
}

// Where a length falls with size the print itself does so, and its row says it.
func TestEquivalentLengthsRiseWithSize(t *testing.T) {
	type line struct {
		source      source.ID
		description string
	}
	last := map[line]pipe.FittingLoss{}
	falls := 0
	for _, f := range pipe.FittingLosses() {
		if f.Method != pipe.EquivalentLength {
			continue
		}
		key := line{f.Source, f.Description}
		if before, ok := last[key]; ok && f.EquivalentLength.Metres() < before.EquivalentLength.Metres() {
			falls++
			if f.Note == "" && before.Note == "" {
				t.Errorf("%s %s: falls from %s to %s", f.Source, f.Description, before.Nominal, f.Nominal)
			}
		}
		if before, ok := last[key]; ok && inches(t, f.Nominal) <= inches(t, before.Nominal) {
			t.Errorf("%s %s: size %s after %s", f.Source, f.Description, f.Nominal, before.Nominal)
		}
		last[key] = f
	}
	if falls != 3 {
		t.Errorf("%d lengths fall with size, want 3", falls)
	}
}

func inches(t *testing.T, nominal string) float64 {
	t.Helper()
	v, ok := pipe.NominalInches(nominal)
	if !ok {
		t.Fatalf("%q is no size in inches", nominal)
	}
	return v
}

func TestClosedListsOfTypes(t *testing.T) {
	withoutFigure := []string{"reducer", "union", "balancing", "thermostatic_balancing", "strainer"}
	seen := map[string]bool{}
	for _, kind := range slices.Concat(pipe.FittingTypes(), pipe.ValveTypes()) {
		if seen[kind] {
			t.Errorf("%s comes twice", kind)
		}
		seen[kind] = true
		printed := slices.ContainsFunc(pipe.FittingLosses(), func(f pipe.FittingLoss) bool { return f.Type == kind })
		if printed == slices.Contains(withoutFigure, kind) {
			t.Errorf("%s: has a figure %v", kind, printed)
		}
	}
	if f, v := len(pipe.FittingTypes()), len(pipe.ValveTypes()); f != 10 || v != 15 {
		t.Errorf("%d types of fittings and %d of valves, want 10 and 15", f, v)
	}
}

func TestFittingLossesGivesACopy(t *testing.T) {
	pipe.FittingLosses()[0].Type = "overwritten"
	if got := pipe.FittingLosses()[0].Type; got != "elbow_90" {
		t.Errorf("a caller can overwrite the table: %q", got)
	}
}
