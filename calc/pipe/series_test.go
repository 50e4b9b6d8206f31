package pipe_test

import (
	"slices"
	"strings"
	"testing"

	"recirc/calc/pipe"
)

func TestSeriesAreSortedAndComplete(t *testing.T) {
	last := ""
	for _, s := range pipe.AllSeries() {
		if s.ID <= last {
			t.Errorf("%q after %q: twice, or out of order", s.ID, last)
		}
		last = s.ID
		if s.Title == "" || s.Standard == "" {
			t.Errorf("%s: title %q, standard %q", s.ID, s.Title, s.Standard)
		}
		if !slices.Contains(pipe.Materials(), s.Material) {
			t.Errorf("%s: material %q", s.ID, s.Material)
		}
		if !slices.Contains([]string{"inch", "mm", "dn"}, s.NominalSystem) {
			t.Errorf("%s: nominal system %q", s.ID, s.NominalSystem)
		}
		if got, ok := pipe.FindSeries(s.ID); !ok || got != s {
			t.Errorf("%s: found %v, %+v", s.ID, ok, got)
		}
		if len(pipe.Tubes(s.ID)) == 0 {
			t.Errorf("%s has no tubes", s.ID)
		}
	}
}

func TestEveryMaterialHasASeries(t *testing.T) {
	for _, m := range pipe.Materials() {
		if !slices.ContainsFunc(pipe.AllSeries(), func(s pipe.Series) bool { return s.Material == m }) {
			t.Errorf("no series of %s", m)
		}
	}
}

func TestTubesHaveTheBoreBasisOfTheirSeries(t *testing.T) {
	for _, s := range pipe.AllSeries() {
		if s.BoreBasis == pipe.Given || s.BoreBasis == pipe.OutsideLessWalls || !slices.Contains(pipe.BoreBases(), s.BoreBasis) {
			t.Errorf("%s: bore basis %q is not of a catalogue", s.ID, s.BoreBasis)
		}
		if strings.HasSuffix(s.ID, "_min_wall") && s.BoreBasis != pipe.MinimumWall {
			t.Errorf("%s: bore basis %q", s.ID, s.BoreBasis)
		}
		for _, tube := range pipe.Tubes(s.ID) {
			if tube.BoreBasis != s.BoreBasis || tube.Material != s.Material || tube.Series != s.ID {
				t.Errorf("%s %s: %s, %s, %s", s.ID, tube.Nominal, tube.Series, tube.Material, tube.BoreBasis)
			}
		}
	}
}

func TestUnknownSeries(t *testing.T) {
	for _, id := range []string{"", "copper", "COPPER_TYPE_L", "copper_type_l "} {
		if got, ok := pipe.FindSeries(id); ok || got != (pipe.Series{}) {
			t.Errorf("%q: found %v, %+v", id, ok, got)
		}
	}
}

func TestAllSeriesGivesACopy(t *testing.T) {
	pipe.AllSeries()[0].ID = "overwritten"
	if got := pipe.AllSeries()[0].ID; got == "overwritten" {
		t.Error("a caller can overwrite the catalogue")
	}
}

func TestNearSeries(t *testing.T) {
	for name, want := range map[string]string{
		"coper_type_l":          "copper_type_l",
		"Copper Type L":         "copper_type_l",
		"type_m_copper":         "copper_type_m",
		"coppertypek":           "copper_type_k",
		"PEX-SDR-9":             "pex_sdr9",
		"pex_sdr9_minimum_wall": "pex_sdr9_min_wall",
		"cpvc_sch_40":           "cpvc_schedule_40",
		"steel_shedule_40":      "steel_schedule_40",
		"stainless":             "stainless_en10312_series_1",
	} {
		near := pipe.NearSeries(name)
		if len(near) == 0 || len(near) > 5 || near[0] != want {
			t.Errorf("%q: %q, want at most five, %s first", name, near, want)
		}
	}
}

func TestNearSeriesOffersNothingFarOff(t *testing.T) {
	for _, name := range []string{"", "xyz", "überflurhydrant", strings.Repeat("q", 1<<20)} {
		if near := pipe.NearSeries(name); len(near) != 0 {
			t.Errorf("%.20q: %q", name, near)
		}
	}
}

func TestNearSeriesIsDeterministic(t *testing.T) {
	want := []string{"copper_en1057", "copper_type_k", "copper_type_l", "copper_type_m", "copper_b88m_type_a"}
	for range 20 {
		if got := pipe.NearSeries("copper"); !slices.Equal(got, want) {
			t.Fatalf("%q, want %q", got, want)
		}
	}
}
