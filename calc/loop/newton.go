package loop

import "math"

// newton goes to the flows of least content. The first step is taken whole, for
// it makes the flows meet at the nodes; those after it keep that.
func (s *Solver) newton(f *Flows) error {
	s.floor, s.shut = leastSlope, shutSlope
	s.characteristics(f.Q)
	for f.Steps = 1; f.Steps <= mostSteps; f.Steps++ {
		if err := s.step(f); err != nil {
			return err
		}
		settled := s.settled(f)
		s.ease(f.Steps, settled)
		s.advance(f, settled || f.Steps == 1)
		if !settled || s.shut < shutSlope {
			continue
		}
		if s.residuals(f); f.PressureResidual <= closed && f.MassResidual <= closed {
			return nil
		}
	}
	return s.unsolved(f)
}

// ease helps what does not settle. The least slope sinks, because it is in the way
// of pipes that take less. Check valves that open and shut in turn are made to give
// way, so that their jump can be followed, and are stiffened again as they settle.
func (s *Solver) ease(step int, settled bool) {
	if step >= patience {
		s.floor = max(s.floor/2, 1)
	}
	switch {
	case step == 3*patience:
		s.shut = softSlope
	case settled:
		s.shut = min(100*s.shut, shutSlope)
	}
}

// Newton's method ends when all closes, relative, and a step moves every flow, or
// the pressure that its link takes, by next to nothing.
const (
	closed        = 1e-11
	stillFlow     = 1e-10 // of the flow of the link
	leastStep     = 1e-18 // m3/s
	stillPressure = 1e-14 // of the greatest pressure: little more than rounding
	leastPressure = 1e-10 // Pa
)

// characteristics finds what every link takes at a flow, and how that changes. A
// slope too small to divide by is raised, which costs steps but moves no result.
func (s *Solver) characteristics(q []float64) {
	for i := range q {
		drop, slope := s.n.Links[i].characteristic(q[i], s.shut)
		s.drop[i], s.slope[i] = drop, max(slope, s.floor)
	}
}

// characteristic is dp - gain - lift of a link, with the slope of a check valve
// that is pushed shut.
func (l *Link) characteristic(q, shut float64) (drop, slope float64) {
	if l.OneWay && q < 0 {
		drop, slope = shut*q, shut
	} else {
		drop, slope = l.Curve.At(q)
		if l.law != nil {
			own, rise := l.law.at(q)
			drop, slope = drop+own, slope+rise
		}
	}
	if l.Pump != nil {
		gain, rise := l.Pump(q)
		drop, slope = drop-gain, slope-rise
	}
	return drop - l.Lift, slope
}

// step finds by how much flows and pressures must change, and changes the
// pressures. It works on what is missing at nodes and along links, so that
// rounding is relative to that and fades as the solution is neared.
func (s *Solver) step(f *Flows) error {
	clear(s.diagonal)
	clear(s.off)
	s.findMissing(f.Q)
	for i, r := range s.row {
		if r != None {
			s.right[r] = s.missing[i]
		}
	}
	for i := range s.n.Links {
		l := &s.n.Links[i]
		if l.Closed {
			s.change[i] = 0
			continue
		}
		conductance := 1 / s.slope[i]
		alone := (f.Pressure[l.From] - f.Pressure[l.To] - s.drop[i]) * conductance // the change if pressures stayed
		s.change[i] = alone
		if l.From == l.To {
			continue
		}
		if r := s.row[l.From]; r != None {
			s.diagonal[r] += conductance
			s.right[r] -= alone
		}
		if r := s.row[l.To]; r != None {
			s.diagonal[r] += conductance
			s.right[r] += alone
		}
		if pair := s.pairs[i]; pair != None {
			s.off[pair] -= conductance
		}
	}
	if err := s.factor.Factorise(s.diagonal, s.off); err != nil {
		return s.unsolved(f)
	}
	s.factor.Solve(s.right)
	for i, r := range s.row {
		if r != None {
			f.Pressure[i] += s.right[r]
		}
	}
	for i := range s.n.Links {
		if l := &s.n.Links[i]; !l.Closed {
			s.change[i] += (s.correction(l.From) - s.correction(l.To)) / s.slope[i]
		}
	}
	return nil
}

// correction is by how much the last step changed the pressure of a node.
func (s *Solver) correction(node int32) float64 {
	if r := s.row[node]; r != None {
		return s.right[r]
	}
	return 0
}

// settled reports that the step which is due moves nothing any more.
func (s *Solver) settled(f *Flows) bool {
	still := stillPressure*s.greatest(f) + leastPressure
	for i, dq := range s.change {
		dq = math.Abs(dq)
		if dq > stillFlow*math.Abs(f.Q[i])+leastStep && dq*s.slope[i] > still {
			return false
		}
	}
	return true
}

