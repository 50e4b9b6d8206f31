package sparse

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// matrix is values for a network.
type matrix struct {
	network
	diagonal, off []float64
}

// laplacian has the conductances of pipes, over many decades, and grounds that
// many unknowns by a conductance of their own, the first of each part among them.
func laplacian(g network, decades float64, r *rand.Rand) matrix {
	m := matrix{network: g, diagonal: make([]float64, g.n), off: make([]float64, len(g.pairs))}
	for e, p := range g.pairs {
		c := math.Pow(10, decades*(r.Float64()-0.5))
		m.off[e] = -c
		m.diagonal[p[0]] += c
		m.diagonal[p[1]] += c
	}
	for i := range g.n {
		if r.IntN(4) == 0 || !slices.ContainsFunc(g.pairs, func(p [2]int32) bool { return max(p[0], p[1]) == int32(i) }) {
			m.diagonal[i] += 1
		}
	}
	return m
}

func (m *matrix) dense() [][]float64 {
	a := make([][]float64, m.n)
	for i := range a {
		a[i] = make([]float64, m.n)
		a[i][i] = m.diagonal[i]
	}
	for e, p := range m.pairs {
		a[p[0]][p[1]] += m.off[e]
		a[p[1]][p[0]] += m.off[e]
	}
	return a
}

func (m *matrix) times(x []float64) []float64 {
	y := make([]float64, m.n)
	for i := range y {
		y[i] = m.diagonal[i] * x[i]
	}
	for e, p := range m.pairs {
		y[p[0]] += m.off[e] * x[p[1]]
		y[p[1]] += m.off[e] * x[p[0]]
	}
	return y
}

// cholesky solves a dense system by the textbook's three loops, and says if a
// pivot is not positive.
func cholesky(a [][]float64, b []float64) ([]float64, bool) {
	n := len(b)
	x := slices.Clone(b)
	for k := range n {
		for j := range k {
			for i := range j {
				a[k][j] -= a[k][i] * a[j][i]
			}
			a[k][j] /= a[j][j]
			a[k][k] -= a[k][j] * a[k][j]
			x[k] -= a[k][j] * x[j]
		}
		if !(a[k][k] > 0) {
			return nil, false
		}
		a[k][k] = math.Sqrt(a[k][k])
		x[k] /= a[k][k]
	}
	for k := n - 1; k >= 0; k-- {
		for i := k + 1; i < n; i++ {
			x[k] -= a[i][k] * x[i]
		}
		x[k] /= a[k][k]
	}
	return x, true
}

func analysed(t testing.TB, g network) *Factor {
	t.Helper()
	f, err := Analyse(g.n, g.pairs, 1<<30)
	if err != nil {
		t.Fatalf("%s: %v", g.name, err)
	}
	order := slices.Clone(f.order)
	slices.Sort(order)
	for i := range g.n {
		if len(order) != g.n || order[i] != int32(i) {
			t.Fatalf("%s: the order is no permutation: %v", g.name, f.order)
		}
	}
	return f
}

// solved gives x of A x = b and the greatest residual over that of rounding.
func (m *matrix) solved(t testing.TB, f *Factor, b []float64) ([]float64, float64) {
	t.Helper()
	if err := f.Factorise(m.diagonal, m.off); err != nil {
		t.Fatalf("%s: %v", m.name, err)
	}
	x := slices.Clone(b)
	f.Solve(x)
	worst := 0.0
	absolute := matrix{network: m.network, diagonal: m.diagonal, off: make([]float64, len(m.off))}
	size := make([]float64, m.n)
	for e := range m.off {
		absolute.off[e] = math.Abs(m.off[e])
	}
	for i := range x {
		size[i] = math.Abs(x[i])
	}
	ax, scale := m.times(x), absolute.times(size)
	for i := range ax {
		worst = max(worst, math.Abs(ax[i]-b[i])/(scale[i]+math.Abs(b[i])+1e-300))
	}
	return x, worst
}

func rightSide(n int, r *rand.Rand) []float64 {
	b := make([]float64, n)
	for i := range b {
		b[i] = r.NormFloat64()
	}
	return b
}

