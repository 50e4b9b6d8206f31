package sparse

import (
	"fmt"
	"math"
)

// Factorise works out the factor of a matrix, row by row
//
//	L_kj = (A_kj - sum_i<j L_ki D_i L_ji)/D_j,  D_k = A_kk - sum_j<k L_kj^2 D_j
//
//	diagonal  of each unknown
//	off       of each pair that [Analyse] was given; pairs alike add
//
// Errors: a [*NotPositiveError] where a pivot D_k is not above zero, or no finite
// number; numbers of values that are not those of the unknowns and pairs. After an
// error [Factor.Solve] gives NaN.
//
// Source: up-looking factorisation, Davis, Direct Methods for Sparse Linear Systems
// (2006), chapter 4, from memory.
func (f *Factor) Factorise(diagonal []float64, off []float64) error {
	f.refuse()
	if len(diagonal) != len(f.order) || len(off) != len(f.slot) {
		return fmt.Errorf("sparse: %d diagonal and %d other values for %d unknowns and %d pairs", len(diagonal), len(off), len(f.order), len(f.slot))
	}
	clear(f.entry)
	for e, at := range f.slot {
		f.entry[at] += off[e]
	}
	copy(f.reached, f.columnStart)
	for k, i := range f.order {
		pivot := f.eliminate(k, diagonal[i])
		if !(pivot > 0 && pivot <= math.MaxFloat64) {
			f.refuse()
			return &NotPositiveError{Unknown: int(i), Pivot: pivot}
		}
		f.pivot[k] = pivot
	}
	return nil
}

// eliminate works out row k of L and gives the pivot.
func (f *Factor) eliminate(k int, pivot float64) float64 {
	y := f.work // row k of the matrix, less what the columns before take off
	for p := f.lower.start[k]; p < f.lower.start[k+1]; p++ {
		y[f.lower.columns[p]] = f.entry[p]
	}
	for _, j := range f.rowColumn[f.rowStart[k]:f.rowStart[k+1]] {
		start, end := f.columnStart[j], f.reached[j]
		yj := y[j]
		y[j] = 0
		rows, values := f.row[start:end], f.value[start:end]
		for p, i := range rows {
			y[i] -= values[p] * yj
		}
		l := yj / f.pivot[j]
		pivot -= l * yj
		f.value[end] = l
		f.reached[j] = end + 1
	}
	return pivot
}

// Solve solves A x = b for the matrix that was factorised last; x takes the place
// of b, which has a value for each unknown.
func (f *Factor) Solve(b []float64) {
	x := f.work
	for k, i := range f.order {
		x[k] = b[i]
	}
	for j := range x {
		xj := x[j]
		for p := f.columnStart[j]; p < f.columnStart[j+1]; p++ {
			x[f.row[p]] -= f.value[p] * xj
		}
	}
	for j := len(x) - 1; j >= 0; j-- {
		xj := x[j] / f.pivot[j]
		for p := f.columnStart[j]; p < f.columnStart[j+1]; p++ {
			xj -= f.value[p] * x[f.row[p]]
		}
		x[j] = xj
	}
	for k, i := range f.order {
		b[i] = x[k]
		x[k] = 0
	}
}
