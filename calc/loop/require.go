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
// it shares with others. There is one solution, since what a part of the tree asks
// for falls as the water that enters it is warmer. Newton's method finds it; its
// equations follow the tree and cost one sweep in and one out. A connection whose
// goal others keep has its least flow, 1e-12 m3/s if that is zero.
//
// Errors: a [*ReachError], or [ErrNotFound].
//
// Source: energy balance of every pipe; the sweep is ours.
func (l *Loop) Require(goals []Goal) (*Required, error) {
	t := l.newTree(goals)
	if err := t.reachable(); err != nil {
		return nil, err
	}
	t.start()
	if !t.newton() {
		return nil, ErrNotFound
	}
	return &Required{Flow: t.flow, ByHeat: t.byHeat}, nil
}

// RequireAtHeater gives the least flows with which the joined return at the
// heater keeps a temperature while all connections are equally warm, and that
// temperature of the connections. Connections that have their least flow, as in
// [Loop.Require], may be warmer. No connection is let colder than the return: where
// that alone keeps the return warmer, it is.
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
		var err error
		if r, err = l.Require(goals); err != nil {
			failed = err
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
	if excess(low) >= 0 { // warm water of least flows makes up for the returns' losses
		return r, quantity.Kelvin(low), nil
	}
	T, err := solve.Root(excess, low, high, 1e-14, 100)
	if failed != nil {
		return nil, quantity.Temperature{}, failed
	}
	excess(T)
	return r, quantity.Kelvin(T), err
}
