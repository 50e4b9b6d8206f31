package service

import (
	"errors"
	"math"

	"recirc/calc/fault"
	"recirc/calc/loop"
	"recirc/calc/quantity"
)

// standsBelow is the flow below which water counts as standing, m3/s: 0.06 mL/min.
const standsBelow = 1e-9

// adapt sets heat losses, water and mixing valve to the temperatures.
func (s *loopSimulation) adapt(f *loop.Flows, w *loop.Warmth) (change float64, err error) {
	for i := range s.links {
		q := math.Abs(f.Q[i])
		if s.links[i].pipe == loop.None || q <= standsBelow {
			continue
		}
		was := s.net.Links[i].UA
		if err := s.setHeat(i, (w.In[i]+w.Out[i])/2, q); err != nil {
			return 0, err
		}
		change = max(change, math.Abs(s.net.Links[i].UA-was)/max(was, 1e-12))
	}
	was := s.c.waterAt.Kelvin()
	back := s.back(f, w)
	if f.Q[pumpLink] < 0 {
		back = s.c.outlet // what comes in through the return says nothing about the rest
	}
	if err := s.c.warm(back); err != nil {
		return 0, err
	}
	s.mixing = nil
	if len(s.draws) == 0 {
		s.mixing = s.c.mixingState(math.Abs(f.Q[pumpLink]), s.back(f, w))
	}
	s.setCurves()
	if s.gain.push > 0 {
		change = 1
		if s.gain.push *= fading; s.gain.push < lastPush {
			s.gain.push = 0
		}
	}
	return max(change, math.Abs(s.c.waterAt.Kelvin()-was)/was), nil
}

// back is the temperature of the joined return; the outlet's where nothing flows.
func (s *loopSimulation) back(f *loop.Flows, w *loop.Warmth) quantity.Temperature {
	if math.Abs(f.Q[pumpLink]) <= standsBelow {
		return s.c.outlet
	}
	return quantity.Kelvin(w.Node[s.joined])
}

// fault turns what cannot be solved into a fault of the request.
func (s *loopSimulation) fault(err error, faults *fault.List) {
	var cut *loop.CutOffError
	var unsolved *loop.UnsolvedError
	var beyond *beyondCurveError
	switch {
	case errors.As(err, &cut):
		for i, d := range s.draws {
			if s.c.g.FixtureNode(d.fixture) == cut.Node {
				faults.Add(listPointer("/draws", i, ""), fault.NetworkUnsolvable, "Fixture %q draws, but shut valves cut it off from the heater.", s.req.System.Fixtures[d.fixture].ID)
				return
			}
		}
	case errors.As(err, &unsolved):
		at, name := systemPointer, "the heater or the pump"
		if p := s.links[unsolved.Link].pipe; p != loop.None {
			at, name = pipePointer(p, ""), "pipe "+s.req.System.Pipes[p].ID
		}
		faults.Add(at, fault.NetworkUnsolvable, "No flows were found; %s misses its pressure by a share of %.2g.", name, unsolved.Residual)
	case errors.As(err, &beyond):
		faults.Add("/pump/curve", fault.CurveTooShort, "With this pump %s; give more of the curve.", err.Error())
	case errors.Is(err, loop.ErrTangled):
		faults.Add(systemPointer, fault.NetworkUnsolvable, "The network is too entangled to be solved: its returns join in another order than its supply branches, thousands of times. Send parts of the building.")
	default:
		s.c.fault(err, &s.target, faults)
	}
}
