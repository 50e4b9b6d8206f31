package service_test

import (
	"math"
	"slices"
	"testing"

	"recirc/calc/quantity"
	"recirc/calc/rule"
	"recirc/service"
)

// TestDesignCheckCases: what practitioners reported and asked, by the ids of
// cases.json. Each line is a design in the words of designOf and what a rule is to say.
func TestDesignCheckCases(t *testing.T) {
	retail := "fixture=public_lavatory_faucet branch=36ft flow=0.5gal/min building=commercial "
	cases := []struct {
		id, design, rule string
		want             rule.Status
	}{
		// G01: 36 ft of 1/2 in to a public lavatory passes 50 ft and fails 2 ft.
		{"G01", retail, "ipc_607_2", rule.Met},
		{"G01", retail, "iecc_c404_5_1_length", rule.NotMet},
		{"G01", retail, "aspe_marginal", rule.NotMet}, // 52 s by plug flow at 0.5 gal/min
		{"G01", "fixture=public_lavatory_faucet branch=6.8ft flow=0.5gal/min", "aspe_acceptable", rule.NotAssessed},
		{"G01", "fixture=public_lavatory_faucet branch=7ft flow=0.5gal/min", "aspe_acceptable", rule.NotMet}, // 6.9 ft is 10 s
		// G03: 64 fl oz are 52 ft of 1/2 in PEX and 41 ft of type L; the table says 43.
		{"G03", "series=pex_sdr9 branch=50ft", "iecc_c404_5_1_length", rule.NotMet},
		{"G03", "series=pex_sdr9 branch=50ft", "iecc_c404_5_2_volume", rule.Met},
		{"G03", "branch=42ft", "iecc_c404_5_1_length", rule.Met},
		{"G03", "branch=42ft", "iecc_c404_5_2_volume", rule.NotMet},
		{"G03", "nominal=3/4 branch=20ft", "iecc_c404_5_1_length", rule.Met},
		{"G03", "nominal=3/4 branch=20ft", "iecc_c404_5_2_volume", rule.NotMet}, // 19.9 ft
		// G05: 1/2 in of k 0.27 on 3/4 in copper is; bare pipe depends on size and place.
		{"G05", "nominal=3/4 insulation=0.5in@0.27", "iecc_residential_r3", rule.NotMet},
		{"G05", "nominal=3/4 insulation=0.57in@0.27", "iecc_residential_r3", rule.Met},
		{"G05", "nominal=3/4 insulation=0 place=conditioned", "irc_n1103_5_2_size", rule.NotMet},
		{"G05", "nominal=1/2 insulation=0 place=conditioned", "irc_n1103_5_2_size", ""},
		{"G05", "nominal=1/2 insulation=0 place=unconditioned", "irc_n1103_5_2_place", rule.NotMet},
		{"G05", "nominal=3/4 insulation=0", "irc_n1103_5_2_size", rule.NotAssessed},
		// G07: 4 L are 27.6 m of 0.145 L/m.
		{"G07", "bore=13.587mm branch=27.5m", "sans_10252_1_4_litres", rule.Met},
		{"G07", "bore=13.587mm branch=27.7m", "sans_10252_1_4_litres", rule.NotMet},
		// G09: 12 m of 22 mm keeps the length and misses the time at 6 L/min.
		{"G09", "tube=22x0.9mm branch=12m insulation=0", "uk_uninsulated_length", rule.Met},
		{"G09", "tube=22x0.9mm branch=12m insulation=0", "uk_g18_4_time", rule.NotMet},
		// I01: with a mixing valve the return goes to the heater and to the cold port.
		{"I01", "return=yes outlet=140degF mixing=120degF join=both", "practice_return_joins_both", rule.Met},
		{"I01", "return=yes outlet=140degF mixing=120degF join=mixing_valve", "practice_return_joins_both", rule.NotMet},
		// I03: floors by country.
		{"I03", "return=yes outlet=60degC return_temperature=52degC", "hse_return", rule.Met},
		{"I03", "return=yes outlet=60degC return_temperature=52degC health_care=yes", "hse_return_health_care", rule.NotMet},
		{"I03", "return=yes outlet=60degC return_temperature=52degC storage_volume=500L", "w551_drop", rule.NotMet},
		{"I03", "return=yes return_temperature=124degF health_care=yes", "ashrae_guideline_12_return", rule.Met},
		{"I03", "return=yes lowest_loop_temperature=50.5degC", "nf_dtu_60_11_loop", rule.Met},
		{"I03", "return=yes outlet=60degC", "hse_return", rule.NotAssessed}, // only the store is known
		// I05: a store of 150 degF needs a device against scalding.
		{"I05", "outlet=150degF fixture=shower limiting_device=no", "practice_scald_protection", rule.NotMet},
		// F01: an aquastat at or above the steady return never stops the pump.
		{"F01", "return=yes outlet=120degF return_temperature=110degF control=aquastat aquastat=90degF-100degF", "practice_aquastat_stop", rule.Met},
		{"F01", "return=yes outlet=120degF return_temperature=110degF control=aquastat aquastat=100degF-110degF", "practice_aquastat_stop", rule.NotMet},
		// F02: an aquastat hotter than the tank.
		{"F02", "return=yes outlet=130degF control=aquastat aquastat=180degF-190degF", "practice_aquastat_stop", rule.NotMet},
		{"F02", "return=yes outlet=130degF control=aquastat aquastat=100degF-110degF", "practice_aquastat_stop", rule.Met},
		// C01, C05: a crossover warms the cold line, and passes water without the pump.
		{"C01", "return_path=cold_line cold_line_temperature=100degF", "ipc_607_2_1_2", rule.Met},
		{"C01", "return_path=cold_line", "practice_crossover_cold_line", rule.NotMet},
		{"C05", "return_path=cold_line control=timer crossover_closes_at=95degF", "practice_crossover_closed_valves", rule.NotMet},
		// C02: no check valve on the return.
		{"C02", "return=yes", "practice_check_valve", rule.NotMet},
		{"C02", "return=yes", "upc_606_9", rule.NotMet},
		{"C02", "return=yes ret_valve=swing_check", "practice_check_valve", rule.Met},
		// C06: crossovers at mixing fittings of a building.
		{"C06", "return=yes check_stops_at_mixers=no", "practice_check_stops", rule.NotMet},
		// Common practice without a published source: 50 ft, check valve, cold feed.
		{"practice", "branch=50ft", "practice_50_ft", rule.Met},
		{"practice", "branch=50.1ft", "practice_50_ft", rule.NotMet},
		{"practice", "return=yes return_joins_cold_feed=no", "practice_return_to_cold_feed", rule.NotMet},
	}
	for _, c := range cases {
		var got rule.Status
		for _, f := range mustCheck(t, designOf(t, c.design)).Findings {
			if f.Rule.ID == c.rule {
				got = f.Status
			}
		}
		if got != c.want {
			t.Errorf("%s, %s: %s is %q, want %q", c.id, c.design, c.rule, got, c.want)
		}
	}
}

