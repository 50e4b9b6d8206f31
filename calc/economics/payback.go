package economics

import (
	"math"

	"recirc/calc/quantity"
)

// PaybackState says whether and how an investment comes back.
type PaybackState string

// The states.
const (
	Reached   PaybackState = "reached"   // it comes back after some years
	Never     PaybackState = "never"     // it does not within the years
	Immediate PaybackState = "immediate" // nothing is to come back: the sum is never below zero
)

// Payback is when savings have paid an investment back.
type Payback struct {
	State PaybackState
	Years float64 // until the sum first comes up to zero, after it was below; if it is reached

	// Lasts says that the sum ends at zero or above. From Lasting years on it
	// stays there: later than Years if a replacement takes the sum below zero
	// again. Lasting is 0 if the sum was never below.
	Lasts   bool
	Lasting float64
}

// PaybackOf gives when the running sum of savings by year comes up to zero. It is
// interpolated within a year, as if savings came evenly over it.
//
//	F  savings of the year, the first at the base date, less what was invested   money   1 to 101 of them
//
// Undiscounted savings give the simple payback, those of [Discounted] the
// discounted one. With equal savings every year the simple one is the investment
// over the savings of a year. An alternative that is cheaper at first and dearer
// at last is never paid back; until when it is ahead, the running sum tells.
//
// Errors: a [*quantity.RangeError].
//
// Source: NIST Handbook 135, simple and discounted payback, from memory.
func PaybackOf(savings []float64) (Payback, error) {
	c := quantity.Checks{Operation: "economics.PaybackOf"}
	checkFlows(&c, savings)
	if c.Err != nil {
		return Payback{}, c.Err
	}
	p := Payback{State: Immediate, Lasts: true}
	sum, size := 0.0, 0.0
	for t, f := range savings {
		before := sum
		sum += f
		size += math.Abs(f)
		if math.Abs(sum) <= rounding*size {
			sum = 0
		}
		switch {
		case sum < 0:
			p.Lasts = false
			if p.State == Immediate {
				p.State = Never
			}
		case before < 0:
			p.Lasts, p.Lasting = true, float64(t-1)-before/f
			if p.State == Never {
				p.State, p.Years = Reached, p.Lasting
			}
		}
	}
	if !p.Lasts {
		p.Lasting = 0
	}
	return p, nil
}
