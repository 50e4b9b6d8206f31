// Package loop designs and simulates the circulation of hot water: a supply
// tree whose ends return to the heater. It works on pipes with a hydraulic
// characteristic and a heat loss, whatever they are made of.
//
// Inside, flows are in m3/s, pressures in Pa and temperatures in K.
package loop

import (
	"math"

	"recirc/calc/hydraulic"
	"recirc/calc/quantity"
	"recirc/calc/source"
	"recirc/calc/water"
)

// None stands for the heater where a pipe has none before or behind it.
const None = int32(-1)

// Where the method is from.
const (
	EnergySource   source.ID = "flow_with_loss"
	GradientSource source.ID = "todini_pilati_1988"
)

// Loop is a supply tree with returns: water leaves the heater through supply
// pipes, turns at connections and comes back through return pipes.
type Loop struct {
	Pipes       []Pipe // supply pipes, each behind its feeder; then returns, each behind those that run into it
	Supplies    int    // how many of Pipes are supply
	Connections []Connection
	Outlet      quantity.Temperature // of the heater
	Water       water.Properties     // one for the whole loop
}

// Pipe is a run of pipe.
type Pipe struct {
	Next    int32 // supply: the pipe that feeds it; return: the pipe that it runs into
	Line    hydraulic.Pipe
	UA      float64 // of the whole run, W/K
	Ambient quantity.Temperature
}

// Connection is where a return starts: the end of a supply pipe. No other return
// starts there.
type Connection struct{ Supply, Return int32 }

// State is a loop with the flows of its connections.
type State struct {
	Flow    []float64 // by pipe, m3/s
	In, Out []float64 // by pipe, K
	Return  float64   // of the joined return at the heater, K; the outlet's if nothing flows
	Total   float64   // m3/s
}

// Carry gives the flow in every pipe
//
//	supply  sum over the connections behind it
//	return  sum over the connections before it
//
//	q  through each connection  m3/s
func (l *Loop) Carry(q []float64) []float64 {
	flow := make([]float64, len(l.Pipes))
	l.carry(q, flow)
	return flow
}

func (l *Loop) carry(q, flow []float64) {
	clear(flow)
	for i, c := range l.Connections {
		flow[c.Supply] += q[i]
		flow[c.Return] += q[i]
	}
	for p := l.Supplies - 1; p >= 0; p-- {
		if next := l.Pipes[p].Next; next != None {
			flow[next] += flow[p]
		}
	}
	for p := l.Supplies; p < len(l.Pipes); p++ {
		if next := l.Pipes[p].Next; next != None {
			flow[next] += flow[p]
		}
	}
}

// Temperatures gives the temperatures in every pipe with flows from the heater
// out and back
//
//	Tout = Ta + (Tin - Ta) exp(-N),  N = UA/(q rho cp)
//	Tin  of the pipe before it; of what runs together, mixed by flow
//
//	q  through each connection, not below zero  m3/s
//
// In a pipe without flow, and behind it, the water has the ambient temperature.
//
// Source: energy balance, as [recirc/calc/heat.TemperatureAlong].
func (l *Loop) Temperatures(q []float64) *State {
	s := &State{Flow: l.Carry(q), In: make([]float64, len(l.Pipes)), Out: make([]float64, len(l.Pipes))}
	l.temperatures(s)
	return s
}

func (l *Loop) temperatures(s *State) {
	for p := range l.Supplies {
		s.In[p] = l.Outlet.Kelvin()
		if next := l.Pipes[p].Next; next != None {
			s.In[p] = s.Out[next]
		}
		s.Out[p] = l.fall(p, s)
	}
	clear(s.In[l.Supplies:]) // gathers flow times temperature
	for _, c := range l.Connections {
		s.In[c.Return] = s.Out[c.Supply] * s.Flow[c.Return]
	}
	total, heat := 0.0, 0.0
	for p := l.Supplies; p < len(l.Pipes); p++ {
		if q := s.Flow[p]; q > 0 {
			s.In[p] /= q
		} else {
			s.In[p] = l.Pipes[p].Ambient.Kelvin()
		}
		s.Out[p] = l.fall(p, s)
		if next := l.Pipes[p].Next; next != None {
			s.In[next] += s.Flow[p] * s.Out[p]
		} else {
			total, heat = total+s.Flow[p], heat+s.Flow[p]*s.Out[p]
		}
	}
	s.Total, s.Return = total, l.Outlet.Kelvin()
	if total > 0 {
		s.Return = heat / total
	}
}

func (l *Loop) fall(p int, s *State) float64 {
	Ta := l.Pipes[p].Ambient.Kelvin()
	return Ta + (s.In[p]-Ta)*l.kept(p, s.Flow[p])
}

// kept is the share of the excess temperature that is left at the end of a pipe.
func (l *Loop) kept(p int, q float64) float64 {
	if q <= 0 {
		return 0
	}
	return math.Exp(-l.Pipes[p].UA / (q * l.Water.VolumetricHeat()))
}

// HeatLoss of a pipe, W; below zero if the water is warmed.
func (l *Loop) HeatLoss(s *State, p int) float64 {
	return s.Flow[p] * l.Water.VolumetricHeat() * (s.In[p] - s.Out[p])
}

// ReturnEnds gives, by connection, the last pipe of its own return: behind it
// other returns run in, or it ends at the heater.
func (l *Loop) ReturnEnds() []int32 {
	into := make([]int32, len(l.Pipes))
	for p := l.Supplies; p < len(l.Pipes); p++ {
		if next := l.Pipes[p].Next; next != None {
			into[next]++
		}
	}
	ends := make([]int32, len(l.Connections))
	for i, c := range l.Connections {
		p := c.Return
		for next := l.Pipes[p].Next; next != None && into[next] == 1; next = l.Pipes[p].Next {
			p = next
		}
		ends[i] = p
	}
	return ends
}
