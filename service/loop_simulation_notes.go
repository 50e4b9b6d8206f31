package service

import (
	"fmt"
	"math"

	"recirc/calc/hydraulic"
	"recirc/calc/loop"
	"recirc/calc/pump"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

// note gathers warnings and cautions of a simulated loop.
func (s *loopSimulation) note() {
	c := s.c
	s.a.use(loop.GradientSource)
	if !s.gain.off() {
		s.a.use(s.gain.source())
	}
	c.noteMethods()
	c.warnLayout(s.mixing)
	c.warnPipes(s.a.Pipes, s.sizing)
	s.warnBranches()
	s.warnPump()
	if s.solved.Change > notSettled {
		s.a.warn("not_settled", "", fmt.Sprintf("Flows and temperatures did not settle in %d rounds; the last change was %.2g of the whole. A thermostatic valve with a narrow band may be hunting.", s.solved.Rounds, s.solved.Change))
	}
	coldest := s.back(s.solved.Flows, s.solved.Warmth)
	for i := range s.a.Connections {
		coldest = quantity.Kelvin(math.Min(coldest.Kelvin(), s.a.Connections[i].ReturnEnd.Kelvin()))
	}
	c.cautions(coldest, fastestIn(s.a.Pipes))
	if s.gain.off() {
		s.a.cautionStagnation()
	}
}

// notSettled is the change in the last round from which an answer warns.
const notSettled = 1e-6

func (s *loopSimulation) warnBranches() {
	var cold, over, back, still tally
	for i := range s.a.Connections {
		r, at := &s.a.Connections[i], s.c.part.Connections[i].Return
		switch r.State {
		case Cold:
			cold.add(at, r.Pipe)
		case OverServed:
			over.add(at, r.Pipe)
		case Backwards:
			back.add(at, r.Pipe)
		case StandsIdle:
			still.add(at, r.Pipe)
		}
	}
	cold.warn("cold_branch", s.c.notes, "Branches below the target")
	over.warn("over_served_branch", s.c.notes, "Branches with more than 1.5 times the flow they need")
	back.warn("backwards_through_return", s.c.notes, "Returns through which water flows backwards into the supply")
	still.warn("standing_branch", s.c.notes, "Branches in which the water stands")
}

func (s *loopSimulation) warnPump() {
	q := s.solved.Flows.Q[pumpLink]
	switch {
	case s.gain.off() && len(s.draws) == 0 && s.sim.Elevation == nil:
		s.a.warn("no_elevations", "/pump", "The pump is off and no node elevations are given, so nothing drives the water; in a building gravity may.")
	case s.gain.off() && len(s.draws) == 0 && q > standsBelow:
		s.a.warn("gravity_flow", "/pump", fmt.Sprintf("With the pump off, gravity drives %.3g L/min round the loop, which loses heat day and night.", 6e4*q))
	case s.gain.off() && len(s.draws) == 0 && q < -standsBelow:
		s.a.warn("gravity_flow_reversed", "/pump", fmt.Sprintf("With the pump off, gravity drives %.3g L/min round the loop backwards. A check valve on the return stops it.", -6e4*q))
	case !s.gain.off() && q < -standsBelow:
		s.a.warn("pump_overrun_backwards", "/pump", fmt.Sprintf("The draws push %.3g L/min backwards through the running pump. A check valve on the return stops it.", -6e4*q))
	case !s.gain.off() && q <= standsBelow:
		s.a.warn("pump_against_closed_valves", "/pump", "The pump runs and moves no water: every way round is shut. It will overheat.")
	}
	if h := &s.c.g.System.Heater; h.Type.OnFlow() && len(s.draws) == 0 && q > standsBelow && q < h.ActivationFlow.CubicMetresPerSecond() {
		s.a.warn("below_activation_flow", systemPointer+"/heater/activation_flow", fmt.Sprintf("The loop carries %.3g L/min, less than makes the heater fire; it stays off and the loop cools down.", 6e4*q))
	}
}

// show is the working of the loop as a whole and of every connection.
func (s *loopSimulation) show() {
	if !s.work.wanted {
		return
	}
	add := func(subject, symbol, name string, value float64, dimension *quantity.Dimension, equation string, from source.ID) {
		if len(s.work.steps) < maxRows {
			s.work.add(Step{subject, symbol, name, value, dimension, equation, from})
		}
	}
	add("loop", "T_o", "temperature of the outlet", s.c.outlet.Kelvin(), quantity.TemperatureDimension, "given", "common_practice")
	for i := range s.a.Pipes {
		p := &s.a.Pipes[i]
		at := s.link[p.at]
		subject := "pipe " + p.Pipe
		add(subject, "q", "flow", p.Flow.CubicMetresPerSecond(), quantity.FlowDimension, "sum at every node = what is drawn", loop.GradientSource)
		add(subject, "dp", "pressure drop", p.Drop.Pascals(), quantity.PressureDimension, "dp = (f L/d + K) rho v^2/2 + (q/Kv)^2 rho/1000", hydraulic.DarcySource)
		add(subject, "U'", "UA by length, at the mean temperature", s.net.Links[at].UA/s.req.System.Pipes[p.at].Length.Metres(), quantity.LinearTransmittanceDimension, "U' = q'/(T_w - T_a)", loop.EnergySource)
		add(subject, "T_2", "temperature at its end", p.Outlet.Kelvin(), quantity.TemperatureDimension, "T_2 = T_a + (T_1 - T_a) exp(-U' L/(q rho c))", loop.EnergySource)
		if lift := s.solved.Lift[at]; lift != 0 {
			add(subject, "dp_g", "buoyancy", lift, quantity.PressureDimension, "dp_g = -(rho(T) - rho) g dz", loop.GradientSource)
		}
	}
	if s.req.Pump.Mode != pump.Off {
		add("pump", "H", "head at this flow", s.a.Pump.Head.Metres(), quantity.LengthDimension, "H = H(q) of the curve and the control", s.gain.source())
	}
	s.a.Working = s.work.steps
}
