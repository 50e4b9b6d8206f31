package control

import (
	"cmp"
	"slices"

	"recirc/calc/calendar"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

// ChanceSource is where the generator of chance is published.
const ChanceSource source.ID = "splitmix64_2014"

// Triggers gives the times at which an on-demand pump is triggered, sorted: Lead
// before every draw that is announced, and at 0 if that is before the simulation.
// days are the times of the draws since midnight, day after day.
//
// Whether a draw is announced is chance, and the same for the same seed: the
// n-th draw by time has the n-th number of the generator, and is announced if
// that number is below the probability. So a higher probability announces the
// same draws and more.
func Triggers(d Demand, days [][]quantity.Duration) []quantity.Duration {
	var triggers []quantity.Duration
	n := uint64(0)
	for day, draws := range days {
		sorted := slices.Clone(draws)
		slices.SortFunc(sorted, bySeconds)
		for _, t := range sorted {
			if chance(d.Seed, n) < d.Probability {
				at := float64(day)*calendar.SecondsOfDay + t.Seconds() - d.Lead.Seconds()
				triggers = append(triggers, quantity.Seconds(max(0, at)))
			}
			n++
		}
	}
	slices.SortFunc(triggers, bySeconds)
	return triggers
}

func bySeconds(a, b quantity.Duration) int { return cmp.Compare(a.Seconds(), b.Seconds()) }

// chance gives the n-th number of a seed, at least 0 and below 1.
func chance(seed, n uint64) float64 { return float64(splitmix(seed, n)>>11) / (1 << 53) }

// splitmix gives the n-th number, from 0, of the generator SplitMix64: a count in
// steps of the odd number next to 2^64 over the golden ratio, mixed.
//
// Source: Steele, Lea and Flood 2014, with the mix by Stafford (variant 13).
func splitmix(seed, n uint64) uint64 {
	z := seed + (n+1)*0x9e3779b97f4a7c15
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}
