package pipe_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/internal/table"
	"recirc/calc/pipe"
	"recirc/calc/quantity"
)

var (
	bothMethods = []pipe.LossMethod{pipe.LossCoefficient, pipe.EquivalentLength}
	everyType   = slices.Concat(pipe.FittingTypes(), pipe.ValveTypes())
)

// assessed is the tubes for which the table of testdata says every length there is.
func assessed(t *testing.T) []pipe.Tube {
	return []pipe.Tube{
		mustFind(t, "copper_type_l", "1/2"), mustFind(t, "copper_type_l", "3/4"), mustFind(t, "copper_type_l", "1"),
		mustFind(t, "pex_sdr9", "1/2"), mustFind(t, "pex_sdr9", "3/4"), mustFind(t, "pex_sdr9", "1"),
		mustFind(t, "steel_schedule_40", "3/4"), mustFind(t, "copper_en1057", "15x1"),
	}
}

func TestResistanceIsThePrintedFigure(t *testing.T) {
	for _, r := range published(t, "resistances.csv") {
		tubes := assessed(t)
		if series := r.Text("series"); series != "" {
			tubes = []pipe.Tube{mustFind(t, series, r.Text("nominal"))}
		}
		for _, tube := range tubes {
			got, ok := pipe.ResistanceOf(r.Text("type"), pipe.LossMethod(r.Text("by")), tube)
			if !ok {
				t.Errorf("%s: nothing for %s on %s %s", r.Text("id"), r.Text("type"), tube.Series, tube.Nominal)
				continue
			}
			k, length := printedResistance(t, r, tube.Bore)
			if !within(got.K, k, 1e-12*k) || !within(got.Length.Metres(), length, 1e-12*length) {
				t.Errorf("%s: %s on %s %s: K %g and %g m, want %g and %g m", r.Text("id"), r.Text("type"),
					tube.Series, tube.Nominal, got.K, got.Length.Metres(), k, length)
			}
			if string(got.Row.Source) != r.Text("source") || got.Row.Description != r.Text("description") || got.Row.Type != r.Text("type") {
				t.Errorf("%s: row %s, %s of %s", r.Text("id"), got.Row.Source, got.Row.Description, got.Row.Type)
			}
		}
	}
}

// printedResistance gives K or the length in m that a printed figure means in a bore.
func printedResistance(t *testing.T, r table.Row, bore quantity.Length) (k, length float64) {
	printed := r.Number("printed")
	switch unit := r.Text("unit"); unit {
	case "ft":
		return 0, quantity.LengthDimension.MustUnit("ft").ToSI(printed)
	case "length_over_diameter":
		return 0, printed * bore.Metres()
	case "loss_coefficient":
		return printed, 0
	case "k_infinity":
		return printed * (1 + 1/quantity.DiameterDimension.MustUnit("in").FromSI(bore.Metres())), 0
	default:
		t.Fatalf("%s: unit %q", r.Text("id"), unit)
		return 0, 0
	}
}

// What the table of testdata leaves out has no figure, and nothing takes its place.
func TestNoResistanceWhereNothingIsPrinted(t *testing.T) {
	type question struct {
		by, fitting, series, nominal string
	}
	printed := map[question]bool{}
	for _, r := range published(t, "resistances.csv") {
		printed[question{r.Text("by"), r.Text("type"), r.Text("series"), r.Text("nominal")}] = true
	}
	none := 0
	for _, tube := range assessed(t) {
		for _, fitting := range everyType {
			byK := printed[question{string(pipe.LossCoefficient), fitting, "", ""}]
			if got, ok := pipe.ResistanceOf(fitting, pipe.LossCoefficient, tube); ok != byK {
				t.Errorf("%s on %s %s: K %+v", fitting, tube.Series, tube.Nominal, got)
			}
			byLength := printed[question{string(pipe.EquivalentLength), fitting, tube.Series, tube.Nominal}]
			if got, ok := pipe.ResistanceOf(fitting, pipe.EquivalentLength, tube); ok != byLength {
				t.Errorf("%s on %s %s: length %+v", fitting, tube.Series, tube.Nominal, got)
			}
			if !byK && !byLength {
				none++
			}
		}
	}
	// Reducer, union, balancing, thermostatic_balancing, strainer and a small
	// coupling on all eight; check and compression_stop on 15x1.
	if none != 6*8+2 {
		t.Errorf("%d times nothing by either method, want %d", none, 6*8+2)
	}
}

