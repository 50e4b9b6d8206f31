package loop

import (
	"errors"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/quantity"
)

// warmest is the warmest surroundings on the way from the heater to the end of a
// pipe, on the return of a connection if it is one.
func (l *Loop) warmest(c Connection, end int32) float64 {
	most := math.Inf(-1)
	for p := c.Supply; p != None; p = l.Pipes[p].Next {
		if p == end {
			most = math.Inf(-1)
		}
		most = max(most, l.Pipes[p].Ambient.Kelvin())
	}
	if int(end) < l.Supplies {
		return most
	}
	for p := c.Return; ; p = l.Pipes[p].Next {
		most = max(most, l.Pipes[p].Ambient.Kelvin())
		if p == end {
			return most
		}
	}
}

// drawGoals draws where each goal holds, how warm and with what least flow; some
// are a hair from what can be reached.
func drawGoals(t *rapid.T, l *Loop) []Goal {
	goals, ends := make([]Goal, len(l.Connections)), l.ReturnEnds()
	hair := rapid.SampledFrom([]float64{1.01 * apart, 0.01, 0.5}).Draw(t, "hair")
	for i, c := range l.Connections {
		at := []int32{c.Supply, c.Return, ends[i]}[rapid.IntRange(0, 2).Draw(t, "where")]
		low, high := l.warmest(c, at)+hair, l.Outlet.Kelvin()-hair
		share := rapid.SampledFrom([]float64{0, 1, rapid.Float64Range(0, 1).Draw(t, "share"), 0.8}).Draw(t, "goal")
		goals[i] = Goal{Pipe: at, Temperature: quantity.Kelvin(low + share*(high-low))}
		if rapid.IntRange(0, 2).Draw(t, "floored") == 0 {
			goals[i].LeastFlow = math.Pow(10, rapid.Float64Range(-9, -3).Draw(t, "least"))
		}
	}
	return goals
}

// spoilLosses makes some pipes lossless and others lose much.
func spoilLosses(t *rapid.T, l *Loop) {
	for i := range l.Pipes {
		l.Pipes[i].UA *= rapid.SampledFrom([]float64{1, 1, 1, 0, 1e-9, 1e-3, 1e3}).Draw(t, "losses")
	}
}

func mustRequire(t failer, l *Loop, goals []Goal) *Required {
	t.Helper()
	r, err := l.Require(goals)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return r
}

// checkKept holds that every goal is kept, and just kept unless the least flow
// governs.
func checkKept(t failer, l *Loop, goals []Goal, r *Required) {
	t.Helper()
	s := l.Temperatures(r.Flow)
	for i, g := range goals {
		T, goal := s.Out[g.Pipe], g.Temperature.Kelvin()
		if !(T >= goal-1e-9) {
			t.Fatalf("connection %d has %.12g K, %g less than its goal", i, T, goal-T)
		}
		least := max(g.LeastFlow, leastQ)
		switch {
		case r.Flow[i] < least:
			t.Fatalf("connection %d carries %g m3/s, less than %g", i, r.Flow[i], least)
		case r.ByHeat[i] && T > goal+1e-7 && r.Flow[i] > least:
			t.Fatalf("connection %d carries %g m3/s and is %g K warmer than it needs", i, r.Flow[i], T-goal)
		case !r.ByHeat[i] && r.Flow[i] != least:
			t.Fatalf("connection %d carries %g m3/s, governed by the least of %g", i, r.Flow[i], least)
		}
	}
}

// TestGoalsAreJustKept on trees with connections between, at any place of the
// connection, with any losses.
func TestGoalsAreJustKept(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawTree(t, 60)
		if rapid.Bool().Draw(t, "spoilt") {
			spoilLosses(t, l)
		}
		goals := drawGoals(t, l)
		r := mustRequire(t, l, goals)
		checkKept(t, l, goals, r)

		i := rapid.IntRange(0, len(goals)-1).Draw(t, "lowered")
		if !r.ByHeat[i] {
			return
		}
		less := slices.Clone(r.Flow)
		less[i] *= 1 - 1e-4
		s, before := l.Temperatures(less), l.Temperatures(r.Flow)
		if T := s.Out[goals[i].Pipe]; r.Flow[i] > 2*leastQ && !(T < before.Out[goals[i].Pipe]) {
			t.Fatalf("with less flow connection %d has %.12g K as before", i, T)
		}
	})
}

// TestLessFlowBreaksAGoal in ordinary loops: the flows are least.
func TestLessFlowBreaksAGoal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := comb(rapid.IntRange(1, 30).Draw(t, "branches"), rapid.Bool().Draw(t, "reversed"))
		goals := l.atEnds(quantity.Celsius(rapid.Float64Range(40, 59).Draw(t, "goal")), 0)
		r := mustRequire(t, l, goals)
		checkKept(t, l, goals, r)
		i := rapid.IntRange(0, len(goals)-1).Draw(t, "lowered")
		r.Flow[i] *= 1 - 1e-4
		if s := l.Temperatures(r.Flow); !(s.Out[goals[i].Pipe] < goals[i].Temperature.Kelvin()-1e-6) {
			t.Fatalf("with less flow connection %d still has %g K", i, s.Out[goals[i].Pipe])
		}
	})
}

