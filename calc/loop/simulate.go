package loop

import (
	"math"

	"recirc/calc/hydraulic"
	"recirc/calc/quantity"
	"recirc/calc/water"
)

// Simulation is a network whose flows and temperatures depend on each other.
type Simulation struct {
	Network     *Network
	Water       water.Properties // one for the whole network
	Thermostats []Thermostat
	Elevation   []float64 // by node, m; nil: gravity is left out

	// Adapt sets what else depends on the temperatures: UA, or the water with the
	// curves of all links. It gives the greatest relative change. Nil: nothing does.
	Adapt func(f *Flows, w *Warmth) (change float64, err error)
}

// Simulated is a network in its steady state.
type Simulated struct {
	Flows  *Flows
	Warmth *Warmth
	Kv     []quantity.FlowCoefficient // by thermostat
	Lift   []float64                  // by link, Pa of buoyancy
	Rounds int
	Change float64 // of the last round, relative; above [Settled] it did not settle
}

// Settled is below which changes from round to round are done with. Nearly settled
// ones that have not fallen for some rounds are rounding, and end as well.
const (
	Settled       = 1e-10
	nearlySettled = 1e-7
	idleRounds    = 15
)

// What does not settle ends after so many rounds, or so many links in all rounds
// together, so that no network keeps a processor for a minute.
const (
	mostSimulated      = 400
	mostSimulatedLinks = 4_000_000
	mostStepsOfRound   = 20  // of Newton's method, in the mean; two to ten are usual
	workPerLink        = 300 // multiplications of a factorisation that take as long as all else for a link
)

func (s *Simulation) mostRounds(work int) int {
	return min(mostSimulated, max(40, mostSimulatedLinks/max(1, len(s.Network.Links)+work/workPerLink)))
}

// Run solves flows and temperatures in turn until both stand still
//
//	flows         of [Solve], with the valves and the buoyancy of the temperatures
//	temperatures  of [Network.Temperatures], with these flows
//	lift          -(rho(T) - rho) g (z to - z from), T the mean along the link
//
// The law of a thermostatic valve is part of its link: that more flow brings warmer
// water, and warmer water shuts the valve, enters the solution of the flows with its
// derivative. Buoyancy is moved by a part of its step, since a loop that slows down
// cools all along. Gravity finds warm water only if something moves it at first;
// that is the caller's, by a pump that fades as Adapt is called. If flows and
// temperatures do not settle, the last round is given with its Change.
//
// Errors: as [Solve]; a [*TemperatureError]; those of Adapt.
func (s *Simulation) Run() (*Simulated, error) {
	solver, err := NewSolver(s.Network)
	if err != nil {
		return nil, err
	}
	r := &Simulated{Kv: make([]quantity.FlowCoefficient, len(s.Thermostats)), Lift: make([]float64, len(s.Network.Links))}
	stats := s.stats()
	var buoyancy swing
	most, steps, best, bestRound := s.mostRounds(solver.factor.Work()), 0, math.Inf(1), 0
	for r.Rounds = 1; ; r.Rounds++ {
		if r.Flows, err = solver.Solve(r.Flows); err != nil {
			return nil, err
		}
		m := s.Network.mixing(r.Flows.Q, s.Water.VolumetricHeat())
		r.Warmth = m.warmth()
		if err := m.check(r.Warmth); err != nil {
			return nil, err
		}
		r.Change = 0
		if s.Adapt != nil {
			if r.Change, err = s.Adapt(r.Flows, r.Warmth); err != nil {
				return nil, err
			}
		}
		r.Change = max(r.Change, s.turnValves(r, m, stats), s.lift(r, m, &buoyancy))
		if r.Change < best {
			best, bestRound = r.Change, r.Rounds
		}
		steps += r.Flows.Steps
		if r.Change <= Settled || r.Rounds == most || steps >= mostStepsOfRound*most || r.Change <= nearlySettled && r.Rounds-bestRound >= idleRounds {
			return r, nil
		}
	}
}

