// Package sparse factorises symmetric positive definite matrices that are mostly
// zero, such as those of the nodal pressures of a pipe network: the order of the
// unknowns and the shape of the factor are worked out once, the values may change
// as often as a calculation iterates.
package sparse

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// ErrFill is the error of [Analyse] for a matrix whose factor would not fit.
var ErrFill = errors.New("sparse: the factor would hold more entries than allowed")

// PairError is a pair that is no off-diagonal entry of the matrix.
type PairError struct {
	Index int // of the pair
	Pair  [2]int32
	N     int
}

func (e *PairError) Error() string {
	return fmt.Sprintf("sparse: pair %d is %d, %d; it must join two of the unknowns 0 to %d", e.Index, e.Pair[0], e.Pair[1], e.N-1)
}

// NotPositiveError is a matrix that is not positive definite, in floating point.
type NotPositiveError struct {
	Unknown int     // where elimination came upon it
	Pivot   float64 // what was left of its diagonal
}

func (e *NotPositiveError) Error() string {
	return fmt.Sprintf("sparse: the pivot of unknown %d is %g; the matrix is not positive definite", e.Unknown, e.Pivot)
}

// Factor is the factor L D L^T of a matrix P A P^T, where P puts the unknowns in an
// order that keeps L sparse. It is not for use by two goroutines at once.
type Factor struct {
	order []int32 // the unknown eliminated at each step
	lower rows    // the entries of the matrix left of the diagonal, by step
	slot  []int32 // of each pair, where in lower it adds

	rowStart    []int   // of each row of L, where in rowColumn it starts
	rowColumn   []int32 // the columns of L left of the diagonal, rising
	columnStart []int   // of each column of L, where in row and value it starts
	row         []int32 // the rows below the diagonal, rising
	value       []float64
	pivot       []float64 // D

	entry   []float64 // the matrix, as lower
	work    []float64 // zero between calls
	reached []int     // of each column, how far its values are known
}

// Analyse orders the unknowns for little fill and works out the shape of the factor
//
//	n         unknowns, 0 to n-1
//	pairs     where the matrix has entries off its diagonal: i, j stands for j, i
//	          too, and a pair may come more than once; less than 2^30 of them
//	mostFill  entries that L may have below its diagonal; each takes 16 bytes
//
// The same pairs give the same order. On trees and ladders time and fill grow as
// n; on a square grid fill grows as n log n.
//
// Errors: [ErrFill], found before the memory is taken and in a time that grows
// with mostFill and the pairs, not with the fill; a [*PairError].
//
// Source: quotient-graph minimum degree, see [minimumDegree]; the elimination tree
// of Liu (1990), SIAM Journal on Matrix Analysis and Applications 11, 134-172,
// from memory.
func Analyse(n int, pairs [][2]int32, mostFill int) (*Factor, error) {
	for i, p := range pairs {
		if p[0] == p[1] || p[0] < 0 || p[1] < 0 || int(p[0]) >= n || int(p[1]) >= n {
			return nil, &PairError{Index: i, Pair: p, N: n}
		}
	}
	order, err := minimumDegree(neighbours(n, pairs), mostFill)
	if err != nil {
		return nil, err
	}
	f := &Factor{order: order}
	f.lower, f.slot = arrange(order, pairs)
	if err := f.shape(mostFill); err != nil {
		return nil, err
	}
	f.value, f.entry = make([]float64, len(f.row)), make([]float64, len(f.lower.columns))
	f.work, f.pivot, f.reached = make([]float64, n), make([]float64, n), make([]int, n)
	f.refuse()
	return f, nil
}

// Fill is the number of entries of L below its diagonal.
func (f *Factor) Fill() int { return len(f.row) }

// Work is the number of multiplications of [Factor.Factorise], but for a factor near
// one: half the sum of the squares of the columns' entries.
func (f *Factor) Work() int {
	work := 0
	for j := range f.order {
		entries := f.columnStart[j+1] - f.columnStart[j]
		work += entries * (entries + 1) / 2
	}
	return work
}

// refuse makes [Factor.Solve] give NaN, so that a factor without values, or with
// half of them, is not mistaken for one.
func (f *Factor) refuse() {
	for k := range f.pivot {
		f.pivot[k] = math.NaN()
	}
}

// rows are lists of columns, one a row of a matrix, kept in one piece.
type rows struct {
	start   []int // of each row, and the end of the last
	columns []int32
}

func (r *rows) of(i int) []int32 { return r.columns[r.start[i]:r.start[i+1]] }

// distinct gives the columns of each row, each once and rising. The entries are
// given by row and column; it also tells where each entry went.
func distinct(n int, entries [][2]int32) (rows, []int32) {
	// Sorted by column, then by row with the order kept: the columns of a row rise.
	byColumn := sortedBy(n, entries, nil, 1)
	byRow := sortedBy(n, entries, byColumn, 0)
	r := rows{start: make([]int, n+1), columns: make([]int32, 0, len(entries))}
	slot := make([]int32, len(entries))
	row := 0
	for _, e := range byRow {
		i, j := int(entries[e][0]), entries[e][1]
		for ; row < i; row++ {
			r.start[row+1] = len(r.columns)
		}
		if last := len(r.columns); last == r.start[i] || r.columns[last-1] != j {
			r.columns = append(r.columns, j)
		}
		slot[e] = int32(len(r.columns) - 1)
	}
	for ; row < n; row++ {
		r.start[row+1] = len(r.columns)
	}
	r.columns = slices.Clip(r.columns)
	return r, slot
}

// sortedBy sorts entries by one of their two indices, counting; entries alike stay
// in the order that they are given in, nil for that of the list.
func sortedBy(n int, entries [][2]int32, given []int32, index int) []int32 {
	next := make([]int32, n+1)
	for _, e := range entries {
		next[e[index]+1]++
	}
	for i := range n {
		next[i+1] += next[i]
	}
	sorted := make([]int32, len(entries))
	for k := range entries {
		e := int32(k)
		if given != nil {
			e = given[k]
		}
		at := &next[entries[e][index]]
		sorted[*at] = e
		*at++
	}
	return sorted
}
