package service_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/network"
	"recirc/service"
)

// TestDesignIsWhatTheSimulationFinds: a loop that is built as designed, with its
// pump at the duty, runs as designed. Two solvers that share no equation of the
// network meet: a sweep along trees, and the global gradient method.
func TestDesignIsWhatTheSimulationFinds(t *testing.T) {
	for title, s := range loops() {
		for _, target := range []service.LoopTarget{drop(3), {At: service.AtReturnEnds, Drop: drop(5).Drop}, atHeater(5)} {
			t.Run(title+" "+string(target.At), func(t *testing.T) {
				d := design(t, service.LoopDesignRequest{System: s, Target: target})
				stands := built(s, d)
				for _, p := range []service.LoopPump{held(d.Duty.Head), through(d.Duty)} {
					compareWithDesign(t, d, simulate(t, service.LoopSimulationRequest{System: stands, Pump: p, Target: target}))
				}
			})
		}
	}
}

func compareWithDesign(t rapid.TB, d *service.LoopDesignAnswer, a *service.LoopSimulationAnswer) {
	t.Helper()
	const relative, kelvin = 1e-6, 1e-4
	if len(a.Pipes) != len(d.Pipes) || len(a.Connections) != len(d.Connections) {
		t.Fatalf("%d pipes and %d connections, designed were %d and %d", len(a.Pipes), len(a.Connections), len(d.Pipes), len(d.Connections))
	}
	for i := range d.Pipes {
		p, q := &d.Pipes[i], &a.Pipes[i]
		if p.Pipe != q.Pipe || !near(q.Flow.CubicMetresPerSecond(), p.Flow.CubicMetresPerSecond(), relative) {
			t.Errorf("%s carries %v, designed %v", q.Pipe, q.Flow, p.Flow)
		}
		if math.Abs(q.Inlet.Kelvin()-p.Inlet.Kelvin()) > kelvin || math.Abs(q.Outlet.Kelvin()-p.Outlet.Kelvin()) > kelvin {
			t.Errorf("%s from %v to %v, designed from %v to %v", q.Pipe, q.Inlet, q.Outlet, p.Inlet, p.Outlet)
		}
		if !near(q.Drop.Pascals(), p.Drop.Pascals(), 1e-5) {
			t.Errorf("%s takes %v, designed %v", q.Pipe, q.Drop, p.Drop)
		}
	}
	for i := range d.Connections {
		c, r := &d.Connections[i], &a.Connections[i]
		served := r.State == service.Served || r.State == service.OverServed && c.GovernedBy != service.FloorHeatLoss
		if c.Pipe != r.Pipe || c.Node != r.Node || !served || c.Length != r.Length {
			t.Errorf("%s at %s is %s, designed was %s at %s by %s", r.Pipe, r.Node, r.State, c.Pipe, c.Node, c.GovernedBy)
		}
	}
	if a.Balance.Mass > 1e-9 || a.Balance.Pressure > 1e-9 || a.Balance.Energy > 1e-9 {
		t.Errorf("the solution closes to %+v", a.Balance)
	}
	sameNodes(t, d, a)
}

// sameNodes: temperatures and pressures of nodes, whatever their order.
func sameNodes(t rapid.TB, d *service.LoopDesignAnswer, a *service.LoopSimulationAnswer) {
	t.Helper()
	at := map[string]service.LoopNode{}
	for _, n := range a.Nodes {
		at[n.Node] = n
	}
	if len(at) != len(d.Nodes) {
		t.Errorf("%d nodes, designed were %d", len(at), len(d.Nodes))
	}
	for _, n := range d.Nodes {
		m := at[n.Node]
		if math.Abs(m.Temperature.Kelvin()-n.Temperature.Kelvin()) > 1e-4 || math.Abs(m.Pressure.Pascals()-n.Pressure.Pascals()) > 1e-5*d.Duty.Pressure.Pascals() {
			t.Errorf("node %s: %v and %v, designed %v and %v", n.Node, m.Temperature, m.Pressure, n.Temperature, n.Pressure)
		}
	}
}

// TestEqualBranchesNeedNoThrottling: where circuits are equal, no valve has
// anything to take, and each is told as open.
func TestEqualBranchesNeedNoThrottling(t *testing.T) {
	for _, valve := range [][]network.Valve{nil, {{Type: "balancing"}}, {balancing(2)}} {
		s := house(supply("main", "heater", "foot", 5, copper("28x1.5")))
		for i := range 4 {
			s.Pipes = append(s.Pipes,
				supply(name("riser", i), "foot", name("top", i), 6, copper("22x1")),
				back(name("return", i), name("top", i), "low", 6, openCopper(), valve...))
		}
		s.Pipes = append(s.Pipes, back("home", "low", "heater", 5, openCopper(), check()))
		d := design(t, service.LoopDesignRequest{System: s, Target: drop(3)})
		for _, c := range d.Connections {
			if c.Valve.Setting != service.ValveOpen {
				t.Errorf("with %d valves each, that of %s is %s with Kv %v", len(valve), c.Pipe, c.Valve.Setting, c.Valve.Kv.SI())
			}
		}
	}
}
