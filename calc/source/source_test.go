package source_test

import (
	"regexp"
	"slices"
	"testing"

	"recirc/calc/source"
)

func TestIDsAreUniqueSnakeCaseAndSorted(t *testing.T) {
	snake := regexp.MustCompile(`^[a-z][a-z0-9]*(_[a-z0-9]+)*$`)
	var last source.ID
	for _, s := range source.All() {
		if !snake.MatchString(string(s.ID)) {
			t.Errorf("%q is not snake_case", s.ID)
		}
		if s.ID <= last {
			t.Errorf("%q after %q: twice, or out of order", s.ID, last)
		}
		last = s.ID
	}
}

func TestKindsAndStatusesAreOfTheClosedLists(t *testing.T) {
	kinds := []string{"standard", "code", "programme", "handbook", "textbook", "article", "data_collection", "practice"}
	for _, s := range source.All() {
		if !slices.Contains(kinds, s.Kind) {
			t.Errorf("%s: kind %q", s.ID, s.Kind)
		}
		if s.Status != source.Verified && s.Status != source.Memory {
			t.Errorf("%s: status %q", s.ID, s.Status)
		}
		if s.Title == "" {
			t.Errorf("%s has no title", s.ID)
		}
		if s.Kind == "practice" && s.Status == source.Verified {
			t.Errorf("%s: a practice has no page that it was read on", s.ID)
		}
	}
}

// The ids that other packages write down as text, so that one taken out of the
// table is missed here, where it was taken out.
func TestCitedSourcesAreRegistered(t *testing.T) {
	for _, id := range []source.ID{
		"ipc_607_2", "ipc_607_2_2009", "irc_p2905_3", "nspc_10_15_2", "iecc_c404_5", "iecc_c404_5_1", "iecc_c404_5_2",
		"watersense_new_home_3_3", "leed_v4_homes_eac2", "w_551_2004", "sans_10252_1", "uk_water_regulations_guidance",
		"aspe_dwh_performance", "burn_time_leaflet", "hse_l8_hsg274_2", "nist_sp_811", "geometry", "common_practice", "plug_flow",
	} {
		if s, ok := source.Find(id); !ok || s.ID != id {
			t.Errorf("%s: found %v, %q", id, ok, s.ID)
		}
	}
}

func TestFindKnowsEverySourceAndNoOther(t *testing.T) {
	for _, want := range source.All() {
		if got, ok := source.Find(want.ID); !ok || got != want {
			t.Errorf("%s: found %v, %+v", want.ID, ok, got)
		}
	}
	if got, ok := source.Find("astm_b89"); ok || got != (source.Source{}) {
		t.Errorf("unknown id: %v, %+v", ok, got)
	}
}

func TestAllGivesACopy(t *testing.T) {
	source.All()[0].Title = "overwritten"
	if source.All()[0].Title == "overwritten" {
		t.Error("a caller can overwrite the registry")
	}
}