// TestNetworks: what is solved fits the equations, component by component, whatever
// the shape of the network, and the same factor serves other values.
func TestNetworks(t *testing.T) {
	for _, g := range networks(7) {
		f := analysed(t, g)
		r := rand.New(rand.NewPCG(3, 4))
		for _, decades := range []float64{0, 2, 8} {
			m := laplacian(g, decades, r)
			// The backward error of a Cholesky factor, by component of such a matrix,
			// is a small multiple of rounding times the length of a row.
			if _, worst := m.solved(t, f, rightSide(g.n, r)); !(worst <= 1e-11) {
				t.Errorf("%s of %d over %g decades: residual %.2g", g.name, g.n, decades, worst)
			}
		}
	}
}

// TestAgainstDense compares with a dense factorisation of random matrices.
func TestAgainstDense(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		n := rapid.IntRange(1, 40).Draw(t, "n")
		m := matrix{network: scattered(n, rapid.IntRange(0, 4*n).Draw(t, "pairs"), r), diagonal: make([]float64, n)}
		for _, p := range m.pairs {
			c := r.NormFloat64()
			m.off = append(m.off, c)
			m.diagonal[p[0]] += math.Abs(c)
			m.diagonal[p[1]] += math.Abs(c)
		}
		for i := range n {
			m.diagonal[i] += 0.1 + r.Float64()
		}
		b := rightSide(n, r)
		want, ok := cholesky(m.dense(), b)
		if !ok {
			t.Fatal("the test's matrix is not positive definite")
		}
		f, err := Analyse(n, m.pairs, n*n)
		if err == nil {
			err = f.Factorise(m.diagonal, m.off)
		}
		if err != nil {
			t.Fatal(err)
		}
		f.Solve(b)
		for i := range b {
			if !(math.Abs(b[i]-want[i]) <= 1e-10*(1+math.Abs(want[i]))) {
				t.Fatalf("x%d = %v, want %v", i, b[i], want[i])
			}
		}
	})
}

// TestRenumberingChangesNothing: the numbers of the unknowns are names only.
func TestRenumberingChangesNothing(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	for _, g := range networks(9) {
		m := laplacian(g, 2, r)
		b := rightSide(g.n, r)
		want, _ := m.solved(t, analysed(t, g), b)
		to := r.Perm(g.n)
		other := matrix{network: g.renamed(to), diagonal: make([]float64, g.n), off: m.off}
		c := make([]float64, g.n)
		for i, j := range to {
			other.diagonal[j], c[j] = m.diagonal[i], b[i]
		}
		got, _ := other.solved(t, analysed(t, other.network), c)
		for i, j := range to {
			if math.Abs(got[j]-want[i]) > 1e-9*(1+math.Abs(want[i])) {
				t.Errorf("%s: %v became %v", g.name, want[i], got[j])
				break
			}
		}
	}
}

func TestSameOrderEveryTime(t *testing.T) {
	for _, g := range networks(5) {
		if a, b := analysed(t, g), analysed(t, g); !slices.Equal(a.order, b.order) || !slices.Equal(a.row, b.row) {
			t.Errorf("%s: two orders for one network", g.name)
		}
	}
}

// TestFillIsSmall: a tree has an order without fill, so L has the tree's own pairs;
// a ladder eliminated from its ends keeps two unknowns in front, so less than two
// entries a column. Minimum degree must come near. The numbers for reverse return,
// where both ends meet, and for the grid are upper bounds of good orders, widened.
func TestFillIsSmall(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for _, c := range []struct {
		network
		most int
	}{
		{tree(5000, r), 4999}, {star(20000), 20000}, {hubs(20000), 40001},
		{comb(5000, false), 4 * 5000}, {comb(5000, true), 7 * 5000}, {grid(60), 3600 * 20},
	} {
		if got := analysed(t, c.network).Fill(); got > c.most {
			t.Errorf("%s: %d entries, want at most %d", c.name, got, c.most)
		}
	}
}

// TestFillIsBounded: a network that fills up is refused, and one that just fits not.
func TestFillIsBounded(t *testing.T) {
	g := expander(20000, rand.New(rand.NewPCG(1, 2)))
	if f, err := Analyse(g.n, g.pairs, 1_000_000); !errors.Is(err, ErrFill) || f != nil {
		t.Errorf("expander: %v, want ErrFill", err)
	}
	for _, g := range networks(3) {
		fill := analysed(t, g).Fill()
		if f, err := Analyse(g.n, g.pairs, fill); err != nil || f.Fill() != fill {
			t.Errorf("%s does not fit into its own %d: %v", g.name, fill, err)
		}
		if _, err := Analyse(g.n, g.pairs, fill-1); fill > 0 && !errors.Is(err, ErrFill) {
			t.Errorf("%s fits into one less than its own %d: %v", g.name, fill, err)
		}
	}
}