// stats puts all valves into their links, open.
func (s *Simulation) stats() []stat {
	stats := make([]stat, len(s.Thermostats))
	for i := range stats {
		t := &stats[i]
		t.Thermostat, t.link, t.fluid = &s.Thermostats[i], &s.Network.Links[s.Thermostats[i].Link], s.fluid()
		t.law.square = t.square(t.Largest.SI())
		t.set(t.fluid)
		t.share = 1
		t.link.law = &t.law
	}
	return stats
}

func (s *Simulation) fluid() hydraulic.Fluid {
	return hydraulic.Fluid{Density: s.Water.Density, Viscosity: s.Water.Viscosity}
}

// turnValves sets the valves for the temperatures of a round.
func (s *Simulation) turnValves(r *Simulated, m *mixing, stats []stat) (change float64) {
	if len(stats) == 0 {
		return 0
	}
	answers, fluid, cold := m.answers(r.Warmth), s.fluid(), m.coldest()
	for i := range stats {
		t := &stats[i]
		q, T := r.Flows.Q[t.Link], r.Warmth.Out[t.Link]
		change = max(change, math.Abs(t.off(q, T)))
		water := t.expect(q, T, answers[t.Link], cold)
		t.set(fluid)
		t.turn(q, water)
		r.Kv[i] = t.Kv(quantity.Kelvin(T))
	}
	return change
}

// liftPart of its step is what buoyancy moves in a round.
const liftPart = 0.3

// swing tells how far buoyancy moves.
type swing struct {
	part float64   // of a step
	flow []float64 // by link, of the round before
}

// next gives the part of a step that is due. Where warm water hangs below the
// heater, either direction builds up a lift against itself; the water goes to and
// fro ever less, and stands.
func (s *swing) next(q []float64) float64 {
	same, greatest := 0.0, 0.0
	for i, was := range s.flow {
		same, greatest = same+q[i]*was, max(greatest, math.Abs(q[i]))
	}
	switch {
	case s.flow == nil || greatest <= leastFlow:
		s.part = liftPart
	case same < 0:
		s.part /= 2
	default:
		s.part = min(liftPart, 1.1*s.part)
	}
	s.flow = q
	return s.part
}

// lift sets the buoyancy of every link, relative to its greatest.
func (s *Simulation) lift(r *Simulated, m *mixing, buoyancy *swing) (change float64) {
	if s.Elevation == nil {
		return 0
	}
	part := buoyancy.next(r.Flows.Q)
	greatest := 1e-3 // Pa
	for i := range s.Network.Links {
		l := &s.Network.Links[i]
		rise := s.Elevation[l.To] - s.Elevation[l.From]
		if rise == 0 {
			continue
		}
		wanted := -(s.density(s.mean(r, m, i)) - s.Water.Density) * quantity.StandardGravity * rise
		change, greatest = max(change, math.Abs(wanted-r.Lift[i])), max(greatest, math.Abs(wanted))
		r.Lift[i] += part * (wanted - r.Lift[i])
		l.Lift = r.Lift[i]
	}
	return change / greatest
}

func (s *Simulation) density(T float64) float64 {
	w, err := water.At(quantity.Kelvin(T))
	if err != nil {
		return s.Water.Density
	}
	return w.Density
}

// mean temperature along a link.
func (s *Simulation) mean(r *Simulated, m *mixing, i int) float64 {
	l := &s.Network.Links[i]
	in, Ta := r.Warmth.In[i], l.Ambient.Kelvin()
	switch {
	case l.UA == 0 || l.heats():
		return (in + r.Warmth.Out[i]) / 2
	case !m.flows(i):
		return Ta
	}
	N := l.UA / (math.Abs(r.Flows.Q[i]) * m.heat)
	return Ta + (in-Ta)*m.lost[i]/N
}