// TestDesignCheckOfMixedSizes (G07): behind 6 m of 22 mm with 0.320 L/m there are
// 14.3 m of 15 mm with 0.145 L/m left of 4 L.
func TestDesignCheckOfMixedSizes(t *testing.T) {
	for length, want := range map[float64]rule.Status{14.3: rule.Met, 14.4: rule.NotMet} {
		r := designOf(t, "bore=13.587mm")
		wide := r.System.Pipes[0]
		wide.ID, wide.To = "wide", "tee"
		wide.Length, wide.Tube.Bore = quantity.Metres(6), quantity.Metres(math.Sqrt(0.320e-3*4/math.Pi))
		r.System.Pipes[0].From, r.System.Pipes[0].Length = "tee", quantity.Metres(length)
		r.System.Pipes = append(r.System.Pipes, wide)
		r.Sets = []string{"sans_10252_1"}
		if f := mustCheck(t, r).Findings[0]; f.Status != want {
			t.Errorf("%v m: %s (%s)", length, f.Status, f.Detail)
		}
	}
}

// TestDesignCheckShowsClashes (G01, G03): two codes, and two methods of one code, disagree; both
// verdicts stay.
func TestDesignCheckShowsClashes(t *testing.T) {
	r := designOf(t, "fixture=public_lavatory_faucet branch=36ft building=commercial")
	r.Sets = []string{"ipc_2018", "iecc_commercial_2015"}
	c := clashOf(t, r, "dead_leg")
	if c.Kind != service.DocumentsClash || c.Met[0].ID != "ipc_607_2" || c.NotMet[0].ID != "iecc_c404_5_1_length" || !slices.Equal(c.Elements, []string{"/system/fixtures/0"}) {
		t.Errorf("%+v", c)
	}
	r = designOf(t, "branch=42ft building=commercial")
	r.Sets = []string{"iecc_commercial_2015"}
	if c := clashOf(t, r, "dead_leg"); c.Kind != service.MethodsClash || c.Met[0].Method != rule.ByLengthTable || c.NotMet[0].Method != rule.ByVolume {
		t.Errorf("%+v", c)
	}
}

func clashOf(t *testing.T, r *service.DesignCheckRequest, topic string) service.Clash {
	t.Helper()
	clashes := mustCheck(t, r).Clashes
	i := slices.IndexFunc(clashes, func(c service.Clash) bool { return c.Topic == topic })
	if i < 0 {
		t.Fatalf("no clash about %s among %+v", topic, clashes)
	}
	return clashes[i]
}
