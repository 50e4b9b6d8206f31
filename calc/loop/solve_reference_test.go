package loop

import (
	"testing"

	"recirc/calc/hydraulic"
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
		link := Link{From: number(e.From), To: number(e.To), Curve: line.Curve(fluid)}
		if e.Kind == "pump" {
			link.Pump = gain
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
			net, at, node := n.network(t, c.Kv, func(float64) (float64, float64) { return head, 0 })
			f, err := Solve(net, nil)
			if err != nil {
				t.Fatalf("%s %s: %v", n.ID, c.Case, err)
			}
			met++
			for _, e := range c.Result.Edges {
				near(t, n.ID+" "+c.Case+" flow "+e.ID, f.Q[at[e.ID]], e.Flow, 1e-6*e.Flow)
			}
			for _, p := range c.Result.Nodes {
				near(t, n.ID+" "+c.Case+" pressure "+p.ID, f.Pressure[node[p.ID]], p.Pressure, 1e-6*head)
			}
			near(t, n.ID+" "+c.Case+" mass", f.MassResidual, 0, 1e-9)
			near(t, n.ID+" "+c.Case+" pressure residual", f.PressureResidual, 0, 1e-9)
		}
	}
	if met != 45 {
		t.Errorf("%d cases were met, not 45", met)
	}
}
