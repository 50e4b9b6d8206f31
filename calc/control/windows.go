package control

import (
	"recirc/calc/calendar"
	"recirc/calc/quantity"
)

// Wish is what the windows of a timer are to do.
type Wish struct {
	Type   calendar.DayType
	Before quantity.Duration // the pump runs so long before a draw
	After  quantity.Duration // and so long after it has begun
	Share  float64           // of the draws to be covered, at least
	Most   int               // windows of a day; 0 if there may be any number
}

// Proposal is a timer with the least run time.
type Proposal struct {
	Windows []Window          // by the time at which they begin
	RunTime quantity.Duration // a day
	Covered int               // draws that the windows are meant for; others may fall into them by chance
}

// ProposeWindows gives the windows of a timer that run least and cover a share of
// the draws of a day, which is taken to come again every day
//
//	least sum of the lengths, such that [t - before, t + after] lies in the windows
//	for at least share*n of the n times t
//
//	before  0 to 43200 s,  after  1 to 43200 s,  share  above 0, to 1
//
// The windows are a choice of gaps to cut: going from draw to draw, each is left
// out, or has a window of its own, or its window reaches on over the gap from the
// draw before. The cheapest choice is found exactly by dynamic programming, once
// with midnight as a cut and once with a window over midnight. The work grows
// with the distinct times, the wanted draws and the windows, and is bounded.
//
// The least time is exact. Where several ways take it, always the same is given.
//
// Errors: a [*RangeError].
//
// Source: dynamic programming, textbook.
func ProposeWindows(draws []quantity.Duration, w Wish) (Proposal, error) {
	if err := w.check(draws); err != nil {
		return Proposal{}, err
	}
	c := newChoice(draws, w)
	if states := len(c.times) * (c.wanted + 1) * (c.most + 1) * 2; states > maxStates {
		return Proposal{}, quantity.Between("control.ProposeWindows", "draws times wanted draws times windows", float64(states), 1, maxStates, "")
	}
	apart := c.solve(false)
	round := c.solve(true)
	if round.cost < apart.cost-rounding {
		return c.proposal(round, w), nil
	}
	return c.proposal(apart, w), nil
}

const maxStates = 8_000_000

func (w Wish) check(draws []quantity.Duration) error {
	const operation = "control.ProposeWindows"
	between := func(symbol string, v, low, high float64, unit string) error {
		return quantity.Between(operation, symbol, v, low, high, unit)
	}
	for _, err := range []error{
		between("before", w.Before.Seconds(), 0, longestTime/2, "s"), between("after", w.After.Seconds(), 1, longestTime/2, "s"),
		between("share", w.Share, 1e-9, 1, ""), between("windows", float64(w.Most), 0, MaxWindows, ""),
		between("draws", float64(len(draws)), 1, maxStates, ""),
	} {
		if err != nil {
			return err
		}
	}
	for _, t := range draws {
		if err := between("t", t.Seconds(), 0, longestTime-rounding, "s"); err != nil {
			return err
		}
	}
	return nil
}

// proposal makes windows of a way: each from before its first draw to after its last.
func (c *choice) proposal(w way, wish Wish) Proposal {
	p := Proposal{RunTime: quantity.Seconds(w.cost)}
	n := len(c.times)
	for i, step := range w.steps {
		if step != skips {
			p.Covered += c.weights[i]
		}
		if step != opens {
			continue
		}
		last := i
		for w.steps[(last+1)%n] == extends {
			last = (last + 1) % n
		}
		p.Windows = append(p.Windows, c.window(i, last, wish))
	}
	if w.cost >= calendar.SecondsOfDay-rounding {
		p.RunTime = quantity.Seconds(calendar.SecondsOfDay)
		p.Windows = []Window{{Type: wish.Type, To: p.RunTime}}
	}
	return p
}

// window is that of the draws from first to last, which may be past midnight.
func (c *choice) window(first, last int, wish Wish) Window {
	from, to := c.times[first]-wish.Before.Seconds(), c.times[last]+wish.After.Seconds()
	if from < 0 {
		from += calendar.SecondsOfDay
	}
	if from >= calendar.SecondsOfDay { // a hair before midnight, rounded
		from = 0
	}
	if to > calendar.SecondsOfDay {
		to -= calendar.SecondsOfDay
	}
	return Window{Type: wish.Type, From: quantity.Seconds(from), To: quantity.Seconds(to)}
}
