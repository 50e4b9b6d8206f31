package loop

import (
	"errors"

	"recirc/calc/internal/sparse"
)

const (
	mostSteps  = 100
	leastSlope = 1e4  // Pa/(m3/s), of a link without resistance: 10 Pa at 1 L/s
	shutSlope  = 1e18 // of a check valve that is pushed shut: it leaks a share of 1e-9 or less
	startSpeed = 1e-5 // m3/s, a usual flow of a branch

	mostFill = 20_000_000 // entries of a factor: 160 MB
)

// Solver holds what solving a network again and again needs only once.
type Solver struct {
	n      *Network
	row    []int32 // by node: its unknown, or None
	pairs  []int32 // by link: its pair of unknowns, or None
	factor *sparse.Factor

	diagonal, off, right []float64
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
	s.factor, err = sparse.Analyse(int(unknowns), pairs, mostFill)
	if errors.Is(err, sparse.ErrFill) {
		return nil, ErrTangled
	}
	if err != nil {
		return nil, err
	}
	s.diagonal, s.off, s.right = make([]float64, unknowns), make([]float64, len(pairs)), make([]float64, unknowns)
	return s, s.checkDraws(grounded)
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

// checkDraws refuses draws from parts that nothing feeds.
func (s *Solver) checkDraws(grounded []bool) error {
	part := newParts(s.n)
	for i, q := range s.n.Inflow {
		if q != 0 && part.of(int32(i)) != part.of(s.n.Root) {
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

// Solve solves the network as it is now.
func (s *Solver) Solve(before *Flows) (*Flows, error) {
	f := s.start(before)
	if err := s.newton(f); err != nil {
		return nil, err
	}
	for i := range f.Q {
		if s.n.Links[i].OneWay {
			f.Q[i] = max(f.Q[i], 0)
		}
	}
	s.residuals(f)
	return f, nil
}

func (s *Solver) start(before *Flows) *Flows {
	m := len(s.n.Links)
	f := &Flows{
		Q: make([]float64, m), Pressure: make([]float64, s.n.Nodes), missing: make([]float64, s.n.Nodes),
		slope: make([]float64, m), drop: make([]float64, m), step: make([]float64, m),
	}
	for i := range f.Q {
		if !s.n.Links[i].Closed {
			f.Q[i] = startSpeed
		}
	}
	if before != nil {
		copy(f.Q, before.Q)
	}
	return f
}
