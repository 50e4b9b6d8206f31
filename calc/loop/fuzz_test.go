package loop

import (
	"math"
	"testing"

	"recirc/calc/hydraulic"
	"recirc/calc/quantity"
)

// odd are numbers that a caller may send by accident.
var odd = []float64{0, 1, -1, 1e-320, 1e308, -1e308, math.NaN(), math.Inf(1), math.Inf(-1), 1e-12, 20, 300, 1e-4, -1e-4, 1e4, 0.05}

// fuzzed makes a simulation of bytes, six a link: its ends, what it is, two numbers
// of odd, and where one of them goes.
func fuzzed(nodes int, data []byte) *Simulation {
	n := &Network{Nodes: nodes, Inflow: make([]float64, nodes), Mains: quantity.Celsius(10)}
	s := &Simulation{Network: n, Water: warm}
	for ; len(data) >= 6 && len(n.Links) < 200; data = data[6:] {
		a, b := odd[data[3]%16], odd[data[4]%16]
		l := link(int32(data[0])%int32(nodes), int32(data[1])%int32(nodes), tube(1+float64(data[3]), 0.008+float64(data[4])/5e3))
		kind := data[2]
		l.OneWay, l.Closed = kind&1 > 0, kind&2 > 0
		if kind&4 > 0 {
			l.Heated = quantity.Celsius(60)
		}
		switch kind >> 3 & 7 {
		case 1:
			l.Pump = falling(a, b)
		case 2:
			l.Lift = a
		case 3:
			l.UA, l.Ambient = a, quantity.Kelvin(b)
		case 4:
			n.Inflow[int(data[5])%nodes] = a
		case 5:
			l.Pump = constant(1e3 * float64(data[5]))
		case 6:
			s.Thermostats = append(s.Thermostats, Thermostat{
				Link: int32(len(n.Links)), Line: tube(10, 0.02), Largest: kv(1), Smallest: kv(0.01 * float64(data[5]%8)),
				Set: quantity.Celsius(a), Band: quantity.KelvinDifference(math.Abs(b)),
			})
		case 7:
			s.Elevation = make([]float64, nodes)
			for i := range s.Elevation {
				s.Elevation[i] = float64(i) * float64(int(data[5])-128) / 50
			}
			l.Curve = hydraulic.Pipe{Kv: quantity.FlowCoefficientSI(math.Abs(a))}.Curve(fluid)
		}
		n.Links = append(n.Links, l)
	}
	return s
}

// FuzzSimulation: whatever is asked, the answer closes, or there is an error; there
// is never a number that is none.
func FuzzSimulation(f *testing.F) {
	f.Add(uint8(2), []byte("\x00\x01\x28\x00\x00\x10\x01\x00\x04\x00\x00\x00"))                                                 // pump and heater
	f.Add(uint8(3), []byte("\x00\x01\x28\x00\x00\x10\x01\x02\x04\x00\x00\x00\x02\x00\x30\x0a\x0f\x00"))                         // with a thermostat
	f.Add(uint8(4), []byte("\x00\x01\x28\x00\x00\x10\x01\x02\x04\x00\x00\x00\x02\x03\x38\x01\x00\x90\x03\x00\x20\x0d\x00\x02")) // gravity and a draw
	f.Add(uint8(3), []byte("\x00\x01\x28\x00\x00\x10\x01\x00\x18\x06\x00\x00\x01\x02\x10\x06\x00\x00"))                         // no numbers
	f.Add(uint8(5), []byte("\x00\x01\x28\x00\x00\x10\x01\x02\x00\x00\x00\x00\x02\x00\x00\x00\x00\x00\x03\x04\x20\x0c\x00\x00")) // a circle and an injection
	f.Add(uint8(1), []byte("\x00\x00\x28\x00\x00\x10\x00\x00\x08\x04\x05\x00"))                                                 // to itself
	f.Fuzz(func(t *testing.T, nodes uint8, data []byte) {
		s := fuzzed(1+int(nodes)%40, data)
		r, err := s.Run()
		if err != nil {
			return
		}
		for what, values := range map[string][]float64{
			"flow": r.Flows.Q, "pressure": r.Flows.Pressure, "node": r.Warmth.Node, "inlet": r.Warmth.In, "outlet": r.Warmth.Out,
			"loss": r.Warmth.Loss, "lift": r.Lift, "residuals": {r.Flows.MassResidual, r.Flows.PressureResidual, r.Change, r.Warmth.Unbalance},
		} {
			for i, x := range values {
				if math.IsNaN(x) || math.IsInf(x, 0) {
					t.Fatalf("%s %d is %g", what, i, x)
				}
			}
		}
		if r.Flows.MassResidual > 1e-9 || r.Flows.PressureResidual > 1e-9 {
			t.Fatalf("mass misses %g, pressure %g", r.Flows.MassResidual, r.Flows.PressureResidual)
		}
		closesAtNodes(t, s.Network, r.Flows, r.Warmth)
	})
}
