package service

import (
	"recirc/calc/fault"
	"recirc/calc/loop"
	"recirc/calc/quantity"
)

// loopTarget is a target with the goal of every connection.
type loopTarget struct {
	at       TargetPlace
	heater   quantity.Temperature // where it is at the heater
	goals    []loop.Goal          // by connection; no temperature where the target is at the heater
	pointers []string             // by connection: where its goal is from
}

// defaultDrop below the heater's outlet; the greatest between a store's outlet and
// the return that W 551 allows.
var defaultDrop = quantity.KelvinDifference(5)

// target gives every connection its goal.
func (c *circuits) target(asked LoopTarget, faults *fault.List) loopTarget {
	if asked.At == "" {
		asked = LoopTarget{At: AtConnections, Drop: defaultDrop}
		c.notes.assume(Assumption{Code: "default_target", Detail: "No target is given; every return connection keeps a temperature at most this far below what leaves the heater.", Value: "5 K", Pointers: []string{""}, Source: "w_551_2004"})
	}
	T := asked.Temperature
	if T == (quantity.Temperature{}) {
		T = quantity.Kelvin(c.outlet.Kelvin() - asked.Drop.Kelvin())
	}
	n := len(c.loop.Connections)
	t := loopTarget{at: asked.At, goals: make([]loop.Goal, n), pointers: make([]string, n)}
	for i := range t.goals {
		t.pointers[i] = "/target"
		t.goals[i] = loop.Goal{Pipe: c.loop.Connections[i].Supply, Temperature: T}
		if asked.At == AtReturnEnds {
			t.goals[i].Pipe = c.ends[i]
		}
	}
	if asked.At == AtHeater {
		t.heater = T
	}
	return t
}

// require gives the least flows that keep the target, none below its floor in
// m3/s.
func (t *loopTarget) require(l *loop.Loop, floors []float64) (*loop.Required, error) {
	if t.at == AtHeater {
		r, _, err := l.RequireAtHeater(t.heater, floors)
		return r, err
	}
	for i := range t.goals {
		t.goals[i].LeastFlow = floors[i]
	}
	return l.Require(t.goals)
}