func TestNoResistanceOfWhatIsUnknown(t *testing.T) {
	tube := mustFind(t, "copper_type_l", "3/4")
	for _, fitting := range []string{"", "elbow", "Elbow_90", "regular 90 elbow, threaded"} {
		for _, by := range bothMethods {
			if got, ok := pipe.ResistanceOf(fitting, by, tube); ok || got != (pipe.Resistance{}) {
				t.Errorf("%q by %s: %+v", fitting, by, got)
			}
		}
	}
	for _, by := range []pipe.LossMethod{"", pipe.TwoK, pipe.ThreeK, pipe.LengthOverDiameter} {
		if got, ok := pipe.ResistanceOf("elbow_90", by, tube); ok || got != (pipe.Resistance{}) {
			t.Errorf("by %q: %+v", by, got)
		}
	}
}

// A two-K figure and a length in bores need the bore.
func TestNoResistanceWithoutABore(t *testing.T) {
	for _, metres := range []float64{0, -0.02, 1e-320, math.NaN(), math.Inf(1)} {
		tube := pipe.Tube{Bore: quantity.Metres(metres)}
		if got, ok := pipe.ResistanceOf("elbow_90", pipe.LossCoefficient, tube); !ok || got.K != 1.5 {
			t.Errorf("bore %g m: K %g of a printed K of 1.5", metres, got.K)
		}
		k, okK := pipe.ResistanceOf("ball", pipe.LossCoefficient, tube)
		if okK && (math.IsInf(k.K, 0) || math.IsNaN(k.K) || k.K <= 0) {
			t.Errorf("bore %g m: K %g", metres, k.K)
		}
		l, okL := pipe.ResistanceOf("ball", pipe.EquivalentLength, tube)
		if okL && (math.IsInf(l.Length.Metres(), 0) || math.IsNaN(l.Length.Metres()) || l.Length.Metres() <= 0) {
			t.Errorf("bore %g m: length %g m", metres, l.Length.Metres())
		}
		if metres == 0 && (okK || okL) {
			t.Errorf("no bore: K %v, length %v", okK, okL)
		}
	}
}

// A caller's own tube has no nominal size: its lengths go by the bore.
func TestResistanceOnACallersOwnTube(t *testing.T) {
	own := pipe.Tube{Material: pipe.Copper, Bore: quantity.Millimetres(20)}
	got, ok := pipe.ResistanceOf("elbow_90", pipe.EquivalentLength, own)
	if !ok || !within(got.Length.Metres(), 0.6, 1e-12) || got.Row.Method != pipe.LengthOverDiameter {
		t.Errorf("elbow_90, L/D 30 in 20 mm: %g m by %s, want 0.6 m", got.Length.Metres(), got.Row.Method)
	}
	own.Nominal = "3/4" // of no known material: the longest of the size, 2.5 ft of threaded pipe
	own.Material = ""
	got, _ = pipe.ResistanceOf("elbow_90", pipe.EquivalentLength, own)
	if want := quantity.LengthDimension.MustUnit("ft").ToSI(2.5); !within(got.Length.Metres(), want, 1e-12) {
		t.Errorf("elbow_90 3/4 of no known material: %g m, want %g", got.Length.Metres(), want)
	}
}

// The policy against every row of the table: what is printed and what is chosen.
func TestChosenRowKeepsThePolicy(t *testing.T) {
	all := pipe.FittingLosses()
	for _, tube := range allTubes() {
		for _, fitting := range everyType {
			if got, ok := pipe.ResistanceOf(fitting, pipe.LossCoefficient, tube); ok {
				keepsCoefficientPolicy(t, all, got)
			}
			if got, ok := pipe.ResistanceOf(fitting, pipe.EquivalentLength, tube); ok {
				keepsLengthPolicy(t, all, tube, got)
			}
		}
	}
}

func keepsCoefficientPolicy(t *testing.T, all []pipe.FittingLoss, got pipe.Resistance) {
	if strings.Contains(got.Row.Description, "closed") || strings.Contains(got.Row.Joint, "flanged") {
		t.Errorf("%s: chosen %s (%s)", got.Row.Type, got.Row.Description, got.Row.Joint)
	}
	for _, f := range all {
		switch {
		case f.Type != got.Row.Type || strings.Contains(f.Description, "closed"):
		case f.Method == pipe.LossCoefficient && got.Row.Method != pipe.LossCoefficient:
			t.Errorf("%s: %s is chosen where K is printed", f.Type, got.Row.Method)
		case f.Method == pipe.LossCoefficient && f.LossCoefficient > got.K:
			t.Errorf("%s: K %g is chosen, %s has %g", f.Type, got.K, f.Description, f.LossCoefficient)
		case f.Method == pipe.TwoK && got.Row.Method == pipe.TwoK && f.KInfinity > got.Row.KInfinity:
			t.Errorf("%s: Kinf %g is chosen, %s has %g", f.Type, got.Row.KInfinity, f.Description, f.KInfinity)
		}
	}
}

