package loop

import (
	"strings"
	"testing"

	"recirc/calc/hydraulic"
	"recirc/calc/pump"
	"recirc/calc/quantity"
)

// network builds the reference as links between nodes; valve replaces the flow
// coefficients of branches where it names them, and gain is the pump.
func (n *reference) network(t testing.TB, valve map[string]float64, gain Gain) (net *Network, at map[string]int, node map[string]int32) {
	t.Helper()
	node = map[string]int32{}
	number := func(name string) int32 {
		if _, ok := node[name]; !ok {
			node[name] = int32(len(node))
		}
		return node[name]
	}
	set := map[string]float64{} // by edge
	for _, b := range n.Branches {
		if k, ok := valve[b.ID]; ok {
			set[b.Edges[1]] = k
		}
	}
	net, at = &Network{}, map[string]int{}
	fluid := hydraulic.Fluid{Density: n.Fluid.Density, Viscosity: n.Fluid.Viscosity}
	for i := range n.Edges {
		e := &n.Edges[i]
		at[e.ID] = len(net.Links)
		line := hydraulic.Pipe{Length: quantity.Metres(e.Length), Bore: quantity.Metres(e.Bore), Roughness: quantity.Metres(e.Roughness), SumK: e.SumK}
		if e.Kv != nil {
			line.Kv = kv(*e.Kv)
		}
		if k, ok := set[e.ID]; ok {
			line.Kv = kv(k)
		}
		link := Link{From: number(e.From), To: number(e.To), Curve: line.Curve(fluid), UA: e.U * e.Length, Ambient: quantity.Celsius(e.Ambient)}
		switch e.Kind {
		case "pump":
			link.Pump = gain
		case "heater":
			link.Heated = quantity.Celsius(n.Heater.Temperature)
		}
		net.Links = append(net.Links, link)
	}
	net.Nodes, net.Root = len(node), node[n.Root]
	return net, at, node
}

// TestFlowsMeetReference solves every network of the reference with the head
// that its pump has there.
func TestFlowsMeetReference(t *testing.T) {
	met := 0
	for _, n := range readReferences(t).Networks {
		for _, c := range n.Cases {
			head := c.Result.Pump.Head * n.Fluid.Density * quantity.StandardGravity
			n.compareFlows(t, &c, constant(head))
			met++
		}
	}
	if met != 45 {
		t.Errorf("%d cases were met, not 45", met)
	}
}

// TestFlowsMeetReferenceOnPumpCurve finds the duty as well: the pump is given by
// its points and its speed.
func TestFlowsMeetReferenceOnPumpCurve(t *testing.T) {
	full, slowed := 0, 0
	for _, n := range readReferences(t).Networks {
		for _, c := range n.Cases {
			p := pump.Pumps{Curve: n.curve(t), Speed: c.Speed}
			switch {
			case c.Speed > 0:
				slowed++
			case strings.HasSuffix(c.Case, "on_pump_curve") || strings.HasSuffix(c.Case, "valves_on_full_speed_pump"):
				full++
			default:
				t.Fatalf("%s %s: at what speed?", n.ID, c.Case)
			}
			n.compareFlows(t, &c, pumpGain(t, p, n.Fluid.Density))
		}
	}
	if full != 27 || slowed != 18 {
		t.Errorf("%d cases were met at full speed and %d slowed down, not 27 and 18", full, slowed)
	}
}

func (n *reference) curve(t testing.TB) *pump.Curve {
	t.Helper()
	points := make([]pump.Point, len(n.Pump.Curve.Flow))
	for i := range points {
		points[i] = pump.Point{Flow: quantity.CubicMetresPerSecond(n.Pump.Curve.Flow[i]), Head: quantity.Metres(n.Pump.Curve.Head[i])}
	}
	c, err := pump.NewCurve(points, pump.Monotone)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// pumpGain is a pump as the solver asks it. Beyond the curve it only shows the
// way back.
func pumpGain(t testing.TB, p pump.Pumps, density float64) Gain {
	t.Helper()
	span, err := p.Range()
	if err != nil {
		t.Fatal(err)
	}
	return func(q float64) (gain, slope float64) {
		within := min(max(q, span.From.CubicMetresPerSecond()), span.To.CubicMetresPerSecond())
		head, rise, err := p.Head(quantity.CubicMetresPerSecond(within))
		if err != nil {
			t.Fatal(err)
		}
		weight := density * quantity.StandardGravity
		if q != within {
			rise = -1e4
		}
		return weight * (head.Metres() + rise*(q-within)), weight * rise
	}
}

func constant(gain float64) Gain {
	return func(float64) (float64, float64) { return gain, 0 }
}

// compareFlows solves a case and compares flows, pressures and temperatures.
func (n *reference) compareFlows(t *testing.T, c *referenceCase, gain Gain) {
	t.Helper()
	net, at, node := n.network(t, c.Kv, gain)
	subject := n.ID + " " + c.Case + " "
	f, err := Solve(net, nil)
	if err != nil {
		t.Fatalf("%s: %v", subject, err)
	}
	head := c.Result.Pump.Head * n.Fluid.Density * quantity.StandardGravity
	got, _ := gain(f.Q[at["PUMP"]])
	near(t, subject+"gain", got, head, 1e-6*head)
	near(t, subject+"mass", f.MassResidual, 0, 1e-9)
	near(t, subject+"pressure residual", f.PressureResidual, 0, 1e-9)
	w := mustMix(t, net, f.Q, n.Fluid.Density*n.Fluid.Heat)
	near(t, subject+"heat unbalance", w.Unbalance, 0, 1e-9)
	for _, e := range c.Result.Edges {
		i := at[e.ID]
		near(t, subject+"flow "+e.ID, f.Q[i], e.Flow, 1e-6*e.Flow)
		near(t, subject+e.ID+" inlet", w.In[i]-273.15, e.In, 1e-4)
		near(t, subject+e.ID+" outlet", w.Out[i]-273.15, e.Out, 1e-4)
		near(t, subject+e.ID+" heat loss", w.Loss[i], e.HeatLoss, 1e-6*e.HeatLoss)
	}
	for _, p := range c.Result.Nodes {
		near(t, subject+"pressure "+p.ID, f.Pressure[node[p.ID]], p.Pressure, 1e-6*head)
		near(t, subject+"temperature "+p.ID, w.Node[node[p.ID]]-273.15, p.Temperature, 1e-4)
	}
}
