package pump

import (
	"math"

	"recirc/calc/internal/solve"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

// DutySource is where the duty point is from.
const DutySource source.ID = "pump_duty_point"

// Duty is a point where pumps and system meet.
type Duty struct {
	Flow quantity.Flow
	Head quantity.Length

	// Stable says that the system curve is steeper than the pump curve, by more
	// than 1e-12 of both slopes. If it is not, a little more flow leaves head over,
	// which makes more flow.
	Stable bool

	Speed float64 // ratio to the speed of the curve
}

// meeting is a duty in the coordinates of a line.
type meeting struct {
	x, y   float64
	stable bool
}

// steeper is by how much of both slopes the system's must be the greater.
const steeper = 1e-12

// meet finds where a line and a system meet, by rising flow. It looks at each run
// of the line alone: where the line falls the system meets it once at most.
func (l *line) meet(operation string, s System) ([]meeting, error) {
	if err := l.ends(operation, s); err != nil {
		return nil, err
	}
	m := search{line: l, system: s}
	for i := range l.runs {
		if r := &l.runs[i]; r.rising {
			m.rising(r)
		} else {
			m.between(nil, r.from, r.to)
		}
	}
	if m.err != nil {
		return nil, &Error{Operation: operation, Reason: SystemUnsound}
	}
	if len(m.found) == 0 {
		return nil, l.apart(operation, s)
	}
	return m.found, nil
}

// checked refuses a parabola that no pipes have.
func checked(operation string, s System) error {
	if p, ok := s.(Parabola); ok {
		return p.check(operation)
	}
	return nil
}

// ends refuses a system that is unsound at once.
func (l *line) ends(operation string, s System) error {
	for _, x := range []float64{l.from(), l.to()} {
		if h, slope := s.Head(x); math.IsNaN(h) || math.IsNaN(slope) {
			return &Error{Operation: operation, Reason: SystemUnsound}
		}
	}
	return nil
}

// apart tells why a line and a system do not meet.
func (l *line) apart(operation string, s System) error {
	first, last := l.from(), l.to()
	end, _ := l.piece(last).value(last)
	e := &Error{Operation: operation, Symbol: "H", Unit: "m", Low: end, High: l.highest()}
	if h, _ := s.Head(last); h < end {
		e.Reason, e.Value = BeyondCurveEnd, h
		return e
	}
	e.Value, _ = s.Head(first)
	e.Reason = AboveShutOff
	if first > 0 {
		e.Reason = BelowCurveStart
	}
	return e
}

// search gathers where a line and a system meet.
type search struct {
	line   *line
	system System
	found  []meeting
	before float64 // the difference at the end of the part before
	err    error
}

// parts is into how many a piece that rises is cut if nothing is known of the
// curvature of the system. Of two duties in one part both are found if the
// difference of the curves has one hump there.
const parts = 16

// rising looks at each piece of a run that rises. A parabola meets a cubic in up
// to three points; on either side of where both have the same curvature their
// difference has one hump at most.
func (m *search) rising(r *run) {
	for i := range r.pieces {
		p := &r.pieces[i]
		bend, known := curvature(m.system)
		if !known {
			width := (p.to - p.from) / parts
			for k := range parts - 1 {
				m.hump(p, p.from+float64(k)*width, p.from+float64(k+1)*width)
			}
			m.hump(p, p.from+(parts-1)*width, p.to)
			continue
		}
		if same := p.at + (bend-2*p.c2)/(6*p.c3); same > p.from && same < p.to {
			m.hump(p, p.from, same)
			m.hump(p, same, p.to)
			continue
		}
		m.hump(p, p.from, p.to)
	}
}

// hump looks in a part of a piece where the difference has one hump at most.
func (m *search) hump(p *piece, a, b float64) {
	ya, da := m.over(p, a)
	yb, db := m.over(p, b)
	if ya > 0 && yb > 0 && da < 0 && db > 0 || ya < 0 && yb < 0 && da > 0 && db < 0 {
		top, err := solve.Root(func(x float64) float64 { _, d := m.over(p, x); return d }, a, b, 1e-15, steps)
		if err != nil {
			m.err = err
			return
		}
		m.between(p, a, top)
		m.between(p, top, b)
		return
	}
	m.between(p, a, b)
}

// steps is the limit of a search; bisection alone takes about a hundred.
const steps = 400

// between finds the one meeting between two flows, if there is any, on a piece or,
// without one, on the whole line.
func (m *search) between(p *piece, a, b float64) {
	over := func(x float64) float64 { y, _ := m.over(p, x); return y }
	ya, yb := over(a), over(b)
	// Two parts agree where they touch but for rounding, which may change the sign.
	if m.before > 0 && ya < 0 || m.before < 0 && ya > 0 {
		m.add(a)
	}
	m.before = yb
	switch {
	case math.IsNaN(ya) || math.IsNaN(yb):
		m.err = solve.ErrNotFinite
	case ya == 0 || yb == 0:
		if ya == 0 {
			m.add(a)
		}
		if yb == 0 {
			m.add(b)
		}
	case (ya > 0) != (yb > 0):
		x, err := solve.Root(over, a, b, 1e-14, steps)
		if err != nil {
			m.err = err
			return
		}
		m.add(x)
	}
}

// over is by how much the line is above the system, and the slope of that.
func (m *search) over(p *piece, x float64) (value, slope float64) {
	if p == nil {
		p = m.line.piece(x)
	}
	y, d := p.value(x)
	h, k := m.system.Head(x)
	return y - h, d - k
}

// add notes a meeting; the end of one piece is the start of the next.
func (m *search) add(x float64) {
	if n := len(m.found); n > 0 && x-m.found[n-1].x <= roundingSlack*x {
		return
	}
	y, d := m.line.piece(x).value(x)
	_, k := m.system.Head(x)
	m.found = append(m.found, meeting{x: x, y: y, stable: k-d > steeper*(math.Abs(k)+math.Abs(d))})
}
