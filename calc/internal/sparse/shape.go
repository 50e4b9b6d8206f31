package sparse

// arrange gives the entries of the matrix by the step at which the later of their
// two unknowns is eliminated, left of the diagonal, and where each pair went.
func arrange(order []int32, pairs [][2]int32) (rows, []int32) {
	step := make([]int32, len(order))
	for k, i := range order {
		step[i] = int32(k)
	}
	lower := make([][2]int32, len(pairs))
	for e, p := range pairs {
		i, j := step[p[0]], step[p[1]]
		lower[e] = [2]int32{max(i, j), min(i, j)}
	}
	return distinct(len(order), lower)
}

// shape finds where L has entries. Row k of L has a column for every entry of row
// k of the matrix and for all above it in the elimination tree, up to k, whose
// parent of j is the first row below the diagonal of column j.
func (f *Factor) shape(mostFill int) error {
	n := len(f.order)
	parent, seen := make([]int32, n), make([]int32, n)
	f.columnStart = make([]int, n+1)
	fill := 0
	for k := range n {
		parent[k], seen[k] = -1, int32(k)
		for _, j := range f.lower.of(k) {
			for ; seen[j] != int32(k); j = parent[j] {
				if parent[j] < 0 {
					parent[j] = int32(k)
				}
				seen[j] = int32(k)
				f.columnStart[j+1]++
				fill++
			}
		}
		if fill > mostFill {
			return ErrFill
		}
	}
	for j := range n {
		f.columnStart[j+1] += f.columnStart[j]
	}
	f.fillColumns(parent, seen)
	f.fillRows()
	return nil
}

// fillColumns walks the tree once more; rows come in their order, so that those
// of a column rise.
func (f *Factor) fillColumns(parent, seen []int32) {
	n := len(f.order)
	f.row = make([]int32, f.columnStart[n])
	next := append([]int(nil), f.columnStart...)
	for k := range n {
		seen[k] = -1
	}
	for k := range n {
		seen[k] = int32(k)
		for _, j := range f.lower.of(k) {
			for ; seen[j] != int32(k); j = parent[j] {
				seen[j] = int32(k)
				f.row[next[j]] = int32(k)
				next[j]++
			}
		}
	}
}

// fillRows turns the columns into rows; columns come in their order, so that those
// of a row rise.
func (f *Factor) fillRows() {
	n := len(f.order)
	f.rowStart, f.rowColumn = make([]int, n+1), make([]int32, len(f.row))
	for _, k := range f.row {
		f.rowStart[k+1]++
	}
	for k := range n {
		f.rowStart[k+1] += f.rowStart[k]
	}
	next := append([]int(nil), f.rowStart...)
	for j := range n {
		for _, k := range f.row[f.columnStart[j]:f.columnStart[j+1]] {
			f.rowColumn[next[k]] = int32(j)
			next[k]++
		}
	}
}
