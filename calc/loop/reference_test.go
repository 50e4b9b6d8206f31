package loop

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"recirc/calc/hydraulic"
	"recirc/calc/quantity"
	"recirc/calc/water"
)

// references is testdata/loop_networks.json, computed with general-purpose
// scientific libraries; its own member source names them.
type references struct {
	Source   string
	Networks []*reference
}

type reference struct {
	ID, Topology string
	Fluid        struct {
		Density   float64 `json:"density_kg_m3"`
		Viscosity float64 `json:"viscosity_Pa_s"`
		Heat      float64 `json:"cp_J_kgK"`
	}
	Heater struct {
		Node        string  `json:"outlet_node"`
		Temperature float64 `json:"outlet_temperature_degC"`
	}
	Root string `json:"pressure_reference_node"`
	Pump struct {
		Curve struct {
			Flow []float64 `json:"flow_m3_s"`
			Head []float64 `json:"head_m"`
		}
	}
	Edges    []referenceEdge
	Branches []struct {
		ID    string
		Edges []string
	}
	Cases []referenceCase
}

type referenceEdge struct {
	ID, Kind, From, To string
	Length             float64  `json:"length_m"`
	Bore               float64  `json:"inside_diameter_m"`
	Roughness          float64  `json:"roughness_m"`
	SumK               float64  `json:"sum_K"`
	U                  float64  `json:"U_linear_W_mK"`
	Ambient            float64  `json:"ambient_degC"`
	Kv                 *float64 `json:"valve_Kv_m3_h"`
}

type referenceCase struct {
	Case          string
	RequiredFlows map[string]float64 `json:"required_branch_flows_m3_s"`
	Target        *float64           `json:"target_branch_return_temperature_degC"`
	Critical      string             `json:"critical_branch"`
	Path          map[string]float64 `json:"path_pressure_with_open_valve_Pa"`
	Kv            map[string]float64 `json:"valve_Kv_m3_h"`
	PumpFlow      float64            `json:"required_pump_flow_m3_s"`
	PumpHead      float64            `json:"required_pump_head_m"`
	Speed         float64            `json:"pump_speed_ratio_for_this_duty"` // 0: full
	Result        struct {
		Edges []struct {
			ID       string
			Flow     float64 `json:"flow_m3_s"`
			In       float64 `json:"inlet_temperature_degC"`
			Out      float64 `json:"outlet_temperature_degC"`
			HeatLoss float64 `json:"heat_loss_W"`
		}
		Nodes []struct {
			ID          string
			Pressure    float64 `json:"pressure_Pa"`
			Temperature float64 `json:"temperature_degC"`
		}
		Pump struct {
			Flow float64 `json:"flow_m3_s"`
			Head float64 `json:"head_m"`
		}
		Return   float64            `json:"return_temperature_degC"`
		HeatLoss float64            `json:"total_heat_loss_W"`
		Flows    map[string]float64 `json:"branch_flows_m3_s"`
	}
}

func readReferences(t testing.TB) *references {
	t.Helper()
	text, err := os.ReadFile("testdata/loop_networks.json")
	if err != nil {
		t.Fatal(err)
	}
	var all references
	if err := json.Unmarshal(text, &all); err != nil {
		t.Fatal(err)
	}
	if len(all.Networks) != 9 {
		t.Fatalf("%d networks, not 9", len(all.Networks))
	}
	return &all
}

