package service_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/service"
)

// street is a comb of so many branches that a street of houses would have them: a
// main and a collector whose bores grow with what hangs behind them, in blocks of
// fifty so that no water travels for kilometres. The returns of the branches are
// left open, or given for a simulation.
func street(branches int, returns network.TubeSpec) network.System {
	s := house()
	own := func(share int, least float64) network.TubeSpec {
		bore := quantity.Millimetres(least * math.Sqrt(float64(share)))
		return network.TubeSpec{Bore: bore, Outside: quantity.Metres(1.1 * bore.Metres()), Material: "copper"}
	}
	const block = 50
	for from := 0; from < branches; from += block {
		n := min(block, branches-from)
		feed, home := "heater", "heater"
		for k := range n {
			i := from + k
			foot, top, low := name("foot", i), name("top", i), name("low", i)
			s.Pipes = append(s.Pipes,
				supply(name("main", i), feed, foot, 3, own(n-k, 20)),
				supply(name("riser", i), foot, top, 6+float64(i%7), copper("22x1")),
				back(name("return", i), top, low, 6+float64(i%7), returns, balancing(2)),
				back(name("collector", i), low, home, 3, own(n-k, 15), check()))
			feed, home = foot, low
		}
	}
	return s
}

// exponent is of the time between two sizes: 1 is linear.
func exponent(b *testing.B, sizes []int, of func(n int)) {
	times := make([]float64, len(sizes))
	for i, n := range sizes {
		best := math.Inf(1)
		for range 3 {
			start := time.Now()
			of(n)
			best = min(best, time.Since(start).Seconds())
		}
		times[i] = best
	}
	last := len(sizes) - 1
	b.ReportMetric(math.Log(times[last]/times[0])/math.Log(float64(sizes[last])/float64(sizes[0])), "exponent")
}

func BenchmarkLoopDesign(b *testing.B) {
	of := func(s network.System) { design(b, service.LoopDesignRequest{System: s, Target: drop(5)}) }
	sizes := []int{100, 1000, 4000}
	for _, n := range sizes {
		s := street(n, openCopper())
		b.Run(fmt.Sprint("branches=", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				of(s)
			}
		})
	}
	b.Run("exponent", func(b *testing.B) {
		for b.Loop() {
			exponent(b, sizes, func(n int) { of(street(n, openCopper())) })
		}
	})
}

func BenchmarkLoopSimulation(b *testing.B) {
	of := func(s network.System) {
		simulate(b, service.LoopSimulationRequest{System: s, Pump: held(quantity.Metres(1.5)), Target: drop(5)})
	}
	sizes := []int{1000, 5000, 20_000} // pipes, four to a branch
	for _, n := range sizes {
		s := street(n/4, copper("15x1"))
		b.Run(fmt.Sprint("pipes=", n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				of(s)
			}
		})
	}
	b.Run("exponent", func(b *testing.B) {
		for b.Loop() {
			exponent(b, sizes, func(n int) { of(street(n/4, copper("15x1"))) })
		}
	})
}
