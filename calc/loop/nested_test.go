package loop

import (
	"testing"

	"recirc/calc/quantity"
	"recirc/calc/water"
)

// TestConnectionOnTheWay asks two connections on one way for the same
// temperature: the nearer is warmer anyway, and carries its least flow.
func TestConnectionOnTheWay(t *testing.T) {
	w, err := water.At(quantity.Celsius(55))
	if err != nil {
		t.Fatal(err)
	}
	l := &Loop{Outlet: quantity.Celsius(60), Water: w, Supplies: 2, Connections: []Connection{{0, 2}, {1, 3}}}
	for _, next := range []int32{None, 0, None, None} {
		l.Pipes = append(l.Pipes, Pipe{Next: next, UA: 3, Ambient: quantity.Celsius(20)})
	}
	for _, goal := range []float64{59.5, 55, 40} {
		for _, least := range []float64{0, 1e-6} {
			r, err := l.Require([]Goal{{0, quantity.Celsius(goal), least}, {1, quantity.Celsius(goal), least}})
			if err != nil {
				t.Fatalf("goal %g degC, least flow %g: %v", goal, least, err)
			}
			s := l.Temperatures(r.Flow)
			near(t, "far temperature", s.Out[1]-273.15, goal, 1e-8)
			if r.Flow[0] > max(least, 2e-12) || r.ByHeat[0] || !r.ByHeat[1] || s.Out[0] <= s.Out[1] {
				t.Errorf("goal %g degC, least flow %g: flows %v, by heat %v, temperatures %v", goal, least, r.Flow, r.ByHeat, s.Out[:2])
			}
		}
	}
}
