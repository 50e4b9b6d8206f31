package economics_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/economics"
)

// TestLeastWithinByHand: cheap and hungry, middling, dear and sparing.
func TestLeastWithinByHand(t *testing.T) {
	costs := []economics.Line{{0, 10}, {100, 5}, {400, 2}}
	for w, want := range []economics.Range{
		{To: 20, FromOpen: true, BelowFrom: -1, AboveTo: 1}, // 10 p = 100 + 5 p
		{From: 20, To: 100, BelowFrom: 0, AboveTo: 2},       // 100 + 5 p = 400 + 2 p
		{From: 100, ToOpen: true, BelowFrom: 1, AboveTo: -1},
	} {
		got, ever, err := economics.LeastWithin(costs, w)
		if err != nil || !ever || got != want {
			t.Errorf("%d: %+v, %v, %v, want %+v", w, got, ever, err, want)
		}
	}
}

func TestLeastWithinEdges(t *testing.T) {
	all := economics.Range{FromOpen: true, ToOpen: true, BelowFrom: -1, AboveTo: -1}
	for _, c := range []struct {
		what  string
		costs []economics.Line
		ever  bool
		want  economics.Range
	}{
		{"alone", []economics.Line{{5, 1}}, true, all},
		{"as steep and dearer", []economics.Line{{5, 1}, {4, 1}}, false, economics.Range{}},
		{"as steep and cheaper", []economics.Line{{4, 1}, {5, 1}}, true, all},
		{"alike", []economics.Line{{4, 1}, {4, 1}}, true, all},
		{"alike but for the last bits", []economics.Line{{4, 0.3}, {4, 0.1 + 0.2}}, true, all},
		{"between two that are always one cheaper", []economics.Line{{10, 1}, {0, 2}, {8, 0}}, false, economics.Range{}},
		{"three through one point", []economics.Line{{2, 2}, {4, 1}, {6, 0}}, true, economics.Range{To: 2, FromOpen: true, BelowFrom: -1, AboveTo: 2}},
		{"three through one point, from above", []economics.Line{{6, 0}, {4, 1}, {2, 2}}, true, economics.Range{From: 2, ToOpen: true, BelowFrom: 2, AboveTo: -1}},
	} {
		got, ever, err := economics.LeastWithin(c.costs, 0)
		if err != nil || ever != c.ever || got != c.want {
			t.Errorf("%s: %+v, %v, %v", c.what, got, ever, err)
		}
	}
}

// TestLeastWithinHolds: within the range no other costs less, beyond an end the one
// named does.
func TestLeastWithinHolds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		costs := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) economics.Line {
			return economics.Line{Fixed: float64(rapid.IntRange(0, 1000).Draw(t, "fixed")), Slope: float64(rapid.IntRange(0, 50).Draw(t, "slope"))}
		}), 1, 6).Draw(t, "costs")
		w := rapid.IntRange(0, len(costs)-1).Draw(t, "w")
		price := rapid.Float64Range(-500, 500).Draw(t, "price")
		least := math.Inf(1)
		for _, c := range costs {
			least = min(least, c.At(price))
		}
		r, ever, err := economics.LeastWithin(costs, w)
		if err != nil {
			t.Fatal(err)
		}
		const clear = 1e-3 // of an end
		inside := ever && (r.FromOpen || price >= r.From) && (r.ToOpen || price <= r.To)
		outside := !ever || !r.FromOpen && price < r.From-clear || !r.ToOpen && price > r.To+clear
		if over := costs[w].At(price) - least; inside && over > 1e-6 || outside && over == 0 {
			t.Fatalf("%+v, %v: at %g it is %g over the least", r, ever, price, over)
		}
		if ever && !r.FromOpen && !(costs[r.BelowFrom].At(r.From-1) < costs[w].At(r.From-1)) || ever && !r.ToOpen && !(costs[r.AboveTo].At(r.To+1) < costs[w].At(r.To+1)) {
			t.Fatalf("%+v: the one named beyond the end does not cost less", r)
		}
	})
}

// TestCostIsLinearInAPrice: the line from the yearly factor is the present cost.
func TestCostIsLinearInAPrice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := studies(t)
		e := escalations(t)
		use, price := rapid.Float64Range(0, 5000).Draw(t, "use"), rapid.Float64Range(0, 2).Draw(t, "price")
		a := &economics.Alternative{Investment: []economics.Dated{{Amount: 900}}, Energy: []economics.Yearly{{Amount: use * price, Escalation: e}}}
		line := economics.Line{Fixed: 900, Slope: use * must(s.YearlyFactor(e))}
		near(t, "present cost", must(s.LifeCycle(a)).NetPresentCost, line.At(price), 1e-12)
	})
}

func TestLeastWithinRefuses(t *testing.T) {
	one := []economics.Line{{1, 1}, {2, 2}}
	for what, c := range map[string]struct {
		costs []economics.Line
		w     int
	}{
		"no costs": {nil, 0}, "no such cost": {one, 2}, "below": {one, -1},
		"no number": {[]economics.Line{{math.NaN(), 1}}, 0}, "infinite": {[]economics.Line{{1, 1}, {1, math.Inf(1)}}, 0},
	} {
		_, _, err := economics.LeastWithin(c.costs, c.w)
		wantRangeError(t, what, err)
	}
}
