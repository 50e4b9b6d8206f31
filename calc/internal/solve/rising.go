package solve

import "math"

// Rising finds x with f(x) = 0 of a function that rises, by Newton's method kept
// inside a bracket: a step that would leave it goes half way to the end instead.
//
//	f          gives the value and the slope; a slope that is off by some percent
//	           costs steps, not accuracy
//	start      first guess
//	low, high  f(low) <= 0 <= f(high), taken on trust and not evaluated
//	tolerance  the step that no longer matters, relative to |x|; plus 1e-30 of the
//	           bracket, so that a root at 0 ends too
//	limit      most evaluations
//
// It returns the last point at which f was evaluated, so what f noted on the way
// belongs to the answer.
//
// Errors: an [*Error] that unwraps to [ErrNotFinite] or [ErrLimit].
//
// Source: Newton's method with bisection as its guard, textbook numerics.
func Rising(f func(x float64) (value, slope float64), start, low, high, tolerance float64, limit int) (float64, error) {
	x := min(max(start, low), high)
	var before, y float64
	floor := 1e-30 * (high - low)
	for steps := 1; ; steps++ {
		last := y
		var slope float64
		y, slope = f(x)
		switch {
		case math.IsNaN(y):
			return math.NaN(), &Error{Reason: ErrNotFinite, X1: before, Y1: last, X2: x, Y2: y, Steps: steps}
		case y > 0:
			high = x
		case y < 0:
			low = x
		}
		to := x - y/slope
		if !(to > low && to < high) && y != 0 {
			to = low + (high-low)/2
		}
		if y == 0 || math.Abs(to-x) <= tolerance*math.Abs(x)+floor || to == x {
			return x, nil
		}
		if steps >= limit {
			return math.NaN(), &Error{Reason: ErrLimit, X1: before, Y1: last, X2: x, Y2: y, Steps: steps}
		}
		before, x = x, to
	}
}
