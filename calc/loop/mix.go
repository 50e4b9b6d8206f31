package loop

import "math"

// Warmth is the temperatures of a network in its steady state.
type Warmth struct {
	Node      []float64 // by node, K, of what leaves it; where nothing flows, that of the surroundings
	In, Out   []float64 // by link, K, in the direction of the flow
	Loss      []float64 // by link, W; below zero if the water is warmed
	Unbalance float64   // heat missing in the balance of the whole, relative to all that is gained and lost
}

// Temperatures gives the temperatures that belong to flows
//
//	link  Tout = Ta + (Tin - Ta) exp(-N),  N = UA/(|q| rho cp)
//	node  T = sum of q Tout of what flows in / sum of q
//
// A heater's link gives its own temperature whatever enters. Nodes are taken in
// the order of the flow; where water runs in a circle without a heater, they are
// gone through again and again.
//
//	heat  rho cp of the water  J/(m3.K)
//
// Source: energy balance, as [recirc/calc/heat.TemperatureAlong].
func (n *Network) Temperatures(q []float64, heat float64) *Warmth {
	m := mixing{n: n, q: q, heat: heat, w: &Warmth{
		Node: make([]float64, n.Nodes), In: make([]float64, len(q)), Out: make([]float64, len(q)), Loss: make([]float64, len(q)),
	}}
	m.hang()
	m.follow()
	m.circle()
	m.finish()
	return m.w
}

type mixing struct {
	n    *Network
	q    []float64
	heat float64
	w    *Warmth

	first, next []int32 // links that leave a node, as chains
	waits       []int32 // by node: links that flow in and are not known yet
	sum, flow   []float64
	done        []bool
}

// leastFlow is below which water stands, m3/s: a litre in thirty years. Rounding
// leaves such flows.
const leastFlow = 1e-12

func (m *mixing) ends(i int) (from, to int32) {
	l := &m.n.Links[i]
	if m.q[i] < 0 {
		return l.To, l.From
	}
	return l.From, l.To
}

func (m *mixing) flows(i int) bool { return math.Abs(m.q[i]) > leastFlow }

// hang finds what leaves and what enters every node.
func (m *mixing) hang() {
	nodes := m.n.Nodes
	m.first, m.next, m.waits = make([]int32, nodes), make([]int32, len(m.q)), make([]int32, nodes)
	m.sum, m.flow, m.done = make([]float64, nodes), make([]float64, nodes), make([]bool, nodes)
	for i := range m.first {
		m.first[i] = None
	}
	for i := len(m.q) - 1; i >= 0; i-- {
		if !m.flows(i) {
			continue
		}
		from, to := m.ends(i)
		m.next[i], m.first[from] = m.first[from], int32(i)
		m.waits[to]++
	}
	for i, q := range m.n.Inflow {
		if q > 0 {
			m.sum[i], m.flow[i] = q*m.n.Mains.Kelvin(), q
		}
		if int32(i) != m.n.Root && q < 0 { // the root gives what is drawn
			m.sum[m.n.Root] -= q * m.n.Mains.Kelvin()
			m.flow[m.n.Root] -= q
		}
	}
}

// follow goes from node to node with the flow, heaters first.
func (m *mixing) follow() {
	var ready []int32
	for i := range m.q {
		if m.flows(i) && m.n.Links[i].heats() {
			if _, to := m.ends(i); m.enter(i) {
				ready = append(ready, to)
			}
		}
	}
	for i := range int32(m.n.Nodes) {
		if m.waits[i] == 0 && !m.done[i] {
			ready = append(ready, i)
		}
	}
	for len(ready) > 0 {
		node := ready[len(ready)-1]
		ready = ready[:len(ready)-1]
		if m.done[node] {
			continue
		}
		m.mix(node)
		for i := m.first[node]; i != None; i = m.next[i] {
			if m.n.Links[i].heats() {
				continue
			}
			if _, to := m.ends(int(i)); m.enter(int(i)) {
				ready = append(ready, to)
			}
		}
	}
}

func (l *Link) heats() bool { return l.Heated.Kelvin() > 0 }

// enter brings the water of a link to the node behind it, and reports whether
// that node now knows all that flows in.
func (m *mixing) enter(i int) bool {
	from, to := m.ends(i)
	q := math.Abs(m.q[i])
	m.sum[to] += q * m.along(i, m.w.Node[from])
	m.flow[to] += q
	m.waits[to]--
	return m.waits[to] == 0
}

// along is the temperature at the end of a link.
func (m *mixing) along(i int, in float64) float64 {
	l := &m.n.Links[i]
	if l.heats() {
		return l.Heated.Kelvin()
	}
	Ta := l.Ambient.Kelvin()
	return Ta + (in-Ta)*math.Exp(-l.UA/(math.Abs(m.q[i])*m.heat))
}

func (m *mixing) mix(node int32) {
	m.done[node] = true
	if m.flow[node] > 0 {
		m.w.Node[node] = m.sum[node] / m.flow[node]
	}
}

// circle settles nodes whose water comes round without a heater.
func (m *mixing) circle() {
	var open []int32
	for i := range int32(m.n.Nodes) {
		if !m.done[i] {
			open = append(open, i)
		}
	}
	if len(open) == 0 {
		return
	}
	coldest := math.Inf(1)
	for i := range m.n.Links {
		if m.flows(i) {
			coldest = min(coldest, m.n.Links[i].Ambient.Kelvin())
		}
	}
	for _, node := range open {
		m.w.Node[node] = coldest
	}
	known, flow := append([]float64(nil), m.sum...), append([]float64(nil), m.flow...)
	for range 1000 {
		copy(m.sum, known)
		copy(m.flow, flow)
		for i := range m.q {
			if from, _ := m.ends(i); m.flows(i) && !m.done[from] && !m.n.Links[i].heats() {
				m.enter(i)
			}
		}
		moved := 0.0
		for _, node := range open {
			was := m.w.Node[node]
			m.w.Node[node] = m.sum[node] / m.flow[node]
			moved = max(moved, math.Abs(m.w.Node[node]-was))
		}
		if moved < 1e-10 {
			return
		}
	}
}

// finish gives nodes without flow the temperature around them, links their ends,
// and the balance of the whole.
func (m *mixing) finish() {
	w := m.w
	for i := range m.n.Links {
		l := &m.n.Links[i]
		for _, node := range [2]int32{l.From, l.To} {
			if Ta := l.Ambient.Kelvin(); w.Node[node] == 0 && Ta > 0 {
				w.Node[node] = Ta
			}
		}
	}
	missing, moved := 0.0, 1e-9 // W
	for i := range m.q {
		l := &m.n.Links[i]
		from, to := m.ends(i)
		if !m.flows(i) {
			w.In[i], w.Out[i] = w.Node[from], w.Node[to]
			continue
		}
		w.In[i] = w.Node[from]
		w.Out[i] = m.along(i, w.In[i])
		gained := math.Abs(m.q[i]) * m.heat * (w.Out[i] - w.In[i])
		if l.heats() {
			missing += gained
		} else {
			w.Loss[i] = -gained
			missing += gained
		}
		moved += math.Abs(gained)
	}
	for i, q := range m.n.Inflow {
		if int32(i) != m.n.Root {
			missing += q * m.heat * (w.Node[i] - m.n.Mains.Kelvin()) // what is drawn came in as mains water
		}
	}
	w.Unbalance = math.Abs(missing) / moved
}
