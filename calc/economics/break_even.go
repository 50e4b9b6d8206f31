package economics

import (
	"math"

	"recirc/calc/quantity"
)

// Line is a cost that is linear in a price: Fixed + Slope*price.
type Line struct{ Fixed, Slope float64 }

// At gives the cost at a price.
func (l Line) At(price float64) float64 { return l.Fixed + l.Slope*price }

// Range is where one of several costs is the least, ends included. A price may be
// below zero in it; what is possible is for the caller to say.
type Range struct {
	From, To           float64
	FromOpen, ToOpen   bool // there is no end on this side, and From or To says nothing
	BelowFrom, AboveTo int  // which of the costs is the least beyond the end; -1 if there is none
}

// LeastWithin gives the range of a price in which one cost is the least of all, or
// as little as another. The second result is false if there is no such price.
//
//	F_w + S_w p <= F_j + S_j p for every j
//
//	F, S  fixed cost and slope   money, money over price   -1e100 to 1e100
//	w     index of the one       1                         0 to number of costs - 1
//
// Differences below 1e-9 of the costs, and below 1e-60, count as none, since slopes
// that should be alike differ in their last bits.
//
// Errors: a [*quantity.RangeError].
func LeastWithin(costs []Line, w int) (Range, bool, error) {
	c := quantity.Checks{Operation: "economics.LeastWithin"}
	c.Between("w", float64(w), 0, float64(len(costs)-1), "1")
	for _, l := range costs {
		c.Between("F", l.Fixed, -greatestFlow, greatestFlow, "money")
		c.Between("S", l.Slope, -greatestFlow, greatestFlow, "1")
	}
	if c.Err != nil {
		return Range{}, false, c.Err
	}
	r := Range{FromOpen: true, ToOpen: true, BelowFrom: -1, AboveTo: -1}
	for j, other := range costs {
		if j == w {
			continue
		}
		fixed, slope := apart(other.Fixed, costs[w].Fixed), apart(costs[w].Slope, other.Slope)
		switch {
		case slope > 0:
			r.endAbove(fixed/slope+0, j, costs) // no -0
		case slope < 0:
			r.endBelow(fixed/slope+0, j, costs)
		case fixed < 0:
			return Range{}, false, nil // as steep, and dearer at every price
		}
	}
	if !r.FromOpen && !r.ToOpen && r.From > r.To {
		return Range{}, false, nil
	}
	return r, true, nil
}

// endAbove lowers the upper end. Of two that meet there the flatter is the least beyond.
func (r *Range) endAbove(price float64, j int, costs []Line) {
	if r.ToOpen || price < r.To || price == r.To && costs[j].Slope < costs[r.AboveTo].Slope {
		r.To, r.ToOpen, r.AboveTo = price, false, j
	}
}

// endBelow raises the lower end. Of two that meet there the steeper is the least beyond.
func (r *Range) endBelow(price float64, j int, costs []Line) {
	if r.FromOpen || price > r.From || price == r.From && costs[j].Slope > costs[r.BelowFrom].Slope {
		r.From, r.FromOpen, r.BelowFrom = price, false, j
	}
}

// apart gives a - b, and 0 if that is only rounding.
func apart(a, b float64) float64 {
	if math.Abs(a-b) <= max(1e-60, 1e-9*math.Abs(a), 1e-9*math.Abs(b)) {
		return 0
	}
	return a - b
}