// advance makes a step, or as much of it as it should: the content must not rise
// steeply at its end.
func (s *Solver) advance(f *Flows, whole bool) {
	steepest, length := 0.9*math.Abs(s.climb(f, f.Q)), 1.0
	for range mostHalvings {
		for i, dq := range s.change {
			s.next[i] = f.Q[i] + length*dq
		}
		s.characteristics(s.next)
		if whole || s.climb(f, s.next) <= steepest {
			break
		}
		length /= 2
	}
	f.Q, s.next = s.next, f.Q
}

const mostHalvings = 40

// climb is the derivative of the content along the step, at flows on its way
//
//	sum dq (dp - gain - lift - p from + p to)
//
// The pressures add nothing, because the step conserves mass, but keep rounding
// small. Stiff check valves that shut or open on the way are left out: their jump
// is what the next step is about.
func (s *Solver) climb(f *Flows, q []float64) float64 {
	sum := 0.0
	for i, dq := range s.change {
		l := &s.n.Links[i]
		if dq != 0 && !(l.OneWay && s.shut == shutSlope && (q[i] < 0 || f.Q[i] < 0)) {
			sum += dq * (s.drop[i] - f.Pressure[l.From] + f.Pressure[l.To])
		}
	}
	return sum
}

// findMissing finds how much more should leave each node; the root gives what is
// drawn.
func (s *Solver) findMissing(q []float64) {
	clear(s.missing)
	copy(s.missing, s.n.Inflow)
	for i, q := range q {
		l := &s.n.Links[i]
		s.missing[l.From] -= q
		s.missing[l.To] += q
	}
	s.missing[s.n.Root] = 0
}

// greatest is the pressure that residuals are relative to.
func (s *Solver) greatest(f *Flows) float64 {
	greatest := leastPressures
	for i := range s.drop {
		if l := &s.n.Links[i]; !l.Closed {
			greatest = max(greatest, math.Abs(s.drop[i]+l.Lift))
		}
	}
	for _, p := range f.Pressure {
		greatest = max(greatest, math.Abs(p))
	}
	return greatest
}

const leastPressures = 10.0 // Pa, usual small ones

// residuals measures how well the flows close at nodes and along links.
func (s *Solver) residuals(f *Flows) {
	s.findMissing(f.Q)
	greatestQ, worst := startSpeed, 0.0
	for i, q := range f.Q {
		l := &s.n.Links[i]
		greatestQ = max(greatestQ, math.Abs(q))
		if l.Closed || l.OneWay && q <= 0 {
			continue
		}
		worst = max(worst, math.Abs(f.Pressure[l.From]-f.Pressure[l.To]-s.drop[i]))
	}
	f.MassResidual = 0
	for _, q := range s.missing {
		f.MassResidual = max(f.MassResidual, math.Abs(q)/greatestQ)
	}
	f.PressureResidual = worst / s.greatest(f)
}

// shutTight takes away what shut check valves leak, and makes up for it elsewhere.
func (s *Solver) shutTight(f *Flows) error {
	for range mostTightened {
		if !s.shutLeaks(f) {
			return nil
		}
		if err := s.step(f); err != nil {
			return err
		}
		for i, dq := range s.change {
			if l := &s.n.Links[i]; !l.OneWay || f.Q[i] > 0 {
				f.Q[i] += dq
			}
		}
		s.characteristics(f.Q)
		if s.residuals(f); f.PressureResidual <= closed && f.MassResidual <= closed {
			return nil
		}
	}
	return s.unsolved(f) // a link that lets as little pass as a shut valve
}

const mostTightened = 10

// shutLeaks sets the flow of shut check valves to zero and lets them take what pressure
// there is. It reports whether there are any.
func (s *Solver) shutLeaks(f *Flows) (any bool) {
	for i := range f.Q {
		if l := &s.n.Links[i]; l.OneWay && !l.Closed && f.Q[i] <= 0 {
			any = true
			f.Q[i], s.drop[i], s.slope[i] = 0, f.Pressure[l.From]-f.Pressure[l.To], shutSlope
		}
	}
	return any
}

// unsolved names the link that misses most; what is no number misses all.
func (s *Solver) unsolved(f *Flows) error {
	e, greatest := &UnsolvedError{}, s.greatest(f)
	for i := range s.drop {
		l := &s.n.Links[i]
		miss := math.Abs(f.Pressure[l.From]-f.Pressure[l.To]-s.drop[i]) / greatest
		if math.IsNaN(miss) {
			miss = math.Inf(1)
		}
		if !l.Closed && miss > e.Residual {
			e.Link, e.Residual = int32(i), miss
		}
	}
	return e
}