// loop builds the network as a loop, with the place of every edge among its
// pipes.
func (n *reference) loop(t testing.TB) (*Loop, map[string]int32) {
	t.Helper()
	l := &Loop{
		Outlet: quantity.Celsius(n.Heater.Temperature),
		Water:  water.Properties{Density: n.Fluid.Density, Viscosity: n.Fluid.Viscosity, SpecificHeat: n.Fluid.Heat},
	}
	at, endOf := map[string]int32{}, map[string]int32{}
	supply := func(e *referenceEdge) bool {
		return e.Kind != "riser_return" && e.Kind != "return_main" && e.Kind != "return_trunk"
	}
	add := func(e *referenceEdge, next int32) {
		at[e.ID] = int32(len(l.Pipes))
		l.Pipes = append(l.Pipes, Pipe{Next: next, UA: e.U * e.Length, Ambient: quantity.Celsius(e.Ambient), Line: hydraulic.Pipe{
			Length: quantity.Metres(e.Length), Bore: quantity.Metres(e.Bore), Roughness: quantity.Metres(e.Roughness), SumK: e.SumK,
		}})
	}
	endOf[n.Heater.Node] = None
	for grown := true; grown; { // supply pipes, each behind its feeder
		grown = false
		for i := range n.Edges {
			e := &n.Edges[i]
			feeder, fed := endOf[e.From]
			if _, done := at[e.ID]; done || e.Length == 0 || !supply(e) || !fed {
				continue
			}
			add(e, feeder)
			endOf[e.To], grown = at[e.ID], true
		}
	}
	l.Supplies = len(l.Pipes)
	back := map[string][]*referenceEdge{} // returns by the node they end at
	for i := range n.Edges {
		if e := &n.Edges[i]; e.Length > 0 && !supply(e) {
			back[e.To] = append(back[e.To], e)
		}
	}
	var order []*referenceEdge // from the heater outwards, then turned round
	for nodes := []string{n.Root}; len(nodes) > 0; nodes = nodes[1:] {
		for _, e := range back[nodes[0]] {
			order = append(order, e)
			nodes = append(nodes, e.From)
		}
	}
	for i := len(order) - 1; i >= 0; i-- {
		add(order[i], None)
	}
	for _, e := range order {
		for _, before := range back[e.From] {
			l.Pipes[at[before.ID]].Next = at[e.ID]
		}
	}
	for _, b := range n.Branches {
		l.Connections = append(l.Connections, Connection{Supply: at[b.Edges[0]], Return: at[b.Edges[1]]})
	}
	if len(at) != len(n.Edges)-2 {
		t.Fatalf("%s: %d of %d edges are in the loop", n.ID, len(at), len(n.Edges)-2)
	}
	return l, at
}

// open is the flow coefficient of every branch's open valve.
func (n *reference) open() []quantity.FlowCoefficient {
	var all []quantity.FlowCoefficient
	for _, b := range n.Branches {
		for i := range n.Edges {
			if n.Edges[i].ID == b.Edges[1] {
				all = append(all, kv(*n.Edges[i].Kv))
			}
		}
	}
	return all
}

func (n *reference) heaterKv() quantity.FlowCoefficient {
	for i := range n.Edges {
		if n.Edges[i].Kind == "heater" {
			return kv(*n.Edges[i].Kv)
		}
	}
	return quantity.FlowCoefficient{}
}

func (n *reference) flows(of map[string]float64) []float64 {
	q := make([]float64, len(n.Branches))
	for i, b := range n.Branches {
		q[i] = of[b.ID]
	}
	return q
}

func kv(m3h float64) quantity.FlowCoefficient {
	return quantity.FlowCoefficientSI(quantity.FlowCoefficientDimension.SI.ToSI(m3h))
}

func near(t failer, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s is %.12g, not %.12g (off by %.2g, allowed %.2g)", what, got, want, got-want, tolerance)
	}
}

