// Package solve finds the root of a function in one variable, in a bracket and
// with a limit on the steps, so that no input can keep a calculation busy.
package solve

import (
	"errors"
	"fmt"
)

// The reasons of an [Error].
var (
	ErrNoBracket = errors.New("the function has the same sign at both ends")
	ErrNotFinite = errors.New("the function gave something that is no number")
	ErrLimit     = errors.New("not converged within the limit of steps")
)

// Error is a root that was not found. It unwraps to its reason.
type Error struct {
	Reason error
	X1, Y1 float64 // the last two points
	X2, Y2 float64
	Steps  int
}

func (e *Error) Error() string {
	return fmt.Sprintf("solve: %v after %d steps; f(%g) = %g, f(%g) = %g", e.Reason, e.Steps, e.X1, e.Y1, e.X2, e.Y2)
}

func (e *Error) Unwrap() error { return e.Reason }
