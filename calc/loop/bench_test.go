package loop

import (
	"fmt"
	"math"
	"testing"

	"recirc/calc/hydraulic"
	"recirc/calc/quantity"
)

// exponent adds to a group of benchmarks the power of the size with which their
// time grows, by least squares.
type exponent struct{ x, y []float64 }

func (e *exponent) note(b *testing.B, size int) {
	perRun := b.Elapsed().Seconds() / float64(b.N)
	b.ReportMetric(perRun*1e9/float64(size), "ns/pipe")
	e.x, e.y = append(e.x, math.Log(float64(size))), append(e.y, math.Log(perRun))
}

func (e *exponent) report(b *testing.B) {
	b.Run("exponent", func(b *testing.B) {
		for b.Loop() {
		}
		var sx, sy, sxx, sxy float64
		for i := range e.x {
			sx, sy, sxx, sxy = sx+e.x[i], sy+e.y[i], sxx+e.x[i]*e.x[i], sxy+e.x[i]*e.y[i]
		}
		n := float64(len(e.x))
		b.ReportMetric((n*sxy-sx*sy)/(n*sxx-sx*sx), "exponent")
		b.ReportMetric(0, "ns/op")
	})
}

// branches gives the size of a comb of about so many pipes.
func branches(pipes int) int { return pipes / 4 }

func (l *Loop) atEnds(goal quantity.Temperature, least float64) []Goal {
	goals, ends := make([]Goal, len(l.Connections)), l.ReturnEnds()
	for i := range goals {
		goals[i] = Goal{Pipe: ends[i], Temperature: goal, LeastFlow: least}
	}
	return goals
}

// BenchmarkDesign is a whole design: flows, temperatures, valves.
func BenchmarkDesign(b *testing.B) {
	var e exponent
	for _, n := range []int{10, 100, 1000, 10000} {
		l := comb(n, false)
		goals, open := l.atEnds(quantity.Celsius(55), 0), make([]quantity.FlowCoefficient, n)
		b.Run(fmt.Sprintf("branches=%d", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				r, err := l.Require(goals)
				if err != nil {
					b.Fatal(err)
				}
				l.Temperatures(r.Flow)
				if _, err := l.Balance(r.Flow, open, 0); err != nil {
					b.Fatal(err)
				}
			}
			e.note(b, len(l.Pipes))
		})
	}
	e.report(b)
}

// balanced is a comb whose valves give a flow to every branch, on a pump whose
// head falls.
func balanced(b *testing.B, n int) (*Network, places, *Loop) {
	l := comb(n, false)
	q := make([]float64, n)
	for i := range q {
		q[i] = 5e-5
	}
	balance, err := l.Balance(q, make([]quantity.FlowCoefficient, n), 0)
	if err != nil {
		b.Fatal(err)
	}
	total := 5e-5 * float64(n)
	head := balance.Pressure
	net, at := l.network(l.valves(q, balance), func(q float64) (float64, float64) { return head * (1.5 - 0.5*q/total), -0.5 * head / total })
	return net, at, l
}

func BenchmarkSolve(b *testing.B) {
	var e exponent
	for _, pipes := range []int{1000, 5000, 20000} {
		net, _, _ := balanced(b, branches(pipes))
		b.Run(fmt.Sprintf("pipes=%d", pipes), func(b *testing.B) {
			b.ReportAllocs()
			steps := 0
			for b.Loop() {
				f, err := Solve(net, nil)
				if err != nil {
					b.Fatal(err)
				}
				steps = f.Steps
			}
			b.ReportMetric(float64(steps), "steps")
			e.note(b, pipes)
		})
	}
	e.report(b)
}

// BenchmarkSimulation has a thermostatic valve in every branch, of a usual band or a
// narrow one, or gravity, or neither.
func BenchmarkSimulation(b *testing.B) {
	kinds := []struct {
		name string
		add  func(s *Simulation, l *Loop, at places)
	}{
		{"plain", func(*Simulation, *Loop, places) {}},
		{"gravity", func(s *Simulation, l *Loop, at places) { s.Elevation = l.upright(s.Network, at) }},
		{"band=5K", func(s *Simulation, _ *Loop, at places) {
			s.Thermostats = alike(at.valve, hydraulic.Pipe{}, 1, 0.05, 57, 5)
		}},
		{"band=0.1K", func(s *Simulation, _ *Loop, at places) {
			s.Thermostats = alike(at.valve, hydraulic.Pipe{}, 1, 0.05, 57, 0.1)
		}},
	}
	for _, kind := range kinds {
		b.Run(kind.name, func(b *testing.B) {
			var e exponent
			for _, pipes := range []int{1000, 5000, 20000} {
				b.Run(fmt.Sprintf("pipes=%d", pipes), func(b *testing.B) {
					b.ReportAllocs()
					var r *Simulated
					for b.Loop() {
						b.StopTimer()
						net, at, l := balanced(b, branches(pipes))
						s := Simulation{Network: net, Water: l.Water}
						kind.add(&s, l, at)
						b.StartTimer()
						r = simulated(b, &s)
					}
					b.ReportMetric(float64(r.Rounds), "rounds")
					b.ReportMetric(r.Change, "change")
					e.note(b, pipes)
				})
			}
			e.report(b)
		})
	}
}

// BenchmarkCircle is a ring of pipes that a heater feeds at one node.
func BenchmarkCircle(b *testing.B) {
	var e exponent
	for _, pipes := range []int{1000, 5000, 20000} {
		n, q := ring(pipes, 0.3, 1e-5, 2e-4)
		b.Run(fmt.Sprintf("pipes=%d", pipes), func(b *testing.B) {
			for b.Loop() {
				mustMix(b, n, q, warm.VolumetricHeat())
			}
			e.note(b, pipes)
		})
	}
	e.report(b)
}

// BenchmarkRefusal is how long it takes to refuse a tangle.
func BenchmarkRefusal(b *testing.B) {
	var e exponent
	for _, nodes := range []int{5000, 20000, 50000} {
		n := tangle(nodes, 2)
		b.Run(fmt.Sprintf("nodes=%d", nodes), func(b *testing.B) {
			for b.Loop() {
				if _, err := NewSolver(n); err == nil {
					b.Fatal("solved")
				}
			}
			e.note(b, 3*nodes)
		})
	}
	e.report(b)
}

// upright gives the heights of a comb's nodes: its risers, odd among the supply
// pipes, are upright.
func (l *Loop) upright(n *Network, at places) []float64 {
	height := make([]float64, n.Nodes)
	for _, c := range l.Connections {
		height[n.Links[at.pipe[c.Supply]].To] = 10
		height[n.Links[at.pipe[c.Return]].From] = 10
	}
	return height
}

func (l *Loop) valves(q []float64, b *Balance) []quantity.FlowCoefficient {
	all := make([]quantity.FlowCoefficient, len(q))
	for i := range q {
		all[i] = kvFor(q[i], b.Valve[i], l.fluid())
	}
	return all
}
