package control

import (
	"errors"
	"math"
	"math/rand"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/calendar"
	"recirc/calc/quantity"
)

// A day of 48 slots of half an hour is small enough to try everything.
const (
	slots = 48
	slot  = 1800.0
)

// bestByTrying gives the least number of slots by trying every choice of draws and
// of gaps between them, painting each on a ring of slots, and looking at what is painted.
func bestByTrying(draws []int, before, after, wanted, most int) int {
	n, best := len(draws), math.MaxInt
	for chosen := range 1 << n {
		for bridged := range 1 << n {
			var ring [slots]bool
			for i, t := range draws {
				if chosen>>i&1 == 1 {
					paint(&ring, t-before, t+after)
				}
				if next := (i + 1) % n; bridged>>i&1 == 1 && chosen>>i&1 == 1 && chosen>>next&1 == 1 {
					to := draws[next]
					if next <= i {
						to += slots
					}
					paint(&ring, t, to)
				}
			}
			painted, windows, covered := look(&ring, draws, before, after)
			if covered >= wanted && (most == 0 || windows <= most) {
				best = min(best, painted)
			}
		}
	}
	return best
}

func paint(ring *[slots]bool, from, to int) {
	for i := from; i < to; i++ {
		ring[(i+2*slots)%slots] = true
	}
}

// look counts the slots painted, the windows and the draws that are covered with
// all of their time.
func look(ring *[slots]bool, draws []int, before, after int) (painted, windows, covered int) {
	for i, on := range ring {
		if on {
			painted++
			if !ring[(i+slots-1)%slots] {
				windows++
			}
		}
	}
	if painted == slots {
		windows = 1
	}
	for _, t := range draws {
		all := true
		for i := t - before; i < t+after; i++ {
			all = all && ring[(i+2*slots)%slots]
		}
		if all {
			covered++
		}
	}
	return painted, windows, covered
}

// TestLeastWindowsAgainstTryingAll: 600 invented days of up to 6 draws.
func TestLeastWindowsAgainstTryingAll(t *testing.T) {
	r := rand.New(rand.NewSource(6))
	for range 600 {
		draws := make([]int, 1+r.Intn(6))
		for i := range draws {
			draws[i] = r.Intn(slots)
		}
		slices.Sort(draws)
		before, after, most := r.Intn(5), 1+r.Intn(4), r.Intn(4)
		wanted := 1 + r.Intn(len(draws))
		times := make([]quantity.Duration, len(draws))
		for i, d := range draws {
			times[i] = quantity.Seconds(float64(d) * slot)
		}
		p, err := ProposeWindows(times, Wish{
			Type: calendar.Weekday, Before: quantity.Seconds(float64(before) * slot), After: quantity.Seconds(float64(after) * slot),
			Share: float64(wanted) / float64(len(draws)), Most: most,
		})
		if err != nil {
			t.Fatal(err)
		}
		want := float64(bestByTrying(draws, before, after, wanted, most)) * slot
		if math.Abs(p.RunTime.Seconds()-want) > 1e-6 {
			t.Fatalf("draws %v, %d before and %d after, %d of them in at most %d windows: %v s, least is %v s",
				draws, before, after, wanted, most, p.RunTime.Seconds(), want)
		}
	}
}

// What a proposal says of itself is true of its windows, on days of any length.
func TestProposalsKeepWhatTheySay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var draws []quantity.Duration
		for _, s := range rapid.SliceOfN(rapid.Float64Range(0, 86399), 1, 40).Draw(t, "draws") {
			draws = append(draws, quantity.Seconds(s))
		}
		w := Wish{
			Type: calendar.Weekend, Before: minutes(rapid.Float64Range(0, 90).Draw(t, "before")),
			After: minutes(rapid.Float64Range(0.1, 60).Draw(t, "after")),
			Share: rapid.Float64Range(0.01, 1).Draw(t, "share"), Most: rapid.IntRange(0, 5).Draw(t, "most"),
		}
		p, err := ProposeWindows(draws, w)
		if err != nil {
			t.Fatal(err)
		}
		if w.Most > 0 && len(p.Windows) > w.Most {
			t.Fatalf("%d windows, at most %d", len(p.Windows), w.Most)
		}
		if got := RunTime(p.Windows, w.Type); math.Abs(got.Seconds()-p.RunTime.Seconds()) > 1e-5 {
			t.Fatalf("%+v run %v s", p, got.Seconds())
		}
		share, ok := Coverage(p.Windows, w.Type, draws)
		if !ok || share < w.Share-1e-9 || float64(p.Covered) < w.Share*float64(len(draws))-1e-6 {
			t.Fatalf("%+v covers %v, wanted %v", p, share, w.Share)
		}
		s := Settings{Kind: Timer, Windows: p.Windows}
		if got := Check(s, Circumstances{Draws: DrawTimes{Weekend: draws}}); got != nil {
			t.Fatalf("%+v has findings %v", p, got)
		}
		more := w
		more.Share = rapid.Float64Range(w.Share, 1).Draw(t, "more")
		if q, err := ProposeWindows(draws, more); err != nil || q.RunTime.Seconds() < p.RunTime.Seconds()-1e-6 {
			t.Fatalf("a greater share runs less: %v, %v, %v", q, p, err)
		}
		slices.Reverse(draws)
		if again, err := ProposeWindows(draws, w); err != nil || !slices.Equal(again.Windows, p.Windows) {
			t.Fatalf("another order: %+v, %v", again, err)
		}
	})
}

func TestProposeWindowsRefuses(t *testing.T) {
	day := []quantity.Duration{clock(7, 0)}
	good := Wish{Type: calendar.Weekday, Before: minutes(30), After: minutes(10), Share: 1}
	many := make([]quantity.Duration, 5000)
	for i := range many {
		many[i] = quantity.Seconds(float64(i))
	}
	for name, c := range map[string]struct {
		draws  []quantity.Duration
		change func(*Wish)
	}{
		"no draws":      {nil, func(*Wish) {}},
		"next day":      {[]quantity.Duration{clock(24, 0)}, func(*Wish) {}},
		"no time":       {[]quantity.Duration{quantity.Seconds(math.NaN())}, func(*Wish) {}},
		"before":        {day, func(w *Wish) { w.Before = minutes(-1) }},
		"after":         {day, func(w *Wish) { w.After = quantity.Duration{} }},
		"share 0":       {day, func(w *Wish) { w.Share = 0 }},
		"share above 1": {day, func(w *Wish) { w.Share = 1.01 }},
		"share":         {day, func(w *Wish) { w.Share = math.NaN() }},
		"windows":       {day, func(w *Wish) { w.Most = -1 }},
		"work":          {many, func(*Wish) {}},
	} {
		w := good
		c.change(&w)
		var typed *RangeError
		if _, err := ProposeWindows(c.draws, w); !errors.As(err, &typed) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
