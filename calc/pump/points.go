package pump

import (
	"fmt"
	"math"
)

// Fault names what is wrong with a point.
type Fault string

// The faults.
const (
	TooFewPoints         Fault = "too_few_points"
	TooManyPoints        Fault = "too_many_points"
	UnknownInterpolation Fault = "unknown_interpolation"
	NotFinite            Fault = "not_finite"
	TooLarge             Fault = "too_large"
	FlowNegative         Fault = "flow_negative"
	HeadNegative         Fault = "head_negative"
	PowerNegative        Fault = "power_negative"
	CrossesZero          Fault = "head_crosses_zero"
	FlowRepeated         Fault = "flow_repeated"
	FlowDecreasing       Fault = "flow_decreasing"
	FlowTooSmall         Fault = "flow_too_small"
	NoHead               Fault = "no_head"
	PowerMissing         Fault = "power_missing"
)

// PointFault is one thing that is wrong with a curve.
type PointFault struct {
	Index  int // of the point, from 0; -1 for the list as a whole
	Fault  Fault
	Detail string // a sentence that says what was found
}

// CurveError is points that make no curve.
type CurveError struct{ Faults []PointFault }

func (e *CurveError) Error() string {
	first := e.Faults[0]
	return fmt.Sprintf("pump: %d faults, the first at point %d: %s (%s)", len(e.Faults), first.Index, first.Detail, first.Fault)
}

// MaxPoints is the greatest number of points of a curve.
const MaxPoints = 200

// Bounds far beyond any building. They keep every sum and quotient finite.
const (
	greatestFlow  = 100.0 // m3/s
	greatestHead  = 1e4   // m
	greatestPower = 1e9   // W
	leastLastFlow = 1e-9  // m3/s, some drops an hour
	leastStep     = 1e-9  // between two flows, as part of the greatest
)

type faults struct{ list []PointFault }

func (f *faults) add(index int, kind Fault, format string, args ...any) {
	f.list = append(f.list, PointFault{Index: index, Fault: kind, Detail: fmt.Sprintf(format, args...)})
}

func faultsOf(points []Point, by Interpolation) *faults {
	f := &faults{}
	least := 2
	switch by {
	case Monotone, Linear:
	case LeastSquares:
		least = 3
	default:
		f.add(-1, UnknownInterpolation, "there is no interpolation %q", by)
	}
	if n := len(points); n < least {
		f.add(-1, TooFewPoints, "a curve needs %d points or more, not %d", least, n)
	} else if n > MaxPoints {
		f.add(-1, TooManyPoints, "a curve has at most %d points, not %d", MaxPoints, n)
		return f
	}
	flow, head, power := columns(points)
	for i := range points {
		f.value(i, "flow", flow[i], greatestFlow, "m3/s", FlowNegative)
		f.head(i, head)
		f.value(i, "power", power[i], greatestPower, "W", PowerNegative)
	}
	if len(f.list) == 0 { // what follows compares sound numbers
		f.flows(flow)
		f.together(head, power)
	}
	return f
}

// value looks at one number, and reports that it is sound.
func (f *faults) value(i int, what string, v, greatest float64, unit string, negative Fault) {
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		f.add(i, NotFinite, "the %s is no finite number", what)
	case v < 0:
		f.add(i, negative, "the %s is %.6g %s, below zero", what, v, unit)
	case v > greatest:
		f.add(i, TooLarge, "the %s is %.6g %s, more than %g", what, v, unit, greatest)
	}
}

func (f *faults) head(i int, head []float64) {
	if i > 0 && head[i] < 0 && head[i-1] >= 0 && !math.IsInf(head[i], 0) {
		f.add(i, CrossesZero, "the head falls from %.6g m to %.6g m; a curve ends where its head is zero", head[i-1], head[i])
		return
	}
	f.value(i, "head", head[i], greatestHead, "m", HeadNegative)
}

func (f *faults) flows(flow []float64) {
	last := flow[len(flow)-1]
	for i := 1; i < len(flow); i++ {
		switch step := flow[i] - flow[i-1]; {
		case math.Abs(step) <= leastStep*last || step == 0:
			f.add(i, FlowRepeated, "the flow of %.6g m3/s is that of the point before", flow[i])
		case step < 0:
			f.add(i, FlowDecreasing, "the flow falls from %.6g to %.6g m3/s; points come by rising flow", flow[i-1], flow[i])
		}
	}
	if len(f.list) == 0 && last < leastLastFlow {
		f.add(-1, FlowTooSmall, "the greatest flow is %.6g m3/s, less than %g", last, leastLastFlow)
	}
}

// together looks at what no single point shows.
func (f *faults) together(head, power []float64) {
	highest, given := 0.0, 0
	for i := range head {
		highest = max(highest, head[i])
		if power[i] > 0 {
			given++
		}
	}
	if highest == 0 {
		f.add(-1, NoHead, "no point has a head above zero")
	}
	if given == 0 {
		return
	}
	for i := range power {
		if power[i] == 0 {
			f.add(i, PowerMissing, "%d of %d points come with a power and this one does not", given, len(power))
		}
	}
}
