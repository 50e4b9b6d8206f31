package loop

import (
	"errors"
	"fmt"
	"math"

	"recirc/calc/internal/solve"
	"recirc/calc/quantity"
)

// Goal is what one connection shall keep.
type Goal struct {
	Pipe        int32                // at whose end: the supply pipe, or one of the connection's own return
	Temperature quantity.Temperature // least
	LeastFlow   float64              // m3/s
}

// Required is what the goals ask for.
type Required struct {
	Flow   []float64 // by connection, m3/s
	ByHeat []bool    // by connection: the temperature governs, not the least flow
}

// ReachError is a goal that no flow reaches: it is not below the temperature of
// the heater's outlet, or not above that around some pipe on the way.
type ReachError struct {
	Connection int
	Pipe       int32 // whose surroundings are too warm; None: the outlet is too cold
}

func (e *ReachError) Error() string {
	return fmt.Sprintf("loop.Require: the temperature of connection %d is out of reach", e.Connection)
}

// ErrNotFound is a search that found no flows; none is known that does.
var ErrNotFound = errors.New("loop.Require: no flows were found")

// apart is by how much temperatures must differ to be apart, K. Nearer than that
// the flow is beyond any pipe.
const apart = 1e-3

// Require gives the least flows with which every connection keeps its goal
//
//	T(q) >= T*,  q >= q least,  one of the two an equality at every connection
//
//	T   at the end of the goal's pipe, by the temperatures of [Loop.Temperatures]
//	T*  above the ambient temperature of every pipe on the way, below the outlet's
//
// The flows are coupled: water on its way to one connection warms the pipes that
// it shares with others. Newton's method, whose equations follow the tree and
// cost one sweep in and one out; in the logarithm of the flow, so that no step
// leaves the positive side.
//
// Errors: a [*ReachError], or [ErrNotFound].
//
// Source: energy balance of every pipe; the sweep is ours.
func (l *Loop) Require(goals []Goal) (*Required, error) {
	t := l.newTree(goals)
	if err := t.reachable(); err != nil {
		return nil, err
	}
	t.spare()
	t.start()
	for range mostRounds {
		if t.round() {
			return t.required(), nil
		}
	}
	return nil, ErrNotFound
}

// required is the flows found; a connection that needs none has none.
func (t *tree) required() *Required {
	for c, q := range t.flow {
		if q <= leastQ {
			t.flow[c] = t.goals[c].LeastFlow
		}
	}
	return &Required{Flow: t.flow, ByHeat: t.byHeat}
}

// RequireAtHeater gives the least flows with which the joined return at the
// heater keeps a temperature while all connections are equally warm, and that
// temperature of the connections. Least flows of connections hold as in
// [Loop.Require].
//
// Errors: a [*ReachError], or [ErrNotFound].
func (l *Loop) RequireAtHeater(least quantity.Temperature, leastFlow []float64) (*Required, quantity.Temperature, error) {
	goals := make([]Goal, len(l.Connections))
	var r *Required
	var failed error
	excess := func(T float64) float64 {
		for i := range goals {
			goals[i] = Goal{l.Connections[i].Supply, quantity.Kelvin(T), leastFlow[i]}
		}
		if r, failed = l.Require(goals); failed != nil {
			return math.NaN()
		}
		return l.Temperatures(r.Flow).Return - least.Kelvin()
	}
	low := least.Kelvin()
	for p := range l.Supplies {
		low = max(low, l.Pipes[p].Ambient.Kelvin()+2*apart)
	}
	high := l.Outlet.Kelvin() - apart
	if high <= low || excess(high) < 0 {
		return nil, quantity.Temperature{}, &ReachError{Connection: 0, Pipe: None}
	}
	if excess(low) >= 0 { // least flows alone keep it
		return r, quantity.Kelvin(low), failed
	}
	T, err := solve.Root(excess, low, high, 1e-14, 100)
	if failed != nil {
		return nil, quantity.Temperature{}, failed
	}
	excess(T)
	return r, quantity.Kelvin(T), err
}

const (
	mostRounds  = 200
	leastQ      = 1e-15 // m3/s: what a search may pass through
	closeEnough = 1e-10 // K
	steady      = 1e-12 // relative, of a flow
)

// tree is the pipes up to where the goals hold.
type tree struct {
	l      *Loop
	goals  []Goal
	pipes  []branch // each behind its feeder
	end    []int32  // by connection: the branch at whose end its goal holds
	flow   []float64
	byHeat []bool
	idle   []bool // by connection: one behind it asks for no less, so its own goal never governs

	conduct float64 // rho cp
}

