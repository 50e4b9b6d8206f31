package loop

import "math"

// newton goes to the flows of least content.
func (s *Solver) newton(f *Flows) error {
	balanced := false // flows meet at the nodes
	for f.Steps = 0; f.Steps < mostSteps; f.Steps++ {
		s.characteristics(f)
		if err := s.pressures(f); err != nil {
			return err
		}
		greatest, change := 0.0, 0.0
		for i := range f.Q {
			next := s.flowAfter(f, i)
			f.step[i] = next - f.Q[i]
			change, greatest = max(change, math.Abs(f.step[i])), max(greatest, math.Abs(next))
		}
		length := 1.0
		if balanced {
			length = s.cutBack(f)
		}
		for i := range f.Q {
			f.Q[i] += length * f.step[i]
		}
		if length < 1 {
			continue
		}
		balanced = true
		if change <= unmoved*greatest+1e-18 {
			return nil
		}
		if s.residuals(f); f.PressureResidual <= closed && f.MassResidual <= closed && change <= still*greatest {
			return nil
		}
	}
	return s.unsolved(f)
}

// Newton's method ends when flows move no more, or when all closes and they move
// little; relative.
const (
	unmoved = 1e-13
	still   = 1e-9
	closed  = 1e-11
)

// characteristics finds what every link takes at its flow, and how that changes.
func (s *Solver) characteristics(f *Flows) {
	for i := range f.Q {
		f.drop[i], f.slope[i] = s.characteristic(i, f.Q[i])
	}
}

// characteristic is dp - gain - lift of a link. A slope too small to divide by
// is raised, which costs steps but moves no result.
func (s *Solver) characteristic(i int, q float64) (drop, slope float64) {
	l := &s.n.Links[i]
	drop, slope = l.Curve.At(q)
	if l.OneWay && q < 0 {
		drop, slope = shutSlope*q, shutSlope
	}
	if l.Pump != nil {
		gain, rise := l.Pump(q)
		drop, slope = drop-gain, slope-rise
	}
	return drop - l.Lift, max(slope, leastSlope)
}

// pressures solves the nodes: what flows by pressure differences makes up for
// what the flows without them miss.
func (s *Solver) pressures(f *Flows) error {
	clear(s.diagonal)
	clear(s.off)
	clear(s.right)
	for i, q := range s.n.Inflow {
		if r := s.row[i]; r != None {
			s.right[r] += q
		}
	}
	for i := range f.Q {
		a, b := s.row[s.n.Links[i].From], s.row[s.n.Links[i].To]
		if s.n.Links[i].Closed || s.n.Links[i].From == s.n.Links[i].To {
			continue
		}
		conductance := 1 / f.slope[i]
		alone := f.Q[i] - f.drop[i]*conductance // the flow without a pressure difference
		if a != None {
			s.diagonal[a] += conductance
			s.right[a] -= alone
		}
		if b != None {
			s.diagonal[b] += conductance
			s.right[b] += alone
		}
		if pair := s.pairs[i]; pair != None {
			s.off[pair] -= conductance
		}
	}
	if err := s.factor.Factorise(s.diagonal, s.off); err != nil {
		return err
	}
	s.factor.Solve(s.right)
	for i, r := range s.row {
		f.Pressure[i] = 0
		if r != None {
			f.Pressure[i] = s.right[r]
		}
	}
	return nil
}

// flowAfter is the flow of a link after a full step.
func (s *Solver) flowAfter(f *Flows, i int) float64 {
	l := &s.n.Links[i]
	if l.Closed {
		return 0
	}
	return f.Q[i] + (f.Pressure[l.From]-f.Pressure[l.To]-f.drop[i])/f.slope[i]
}

// cutBack finds how much of a step to take: the content must not rise steeply at
// its end. Its derivative along the step is sum dq (dp - gain - lift - p from +
// p to); the pressures add nothing, because the step conserves mass, but keep
// rounding small. Check valves that shut or open on the way are left out: their
// jump is what the next step is about.
func (s *Solver) cutBack(f *Flows) float64 {
	along := func(length float64) float64 {
		sum := 0.0
		for i, dq := range f.step {
			l := &s.n.Links[i]
			q := f.Q[i] + length*dq
			if dq != 0 && !(l.OneWay && (q < 0 || f.Q[i] < 0)) {
				drop, _ := s.characteristic(i, q)
				sum += dq * (drop - f.Pressure[l.From] + f.Pressure[l.To])
			}
		}
		return sum
	}
	steepest, length := 0.9*math.Abs(along(0)), 1.0
	for range 40 {
		if along(length) <= steepest {
			return length
		}
		length /= 2
	}
	return length
}

// residuals measures how well the flows close at nodes and along links.
func (s *Solver) residuals(f *Flows) {
	clear(f.missing)
	copy(f.missing, s.n.Inflow)
	greatestQ, greatestDrop, worst := 1e-18, 1e-6, 0.0
	for i, q := range f.Q {
		l := &s.n.Links[i]
		f.missing[l.From] -= q
		f.missing[l.To] += q
		greatestQ = max(greatestQ, math.Abs(q))
		if l.Closed || l.OneWay && q <= 0 {
			continue
		}
		drop, _ := s.characteristic(i, q)
		greatestDrop = max(greatestDrop, math.Abs(drop+l.Lift))
		worst = max(worst, math.Abs(f.Pressure[l.From]-f.Pressure[l.To]-drop))
	}
	f.missing[s.n.Root] = 0 // the root gives what is drawn
	f.MassResidual = 0
	for _, q := range f.missing {
		f.MassResidual = max(f.MassResidual, math.Abs(q)/greatestQ)
	}
	f.PressureResidual = worst / greatestDrop
}

func (s *Solver) unsolved(f *Flows) error {
	s.characteristics(f)
	e := &UnsolvedError{Link: 0}
	greatest := 1e-6
	for i := range f.Q {
		greatest = max(greatest, math.Abs(f.drop[i]))
	}
	for i := range f.Q {
		l := &s.n.Links[i]
		if miss := math.Abs(f.Pressure[l.From]-f.Pressure[l.To]-f.drop[i]) / greatest; !l.Closed && miss > e.Residual {
			e.Link, e.Residual = int32(i), miss
		}
	}
	return e
}
