package year

import (
	"cmp"
	"math"
	"slices"
)

// Quantile gives the wait that a share of the draws, by their weights, does not
// exceed, and false if there are no draws. Draws that were given up are longer
// than all others.
//
//	share  0 to 1; 0.5 is the median
func (w Waits) Quantile(share float64) (s float64, ok bool) {
	sorted := slices.Clone(w)
	slices.SortStableFunc(sorted, func(a, b Wait) int {
		if a.Served != b.Served {
			if a.Served {
				return -1
			}
			return 1
		}
		return cmp.Compare(a.Seconds, b.Seconds)
	})
	total := 0.0
	for i := range sorted {
		total += sorted[i].Weight
	}
	if !(total > 0) {
		return 0, false
	}
	sum := 0.0
	for i := range sorted {
		sum += sorted[i].Weight
		if sorted[i].Weight > 0 && sum >= share*total*(1-1e-12) {
			return sorted[i].Seconds, true
		}
	}
	return sorted[len(sorted)-1].Seconds, true
}

// Within gives the share of the draws that are served within a time, by their weights,
// and false if there are no draws.
func (w Waits) Within(s float64) (share float64, ok bool) {
	served, total := 0.0, 0.0
	for i := range w {
		total += w[i].Weight
		if w[i].Served && w[i].Seconds <= s*(1+1e-12) {
			served += w[i].Weight
		}
	}
	if !(total > 0) {
		return 0, false
	}
	return served / total, true
}

// At lists the waits at one outlet.
func (w Waits) At(outlet int) Waits {
	var at Waits
	for i := range w {
		if w[i].Outlet == outlet {
			at = append(at, w[i])
		}
	}
	return at
}

// add adds the totals of a day by its weight.
func (t *Totals) add(d *Totals, w float64) {
	for i, p := range d.sums() {
		*t.sums()[i] += w * *p
	}
	t.Cold.Highest = max(t.Cold.Highest, d.Cold.Highest)
	t.Residual = math.Max(t.Residual, d.Residual)
}

// sums lists what adds up.
func (t *Totals) sums() []*float64 {
	return []*float64{
		&t.Draws, &t.Unserved, &t.HotDrawn, &t.RunToWaste, &t.HeatDrawn, &t.HeatWasted, &t.HeatCold,
		&t.Lost.Supply, &t.Lost.Return, &t.Lost.Cold, &t.Lost.Local,
		&t.LostSeason.Supply, &t.LostSeason.Return, &t.LostSeason.Cold, &t.LostSeason.Local,
		&t.HeaterHeat, &t.HeaterFlow, &t.ReturnVolume, &t.ReturnHeat, &t.ReturnKelvin,
		&t.TraceHeat, &t.LocalHeat, &t.PumpEnergy, &t.PumpHeat, &t.PumpTime, &t.PumpStarts,
		&t.Cold.Drawn, &t.Cold.Draws, &t.Cold.Volume, &t.Cold.Kelvin, &t.StoredChange,
	}
}
