package loop

import (
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

// TestNarrowBandsSettle on combs of any length, whatever the valves are set to.
func TestNarrowBandsSettle(t *testing.T) {
	for _, n := range []int{1, 2, 5, 30, 120} {
		for _, set := range []float64{40, 50, 57, 59.5, 65} {
			for _, smallest := range []float64{0, 0.05} {
				for _, band := range []float64{10, 2, 0.5, 0.1, 0.01} {
					l := comb(n, n%2 == 0)
					net, at := l.network(make([]quantity.FlowCoefficient, n), falling(2e4, 2e-4*float64(n)))
					s := &Simulation{Network: net, Water: warm, Thermostats: alike(at.valve, hydraulic.Pipe{}, 1, smallest, set, band)}
					r := simulated(t, s)
					if r.Change > 1e-7 {
						t.Errorf("%d branches, %g degC, Kv from %g, band %g K: change %g after %d rounds", n, set, smallest, band, r.Change, r.Rounds)
					}
					keepsLaw(t, s, r)
				}
			}
		}
	}
}

// TestNarrowBandsMeetDesign: valves that all work, within a narrow band, bring about
// the flows that a design finds for their temperature by another method.
func TestNarrowBandsMeetDesign(t *testing.T) {
	const set, band = 57.0, 1e-3
	for _, n := range []int{1, 3, 10, 40} {
		l := comb(n, false)
		goals := make([]Goal, n)
		for i, c := range l.Connections {
			goals[i] = Goal{Pipe: c.Supply, Temperature: quantity.Celsius(set)}
		}
		want := mustRequire(t, l, goals).Flow
		net, at := l.network(make([]quantity.FlowCoefficient, n), constant(1e5))
		s := &Simulation{Network: net, Water: l.Water, Thermostats: alike(at.valve, hydraulic.Pipe{}, 3, 0, set, band)}
		r := simulated(t, s)
		for i, v := range at.valve {
			near(t, fmt.Sprintf("temperature at valve %d of %d", i, n), r.Warmth.Out[v]-273.15, set, band/2)
			near(t, fmt.Sprintf("flow %d of %d", i, n), r.Flows.Q[v], want[i], 5e-3*want[i])
		}
	}
}

// TestManyThermostats: 5,000 in 20,000 pipes.
func TestManyThermostats(t *testing.T) {
	for _, band := range []float64{5, 0.1} {
		l := comb(5000, false)
		net, at := l.network(make([]quantity.FlowCoefficient, 5000), falling(2e4, 1))
		s := &Simulation{Network: net, Water: warm, Thermostats: alike(at.valve, hydraulic.Pipe{}, 1, 0.05, 57, band)}
		r := simulated(t, s)
		if r.Change > 1e-7 {
			t.Errorf("band %g K: change %g after %d rounds", band, r.Change, r.Rounds)
		}
		keepsLaw(t, s, r)
	}
}

// TestThermostatsInTrees: valves set nearly alike in loops of any shape. Nearly all
// settle; where two that are set apart by less than their water can tell do not, the
// change says so.
func TestThermostatsInTrees(t *testing.T) {
	all, settled := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		l := drawTree(t, 60)
		n := len(l.Connections)
		net, at := l.network(make([]quantity.FlowCoefficient, n), falling(rapid.Float64Range(500, 5e4).Draw(t, "head"), 1e-3*float64(n)))
		set, band := rapid.Float64Range(40, 60).Draw(t, "set"), rapid.SampledFrom([]float64{0.1, 0.5, 2, 10}).Draw(t, "band")
		s := &Simulation{Network: net, Water: l.Water}
		s.Thermostats = alike(at.valve, hydraulic.Pipe{}, 1, rapid.SampledFrom([]float64{0, 0.05}).Draw(t, "smallest"), set, band)
		for i := range s.Thermostats {
			s.Thermostats[i].Set = quantity.Celsius(set + rapid.Float64Range(-1, 1).Draw(t, "apart"))
		}
		all++
		if r := simulated(t, s); r.Change <= 1e-6 {
			settled++
			keepsLaw(t, s, r)
		}
	})
	if settled < all*19/20 {
		t.Errorf("%d of %d loops settled", settled, all)
	}
}

// TestThermostatKv by hand: half open in the middle, at its ends beyond.
func TestThermostatKv(t *testing.T) {
	v := alike([]int{0}, hydraulic.Pipe{}, 1, 0.2, 57, 4)[0]
	for T, want := range map[float64]float64{20: 1, 55: 1, 56: 0.8, 57: 0.6, 58: 0.4, 59: 0.2, 90: 0.2} {
		near(t, fmt.Sprintf("Kv at %g degC", T), v.Kv(quantity.Celsius(T)).SI(), kv(want).SI(), 1e-12*kv(1).SI())
	}
	v.Band = quantity.TemperatureDifference{} // a switch
	for T, want := range map[float64]float64{20: 1, 57: 1, 57.001: 0.2} {
		near(t, fmt.Sprintf("Kv of a switch at %g degC", T), v.Kv(quantity.Celsius(T)).SI(), kv(want).SI(), 1e-12*kv(1).SI())
	}
}

// TestLawIsSmooth: it rises, has no jump, and its slope is that of the drop.
func TestLawIsSmooth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := law{square: 1e12, near: 1e-5, extra: rapid.Float64Range(0, mostExtra).Draw(t, "extra")}
		q := 1e-5 * math.Pow(10, rapid.Float64Range(-0.5, 0.5).Draw(t, "q"))
		h := 1e-7 * q
		low, _ := v.at(q - h)
		high, _ := v.at(q + h)
		drop, slope := v.at(q)
		if (high-low)/(2*h) < slope*(1-1e-3)-1e-9 || (high-low)/(2*h) > slope*(1+1e-3)+1e-9 {
			t.Fatalf("at %g m3/s the slope is %g, by differences %g", q, slope, (high-low)/(2*h))
		}
		if back, same := v.at(-q); back != -drop || same != slope {
			t.Fatalf("backwards it takes %g Pa, not %g", back, -drop)
		}
	})
}

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
