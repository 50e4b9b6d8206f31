package loop

import (
	"errors"

	"recirc/calc/internal/sparse"
)

const (
	mostSteps  = 200
	leastSlope = 1e2  // Pa/(m3/s), of a link without resistance: 0.1 Pa at 1 L/s
	shutSlope  = 1e16 // of a check valve that is pushed shut, until its leak is taken away
	softSlope  = 1e9  // of one that gives way
	patience   = 20   // steps, after which it is made easier
	startSpeed = 1e-5 // m3/s, a usual flow of a branch

	// Entries of a factor: as many as any tree or ladder of that many nodes needs, and
	// a tangle beside it. Past that a step takes more than a tenth of a second.
	mostFillPerNode = 4
	mostFillBeyond  = 400_000
)

// Solver holds what solving a network again and again needs only once. It is not
// for use by two goroutines at once.
type Solver struct {
	n      *Network
	row    []int32 // by node: its unknown, or None
	pairs  []int32 // by link: its pair of unknowns, or None
	factor *sparse.Factor

	fed, drained []bool // by node: a way leads there from the root; back to it

	diagonal, off, right []float64 // of the equations
	drop, slope          []float64 // by link, at the present flow
	change, next         []float64 // by link: the step that is due, the flows after it
	missing              []float64 // by node
	floor, shut          float64   // least slope; that of a shut check valve
}

// Solve gives the flows and pressures of a network
//
//	link  dp(q) = p from - p to + lift + gain(q)
//	node  sum of the flows that leave = inflow
//
// by the global gradient method: Newton's method on flows and pressures together,
// where the pressures follow from a symmetric positive definite matrix. Because
// every dp rises with its flow, the flows are those of least content, the
// integral of dp dq; a step that overshoots it is cut back, so that any start
// leads there. A check valve that would be passed backwards is shut.
//
// before holds flows to start from, or nil.
//
// Errors: a [*CutOffError], an [*UnsolvedError], or [ErrTangled].
//
// Source: Todini and Pilati, A gradient algorithm for the analysis of pipe
// networks, 1988; content by Cherry and Millar, 1951; from memory.
func Solve(n *Network, before *Flows) (*Flows, error) {
	s, err := NewSolver(n)
	if err != nil {
		return nil, err
	}
	return s.Solve(before)
}

// NewSolver shapes the factor for a network. Curves, lifts, pumps and inflows may
// change before it is solved again, nodes and links and which are closed may not.
func NewSolver(n *Network) (*Solver, error) {
	s := &Solver{n: n, row: make([]int32, n.Nodes), pairs: make([]int32, len(n.Links))}
	grounded := s.ground()
	unknowns := int32(0)
	for i := range s.row {
		s.row[i] = None
		if !grounded[i] {
			s.row[i] = unknowns
			unknowns++
		}
	}
	var pairs [][2]int32
	for i := range n.Links {
		l := &n.Links[i]
		s.pairs[i] = None
		if a, b := s.row[l.From], s.row[l.To]; !l.Closed && a != None && b != None && a != b {
			s.pairs[i] = int32(len(pairs))
			pairs = append(pairs, [2]int32{a, b})
		}
	}
	var err error
	s.factor, err = sparse.Analyse(int(unknowns), pairs, mostFillPerNode*n.Nodes+mostFillBeyond)
	if errors.Is(err, sparse.ErrFill) {
		return nil, ErrTangled
	}
	if err != nil {
		return nil, err
	}
	s.fed, s.drained = n.reach(false), n.reach(true)
	s.diagonal, s.off, s.right = make([]float64, unknowns), make([]float64, len(pairs)), make([]float64, unknowns)
	s.missing = make([]float64, n.Nodes)
	m := len(n.Links)
	s.drop, s.slope, s.change, s.next = make([]float64, m), make([]float64, m), make([]float64, m), make([]float64, m)
	return s, nil
}

// ground picks a node of pressure zero in every part: the root, and where closed
// links part a piece off, its first node.
func (s *Solver) ground() []bool {
	part := newParts(s.n)
	grounded, seen := make([]bool, s.n.Nodes), make([]bool, s.n.Nodes)
	grounded[s.n.Root], seen[part.of(s.n.Root)] = true, true
	for i := range int32(s.n.Nodes) {
		if p := part.of(i); !seen[p] {
			grounded[i], seen[p] = true, true
		}
	}
	return grounded
}

// reach finds the nodes to which water can pass from the root, or from which back
// to it.
func (n *Network) reach(back bool) []bool {
	first, next := make([]int32, n.Nodes), make([]int32, 2*len(n.Links)) // what leaves a node, as chains
	for i := range first {
		first[i] = None
	}
	hang := func(way int, from int32) { next[way], first[from] = first[from], int32(way) }
	for i := range n.Links {
		l := &n.Links[i]
		if l.Closed {
			continue
		}
		if !back || !l.OneWay {
			hang(2*i, l.From)
		}
		if back || !l.OneWay {
			hang(2*i+1, l.To)
		}
	}
	reached := make([]bool, n.Nodes)
	reached[n.Root] = true
	for open := []int32{n.Root}; len(open) > 0; {
		node := open[len(open)-1]
		open = open[:len(open)-1]
		for way := first[node]; way != None; way = next[way] {
			l := &n.Links[way/2]
			to := l.To
			if way%2 == 1 {
				to = l.From
			}
			if !reached[to] {
				reached[to] = true
				open = append(open, to)
			}
		}
	}
	return reached
}

// checkDraws refuses draws that nothing feeds.
func (s *Solver) checkDraws() error {
	for i, q := range s.n.Inflow {
		if q < 0 && !s.fed[i] || q > 0 && !s.drained[i] {
			return &CutOffError{int32(i)}
		}
	}
	return nil
}

// parts joins nodes that open links connect.
type parts []int32

func newParts(n *Network) parts {
	p := make(parts, n.Nodes)
	for i := range p {
		p[i] = int32(i)
	}
	for i := range n.Links {
		if l := &n.Links[i]; !l.Closed {
			p[p.of(l.From)] = p.of(l.To)
		}
	}
	return p
}

func (p parts) of(i int32) int32 {
	for p[i] != i {
		p[i] = p[p[i]]
		i = p[i]
	}
	return i
}

// Solve solves the network as it is now. See [Solve].
func (s *Solver) Solve(before *Flows) (*Flows, error) {
	if err := s.checkDraws(); err != nil {
		return nil, err
	}
	f := s.start(before)
	if err := s.newton(f); err != nil {
		return nil, err
	}
	return f, s.shutTight(f)
}

// start copies the flows to start from.
func (s *Solver) start(before *Flows) *Flows {
	f := &Flows{Q: make([]float64, len(s.n.Links)), Pressure: make([]float64, s.n.Nodes)}
	for i := range f.Q {
		f.Q[i] = startSpeed
	}
	if before != nil {
		copy(f.Q, before.Q)
	}
	for i := range f.Q {
		if s.n.Links[i].Closed {
			f.Q[i] = 0
		}
	}
	return f
}
