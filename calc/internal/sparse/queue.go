package sparse

// queue has variables by their degree, those of a degree in a list that is linked
// both ways, so that one whose degree changes is moved at once.
type queue struct {
	head         []int32 // of each degree
	after, ahead []int32 // of each variable
	lowest       int     // no degree below it has a variable
}

func newQueue(n int) queue {
	q := queue{head: make([]int32, n+1), after: make([]int32, n), ahead: make([]int32, n), lowest: n}
	for d := range q.head {
		q.head[d] = -1
	}
	return q
}

func (q *queue) put(i int32, degree int) {
	first := q.head[degree]
	q.after[i], q.ahead[i], q.head[degree] = first, -1, i
	if first >= 0 {
		q.ahead[first] = i
	}
	q.lowest = min(q.lowest, degree)
}

func (q *queue) drop(i int32, degree int) {
	after, ahead := q.after[i], q.ahead[i]
	if ahead >= 0 {
		q.after[ahead] = after
	} else {
		q.head[degree] = after
	}
	if after >= 0 {
		q.ahead[after] = ahead
	}
}

// least gives a variable of the smallest degree; there must be one.
func (q *queue) least() int32 {
	for q.head[q.lowest] < 0 {
		q.lowest++
	}
	return q.head[q.lowest]
}
