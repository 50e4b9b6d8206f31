package loop

import (
	"fmt"
	"math"
)

// Warmth is the temperatures of a network in its steady state.
type Warmth struct {
	Node      []float64 // by node, K, of what leaves it; where nothing flows, that of the surroundings
	In, Out   []float64 // by link, K, in the direction of the flow
	Loss      []float64 // by link, W; below zero if the water is warmed
	Unbalance float64   // heat missing in the balance of the whole, relative to all that is gained and lost
}

// TemperatureError is a node whose temperature is no number, because a flow, a UA
// or a temperature is none.
type TemperatureError struct{ Node int32 }

func (e *TemperatureError) Error() string {
	return fmt.Sprintf("loop.Temperatures: the temperature of node %d is no number", e.Node)
}

// Temperatures gives the temperatures that belong to flows
//
//	link  Tout = Ta + (Tin - Ta) exp(-N),  N = UA/(|q| rho cp)
//	node  T = sum of q Tout of what flows in / sum of q
//
// A heater's link gives its own temperature whatever enters, and what enters at a
// node has that of the mains. Nodes are taken in the order of the flow; those whose
// water runs in a circle without a heater are a set of linear equations.
//
//	heat  rho cp of the water  J/(m3.K)
//
// Errors: a [*TemperatureError]; never a number that is none.
//
// Source: energy balance, as [recirc/calc/heat.TemperatureAlong].
func (n *Network) Temperatures(q []float64, heat float64) (*Warmth, error) {
	m := n.mixing(q, heat)
	w := m.warmth()
	return w, m.check(w)
}

// mixing carries values with the flow: a link changes what enters to
//
//	gain + kept in
//
// and a node mixes what arrives.
type mixing struct {
	n    *Network
	q    []float64
	heat float64

	groups
	kept, lost []float64 // by link: exp(-N) and what is left to one
	around     []float64 // by node, K: the temperature around it
	enters     []float64 // by node, m3/s of mains water
	leaves     []float64 // by node, m3/s drawn
	number     []int32   // by node: its number in the circle at hand
}

// leastFlow is below which water stands, m3/s: a litre in thirty years. Rounding
// leaves such flows.
const leastFlow = 1e-12

func (n *Network) mixing(q []float64, heat float64) *mixing {
	m := &mixing{
		n: n, q: q, heat: heat, kept: make([]float64, len(q)), lost: make([]float64, len(q)),
		around: make([]float64, n.Nodes), number: make([]int32, n.Nodes),
	}
	for i := range q {
		l := &n.Links[i]
		for _, node := range [2]int32{l.From, l.To} {
			if Ta := l.Ambient.Kelvin(); m.around[node] == 0 && Ta > 0 {
				m.around[node] = Ta
			}
		}
		if m.flows(i) && !l.heats() {
			m.kept[i], m.lost[i] = decay(l.UA / (math.Abs(q[i]) * heat))
		}
	}
	m.enters, m.leaves = n.exchanged()
	m.groups = m.groupsOf()
	return m
}

// decay gives exp(-N) and one less that, both as exact as they can be.
func decay(N float64) (kept, lost float64) {
	if N < 0.5 {
		lost = -math.Expm1(-N)
		return 1 - lost, lost
	}
	kept = math.Exp(-N)
	return kept, 1 - kept
}

// exchanged tells what enters and what leaves at every node. The root gives what
// is missing and takes what is over.
func (n *Network) exchanged() (enters, leaves []float64) {
	enters, leaves = make([]float64, n.Nodes), make([]float64, n.Nodes)
	over := 0.0
	for i, q := range n.Inflow {
		enters[i], leaves[i] = max(q, 0), max(-q, 0)
		over += q
	}
	enters[n.Root] += max(-over, 0)
	leaves[n.Root] += max(over, 0)
	return enters, leaves
}

func (m *mixing) ends(i int) (from, to int32) {
	l := &m.n.Links[i]
	if m.q[i] < 0 {
		return l.To, l.From
	}
	return l.From, l.To
}

func (m *mixing) flows(i int) bool { return !(math.Abs(m.q[i]) <= leastFlow) }

func (l *Link) heats() bool { return l.Heated.Kelvin() > 0 }

// carry gives the value of every node
//
//	gain   what a link adds, by link
//	mains  the value of what enters
//	still  that of a node where nothing flows, by node
func (m *mixing) carry(gain []float64, mains float64, still []float64) []float64 {
	x := make([]float64, m.n.Nodes)
	start := int32(0)
	for _, end := range m.groups.ends {
		nodes := m.nodes[start:end]
		start = end
		if len(nodes) > 1 || m.ownCircle(nodes[0]) {
			m.circle(nodes, x, gain, mains, still[nodes[0]])
			continue
		}
		node := nodes[0]
		flow, sum := m.enters[node], m.enters[node]*mains
		for i := m.first[node]; i != None; i = m.next[i] {
			from, _ := m.ends(int(i))
			q := math.Abs(m.q[i])
			flow, sum = flow+q, sum+q*(gain[i]+m.kept[i]*x[from])
		}
		if x[node] = still[node]; flow > 0 {
			x[node] = sum / flow
		}
	}
	return x
}