// TestWorkByHand: a path takes one multiplication a step; a full matrix of n unknowns
// takes those of every column, 1 + 2 + ... below it, together (n-1)n(n+1)/6.
func TestWorkByHand(t *testing.T) {
	var path, full [][2]int32
	const n = 9
	for i := range int32(n) {
		if i > 0 {
			path = append(path, [2]int32{i - 1, i})
		}
		for j := range i {
			full = append(full, [2]int32{i, j})
		}
	}
	for name, c := range map[string]struct {
		pairs [][2]int32
		want  int
	}{"path": {path, n - 1}, "full": {full, (n - 1) * n * (n + 1) / 6}, "nothing": {nil, 0}} {
		f, err := Analyse(n, c.pairs, 1000)
		if err != nil {
			t.Fatal(err)
		}
		if got := f.Work(); got != c.want {
			t.Errorf("%s: %d multiplications, not %d", name, got, c.want)
		}
	}
}

// TestOrderIsThatOfAnalysis, and holds every unknown once.
func TestOrderIsThatOfAnalysis(t *testing.T) {
	for _, g := range networks(4) {
		order := Order(g.n, g.pairs)
		if !slices.Equal(order, analysed(t, g).order) {
			t.Errorf("%s is ordered in another way", g.name)
		}
		slices.Sort(order)
		for i, k := range order {
			if int32(i) != k {
				t.Fatalf("%s: unknown %d is missing", g.name, i)
			}
		}
	}
}

// TestNotPositive: elimination stops at an unknown that makes the matrix indefinite,
// and nothing can be solved then.
func TestNotPositive(t *testing.T) {
	g := beside(comb(30, true), tree(40, rand.New(rand.NewPCG(2, 2))))
	f := analysed(t, g)
	r := rand.New(rand.NewPCG(3, 4))
	for _, bad := range []float64{0, -1, math.NaN(), math.Inf(1), math.Inf(-1)} {
		for _, at := range []int{0, 17, 60, 100} {
			m := laplacian(g, 1, r)
			m.diagonal[at] = bad
			err := f.Factorise(m.diagonal, m.off)
			var typed *NotPositiveError
			if !errors.As(err, &typed) || typed.Pivot > 0 && !math.IsInf(typed.Pivot, 1) {
				t.Errorf("%g: %v, want a NotPositiveError", bad, err)
				continue
			}
			// The pivots before it do not know of it and are positive.
			if typed.Unknown != at {
				t.Errorf("%g at %d was blamed on %d", bad, at, typed.Unknown)
			}
			b := rightSide(g.n, r)
			f.Solve(b)
			if !slices.ContainsFunc(b, math.IsNaN) {
				t.Errorf("%g: something was solved", bad)
			}
			if _, worst := laplacianOf(g).solved(t, f, rightSide(g.n, r)); !(worst < 1e-11) {
				t.Errorf("%g left traces: residual %g", bad, worst)
			}
		}
	}
}

func laplacianOf(g network) *matrix {
	m := laplacian(g, 1, rand.New(rand.NewPCG(5, 6)))
	return &m
}

func TestNotSolvedBeforeItIsFactorised(t *testing.T) {
	b := []float64{1, 2}
	analysed(t, network{n: 2}).Solve(b)
	if !math.IsNaN(b[0]) || !math.IsNaN(b[1]) {
		t.Errorf("solved without values: %v", b)
	}
}

func TestWrongPairsAndNumbers(t *testing.T) {
	for _, p := range [][2]int32{{0, 0}, {-1, 1}, {1, -1}, {0, 2}, {2, 0}, {1 << 30, 0}} {
		_, err := Analyse(2, [][2]int32{{0, 1}, p}, 100)
		var typed *PairError
		if !errors.As(err, &typed) || typed.Index != 1 || typed.Pair != p {
			t.Errorf("%v: %v, want a PairError", p, err)
		}
	}
	f := analysed(t, network{n: 2, pairs: [][2]int32{{0, 1}}})
	for _, c := range []struct{ diagonal, off []float64 }{{[]float64{1}, []float64{0}}, {[]float64{1, 1}, nil}} {
		if err := f.Factorise(c.diagonal, c.off); err == nil || !strings.Contains(err.Error(), "for 2 unknowns and 1 pairs") {
			t.Errorf("%v: %v", c, err)
		}
	}
}