// TestRequiredFlowsMeetReference finds the flows with which every branch return
// ends at one temperature.
func TestRequiredFlowsMeetReference(t *testing.T) {
	met := 0
	for _, n := range readReferences(t).Networks {
		l, at := n.loop(t)
		for _, c := range n.Cases {
			if c.Target == nil || c.RequiredFlows == nil {
				continue
			}
			goals := make([]Goal, len(l.Connections))
			for i := range goals {
				goals[i] = Goal{Pipe: l.Connections[i].Return, Temperature: quantity.Celsius(*c.Target)}
			}
			got, err := l.Require(goals)
			if err != nil {
				t.Fatalf("%s: %v", n.ID, err)
			}
			met++
			for i, b := range n.Branches {
				want := c.RequiredFlows[b.ID]
				near(t, n.ID+" flow "+b.ID, got.Flow[i], want, 1e-6*want)
				if !got.ByHeat[i] {
					t.Errorf("%s: branch %s is not governed by its temperature", n.ID, b.ID)
				}
			}
			compareTemperatures(t, n, &c, l, at, l.Temperatures(got.Flow))
		}
	}
	if met != 9 {
		t.Errorf("%d cases were met, not 9", met)
	}
}

// TestTemperaturesMeetReference takes the flows of every case as given.
func TestTemperaturesMeetReference(t *testing.T) {
	for _, n := range readReferences(t).Networks {
		l, at := n.loop(t)
		for _, c := range n.Cases {
			compareTemperatures(t, n, &c, l, at, l.Temperatures(n.flows(c.Result.Flows)))
		}
	}
}

func compareTemperatures(t *testing.T, n *reference, c *referenceCase, l *Loop, at map[string]int32, s *State) {
	t.Helper()
	subject, total := n.ID+" "+c.Case+" ", 0.0
	for _, e := range c.Result.Edges {
		p, ok := at[e.ID]
		if !ok {
			continue
		}
		near(t, subject+e.ID+" inlet", s.In[p]-273.15, e.In, 1e-4)
		near(t, subject+e.ID+" outlet", s.Out[p]-273.15, e.Out, 1e-4)
		near(t, subject+e.ID+" heat loss", l.HeatLoss(s, int(p)), e.HeatLoss, 1e-6*e.HeatLoss)
		total += l.HeatLoss(s, int(p))
	}
	near(t, subject+"return", s.Return-273.15, c.Result.Return, 1e-4)
	near(t, subject+"heat loss", total, c.Result.HeatLoss, 1e-6*c.Result.HeatLoss)
}

// TestBalanceMeetsReference finds the valves that give wanted flows.
func TestBalanceMeetsReference(t *testing.T) {
	met := 0
	for _, n := range readReferences(t).Networks {
		l, _ := n.loop(t)
		for _, c := range n.Cases {
			if c.RequiredFlows == nil {
				continue
			}
			q := n.flows(c.RequiredFlows)
			total := quantity.CubicMetresPerSecond(l.Temperatures(q).Total)
			common := hydraulic.KvDrop(total, n.heaterKv(), l.fluid()).Pascals()
			b, err := l.Balance(q, n.open(), common)
			if err != nil {
				t.Fatalf("%s: %v", n.ID, err)
			}
			met++
			subject := n.ID + " " + c.Case + " "
			near(t, subject+"pump flow", total.CubicMetresPerSecond(), c.PumpFlow, 1e-6*c.PumpFlow)
			near(t, subject+"pump head", b.Pressure/l.Water.Density/quantity.StandardGravity, c.PumpHead, 1e-6*c.PumpHead)
			if got := n.Branches[b.Critical].ID; got != c.Critical {
				t.Errorf("%s: critical is %s, not %s", subject, got, c.Critical)
			}
			for i, branch := range n.Branches {
				near(t, subject+"circuit "+branch.ID, b.Circuit[i], c.Path[branch.ID], 1e-6*c.Path[branch.ID])
				k := hydraulic.KvFor(quantity.CubicMetresPerSecond(q[i]), quantity.Pascals(b.Valve[i]), l.fluid())
				got := quantity.FlowCoefficientDimension.SI.FromSI(k.SI())
				near(t, subject+"Kv "+branch.ID, got, c.Kv[branch.ID], 1e-6*c.Kv[branch.ID])
			}
		}
	}
	if met != 18 {
		t.Errorf("%d cases were met, not 18", met)
	}
}
