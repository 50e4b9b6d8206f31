package service

import (
	"fmt"

	"recirc/calc/fault"
	"recirc/calc/fixture"
	"recirc/calc/hydraulic"
	"recirc/calc/loop"
	"recirc/calc/network"
	"recirc/calc/quantity"
)

// LoopSimulation finds flows and temperatures of a loop as it stands. It gives
// nil and adds to faults if the system is wrong or cannot be solved.
func LoopSimulation(req *LoopSimulationRequest, faults *fault.List) *LoopSimulationAnswer {
	g := network.Build(&req.System, systemPointer, faults)
	if g == nil {
		return nil
	}
	s := loopSimulation{req: req, a: &LoopSimulationAnswer{}, work: working{wanted: req.ShowWorking}}
	if s.c = newCircuits(g, req.Losses, &s.a.Notes, faults); s.c == nil {
		return nil
	}
	s.a.noteGallon(req.USGallon)
	s.target = s.c.target(req.Target, faults)
	s.sizing = newSizing(s.c, ReturnSizing{Rule: req.VelocityRule}, faults)
	s.findDraws(faults)
	s.findPump(faults)
	s.checkMeasured(faults)
	if faults.Empty() {
		s.lay(faults)
	}
	if !faults.Empty() {
		return nil
	}
	if err := s.solve(); err != nil {
		s.fault(err, faults)
		return nil
	}
	s.answer()
	return s.a
}

// loopSimulation is one request on its way to an answer.
type loopSimulation struct {
	req    *LoopSimulationRequest
	c      *circuits
	a      *LoopSimulationAnswer
	work   working
	target loopTarget
	sizing *sizing

	draws    []openTap
	gain     pumpGain
	measured []measured

	net    loop.Network
	sim    loop.Simulation
	solved *loop.Simulated
	links  []linkOf // by link of the network
	link   []int32  // by pipe of the graph, or loop.None
	stats  []int32  // by connection: its thermostat, or loop.None
	joined int32    // the node of the joined return
	mixing *MixingState
	needed []float64 // by connection, m3/s; nil: the target cannot be kept
}

// linkOf is what a link stands for: a pipe of the graph with its thermal model,
// the heater or the pump.
type linkOf struct {
	pipe       int32 // or loop.None
	line       hydraulic.Pipe
	thermal    *warmPipe
	thermostat int32 // on it, or loop.None
}

// The links that every network begins with.
const (
	heaterLink = 0
	pumpLink   = 1
)

// openTap is a fixture that draws.
type openTap struct {
	fixture int
	flow    quantity.Flow
}

// findDraws finds the fixtures that draw and their flows.
func (s *loopSimulation) findDraws(faults *fault.List) {
	of := make(map[string]int, len(s.req.System.Fixtures))
	for i := range s.req.System.Fixtures {
		of[s.req.System.Fixtures[i].ID] = i
	}
	for i, d := range s.req.Draws {
		f, ok := of[d.Fixture]
		if !ok {
			if d.Fixture != "" {
				faults.Add(listPointer("/draws", i, "/fixture"), fault.FixtureUnknown, "The system has no fixture %q.", d.Fixture)
			}
			continue
		}
		at := openTap{f, d.Flow}
		if at.flow == (quantity.Flow{}) {
			at.flow = s.usualFlow(i, &s.req.System.Fixtures[f], faults)
		}
		s.draws = append(s.draws, at)
	}
}

// usualFlow is the hot flow of a fixture, its own or that of its type.
func (s *loopSimulation) usualFlow(i int, f *network.Fixture, faults *fault.List) quantity.Flow {
	if f.HotFlow != (quantity.Flow{}) {
		return f.HotFlow
	}
	t, _ := fixture.Find(f.Type)
	if !t.HasDefault {
		faults.Add(listPointer("/draws", i, "/flow"), fault.HotFlowMissing, "Fixture %q is of type %s, which has no default flow; give flow.", f.ID, f.Type)
		return quantity.Flow{}
	}
	s.a.assume(Assumption{Code: "default_hot_flow", Detail: fmt.Sprintf("Fixture %q gives no hot flow and draws the design flow of its type.", f.ID), Value: t.PublishedFlow, Pointers: []string{listPointer("/draws", i, "")}, Source: t.Source})
	return t.DefaultHotFlow
}

// solve finds flows and temperatures.
func (s *loopSimulation) solve() error {
	if err := s.c.warm(s.c.outlet); err != nil {
		return err
	}
	s.setCurves()
	for i := range s.links {
		if p := s.links[i].pipe; p != loop.None {
			if err := s.c.stand(s.links[i].thermal); err != nil {
				return &pipeError{p, err}
			}
			if err := s.setHeat(i, s.c.outlet.Kelvin(), 0); err != nil {
				return err
			}
		}
	}
	var err error
	if s.solved, err = s.sim.Run(); err != nil {
		return err
	}
	return s.gain.check(s.solved.Flows.Q[pumpLink])
}

// setCurves makes the characteristics for the present water.
func (s *loopSimulation) setCurves() {
	fluid := s.c.fluid()
	s.gain.density = fluid.Density
	s.sim.Water = s.c.loop.Water
	for i := range s.links {
		if s.links[i].pipe != loop.None {
			s.net.Links[i].Curve = s.links[i].line.Curve(fluid)
		}
	}
	common := hydraulic.Pipe{Kv: s.c.heaterKv()}
	if m := s.mixing; m != nil {
		if share := m.HeaterShare; share > 0 {
			common.Kv = quantity.FlowCoefficientSI(common.Kv.SI() / share)
		} else {
			common.Kv = quantity.FlowCoefficient{}
		}
		common.Kv = hydraulic.SeriesKv(common.Kv, s.c.g.System.MixingValve.Kv)
	}
	s.net.Links[heaterLink].Curve = common.Curve(fluid)
}

func (s *loopSimulation) setHeat(i int, T, flow float64) (err error) {
	l := &s.net.Links[i]
	l.UA, l.Ambient, err = s.c.heatOf(s.links[i].pipe, s.links[i].thermal, T, flow)
	return err
}
