package control

import (
	"cmp"
	"math"
	"slices"
	"sort"

	"recirc/calc/calendar"
)

// schedule says when a pump may run: open intervals that come again with a
// period. They are sorted, none touches another, each begins within the period
// and ends at most a period later.
type schedule struct {
	period float64 // s
	open   []interval
	always bool
}

// interval is the time from and including from, up to and without to.
type interval struct{ from, to float64 }

// newSchedule lays the windows of a timer on days that come again in this order.
func newSchedule(windows []Window, days []calendar.DayType) schedule {
	s := schedule{period: float64(len(days)) * calendar.SecondsOfDay}
	var open []interval
	for i, d := range days {
		for _, w := range windows {
			if w.Type == d {
				midnight := float64(i) * calendar.SecondsOfDay
				open = append(open, interval{midnight + w.From.Seconds(), midnight + w.end()})
			}
		}
	}
	slices.SortFunc(open, func(a, b interval) int { return cmp.Or(cmp.Compare(a.from, b.from), cmp.Compare(a.to, b.to)) })
	s.open, s.always = joinOnce(open), false
	s.joinRound()
	return s
}

// newCycle is the schedule of a duty cycle.
func newCycle(on, off float64) schedule {
	switch {
	case off == 0:
		return schedule{always: true}
	case on == 0:
		return schedule{period: off}
	}
	return schedule{period: on + off, open: []interval{{0, on}}}
}

// joinOnce joins sorted intervals that touch.
func joinOnce(sorted []interval) []interval {
	var joined []interval
	for _, i := range sorted {
		if n := len(joined); n > 0 && i.from <= joined[n-1].to {
			joined[n-1].to = max(joined[n-1].to, i.to)
			continue
		}
		joined = append(joined, i)
	}
	return joined
}

// joinRound joins what runs past the end of the period with what is at its
// beginning.
func (s *schedule) joinRound() {
	for len(s.open) > 0 {
		last := &s.open[len(s.open)-1]
		first := s.open[0]
		if last.to < first.from+s.period {
			return
		}
		if len(s.open) == 1 {
			s.open, s.always = nil, true
			return
		}
		last.to = max(last.to, first.to+s.period)
		s.open = s.open[1:]
	}
}

// at gives the end of the interval that a time lies in, and false outside.
func (s schedule) at(t float64) (end float64, open bool) {
	if s.always {
		return math.Inf(1), true
	}
	for begin := range s.around(t) {
		if i := s.begun(begin, t) - 1; i >= 0 && t < begin+s.open[i].to {
			return begin + s.open[i].to, true
		}
	}
	return 0, false
}

// next gives the next time after t at which an interval begins or ends, and
// infinity if none does.
func (s schedule) next(t float64) float64 {
	next := math.Inf(1)
	for begin := range s.around(t) {
		i := s.begun(begin, t)
		if i > 0 && begin+s.open[i-1].to > t {
			next = min(next, begin+s.open[i-1].to)
		}
		if i < len(s.open) {
			next = min(next, begin+s.open[i].from)
		}
	}
	return next
}

// begun counts the intervals of a period that have begun by a time.
func (s schedule) begun(begin, t float64) int {
	return sort.Search(len(s.open), func(i int) bool { return begin+s.open[i].from > t })
}

// around gives the beginnings of the period that a time lies in and of its
// neighbours: an interval may have begun before, and a quotient may be rounded.
func (s schedule) around(t float64) func(func(float64) bool) {
	return func(yield func(float64) bool) {
		k := math.Floor(t / s.period)
		for _, step := range [3]float64{-1, 0, 1} {
			if !yield((k + step) * s.period) {
				return
			}
		}
	}
}

// openShare is the part of the time that the pump may run.
func (s schedule) openShare() float64 {
	if s.always {
		return 1
	}
	sum := 0.0
	for _, i := range s.open {
		sum += i.to - i.from
	}
	return sum / s.period
}
