package draw

import (
	"slices"

	"recirc/calc/quantity"
)

// Timeline gives the draws of a day sorted by time, those of one time by
// fixture, and no two at once at one fixture.
//
// Draws that overlap at one fixture are run one after the other, as one tap
// would, and become one draw: it begins with the first and has the volume of
// both, its length is the sum of theirs and its flow lies between their flows. A
// draw that begins as another ends stays its own. A draw may run past midnight;
// it is not compared with those of the next day.
//
// fixtures is how many fixtures there are.
//
// Errors: a [*FaultError] with every fault; also if all draws of one fixture
// take longer than a day.
func Timeline(events []Event, fixtures int) ([]Event, error) {
	var faults FaultError
	faults.events(events, fixtures)
	if err := faults.err(); err != nil {
		return nil, err
	}
	sorted := slices.Clone(events)
	inTime(sorted)
	merged := make([]Event, 0, len(sorted))
	last := map[int]int{} // by fixture, its latest draw in merged
	for _, e := range sorted {
		if i, ok := last[e.Fixture]; ok && e.at() < merged[i].end() {
			merged[i] = joined(merged[i], e)
			if merged[i].lasts() > longest {
				faults.add("fixture", e.Fixture, LastsTooLong, "its draws take longer than a day")
				return nil, faults.err()
			}
			continue
		}
		last[e.Fixture] = len(merged)
		merged = append(merged, e)
	}
	return merged, nil
}

// joined runs two draws one after the other.
func joined(a, b Event) Event {
	volume := a.Volume.CubicMetres() + b.Volume.CubicMetres()
	a.Flow = quantity.CubicMetresPerSecond(volume / (a.lasts() + b.lasts()))
	a.Volume = quantity.CubicMetres(volume)
	if a.Use != b.Use {
		a.Use = ""
	}
	return a
}

// Scale changes every volume in one ratio so that a day draws a wanted volume.
// Flows stay, so the draws become longer or shorter.
//
// Errors: a [*FaultError], also if a draw would then last longer than a day; a
// [*RangeError] for a volume that no building draws.
func Scale(events []Event, daily quantity.Volume) ([]Event, error) {
	if err := quantity.Between("draw.Scale", "V", daily.CubicMetres(), 1e-9, greatestVolume, "m3"); err != nil {
		return nil, err
	}
	var faults FaultError
	faults.events(events, -1)
	if len(events) == 0 {
		faults.add("", -1, NothingToShare, "no draw can be made larger")
	}
	if err := faults.err(); err != nil {
		return nil, err
	}
	ratio := daily.CubicMetres() / Total(events).CubicMetres()
	scaled := slices.Clone(events)
	for i := range scaled {
		scaled[i].Volume = quantity.CubicMetres(scaled[i].Volume.CubicMetres() * ratio)
	}
	faults.events(scaled, -1)
	return scaled, faults.err()
}
