package service

import (
	"cmp"
	"math"
	"slices"

	"recirc/calc/arrival"
	"recirc/calc/quantity"
	"recirc/calc/year"
)

// WaitDistribution is the waits of draws at which somebody waits.
type WaitDistribution struct {
	Draws, NotServed float64
	Median, Tenth    *quantity.Duration // 50th and 90th percentile; nil where that draw is not served
	Longest          *quantity.Duration // of those served
	Within           []ServedWithin
}

// ServedWithin is the share of draws served within a wait.
type ServedWithin struct {
	Wait  quantity.Duration
	Share float64
}

// WaterBalance is the water drawn.
type WaterBalance struct {
	HotDrawn, RunToWaste quantity.Volume
	Lukewarm             *LukewarmCold
}

// LukewarmCold is cold water that comes warm.
type LukewarmCold struct {
	Volume  quantity.Volume
	Mean    quantity.Temperature // zero where nothing came
	Highest quantity.Temperature // zero where nothing came
}

// HeatBalance is heat above mains.
type HeatBalance struct {
	Heater, Pump, Trace, Local                      quantity.Energy
	Drawn, RunToWaste                               quantity.Energy
	LostSupply, LostReturn, LostColdLine, LostLocal quantity.Energy
	Stored                                          quantity.Energy
}

// Lost is all that the surroundings take.
func (h *HeatBalance) Lost() quantity.Energy {
	return quantity.Joules(h.LostSupply.Joules() + h.LostReturn.Joules() + h.LostColdLine.Joules() + h.LostLocal.Joules())
}

// balanceOf sums up the heat of some time.
func balanceOf(t *year.Totals) HeatBalance {
	j := quantity.Joules
	return HeatBalance{
		Heater: j(t.HeaterHeat), Pump: j(t.PumpHeat), Trace: j(t.TraceHeat), Local: j(t.LocalHeat),
		Drawn: j(t.HeatDrawn + t.HeatCold), RunToWaste: j(t.HeatWasted),
		LostSupply: j(t.Lost.Supply), LostReturn: j(t.Lost.Return), LostColdLine: j(t.Lost.Cold), LostLocal: j(t.Lost.Local),
		Stored: j(t.StoredChange),
	}
}

// waterOf sums up the water of some time; cold lines tells whether any carries water
// back.
func waterOf(t *year.Totals, coldLines bool) WaterBalance {
	w := WaterBalance{HotDrawn: quantity.CubicMetres(t.HotDrawn), RunToWaste: quantity.CubicMetres(t.RunToWaste)}
	if coldLines {
		w.Lukewarm = &LukewarmCold{Volume: quantity.CubicMetres(t.Cold.Volume), Highest: quantity.Kelvin(t.Cold.Highest)}
		if t.Cold.Volume > 0 {
			w.Lukewarm.Mean = quantity.Kelvin(t.Cold.Kelvin / t.Cold.Volume)
		}
	}
	return w
}

// usualWithin are the waits within which draws count as served where none is given:
// the ends of the published wait classes.
func usualWithin() []quantity.Duration {
	var ends []quantity.Duration
	for _, c := range arrival.WaitClasses() {
		if !math.IsInf(c.UpTo.Seconds(), 1) && c.UpTo.Seconds() > 0 {
			ends = append(ends, c.UpTo)
		}
	}
	return ends
}

// distributionOf sums up waits. They are sorted here.
func distributionOf(waits year.Waits, within []quantity.Duration) WaitDistribution {
	slices.SortFunc(waits, func(a, b year.Wait) int {
		if a.Served != b.Served {
			return map[bool]int{true: -1, false: 1}[a.Served]
		}
		return cmp.Or(cmp.Compare(a.Seconds, b.Seconds), cmp.Compare(a.Weight, b.Weight))
	})
	var d WaitDistribution
	for _, w := range waits {
		d.Draws += w.Weight
		if !w.Served {
			d.NotServed += w.Weight
		}
	}
	d.Median, d.Tenth = percentile(waits, 0.5*d.Draws), percentile(waits, 0.9*d.Draws)
	for i := len(waits) - 1; i >= 0; i-- {
		if w := waits[i]; w.Served && w.Weight > 0 {
			longest := quantity.Seconds(w.Seconds)
			d.Longest = &longest
			break
		}
	}
	for _, t := range within {
		d.Within = append(d.Within, ServedWithin{t, servedShare(waits, t.Seconds(), d.Draws)})
	}
	return d
}

// percentile is the wait of sorted waits up to which a weight of draws lies; nil
// where that draw is not served, or there is none.
func percentile(waits year.Waits, weight float64) *quantity.Duration {
	sum := 0.0
	for _, w := range waits {
		if sum += w.Weight; sum >= weight*(1-1e-12) && w.Weight > 0 {
			if !w.Served {
				return nil
			}
			t := quantity.Seconds(w.Seconds)
			return &t
		}
	}
	return nil
}

func servedShare(waits year.Waits, seconds, all float64) float64 {
	if all == 0 {
		return 0
	}
	sum := 0.0
	for _, w := range waits {
		if w.Served && w.Seconds <= seconds*(1+1e-9) {
			sum += w.Weight
		}
	}
	return min(1, sum/all)
}
