package control

import (
	"math"
	"slices"

	"recirc/calc/calendar"
	"recirc/calc/quantity"
)

// choice is which draws windows cover and which gaps they bridge.
type choice struct {
	times   []float64 // s, rising, each once
	weights []int     // draws at each time
	own     float64   // s, length of a window for one draw
	wanted  int       // draws to be covered
	most    int       // windows; 0 for any number
}

// step is what is done about a draw.
type step uint8

const (
	skips   step = iota // it is left out
	extends             // the window of the draw before reaches on to it
	opens               // it has a window of its own
)

// way is a whole choice.
type way struct {
	cost  float64 // s, the lengths of the windows; infinite if there is no such way
	steps []step
}

func newChoice(draws []quantity.Duration, w Wish) *choice {
	c := &choice{own: w.Before.Seconds() + w.After.Seconds(), most: w.Most}
	sorted := slices.Clone(draws)
	slices.SortFunc(sorted, bySeconds)
	for _, d := range sorted {
		t := d.Seconds()
		if n := len(c.times); n > 0 && c.times[n-1] == t {
			c.weights[n-1]++
			continue
		}
		c.times, c.weights = append(c.times, t), append(c.weights, 1)
	}
	c.wanted = int(math.Ceil(w.Share*float64(len(draws)) - 1e-9))
	return c
}

// gap is the time from the draw before, for the first that over midnight.
func (c *choice) gap(i int) float64 {
	if i == 0 {
		return c.times[0] + calendar.SecondsOfDay - c.times[len(c.times)-1]
	}
	return c.times[i] - c.times[i-1]
}

// state is where a walk along the draws stands: still to be covered, windows
// left, and whether the draw before is in a window.
type state struct {
	need, left int
	in         bool
}

// costs are the least costs of the rest of the walk by state, before one draw.
type costs []float64

func (c *choice) states() int { return (c.wanted + 1) * (c.most + 1) * 2 }

func (c *choice) index(s state) int {
	i := (s.need*(c.most+1) + s.left) * 2
	if s.in {
		i++
	}
	return i
}

// covering is the state after draw i is covered.
func (c *choice) covering(i int, s state) state {
	s.need, s.in = max(0, s.need-c.weights[i]), true
	return s
}

// solve finds the cheapest way. Round: the last draw's window reaches over
// midnight to the first draw.
//
//	V_i(need, left, in) = least of V_i+1(need, left, out)                        skip draw i
//	                      gap_i + V_i+1(need - weight_i, left, in)      if in    extend
//	                      own + V_i+1(need - weight_i, left - 1, in)             open
func (c *choice) solve(round bool) way {
	n, size := len(c.times), c.states()
	steps := make([]step, n*size)
	rest, next := make(costs, size), make(costs, size)
	for i := range rest { // behind the last draw
		rest[i] = math.Inf(1)
	}
	for left := range c.most + 1 {
		rest[c.index(state{0, left, true})] = 0
		if !round {
			rest[c.index(state{0, left, false})] = 0
		}
	}
	begin, first := state{need: c.wanted, left: c.most}, 0
	w := way{steps: make([]step, n)}
	if round {
		begin, first = c.covering(0, begin), 1
		w.cost, w.steps[0] = c.gap(0), extends
	}
	for i := n - 1; i >= first; i-- {
		c.back(i, rest, next, steps[i*size:(i+1)*size])
		rest, next = next, rest
	}
	w.cost += rest[c.index(begin)]
	if math.IsInf(w.cost, 1) {
		return w
	}
	s := begin
	for i := first; i < n; i++ {
		w.steps[i] = steps[i*size+c.index(s)]
		s = c.after(i, s, w.steps[i])
	}
	return w
}

// back goes back over one draw: it works out its costs and its steps.
func (c *choice) back(i int, rest, least costs, steps []step) {
	for need := range c.wanted + 1 {
		for left := range c.most + 1 {
			for _, in := range [2]bool{false, true} {
				s := state{need, left, in}
				k := c.index(s)
				least[k] = rest[c.index(c.after(i, s, skips))]
				if in {
					if v := c.gap(i) + rest[c.index(c.after(i, s, extends))]; v <= least[k] {
						least[k], steps[k] = v, extends
					}
				}
				if c.most == 0 || left > 0 {
					if v := c.own + rest[c.index(c.after(i, s, opens))]; v < least[k] {
						least[k], steps[k] = v, opens
					}
				}
			}
		}
	}
}

// after is the state that a step leads to.
func (c *choice) after(i int, s state, by step) state {
	switch by {
	case extends:
		return c.covering(i, s)
	case opens:
		s.left = max(0, s.left-1)
		return c.covering(i, s)
	}
	s.in = false
	return s
}
