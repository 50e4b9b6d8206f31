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
		y := &r.Year
		median, _ := r.Waits.Quantile(0.5)
		p90, _ := r.Waits.Quantile(0.9)
		steady, warm := 0, 0
		for _, d := range r.Days {
			if d.Steady {
				steady++
			}
			warm += d.WarmUp
		}
		t.Logf("%-18s heater %6.0f lost %6.0f (s %.0f r %.0f c %.0f l %.0f) drawn %6.0f wasted %5.0f kWh, waste %5.2f m3, hot %5.1f, wait %4.1f %5.1f, unserved %g, pump %5.0f h %6.0f starts, back %.1f m3 %.1f C, trace %.0f local %.0f, luke %.2f m3 high %.1f; resid %.1e steady %d warm %d work %d", name,
			y.HeaterHeat/3.6e6, y.Lost.Sum()/3.6e6, y.Lost.Supply/3.6e6, y.Lost.Return/3.6e6, y.Lost.Cold/3.6e6, y.Lost.Local/3.6e6, y.HeatDrawn/3.6e6, y.HeatWasted/3.6e6, y.RunToWaste, y.HotDrawn, median, p90, y.Unserved, y.PumpTime/3600, y.PumpStarts, y.ReturnVolume, y.ReturnKelvin/y.ReturnVolume-273.15, y.TraceHeat/3.6e6, y.LocalHeat/3.6e6, y.Cold.Volume, y.Cold.Highest-273.15, y.Residual, steady, warm, r.Work)
	}
}
