package year

import (
	"fmt"
	"math"
	"strings"
)

// MaxFaults is how many faults are kept.
const MaxFaults = 100

// Fault is one thing that is wrong.
type Fault struct {
	Field  string // as in System.Pipes[3].Length
	Detail string // a sentence that says what was found
}

// FaultError is everything that is wrong with a system and its plan.
type FaultError struct {
	Faults  []Fault // at most MaxFaults
	Dropped int     // beyond
}

func (e *FaultError) Error() string {
	var b strings.Builder
	b.WriteString("year:")
	for _, f := range e.Faults {
		fmt.Fprintf(&b, " %s: %s", f.Field, f.Detail)
	}
	if e.Dropped > 0 {
		fmt.Fprintf(&b, " And %d more.", e.Dropped)
	}
	return b.String()
}

// faults collects what is wrong.
type faults struct{ err FaultError }

func (f *faults) add(field, format string, args ...any) {
	if len(f.err.Faults) == MaxFaults {
		f.err.Dropped++
		return
	}
	f.err.Faults = append(f.err.Faults, Fault{field, fmt.Sprintf(format, args...)})
}

func (f *faults) result() error {
	if len(f.err.Faults) == 0 {
		return nil
	}
	return &f.err
}

// place names a field only when there is a fault.
type place struct {
	list  string
	index int
}

func (p place) field(name string) string {
	if p.list == "" {
		return name
	}
	return fmt.Sprintf("%s[%d].%s", p.list, p.index, name)
}

func (f *faults) between(at place, name string, v, low, high float64, unit string) bool {
	if v >= low && v <= high { // false for what is no number
		return true
	}
	if math.IsNaN(v) || math.IsInf(v, 0) {
		f.add(at.field(name), "%v is no number.", v)
		return false
	}
	f.add(at.field(name), "%g is not from %g to %g %s.", v, low, high, unit)
	return false
}

func (f *faults) index(at place, name string, i, n int, of string) bool {
	if i >= 0 && i < n {
		return true
	}
	f.add(at.field(name), "There is no %s %d.", of, i)
	return false
}

func (f *faults) count(name string, n, low, high int) bool {
	if n >= low && n <= high {
		return true
	}
	f.add(name, "There are %d; there may be %d to %d.", n, low, high)
	return false
}
