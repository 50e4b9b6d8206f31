package loop

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/hydraulic"
	"recirc/calc/quantity"
)

// alike puts the same thermostatic valve into some links; their curves are their
// lines.
func alike(links []int, line hydraulic.Pipe, largest, smallest, set, band float64) []Thermostat {
	all := make([]Thermostat, len(links))
	for i, at := range links {
		all[i] = Thermostat{
			Link: int32(at), Line: line, Largest: kv(largest), Smallest: kv(smallest),
			Set: quantity.Celsius(set), Band: quantity.KelvinDifference(band),
		}
	}
	return all
}

// keepsLaw checks a settled simulation against what it stands for: every valve takes
// what [hydraulic.KvDrop] says of its flow coefficient, which is that of its
// temperature; mass and heat close at every node.
func keepsLaw(t failer, s *Simulation, r *Simulated) {
	t.Helper()
	n, greatest := s.Network, leastPressures
	closesAtNodes(t, n, r.Flows, r.Warmth)
	for _, p := range r.Flows.Pressure {
		greatest = max(greatest, math.Abs(p))
	}
	for i := range s.Thermostats {
		v := &s.Thermostats[i]
		l, q := &n.Links[v.Link], r.Flows.Q[v.Link]
		if math.Abs(q) <= leastFlow || l.OneWay {
			continue
		}
		kv := v.Kv(quantity.Kelvin(r.Warmth.Out[v.Link])).SI()
		if off := math.Abs(r.Kv[i].SI() - kv); off > 1e-9*v.Largest.SI() {
			t.Fatalf("valve %d has Kv %g, at its temperature it has %g", i, r.Kv[i].SI(), kv)
		}
		// What it may miss of its flow coefficient is Change, of the largest.
		slack := 2*r.Change*v.Largest.SI() + 1e-9*kv
		least := shutShare * v.Largest.SI()
		drop := math.Abs(r.Flows.Pressure[l.From] - r.Flows.Pressure[l.To])
		rounding := 1e-9*drop + 1e-11*greatest // as the solver closes
		if low, high := v.taken(t, q, max(kv, least)+slack), v.taken(t, q, max(kv-slack, least)); drop < low-rounding || drop > high+rounding {
			t.Fatalf("valve %d (link %d, %d to %d) at %g m3/s takes %g Pa, its law says %g to %g; greatest %g, change %g, residual %g", i, v.Link, l.From, l.To, q, drop, low, high, greatest, r.Change, r.Flows.PressureResidual)
		}
	}
}

// taken is what the link of a valve takes by the formula of pipes, Pa.
func (v *Thermostat) taken(t failer, q, kv float64) float64 {
	flow := quantity.CubicMetresPerSecond(math.Abs(q))
	loss, err := v.Line.Loss(flow, fluid)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return loss.Total.Pascals() + hydraulic.KvDrop(flow, quantity.FlowCoefficientSI(kv), fluid).Pascals()
}

func simulated(t failer, s *Simulation) *Simulated {
	t.Helper()
	r, err := s.Run()
	if err != nil {
		t.Fatalf("%v", err)
	}
	return r
}

var _ = errors.As
var _ = fmt.Sprint

// TestThermostatsInNetworks: whatever is joined, with circles, draws and injections,
// a simulation that settles keeps the law of every valve, and most settle.
func TestThermostatsInNetworks(t *testing.T) {
	all, settled := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		n := drawNetwork(t)
		least := 0.01 // what is drawn must not have to pass a shut valve
		if rapid.Bool().Draw(t, "closed") {
			least, n.Inflow = 0, nil
		}
		for i := range n.Inflow {
			if rapid.IntRange(0, 5).Draw(t, "injected") == 0 {
				n.Inflow[i] = math.Pow(10, rapid.Float64Range(-7, -4).Draw(t, "injection"))
			}
		}
		s := &Simulation{Network: n, Water: warm}
		for i := range n.Links {
			if n.Links[i].Pump == nil && n.Links[i].Lift == 0 && rapid.IntRange(0, 2).Draw(t, "thermostat") == 0 {
				band := rapid.SampledFrom([]float64{0.1, 0.5, 2, 10}).Draw(t, "band")
				smallest := rapid.SampledFrom([]float64{least, 0.05}).Draw(t, "smallest")
				s.Thermostats = append(s.Thermostats, alike([]int{i}, tube(10, 0.02), 1, smallest, rapid.Float64Range(15, 62).Draw(t, "set"), band)...)
			}
		}
		all++
		if r := simulated(t, s); r.Change <= 1e-6 {
			settled++
			keepsLaw(t, s, r)
		}
	})
	if settled < all*9/10 {
		t.Errorf("%d of %d networks settled", settled, all)
	}
}
