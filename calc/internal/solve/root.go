package solve

import "math"

// Root finds x with f(x) = 0 between a and b, where f changes sign, by
// Chandrupatla's method: inverse quadratic interpolation where the last three
// points allow it, bisection where they do not.
//
//	a, b       ends of the bracket, in any order
//	tolerance  half width of the bracket that is left, relative to |x|; plus 1e-30
//	           of the bracket, so that a root at 0 ends too
//	limit      most evaluations after those at the ends
//
// A root at an end is found. The function need not be smooth; it must be
// continuous, or the place of its jump is what is found.
//
// Errors: an [*Error] that unwraps to [ErrNoBracket], [ErrNotFinite] or [ErrLimit].
//
// Source: Chandrupatla (1997), Advances in Engineering Software 28, 145-149, as
// put by Scherer, Computational Physics (2010), from memory; tested against
// closed forms.
func Root(f func(x float64) float64, a, b, tolerance float64, limit int) (float64, error) {
	s := search{a: a, b: b, fa: f(a), fb: f(b)}
	s.c, s.fc = s.a, s.fa
	if err := s.check(); err != nil {
		return math.NaN(), err
	}
	part, floor := 0.5, 1e-30*math.Abs(b-a)
	for ; ; s.steps++ {
		x, y := s.best()
		width := math.Abs(s.b - s.a)
		least := 2*tolerance*math.Abs(x) + floor
		if y == 0 || width <= least || math.IsInf(width, 0) {
			return s.finished(x, width)
		}
		if s.steps == limit {
			return math.NaN(), s.failed(ErrLimit)
		}
		part = min(max(part, least/2/width), 1-least/2/width)
		if err := s.move(f, s.a+part*(s.b-s.a)); err != nil {
			return math.NaN(), err
		}
		part = s.next()
	}
}

// search is a bracket a, b with the point c that was dropped last.
type search struct {
	a, b, c    float64
	fa, fb, fc float64
	steps      int
}

func (s *search) check() error {
	switch {
	case math.IsNaN(s.fa) || math.IsNaN(s.fb):
		return s.failed(ErrNotFinite)
	case s.fa > 0 && s.fb > 0 || s.fa < 0 && s.fb < 0:
		return s.failed(ErrNoBracket)
	}
	return nil
}

// finished refuses a bracket that is too wide for the numbers to hold.
func (s *search) finished(x, width float64) (float64, error) {
	if math.IsInf(width, 0) {
		return math.NaN(), s.failed(ErrNotFinite)
	}
	return x, nil
}

func (s *search) failed(reason error) error {
	return &Error{Reason: reason, X1: s.a, Y1: s.fa, X2: s.b, Y2: s.fb, Steps: s.steps}
}

// best is the end where the function is smaller.
func (s *search) best() (x, y float64) {
	if math.Abs(s.fa) < math.Abs(s.fb) {
		return s.a, s.fa
	}
	return s.b, s.fb
}

// move takes in a new point, which becomes a; b is on the other side of the root.
func (s *search) move(f func(float64) float64, x float64) error {
	y := f(x)
	if math.IsNaN(y) {
		s.b, s.fb = x, y
		return s.failed(ErrNotFinite)
	}
	if (y > 0) == (s.fa > 0) {
		s.c, s.fc = s.a, s.fa
	} else {
		s.c, s.fc = s.b, s.fb
		s.b, s.fb = s.a, s.fa
	}
	s.a, s.fa = x, y
	return nil
}

// next is where in the bracket to look, as a part of the way from a to b.
func (s *search) next() float64 {
	xi := (s.a - s.b) / (s.c - s.b)
	phi := (s.fa - s.fb) / (s.fc - s.fb)
	// Chandrupatla's test: inside it the inverse parabola through the three
	// points is monotone in the bracket.
	if !(phi*phi < xi && (1-phi)*(1-phi) < 1-xi) {
		return 0.5
	}
	return s.fa/(s.fb-s.fa)*s.fc/(s.fb-s.fc) +
		(s.c-s.a)/(s.b-s.a)*s.fa/(s.fc-s.fa)*s.fb/(s.fc-s.fb)
}
