package draw

import (
	"cmp"
	"slices"

	"recirc/calc/quantity"
)

// Fixture is an outlet that draws are given to.
type Fixture struct {
	ID    string        // names it among the others
	Share float64       // of the day's volume, in any unit; 0 takes nothing
	Uses  []Use         // what it is used for; none if only its share counts
	Flow  quantity.Flow // at which it draws; zero leaves the flow of the draw
}

// Bounds of a spread, which looks at pairs of draws and of fixtures.
const (
	MaxSpreadEvents   = 1000
	MaxSpreadFixtures = 10_000
	maxSpreadPairs    = 2_000_000 // draws times fixtures
	greatestShare     = 1e12
)

// Spread gives every draw to a fixture, and the draws as [Timeline] sorts them.
//
// A draw with a use goes to the fixtures that have this use, if any has; any
// other draw may go to every fixture. Among those the volumes of a day come as near
// to the shares as they can: the largest draws are dealt first, each to the
// fixture that lacks most, and then draws are moved and exchanged as long as that
// lessens
//
//	sum over the fixtures of (volume - share*total)^2
//
// Without uses no fixture has more than its share and the largest draw. Whole draws cannot
// meet shares exactly, and a fixture whose share is small may get none; the
// best of all ways is found mostly and not always.
//
// The result does not depend on the order of draws or fixtures: what is alike is
// decided by the fixtures' ids. Chance has no part in it.
//
// Errors: a [*FaultError] with every fault.
func Spread(events []Event, fixtures []Fixture) ([]Event, error) {
	var faults FaultError
	faults.events(events, -1)
	faults.fixtures(fixtures)
	switch {
	case len(events) > MaxSpreadEvents:
		faults.add("", -1, TooMany, "at most %d draws can be spread, not %d", MaxSpreadEvents, len(events))
	case len(events)*len(fixtures) > maxSpreadPairs:
		faults.add("", -1, TooMany, "%d draws over %d fixtures are too many", len(events), len(fixtures))
	}
	if err := faults.err(); err != nil {
		return nil, err
	}
	d := newDeal(events, fixtures)
	d.largestFirst()
	d.improve()
	spread := make([]Event, len(d.draws))
	for i, e := range d.draws {
		place := d.places[d.at[i]]
		e.Fixture = place
		if q := fixtures[place].Flow; q.CubicMetresPerSecond() > 0 {
			e.Flow = q
		}
		spread[i] = e
	}
	return Timeline(spread, len(fixtures))
}

func (e *FaultError) fixtures(fixtures []Fixture) {
	if len(fixtures) > MaxSpreadFixtures {
		e.add("", -1, TooMany, "draws are spread over at most %d fixtures, not %d", MaxSpreadFixtures, len(fixtures))
		return
	}
	sum, seen := 0.0, map[string]bool{}
	for i, f := range fixtures {
		switch q := f.Flow.CubicMetresPerSecond(); {
		case !finite(f.Share) || !finite(q):
			e.add("fixture", i, NotFinite, "the share or the flow is no finite number")
		case f.Share < 0:
			e.add("fixture", i, ShareNegative, "the share is %.6g, below zero", f.Share)
		case f.Share > greatestShare || q > greatestFlow:
			e.add("fixture", i, TooLarge, "the share is %.6g, the flow %.6g m3/s; one is too large", f.Share, q)
		case q < 0:
			e.add("fixture", i, FlowNotPositive, "the flow is %.6g m3/s, below zero", q)
		default:
			sum += f.Share
		}
		if seen[f.ID] {
			e.add("fixture", i, FixtureTwice, "the id %.40q is taken", f.ID)
		}
		seen[f.ID] = true
		for _, u := range f.Uses {
			if u == "" || !u.known() {
				e.add("fixture", i, UseUnknown, "there is no use %.40q", u)
			}
		}
	}
	if !(sum > 0) {
		e.add("", -1, NothingToShare, "no fixture has a share above zero")
	}
}

// deal is a spread being made. Draws are sorted by falling volume, fixtures by id.
type deal struct {
	draws  []Event
	places []int     // of the fixtures with a share, by id, in the caller's list
	may    [][]int   // by draw, the fixtures that it may go to
	at     []int     // by draw, the fixture that has it
	over   []float64 // by fixture, volume less share*total; below zero it lacks
	least  float64   // an improvement below this is rounding
}

func newDeal(events []Event, fixtures []Fixture) *deal {
	d := &deal{draws: slices.Clone(events), at: make([]int, len(events))}
	for i := range d.draws {
		d.draws[i].Fixture = 0 // whatever it was
	}
	inTime(d.draws)
	slices.SortStableFunc(d.draws, func(a, b Event) int {
		return cmp.Compare(b.Volume.CubicMetres(), a.Volume.CubicMetres())
	})
	shares := 0.0
	for i, f := range fixtures {
		if f.Share > 0 {
			d.places = append(d.places, i)
		}
	}
	slices.SortFunc(d.places, func(a, b int) int { return cmp.Compare(fixtures[a].ID, fixtures[b].ID) })
	all, of := make([]int, len(d.places)), map[Use][]int{}
	for k, place := range d.places {
		all[k] = k
		shares += fixtures[place].Share
		for _, u := range Uses() {
			if slices.Contains(fixtures[place].Uses, u) {
				of[u] = append(of[u], k)
			}
		}
	}
	total := Total(d.draws).CubicMetres()
	d.least = 1e-12 * total * total
	for _, place := range d.places {
		d.over = append(d.over, -total*(fixtures[place].Share/shares))
	}
	for _, e := range d.draws {
		may := of[e.Use]
		if len(may) == 0 {
			may = all
		}
		d.may = append(d.may, may)
	}
	return d
}

func (d *deal) volume(i int) float64 { return d.draws[i].Volume.CubicMetres() }

// largestFirst gives each draw to the fixture that lacks most.
func (d *deal) largestFirst() {
	for i := range d.draws {
		to := d.may[i][0]
		for _, k := range d.may[i] {
			if d.over[k] < d.over[to] {
				to = k
			}
		}
		d.at[i] = to
		d.over[to] += d.volume(i)
	}
}