// ownCircle reports that a link leads from a node back to it.
func (m *mixing) ownCircle(node int32) bool {
	for i := m.first[node]; i != None; i = m.next[i] {
		if l := &m.n.Links[i]; l.From == l.To && !l.heats() {
			return true
		}
	}
	return false
}

// circle carries values round a group of nodes.
func (m *mixing) circle(nodes []int32, x, gain []float64, mains, still float64) {
	c := newCircle(len(nodes))
	for k, node := range nodes {
		m.number[node] = int32(k) + 1
	}
	for k, node := range nodes {
		c.fresh[k], c.right[k] = m.enters[node], m.enters[node]*mains
		for i := m.first[node]; i != None; i = m.next[i] {
			from, _ := m.ends(int(i))
			q := math.Abs(m.q[i])
			c.right[k] += q * gain[i]
			switch other := m.number[from]; {
			case m.n.Links[i].heats():
				c.fresh[k] += q
			case other > 0:
				c.fresh[k] += q * m.lost[i]
				c.pass(other-1, int32(k), q*m.kept[i])
			default:
				c.fresh[k] += q
				c.right[k] += q * m.kept[i] * x[from]
			}
		}
	}
	for k, value := range c.solve(still) {
		x[nodes[k]] = value
		m.number[nodes[k]] = 0
	}
}

// warmth carries temperatures.
func (m *mixing) warmth() *Warmth {
	gain := make([]float64, len(m.q))
	for i := range gain {
		if l := &m.n.Links[i]; l.heats() {
			gain[i] = l.Heated.Kelvin()
		} else {
			gain[i] = m.lost[i] * l.Ambient.Kelvin()
		}
	}
	w := &Warmth{
		Node: m.carry(gain, m.n.Mains.Kelvin(), m.around),
		In:   make([]float64, len(m.q)), Out: make([]float64, len(m.q)), Loss: make([]float64, len(m.q)),
	}
	for i := range m.q {
		from, to := m.ends(i)
		w.In[i], w.Out[i] = w.Node[from], w.Node[to]
		if !m.flows(i) {
			continue
		}
		w.Out[i] = gain[i] + m.kept[i]*w.In[i]
		if l := &m.n.Links[i]; !l.heats() {
			w.Loss[i] = math.Abs(m.q[i]) * m.heat * m.lost[i] * (w.In[i] - l.Ambient.Kelvin())
		}
	}
	w.Unbalance = m.unbalance(w)
	return w
}

// unbalance compares what heaters give with what pipes lose and what is drawn above
// the temperature of the mains.
func (m *mixing) unbalance(w *Warmth) float64 {
	missing, moved := 0.0, leastHeat
	for i, lost := range w.Loss {
		if m.flows(i) && m.n.Links[i].heats() {
			lost = math.Abs(m.q[i]) * m.heat * (w.In[i] - w.Out[i])
		}
		missing, moved = missing+lost, moved+math.Abs(lost)+leastShift*math.Abs(m.q[i])*m.heat
	}
	for i, q := range m.leaves {
		missing += q * m.heat * (w.Node[i] - m.n.Mains.Kelvin())
	}
	return math.Abs(missing) / moved
}

// A balance is worth a look from a millionth of a watt, or of a kelvin in all flows.
const (
	leastHeat  = 1e-6
	leastShift = 1e-6
)

// answers tells by how much every link's end would warm if all flows grew in
// proportion, K a unit of the logarithm of the flow.
func (m *mixing) answers(w *Warmth) []float64 {
	gain := make([]float64, len(m.q))
	for i := range gain {
		if l := &m.n.Links[i]; m.kept[i] > 0 {
			gain[i] = m.kept[i] * l.UA / (math.Abs(m.q[i]) * m.heat) * (w.In[i] - l.Ambient.Kelvin())
		}
	}
	node := m.carry(gain, 0, make([]float64, m.n.Nodes))
	for i := range gain {
		from, _ := m.ends(i)
		gain[i] += m.kept[i] * node[from]
	}
	return gain
}

// coldest is below what no water gets, K.
func (m *mixing) coldest() float64 {
	coldest := math.Inf(1)
	for node, Ta := range m.around {
		if m.enters[node] > 0 {
			coldest = min(coldest, m.n.Mains.Kelvin())
		}
		if Ta > 0 {
			coldest = min(coldest, Ta)
		}
	}
	return coldest
}

// check finds what is no number.
func (m *mixing) check(w *Warmth) error {
	for i, T := range w.Node {
		if !finite(T) {
			return &TemperatureError{int32(i)}
		}
	}
	for i, lost := range w.Loss {
		if !finite(lost) || !finite(w.Out[i]) {
			_, to := m.ends(i)
			return &TemperatureError{to}
		}
	}
	if !finite(w.Unbalance) {
		return &TemperatureError{m.n.Root}
	}
	return nil
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }
