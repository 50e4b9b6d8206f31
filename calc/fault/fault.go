// Package fault holds what is wrong with a design or a request, as values: a
// place, a code from a closed list and a sentence a person can act on.
package fault

import "fmt"

// Fault is one thing that is wrong.
type Fault struct {
	Pointer string // JSON Pointer (RFC 6901) from the root of what was read
	Code    Code
	Detail  string // a sentence that says what to change
}

func (f Fault) Error() string { return fmt.Sprintf("%s: %s (%s)", f.Pointer, f.Detail, f.Code) }

// MaxListed is how many faults a [List] keeps. A file of a million wrong
// numbers must not answer with a million sentences.
const MaxListed = 1000

// List gathers every fault of one request, in the order they were found. The
// zero List is ready to use.
type List struct {
	faults  []Fault
	dropped int
}

// Add notes a fault.
func (l *List) Add(pointer string, code Code, format string, args ...any) {
	if len(l.faults) >= MaxListed {
		l.dropped++
		return
	}
	l.faults = append(l.faults, Fault{Pointer: pointer, Code: code, Detail: fmt.Sprintf(format, args...)})
}

// Faults gives what was kept, at most [MaxListed].
func (l *List) Faults() []Fault { return l.faults }

// Dropped is how many faults there were beyond [MaxListed].
func (l *List) Dropped() int { return l.dropped }

// Empty reports that nothing is wrong.
func (l *List) Empty() bool { return len(l.faults) == 0 }

// Err gives the list as an error, nil if it is empty.
func (l *List) Err() error {
	if l.Empty() {
		return nil
	}
	return &Error{List: l}
}

// Error is a list of faults as a Go error.
type Error struct{ List *List }

func (e *Error) Error() string {
	first := e.List.faults[0].Error()
	if n := len(e.List.faults) + e.List.dropped; n > 1 {
		return fmt.Sprintf("%d faults, the first: %s", n, first)
	}
	return first
}