// branch is one pipe in the equations.
type branch struct {
	pipe, feeder int32 // feeder: of branches
	connection   int32 // whose goal holds at its end, or None
	Q, T         float64

	kept, gain  float64 // dT/dT in, dT/dQ
	alpha, beta float64 // dQ = alpha + beta dT in
	sumA, sumB  float64 // the same of all that hangs on its end
	dQ, dT      float64
}

func (l *Loop) newTree(goals []Goal) *tree {
	n := len(l.Connections)
	t := &tree{l: l, goals: goals, end: make([]int32, n), flow: make([]float64, n), byHeat: make([]bool, n), idle: make([]bool, n), conduct: l.Water.VolumetricHeat()}
	t.pipes = make([]branch, l.Supplies, len(l.Pipes))
	for p := range t.pipes {
		t.pipes[p] = branch{pipe: int32(p), feeder: l.Pipes[p].Next, connection: None}
	}
	for i, c := range l.Connections {
		at := c.Supply
		for p := c.Return; at != goals[i].Pipe && (at < int32(l.Supplies) || t.pipes[at].pipe != goals[i].Pipe); p = l.Pipes[p].Next {
			t.pipes = append(t.pipes, branch{pipe: p, feeder: at, connection: None})
			at = int32(len(t.pipes) - 1)
		}
		t.pipes[at].connection = int32(i)
		t.end[i] = at
	}
	return t
}

func (t *tree) pipe(b *branch) *Pipe { return &t.l.Pipes[b.pipe] }

// reachable checks every goal against the outlet and the surroundings on its way.
func (t *tree) reachable() error {
	warmest := make([]int32, len(t.pipes)) // of the pipes up to here, the one with the warmest surroundings
	for i := range t.pipes {
		b := &t.pipes[i]
		warmest[i] = b.pipe
		if b.feeder != None && t.l.Pipes[warmest[b.feeder]].Ambient.Kelvin() > t.pipe(b).Ambient.Kelvin() {
			warmest[i] = warmest[b.feeder]
		}
		if b.connection == None {
			continue
		}
		goal := t.goals[b.connection].Temperature.Kelvin()
		if goal > t.l.Outlet.Kelvin()-apart {
			return &ReachError{int(b.connection), None}
		}
		if goal < t.l.Pipes[warmest[i]].Ambient.Kelvin()+apart {
			return &ReachError{int(b.connection), warmest[i]}
		}
	}
	return nil
}

// spare marks the goals that never govern: water falls in temperature on its way,
// so where a connection further on keeps a goal, those before it are warmer. Left
// among the equations, two such goals would ask for an endless flow.
func (t *tree) spare() {
	asked := make([]float64, len(t.pipes)) // the greatest goal behind the end of a branch
	for i := len(t.pipes) - 1; i >= 0; i-- {
		b := &t.pipes[i]
		if c := b.connection; c != None {
			goal := t.goals[c].Temperature.Kelvin()
			t.idle[c] = asked[i] >= goal
			asked[i] = max(asked[i], goal)
		}
		if b.feeder != None {
			asked[b.feeder] = max(asked[b.feeder], asked[i])
		}
	}
}

// start takes the flow that each goal would ask for if its way were its own and
// losses did not fall along it.
func (t *tree) start() {
	loss, users := make([]float64, len(t.pipes)), make([]int, len(t.pipes))
	for i := len(t.pipes) - 1; i >= 0; i-- {
		if t.pipes[i].connection != None {
			users[i]++
		}
		if f := t.pipes[i].feeder; f != None {
			users[f] += users[i]
		}
	}
	for i := range t.pipes {
		b := &t.pipes[i]
		loss[i] = t.pipe(b).UA * (t.l.Outlet.Kelvin() - t.pipe(b).Ambient.Kelvin()) / float64(max(1, users[i]))
		if b.feeder != None {
			loss[i] += loss[b.feeder]
		}
		if c := b.connection; c != None {
			t.byHeat[c] = !t.idle[c]
			if t.idle[c] {
				t.flow[c] = t.floor(int(c))
				continue
			}
			t.flow[c] = max(loss[i]/(t.conduct*(t.l.Outlet.Kelvin()-t.goals[c].Temperature.Kelvin())), t.floor(int(c)))
		}
	}
}

