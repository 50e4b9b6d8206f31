package pipe_test

import (
	"slices"
	"strings"
	"testing"

	"recirc/calc/pipe"
	"recirc/calc/source"
)

// Rows per series of the reference, and the three series that follow from
// others: cpvc_schedule_40, pert_sdr9 and pe_al_pe.
func TestEveryTubeOfTheReferenceIsThere(t *testing.T) {
	want := map[string]int{
		"copper_b88m_type_a": 8, "copper_b88m_type_b": 8, "copper_b88m_type_c": 8,
		"copper_en1057": 15, "copper_en1057_table_x": 10, "copper_en1057_table_y": 8,
		"copper_nf_dtu_60_11": 1, "copper_type_k": 13, "copper_type_l": 13, "copper_type_m": 11,
		"cpvc_cts_sdr11": 6, "cpvc_cts_sdr11_is15778": 6, "cpvc_cts_sdr13_5_is15778": 6, "cpvc_nf_dtu_60_11": 1,
		"cpvc_schedule_40": 7, "cpvc_schedule_40_min_wall": 7,
		"multilayer_metric": 7, "pe_al_pe": 8, "pert_sdr9": 7, "pert_sdr9_min_wall": 7,
		"pex_al_pex": 8, "pex_al_pex_trade_list": 4, "pex_nf_dtu_60_11": 1, "pex_sdr9": 8, "pex_sdr9_min_wall": 8,
		"ppr_sdr11": 6, "ppr_sdr6": 6, "ppr_sdr7_4": 6,
		"stainless_en10312_series_1": 8, "stainless_en10312_series_2": 11,
		"steel_nf_dtu_60_11": 1, "steel_schedule_40": 10,
	}
	total := 0
	for id, n := range want {
		if got := len(pipe.Tubes(id)); got != n {
			t.Errorf("%s has %d tubes, want %d", id, got, n)
		}
		total += n
	}
	if got := len(allTubes()); got != total || len(pipe.AllSeries()) != len(want) {
		t.Errorf("%d tubes in %d series, want %d in %d", got, len(pipe.AllSeries()), total, len(want))
	}
	if derived := want["cpvc_schedule_40"] + want["pert_sdr9"] + want["pe_al_pe"]; total-derived != 212 {
		t.Errorf("%d rows of the reference, want 212", total-derived)
	}
}

func TestDimensionsOfEveryTubeAgree(t *testing.T) {
	for _, tube := range allTubes() {
		name := tube.Series + " " + tube.Nominal
		outside, wall, bore := millimetres(tube.OutsideDiameter), millimetres(tube.Wall), millimetres(tube.Bore)
		if bore <= 0 || bore >= outside {
			t.Errorf("%s: bore %g mm in an outside diameter of %g mm", name, bore, outside)
		}
		if wall <= 0 || wall >= outside/2 {
			t.Errorf("%s: wall %g mm in an outside diameter of %g mm", name, wall, outside)
		}
		if !within(bore, outside-2*wall, 0.03) {
			t.Errorf("%s: bore %g mm, outside diameter less two walls is %g mm", name, bore, outside-2*wall)
		}
		if outside < 6 || outside > 120 {
			t.Errorf("%s: outside diameter %g mm is not of a building's hot-water pipe", name, outside)
		}
	}
}

func TestEveryTubeNamesItsSourceAndStatus(t *testing.T) {
	for _, tube := range allTubes() {
		name := tube.Series + " " + tube.Nominal
		s, ok := source.Find(tube.Source)
		if !ok {
			t.Errorf("%s: source %q is not registered", name, tube.Source)
		}
		if tube.Status != source.Verified && tube.Status != source.Memory {
			t.Errorf("%s: status %q", name, tube.Status)
		}
		if s.Status == source.Memory && tube.Status == source.Verified {
			t.Errorf("%s was read in %s, which nobody has read", name, s.ID)
		}
	}
}

