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
			f.trial[i] = s.flowAt(f, i) - f.Q[i] // the step
			change = max(change, math.Abs(f.trial[i]))
			greatest = max(greatest, math.Abs(f.Q[i]+f.trial[i]))
		}
		length := 1.0
		if balanced {
			length = s.cutBack(f)
		}
		for i := range f.Q {
			f.Q[i] += length * f.trial[i]
		}
		balanced = balanced || length == 1
		if length == 1 && change <= 1e-13*greatest+1e-18 {
			return nil
		}
		if length == 1 && balanced && s.closes(f) {
			return nil
		}
	}
	return s.unsolved(f)
}

// characteristics finds what every link takes at its flow, and how that changes.
func (s *Solver) characteristics(f *Flows) {
	for i := range f.Q {
		f.drop[i], f.slope[i] = s.characteristic(f, i, f.Q[i])
	}
}

// characteristic is dp - gain - lift of a link. A slope too small to divide by
// is raised, which costs steps but moves no result.
func (s *Solver) characteristic(f *Flows, i int, q float64) (drop, slope float64) {
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

// passes reports that water may flow in a link.
func (s *Solver) passes(f *Flows, i int) bool { return !s.n.Links[i].Closed && !f.shut[i] }

// pressures solves the nodes: sum of (p from - p to)/slope = what the flows at
// zero pressure difference miss.
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
		if s.n.Links[i].Closed || a == b && a != None {
			continue
		}
		conductance := 1 / f.slope[i]
		still := f.Q[i] - f.drop[i]*conductance // the flow without a pressure difference
		if f.shut[i] {                         // kept in the matrix, so that its shape stays
			conductance, still = leastConductance, 0
		}
		if a != None {
			s.diagonal[a] += conductance
			s.right[a] -= still
		}
		if b != None {
			s.diagonal[b] += conductance
			s.right[b] += still
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

// leastConductance of a shut check valve, m3/s per Pa: it ties what lies behind
// two shut valves to the rest; far below what counts.
const leastConductance = 1e-22

// flowAt is the flow of a link after a full step.
func (s *Solver) flowAt(f *Flows, i int) float64 {
	if !s.passes(f, i) {
		return 0
	}
	l := &s.n.Links[i]
	return f.Q[i] + (f.Pressure[l.From]-f.Pressure[l.To]-f.drop[i])/f.slope[i]
}

// cutBack finds how much of a step to take: the content must not rise at its
// end. Its derivative along the step is sum dq (dp - lift - gain); pressures
// drop out, because the step conserves mass.
func (s *Solver) cutBack(f *Flows) float64 {
	along := func(length float64) float64 {
		sum := 0.0
		for i, dq := range f.trial {
			if dq != 0 && s.passes(f, i) {
				drop, _ := s.characteristic(f, i, f.Q[i]+length*dq)
				sum += dq * drop
			}
		}
		return sum
	}
	start := 0.0
	for i, dq := range f.trial {
		if s.passes(f, i) {
			start += dq * f.drop[i]
		}
	}
	length := 1.0
	for range 40 {
		if end := along(length); end <= 0.9*math.Abs(start) {
			return length
		}
		length /= 2
	}
	return length
}

// closes reports that pressures close along every link.
func (s *Solver) closes(f *Flows) bool {
	s.residuals(f)
	return f.PressureResidual <= energyBound && f.MassResidual <= massBound
}

// residuals measures how well the flows close at nodes and along links.
func (s *Solver) residuals(f *Flows) {
	missing := f.cut[:0]
	missing = append(missing, make([]float64, s.n.Nodes)...)
	copy(missing, s.n.Inflow)
	greatestQ, greatestDrop, worst := 1e-18, 1e-6, 0.0
	for i, q := range f.Q {
		l := &s.n.Links[i]
		missing[l.From] -= q
		missing[l.To] += q
		greatestQ = max(greatestQ, math.Abs(q))
		if !s.passes(f, i) {
			continue
		}
		drop, _ := s.characteristic(f, i, q)
		greatestDrop = max(greatestDrop, math.Abs(drop+l.Lift))
		worst = max(worst, math.Abs(f.Pressure[l.From]-f.Pressure[l.To]-drop))
	}
	missing[s.n.Root] = 0 // the root gives what is drawn
	f.MassResidual = 0
	for _, q := range missing {
		f.MassResidual = max(f.MassResidual, math.Abs(q)/greatestQ)
	}
	f.PressureResidual = worst / greatestDrop
}

// shutBackwards shuts check valves that are passed backwards and opens shut ones
// that would be pushed open. It reports whether any changed.
func (s *Solver) shutBackwards(f *Flows) (changed bool) {
	for i := range f.Q {
		l := &s.n.Links[i]
		switch {
		case !l.OneWay:
		case f.shut[i]:
			at, _ := s.characteristic(f, i, 0)
			if f.Pressure[l.From]-f.Pressure[l.To]-at > 1e-9*math.Abs(at)+1e-9 {
				f.shut[i], changed = false, true
			}
		case f.Q[i] < 0:
			f.shut[i], f.Q[i], changed = true, 0, true
		}
	}
	return changed
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
		if miss := math.Abs(f.Pressure[l.From]-f.Pressure[l.To]-f.drop[i]) / greatest; s.passes(f, i) && miss > e.Residual {
			e.Link, e.Residual = int32(i), miss
		}
	}
	return e
}