// round makes one step and reports whether none was needed.
func (t *tree) round() bool {
	t.evaluate()
	switched := t.choose()
	t.sweepIn()
	change := t.sweepOut()
	return !switched && change <= steady && t.met()
}

// evaluate finds flows and temperatures, and how the temperatures would change.
func (t *tree) evaluate() {
	for i := range t.pipes {
		t.pipes[i].Q = 0
	}
	for c, at := range t.end {
		t.pipes[at].Q += t.flow[c]
	}
	for i := len(t.pipes) - 1; i >= 0; i-- {
		if b := &t.pipes[i]; b.feeder != None {
			t.pipes[b.feeder].Q += b.Q
		}
	}
	for i := range t.pipes {
		b := &t.pipes[i]
		in, Ta := t.l.Outlet.Kelvin(), t.pipe(b).Ambient.Kelvin()
		if b.feeder != None {
			in = t.pipes[b.feeder].T
		}
		N := t.pipe(b).UA / (b.Q * t.conduct)
		b.kept = math.Exp(-N)
		b.T = Ta + (in-Ta)*b.kept
		b.gain = max(0, (in-Ta)*b.kept*N/b.Q)
		if c := b.connection; c != None { // where its own pipe loses next to nothing, those before it must move the goal
			b.gain = max(b.gain, 1e-6*(t.l.Outlet.Kelvin()-t.goals[c].Temperature.Kelvin())/b.Q)
		}
	}
}

// choose decides at each connection what governs.
func (t *tree) choose() (switched bool) {
	for c, at := range t.end {
		b := &t.pipes[at]
		short := t.goals[c].Temperature.Kelvin() - b.T
		heat := t.byHeat[c]
		switch {
		case heat && short < 0 && t.flow[c] <= t.floor(c):
			heat = false
		case !heat && !t.idle[c] && short > closeEnough:
			heat = true
		}
		if heat != t.byHeat[c] {
			t.byHeat[c], switched = heat, true
		}
	}
	return switched
}

// sweepIn writes the flow of each branch as a line in its inlet temperature.
func (t *tree) sweepIn() {
	for i := range t.pipes {
		t.pipes[i].sumA, t.pipes[i].sumB = 0, 0
	}
	for i := len(t.pipes) - 1; i >= 0; i-- {
		b := &t.pipes[i]
		if c := b.connection; c != None && t.byHeat[c] {
			b.alpha, b.beta = (t.goals[c].Temperature.Kelvin()-b.T)/b.gain, -b.kept/b.gain
		} else {
			if c != None {
				b.sumA += t.floor(int(c)) - t.flow[c]
			}
			d := 1 - b.sumB*b.gain // at least 1
			b.alpha, b.beta = b.sumA/d, b.sumB*b.kept/d
		}
		if b.feeder != None {
			f := &t.pipes[b.feeder]
			f.sumA, f.sumB = f.sumA+b.alpha, f.sumB+b.beta
		}
	}
}

// sweepOut makes the step. It gives the greatest relative change of a flow.
func (t *tree) sweepOut() (greatest float64) {
	for i := range t.pipes {
		b := &t.pipes[i]
		dIn := 0.0
		if b.feeder != None {
			dIn = t.pipes[b.feeder].dT
		}
		b.dQ = b.alpha + b.beta*dIn
		b.dT = b.kept*dIn + b.gain*b.dQ
		c := b.connection
		if c == None {
			continue
		}
		dq := t.floor(int(c)) - t.flow[c]
		if t.byHeat[c] {
			dq = b.dQ - b.sumA - b.sumB*b.dT
		}
		greatest = max(greatest, t.step(int(c), dq))
	}
	return greatest
}

// step moves one flow by at most a factor of four.
func (t *tree) step(c int, dq float64) float64 {
	q := t.flow[c]
	t.flow[c] = max(min(q+dq, 4*q), q/4, t.floor(c))
	return math.Abs(t.flow[c]-q) / max(q, leastQ)
}

// floor is the least flow of a connection that the search looks at.
func (t *tree) floor(c int) float64 {
	if t.idle[c] {
		return t.goals[c].LeastFlow
	}
	return max(t.goals[c].LeastFlow, leastQ)
}

func (t *tree) met() bool {
	t.evaluate()
	for c, at := range t.end {
		short := t.goals[c].Temperature.Kelvin() - t.pipes[at].T
		if short > 10*closeEnough || t.byHeat[c] && t.flow[c] > t.floor(c) && short < -10*closeEnough {
			return false
		}
	}
	return true
}
