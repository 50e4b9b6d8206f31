package service

import (
	"fmt"

	"recirc/calc/fault"
	"recirc/calc/hydraulic"
	"recirc/calc/loop"
	"recirc/calc/pump"
	"recirc/calc/quantity"
)

// measured is one temperature at the end of the return of a connection.
type measured struct {
	connection  int
	temperature quantity.Temperature
}

// checkMeasured finds the connections that were measured.
func (s *loopSimulation) checkMeasured(faults *fault.List) {
	of := s.c.connections()
	for i, m := range s.req.Measured {
		if at, ok := s.c.connectionCalled(of, m.Pipe, listPointer("/measured_returns", i, "/pipe"), faults); ok {
			s.measured = append(s.measured, measured{at, m.Temperature})
		}
	}
}

// asNeeded is how far a flow may be from the needed one and be left alone. Common
// practice: balancing to 10 %.
const asNeeded = 0.10

// fit estimates flows from measured return temperatures
//
//	T(q) = T measured  at the end of the return of every measured connection
//
// Connections without a measurement keep their simulated flow.
func (s *loopSimulation) fit() {
	if len(s.measured) == 0 {
		return
	}
	goals := s.fitGoals()
	flow, err := s.fitFlows(goals)
	s.a.Fit = make([]FittedConnection, len(s.measured))
	for n, m := range s.measured {
		r := &s.a.Fit[n]
		*r = FittedConnection{Pipe: s.c.connectionName(m.connection), Measured: m.temperature, Change: "measure_again"}
		if s.needed != nil {
			r.Needed = quantity.CubicMetresPerSecond(s.needed[m.connection])
		}
		if err != nil || goals[m.connection].LeastFlow > 0 {
			r.Detail = "No flow explains this temperature: it is not between that of the surroundings and that of the heater's outlet. Measure again, and look at the insulation and for air."
			continue
		}
		r.Flow = quantity.CubicMetresPerSecond(flow[m.connection])
		s.advise(r)
	}
	if err == nil {
		s.fitValves(flow)
	}
}

// fitGoals asks for the measured temperatures where flows can explain them, and
// for the simulated flow elsewhere.
func (s *loopSimulation) fitGoals() []loop.Goal {
	warmest := make([]float64, len(s.c.pipes)) // surroundings up to the end of a supply pipe
	for i := range s.c.loop.Supplies {
		warmest[i] = s.c.loop.Pipes[i].Ambient.Kelvin()
		if next := s.c.loop.Pipes[i].Next; next != loop.None {
			warmest[i] = max(warmest[i], warmest[next])
		}
	}
	goals := make([]loop.Goal, len(s.c.loop.Connections))
	for i, k := range s.c.loop.Connections {
		goals[i] = loop.Goal{
			Pipe: k.Supply, Temperature: quantity.Kelvin(warmest[k.Supply] + fitApart),
			LeastFlow: max(s.flow(s.c.part.Connections[i].Return), standsBelow),
		}
	}
	for _, m := range s.measured {
		k, end := s.c.loop.Connections[m.connection], s.c.ends[m.connection]
		around := warmest[k.Supply]
		for i := k.Return; ; i = s.c.loop.Pipes[i].Next {
			around = max(around, s.c.loop.Pipes[i].Ambient.Kelvin())
			if i == end {
				break
			}
		}
		if T := m.temperature.Kelvin(); T > around+fitApart && T < s.c.outlet.Kelvin()-fitApart {
			goals[m.connection] = loop.Goal{Pipe: end, Temperature: m.temperature}
		}
	}
	return goals
}

// fitApart is how far a measured temperature must be from either end to say
// anything about a flow, K.
const fitApart = 0.05

// mostFitRounds ends a fit that comes nearer by a third a round, as in the transition
// of the film, when nothing is left to find.
const mostFitRounds = 60

// fitFlows finds the flows, with the heat losses that belong to them.
func (s *loopSimulation) fitFlows(goals []loop.Goal) ([]float64, error) {
	for round := 0; ; round++ {
		r, err := s.c.loop.Require(goals)
		if err != nil {
			return nil, err
		}
		change, err := s.c.setHeat(s.c.loop.Temperatures(r.Flow))
		if err != nil || change < 1e-9 || round == mostFitRounds {
			return r.Flow, err
		}
	}
}

// advise says what to do with the valve of a connection.
func (s *loopSimulation) advise(r *FittedConnection) {
	flow, needed := r.Flow.CubicMetresPerSecond(), r.Needed.CubicMetresPerSecond()
	switch {
	case needed == 0:
		r.Change, r.Detail = "leave", "The target cannot be kept by any flow, so there is nothing to compare with."
	case flow < needed*(1-asNeeded):
		r.Change, r.Detail = "open", fmt.Sprintf("It carries %.3g L/min and needs %.3g: open its valve, or close those of branches that carry too much.", 6e4*flow, 6e4*needed)
	case flow > needed*(1+asNeeded):
		r.Change, r.Detail = "close", fmt.Sprintf("It carries %.3g L/min and needs %.3g: close its valve.", 6e4*flow, 6e4*needed)
	default:
		r.Change, r.Detail = "leave", fmt.Sprintf("It carries %.3g L/min, within 10 %% of the %.3g needed.", 6e4*flow, 6e4*needed)
	}
}

// fitValves finds the flow coefficients of valves, now and wanted, where the
// pump's curve tells the pressure.
func (s *loopSimulation) fitValves(flow []float64) {
	if s.req.Pump.Mode == pump.Off {
		return
	}
	now := s.valvesFor(flow)
	var wanted []quantity.FlowCoefficient
	if s.needed != nil {
		wanted = s.valvesFor(s.needed)
	}
	for n, m := range s.measured {
		if r := &s.a.Fit[n]; r.Flow != (quantity.Flow{}) {
			r.Kv = now[m.connection]
			if wanted != nil && r.Change != "leave" {
				r.WantedKv = wanted[m.connection]
			}
			if r.Change == "open" && r.WantedKv.SI() > 0 && r.WantedKv.SI() <= r.Kv.SI() {
				r.Change = "leave" // the others take its flow
				r.Detail = fmt.Sprintf("It carries %.3g L/min and needs %.3g, and gets it once the valves of branches that carry too much are closed; its own is open enough.", 6e4*r.Flow.CubicMetresPerSecond(), 6e4*r.Needed.CubicMetresPerSecond())
			}
		}
	}
}

// valvesFor gives the flow coefficient of every balancing valve with which flows
// come about at the pump's head; zero where the pump is too weak, or gives so
// much more than the curve says that no valve explains it.
func (s *loopSimulation) valvesFor(flow []float64) []quantity.FlowCoefficient {
	kv := make([]quantity.FlowCoefficient, len(flow))
	s.c.setLines()
	total := s.c.loop.Temperatures(flow).Total
	if s.gain.check(total) != nil {
		return kv
	}
	gain, _ := s.gain.at(total)
	b, err := s.c.loop.Balance(flow, make([]quantity.FlowCoefficient, len(flow)), s.c.commonDrop(total, s.mixing))
	if err != nil {
		return kv
	}
	for i, q := range flow {
		if left := gain - b.Circuit[i]; left > 0 {
			kv[i] = hydraulic.KvFor(quantity.CubicMetresPerSecond(q), quantity.Pascals(left), s.c.fluid())
		}
	}
	return kv
}
