package api_test

import (
	"net/http"
	"strings"
	"testing"
)

// TestDrawPatternsAsPrinted reads patterns over the wire: energies stay in the kWh of
// print, whatever the unit system; litres are those of the gallons of print.
func TestDrawPatternsAsPrinted(t *testing.T) {
	server := newServer(t)
	const cfr, eu = `"us_cfr_430_appendix_e"`, `"eu_812_2013"`
	for _, row := range []struct{ query, holds, from string }{
		{"pattern=us_low", `"total_volume":{"value":143.846,"unit":"L"}`, "10 CFR 430 Appendix E, Table III.2: 38 gal"},
		{"pattern=us_low&unit_system=us_customary", `"total_volume":{"value":38,"unit":"gal"}`, "the same"},
		{"pattern=us_low&unit_system=us_customary", `"draws":[{"at":{"value":0,"unit":"s"},"volume":{"value":15,"unit":"gal"},"flow":{"value":1.7,"unit":"gal/min"}}`, "the same, draw 1"},
		{"pattern=eu_m", `"total_energy":{"value":5.845,"unit":"kWh"}`, "Regulation (EU) 812/2013, Annex VII, Table 3: Qref of M"},
		{"pattern=eu_m&unit_system=us_customary", `"total_energy":{"value":5.845,"unit":"kWh"}`, "the same"},
		{"pattern=eu_m&unit_system=us_customary", `"draws":[{"at":{"value":25200,"unit":"s"},"energy":{"value":0.105,"unit":"kWh"},"flow":{"value":0.792516,"unit":"gal/min"},"counts_from":{"value":77,"unit":"degF"},"use":"small"}`,
			"the same, draw 1: 07:00, 0.105 kWh, 3 L/min, 25 degC"},
		{"pattern=us_low", `"sources":[` + cfr + `]`, "it names no uses"},
		{"pattern=eu_xs", `"sources":[` + eu + `]`, "its draws are large, which is no use"},
		{"pattern=eu_m", `"sources":["en_16147",` + eu + `]`, "the uses are those of EN 16147"},
		{"", `"sources":["en_16147",` + eu + `,"eu_814_2013",` + cfr + `]`, "all"},
	} {
		got := get(server, "/v1/draw-patterns?"+row.query)
		if got.status != http.StatusOK || !strings.Contains(string(got.body), row.holds) {
			t.Errorf("%s: status %d, without %s (%s): %.700s", row.query, got.status, row.holds, row.from, got.body)
		}
	}
}
