package year

import "testing"

// TestArrangementsClose: the heat of every day closes to 1e-6, as the issue of
// this simulation asks.
func TestArrangementsClose(t *testing.T) {
	plan := months(morning(15))
	for name, s := range arrangements() {
		r := simulated(t, s, plan)
		for _, d := range r.Days {
			if !(d.Residual < 1e-6) {
				t.Errorf("%s, month %d %s: %g of the heat is missing", name, d.Month, d.Type, d.Residual)
			}
		}
	}
}