// Where one outside diameter comes with two walls, the thicker one follows and
// its bore is smaller; that is so in copper_en1057 and nowhere else.
func TestBoresRiseWithOutsideDiameter(t *testing.T) {
	twoWalls := map[string]int{}
	for _, s := range pipe.AllSeries() {
		tubes := pipe.Tubes(s.ID)
		for i := 1; i < len(tubes); i++ {
			a, b := tubes[i-1], tubes[i]
			switch {
			case a.OutsideDiameter == b.OutsideDiameter:
				twoWalls[s.ID]++
				if a.Wall.Metres() >= b.Wall.Metres() || a.Bore.Metres() <= b.Bore.Metres() {
					t.Errorf("%s: %s before %s", s.ID, a.Nominal, b.Nominal)
				}
			case a.OutsideDiameter.Metres() > b.OutsideDiameter.Metres():
				t.Errorf("%s: outside diameter falls from %s to %s", s.ID, a.Nominal, b.Nominal)
			case a.Bore.Metres() >= b.Bore.Metres():
				t.Errorf("%s: bore does not rise from %s to %s", s.ID, a.Nominal, b.Nominal)
			}
		}
	}
	if len(twoWalls) != 1 || twoWalls["copper_en1057"] != 6 {
		t.Errorf("outside diameters with two walls: %v, want 6 in copper_en1057", twoWalls)
	}
}

func TestFindKnowsEveryTubeOnce(t *testing.T) {
	seen := map[[2]string]bool{}
	for _, want := range allTubes() {
		key := [2]string{want.Series, want.Nominal}
		if seen[key] {
			t.Errorf("%v comes twice", key)
		}
		seen[key] = true
		if got, ok := pipe.Find(want.Series, want.Nominal); !ok || got != want {
			t.Errorf("%v: found %v, %+v", key, ok, got)
		}
	}
	for _, key := range [][2]string{{"", ""}, {"copper_type_l", ""}, {"copper_type_l", "0.75"}, {"copper_type_L", "3/4"}, {"copper_type_l", " 3/4"}, {"copper_type_m", "1/4"}, {"pex_sdr9", "15x1"}} {
		if got, ok := pipe.Find(key[0], key[1]); ok || got != (pipe.Tube{}) {
			t.Errorf("%v: found %v, %+v", key, ok, got)
		}
	}
}

func TestFindAllocatesNothing(t *testing.T) {
	series, nominal := strings.Clone("copper_en1057_table_x"), strings.Clone("66.7")
	if n := testing.AllocsPerRun(100, func() { pipe.Find(series, nominal) }); n != 0 {
		t.Errorf("%g allocations, want none", n)
	}
}

func TestNominalsAreThoseOfTheTubes(t *testing.T) {
	if got, want := pipe.Nominals("pex_sdr9"), []string{"3/8", "1/2", "5/8", "3/4", "1", "1-1/4", "1-1/2", "2"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	if got := pipe.Nominals("pex"); len(got) != 0 {
		t.Errorf("unknown series: %q", got)
	}
}

func TestTubesGivesACopy(t *testing.T) {
	pipe.Tubes("pex_sdr9")[0].Nominal = "overwritten"
	if got := pipe.Tubes("pex_sdr9")[0].Nominal; got != "3/8" {
		t.Errorf("a caller can overwrite the catalogue: %q", got)
	}
}

// The three series that follow from others are what they say they are.
func TestSeriesThatFollowFromOthers(t *testing.T) {
	const halfTolerance = 0.010 * 25.4 // mm, ASTM F441, memory
	for _, mean := range pipe.Tubes("cpvc_schedule_40") {
		least := mustFind(t, "cpvc_schedule_40_min_wall", mean.Nominal)
		if !within(millimetres(mean.Wall), millimetres(least.Wall)+halfTolerance, 0.001) || mean.OutsideDiameter != least.OutsideDiameter {
			t.Errorf("cpvc_schedule_40 %s: wall %g mm over a minimum of %g mm", mean.Nominal, millimetres(mean.Wall), millimetres(least.Wall))
		}
	}
	for series, of := range map[string]string{"pert_sdr9": "pex_sdr9", "pert_sdr9_min_wall": "pex_sdr9_min_wall", "pe_al_pe": "pex_al_pex"} {
		for _, tube := range pipe.Tubes(series) {
			same := mustFind(t, of, tube.Nominal)
			if tube.OutsideDiameter != same.OutsideDiameter || tube.Wall != same.Wall || tube.Bore != same.Bore {
				t.Errorf("%s %s differs from %s", series, tube.Nominal, of)
			}
			if tube.Status != source.Memory {
				t.Errorf("%s %s: status %s, want memory", series, tube.Nominal, tube.Status)
			}
		}
	}
}