func keepsLengthPolicy(t *testing.T, all []pipe.FittingLoss, tube pipe.Tube, got pipe.Resistance) {
	size, inInches := pipe.NominalInches(tube.Nominal)
	if got.Row.Method == pipe.EquivalentLength && (!inInches || inches(t, got.Row.Nominal) != size) {
		t.Errorf("%s on %s %s: row of size %s", got.Row.Type, tube.Series, tube.Nominal, got.Row.Nominal)
	}
	for _, f := range all {
		if f.Type != got.Row.Type || f.Method != pipe.EquivalentLength || !inInches || inches(t, f.Nominal) != size {
			continue
		}
		here, there := jointRank(tube.Material, got.Row), jointRank(tube.Material, f)
		if got.Row.Method != pipe.EquivalentLength || there < here ||
			there == here && f.EquivalentLength.Metres() > got.Length.Metres() {
			t.Errorf("%s on %s %s: %s (%s) is chosen before %s (%s)", f.Type, tube.Series, tube.Nominal,
				got.Row.Description, got.Row.Joint, f.Description, f.Joint)
		}
	}
}

// jointRank gives how well the printed joint fits, 0 best and 2 not at all.
func jointRank(m pipe.Material, f pipe.FittingLoss) int {
	best, second := f.Joint == "PVC/CPVC solvent weld", false
	switch m {
	case pipe.Copper:
		best, second = f.Joint == "copper tube, streamlined solder", strings.HasSuffix(f.Description, ", wrought")
	case pipe.SteelGalvanised, pipe.SteelStainless:
		best, second = f.Joint == "Schedule 40 screwed", f.Joint == "threaded pipe"
	}
	switch {
	case best:
		return 0
	case second:
		return 1
	}
	return 2
}

// A three-K row or a ratio of length would have to stand for K if a type had no other.
func TestEveryThreeKAndRatioHasAnotherRowForK(t *testing.T) {
	tube := mustFind(t, "copper_type_l", "3/4")
	for _, f := range pipe.FittingLosses() {
		if f.Method != pipe.ThreeK && f.Method != pipe.TwoK && f.Method != pipe.LengthOverDiameter && f.Method != pipe.LossCoefficient {
			continue
		}
		if _, ok := pipe.ResistanceOf(f.Type, pipe.LossCoefficient, tube); !ok {
			t.Errorf("%s has a row by %s and no K", f.Type, f.Method)
		}
	}
}

func TestResistanceIsOneFigureAboveZero(t *testing.T) {
	tubes := allTubes()
	rapid.Check(t, func(t *rapid.T) {
		tube := rapid.SampledFrom(tubes).Draw(t, "tube")
		if rapid.Bool().Draw(t, "own") {
			tube = pipe.Tube{Material: tube.Material, Bore: drawBore(t, "bore")}
		}
		fitting, by := rapid.SampledFrom(everyType).Draw(t, "type"), rapid.SampledFrom(bothMethods).Draw(t, "by")
		got, ok := pipe.ResistanceOf(fitting, by, tube)
		if !ok {
			if got != (pipe.Resistance{}) {
				t.Fatalf("false, and yet %+v", got)
			}
			return
		}
		k, length := got.K, got.Length.Metres()
		if k < 0 || length < 0 || (k > 0) != (by == pipe.LossCoefficient) || (length > 0) != (by == pipe.EquivalentLength) {
			t.Fatalf("%s by %s: K %g, length %g m", fitting, by, k, length)
		}
		if got.Row.Type != fitting || strings.Contains(got.Row.Description, "closed") {
			t.Fatalf("%s: row %s, %s", fitting, got.Row.Type, got.Row.Description)
		}
	})
}

func TestResistanceTakesNoMemory(t *testing.T) {
	tubes := assessed(t)
	if n := testing.AllocsPerRun(100, func() {
		for _, tube := range tubes {
			for _, by := range bothMethods {
				pipe.ResistanceOf("tee_branch", by, tube)
			}
		}
	}); n != 0 {
		t.Errorf("%g allocations", n)
	}
}

func BenchmarkResistanceOf(b *testing.B) {
	tube, _ := pipe.Find("copper_type_l", "1-1/4")
	for _, by := range bothMethods {
		b.Run(string(by), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				pipe.ResistanceOf("tee_branch", by, tube)
			}
		})
	}
}