// TestLossesScaleFlows: N = UA/(q rho cp) alone decides.
func TestLossesScaleFlows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawTree(t, 30)
		goals := drawGoals(t, l)
		for i := range goals {
			goals[i].LeastFlow = 0
		}
		before := mustRequire(t, l, goals)
		s := math.Pow(10, rapid.Float64Range(-2, 2).Draw(t, "scale"))
		for i := range l.Pipes {
			l.Pipes[i].UA *= s
		}
		for i, q := range mustRequire(t, l, goals).Flow {
			if want := s * before.Flow[i]; before.Flow[i] > 10*leastQ && math.Abs(q-want) > 1e-6*want+10*leastQ*max(1, s) {
				t.Fatalf("connection %d: %g m3/s, not %g times %g", i, q, s, before.Flow[i])
			}
		}
	})
}

// TestOneCircuitHasClosedForm: one pipe out and one back of one surroundings need
//
//	q = UA/(rho cp ln((T0 - Ta)/(T* - Ta)))
//
// to the end of the goal's pipe.
func TestOneCircuitHasClosedForm(t *testing.T) {
	for _, goal := range []float64{20.0011, 20.01, 21, 40, 55, 59.9, 59.9989} {
		for _, scale := range []float64{1e-3, 1, 1e6} {
			l := &Loop{Outlet: quantity.Celsius(60), Water: warm, Supplies: 1, Pipes: []Pipe{run(None, 10, 0.012), run(None, 30, 0.012)}, Connections: []Connection{{0, 1}}}
			UA := 0.0
			for i := range l.Pipes {
				l.Pipes[i].UA *= scale
				UA += l.Pipes[i].UA
				r := mustRequire(t, l, []Goal{{Pipe: int32(i), Temperature: quantity.Celsius(goal)}})
				want := UA / (warm.VolumetricHeat() * math.Log(40/(goal-20)))
				near(t, "flow", r.Flow[0], want, 1e-8*want)
			}
		}
	}
}

// TestLeastFlowGovernsBetween: a connection half way whose goal the water on its
// way to others keeps anyhow has its least flow, none if there is none.
func TestLeastFlowGovernsBetween(t *testing.T) {
	l := &Loop{Outlet: quantity.Celsius(60), Water: warm, Supplies: 2,
		Pipes:       []Pipe{run(None, 10, 0.02), run(0, 40, 0.02), run(None, 10, 0.012), run(None, 10, 0.012)},
		Connections: []Connection{{0, 2}, {1, 3}},
	}
	for _, least := range []float64{0, 1e-6, 1e-5} {
		goals := []Goal{{0, quantity.Celsius(50), least}, {1, quantity.Celsius(55), 0}}
		r := mustRequire(t, l, goals)
		checkKept(t, l, goals, r)
		if r.ByHeat[0] || !r.ByHeat[1] || r.Flow[0] != max(least, leastQ) {
			t.Errorf("least %g: %+v", least, r)
		}
	}
}

// TestReachErrors: the connection and the pipe in the way are named.
func TestReachErrors(t *testing.T) {
	l := comb(5, false)
	l.Pipes[4].Ambient = quantity.Celsius(50) // the main to the third branch and beyond
	for _, c := range []struct {
		goal       float64
		connection int
		pipe       int32
	}{{60, 0, None}, {59.9995, 0, None}, {49, 2, 4}, {50.0005, 2, 4}} {
		_, err := l.Require(l.atEnds(quantity.Celsius(c.goal), 0))
		var reach *ReachError
		if !errors.As(err, &reach) || reach.Connection != c.connection || reach.Pipe != c.pipe {
			t.Errorf("%g degC: %v %+v, want connection %d, pipe %d", c.goal, err, reach, c.connection, c.pipe)
		}
	}
	mustRequire(t, l, l.atEnds(quantity.Celsius(50.01), 0))
}

// TestRequireAtHeater: the joined return keeps its temperature, connections are
// equally warm or have their least flow.
func TestRequireAtHeater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawTree(t, 40)
		around, outlet := math.Inf(-1), l.Outlet.Kelvin()
		for i := range l.Pipes {
			around = max(around, l.Pipes[i].Ambient.Kelvin())
		}
		least := make([]float64, len(l.Connections))
		for i := range least {
			if rapid.IntRange(0, 3).Draw(t, "floored") == 0 {
				least[i] = math.Pow(10, rapid.Float64Range(-9, -4).Draw(t, "least"))
			}
		}
		target := around + rapid.Float64Range(0.05, 0.95).Draw(t, "target")*(outlet-around)
		r, T, err := l.RequireAtHeater(quantity.Kelvin(target), least)
		if err != nil {
			t.Fatalf("%v", err)
		}
		s := l.Temperatures(r.Flow)
		floored := true
		for i, c := range l.Connections {
			switch got := s.Out[c.Supply]; {
			case r.Flow[i] > max(least[i], leastQ):
				floored = false
				if math.Abs(got-T.Kelvin()) > 1e-7 {
					t.Fatalf("connection %d has %.10g K, not %.10g", i, got, T.Kelvin())
				}
			case got < T.Kelvin()-1e-7:
				t.Fatalf("connection %d has %.10g K at its least flow, less than %.10g", i, got, T.Kelvin())
			}
		}
		if s.Return < target-1e-7 || !floored && T.Kelvin() > target && s.Return > target+1e-7 {
			t.Fatalf("the return has %.10g K, not %.10g", s.Return, target)
		}
	})
}

// TestRequireAtHeaterOutOfReach names nothing but the outlet.
func TestRequireAtHeaterOutOfReach(t *testing.T) {
	var reach *ReachError
	for _, target := range []float64{60, 70, 59.9995} {
		if _, _, err := comb(3, false).RequireAtHeater(quantity.Celsius(target), make([]float64, 3)); !errors.As(err, &reach) || reach.Pipe != None {
			t.Errorf("%g degC: %v", target, err)
		}
	}
}
