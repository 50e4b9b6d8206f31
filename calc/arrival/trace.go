package arrival

import (
	"math"
	"slices"
)

// trace is the temperature at the outlet: one sample for each slug, taken when
// its middle leaves, and the times between which it runs without a jump.
type trace struct {
	time, temperature []float64
	breaks            []float64 // ascending, the first is 0
	first             float64   // temperature at t = 0
	initialEnds       float64   // when the initial water is out
	initialHigh, high float64   // of all temperatures there are, without and with the inlet's; the lowest is 0
}

// piece lists the samples from one break to the next.
func (tr *trace) piece(i int) (from, to int, start, end float64) {
	start, end = tr.breaks[i], math.Inf(1)
	if i+1 < len(tr.breaks) {
		end = tr.breaks[i+1]
	}
	from, _ = slices.BinarySearch(tr.time, start)
	to, _ = slices.BinarySearch(tr.time, end)
	return from, to, start, end
}

// jumpsWithin reports a break between two times.
func (tr *trace) jumpsWithin(from, to float64) bool {
	i, _ := slices.BinarySearch(tr.breaks, to)
	return i > 0 && tr.breaks[i-1] > from
}

// reach finds when the temperature first comes up to a threshold.
func (tr *trace) reach(threshold float64) (float64, bool) {
	if tr.first >= threshold {
		return 0, true
	}
	for i := range tr.breaks {
		from, to, start, end := tr.piece(i)
		if from == to {
			continue
		}
		t, value := start, tr.line(from, to, from, start)
		if i == 0 {
			value = tr.first
		}
		if value >= threshold {
			return start, true
		}
		for j := from; j < to; j++ {
			if tr.temperature[j] >= threshold {
				return crossing(t, value, tr.time[j], tr.temperature[j], threshold), true
			}
			t, value = tr.time[j], tr.temperature[j]
		}
		if math.IsInf(end, 1) {
			continue
		}
		if last := tr.line(from, to, to-1, end); last >= threshold {
			return crossing(t, value, end, last, threshold), true
		}
	}
	return 0, false
}

// at is the temperature at a time, after the jump if it jumps there.
func (tr *trace) at(t float64) float64 {
	if !(t > 0) {
		return tr.first
	}
	i, ok := slices.BinarySearch(tr.breaks, t)
	if !ok {
		i--
	}
	from, to, _, _ := tr.piece(i)
	for from == to && i > 0 {
		i--
		from, to, _, _ = tr.piece(i)
	}
	if from == to {
		return tr.first
	}
	j, _ := slices.BinarySearch(tr.time[from:to], t)
	return tr.line(from, to, from+j, t)
}

// line is the temperature at a time next to sample i, on the straight line
// through two samples of one piece. Outside the samples it goes on to the jump,
// by half a cell or, beside a slug of both sides, one and a half; but not beyond
// what is possible, nor beyond the last sample of all.
func (tr *trace) line(from, to, i int, t float64) float64 {
	switch {
	case to-from < 2:
		return tr.temperature[from]
	case to == len(tr.time) && t > tr.time[to-1]:
		return tr.temperature[to-1]
	}
	i = min(max(i, from+1), to-1)
	share := (t - tr.time[i-1]) / (tr.time[i] - tr.time[i-1])
	value := tr.temperature[i-1] + share*(tr.temperature[i]-tr.temperature[i-1])
	high := tr.high
	if tr.time[i] < tr.initialEnds && len(tr.breaks) > 1 {
		high = tr.initialHigh
	}
	return math.Min(math.Max(value, 0), high)
}

// crossing is when a line between two points comes up to a value.
func crossing(t0, v0, t1, v1, value float64) float64 {
	return t0 + (t1-t0)*(value-v0)/(v1-v0)
}
