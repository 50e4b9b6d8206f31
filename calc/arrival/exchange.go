package arrival

import "math"

// stiffest is the conductance, in a step and as a multiple of the capacity beside
// it, beyond which nothing changes any more, but digits get lost.
const stiffest = 1e5

// exchange is what water and wall of one cell become in a step: a linear map of
// their temperatures, with what the surroundings add.
type exchange struct {
	m    [1 + wallShells]states
	add  states  // K
	lost states  // heat to the surroundings, J/K
	less float64 // J, for surroundings above the base temperature
}

// states has one element for the water and one for each shell of the wall, from
// inside to outside; those of shells that a wall does not have are 0.
type states [1 + wallShells]float64

// newExchange solves the exchange in one cell for a time, exactly:
//
//	dy/dt = A y,  y(t) = exp(A t) y(0)
//
// with y above the surroundings; the heat lost is carried as one more state, so
// that it does not come from the balance that it later has to close.
func newExchange(l ladder, length, slug, time, ambient float64) exchange {
	n := l.shells + 1
	var capacity [maxStates]float64
	capacity[0] = slug
	for i := range l.shells {
		capacity[i+1] = l.capacity[i] * length
	}
	var a [maxStates][maxStates]float64
	for i := range n {
		g := math.Min(l.conductance[i]*length*time, stiffest*math.Min(capacity[i], capacity[min(i+1, n-1)]))
		a[i][i] -= g / capacity[i]
		if i == n-1 {
			a[n][i] = g
			break
		}
		a[i][i+1] += g / capacity[i]
		a[i+1][i] += g / capacity[i+1]
		a[i+1][i+1] -= g / capacity[i+1]
	}
	return newMap(exponential(a, n+1), n, ambient)
}

func newMap(change [maxStates][maxStates]float64, n int, ambient float64) exchange {
	var x exchange
	for i := range n {
		for j := range n {
			x.m[i][j] = change[i][j]
			x.add[i] -= change[i][j] * ambient
		}
		x.m[i][i]++
		x.lost[i] = change[n][i]
		x.less += change[n][i] * ambient
	}
	return x
}

// exponential of the leading n by n part of a matrix, less the unit matrix
//
//	exp(A) - I = F(k),  F(0) = exp(A/2^k) - I,  F(i+1) = 2 F(i) + F(i) F(i)
//
// Without the unit matrix small exchanges keep their digits through all
// doublings, and with them the heat that they move.
//
// Source: scaling and squaring, textbook; from memory.
func exponential(a [maxStates][maxStates]float64, n int) [maxStates][maxStates]float64 {
	fastest := 0.0
	for i := range n {
		fastest = math.Max(fastest, -a[i][i])
	}
	_, doublings := math.Frexp(4 * fastest)
	doublings = max(doublings, 0)
	for i := range n {
		for j := range n {
			a[i][j] = math.Ldexp(a[i][j], -doublings)
		}
	}
	f := taylor(a, n)
	for range doublings {
		square := product(f, f, n)
		for i := range n {
			for j := range n {
				f[i][j] = 2*f[i][j] + square[i][j]
			}
		}
	}
	return f
}

// taylor sums exp(a) - I for a small matrix; 14 terms reach the last digit for
// elements up to 1/4.
func taylor(a [maxStates][maxStates]float64, n int) [maxStates][maxStates]float64 {
	sum, term := a, a
	for k := 2; k <= 14; k++ {
		term = product(term, a, n)
		for i := range n {
			for j := range n {
				term[i][j] /= float64(k)
				sum[i][j] += term[i][j]
			}
		}
	}
	return sum
}

func product(a, b [maxStates][maxStates]float64, n int) [maxStates][maxStates]float64 {
	var c [maxStates][maxStates]float64
	for i := range n {
		for k := range n {
			if a[i][k] == 0 {
				continue
			}
			for j := range n {
				c[i][j] += a[i][k] * b[k][j]
			}
		}
	}
	return c
}

// meet lets water and the shells of a wall exchange heat. It gives the water's
// new temperature and the heat lost, and changes the wall.
func (x *exchange) meet(water float64, wall []float64) (after, lost float64) {
	y := states{water}
	n := 1 + copy(y[1:], wall)
	for i := 1; i < n; i++ {
		wall[i-1] = x.add[i] + x.m[i].dot(&y)
	}
	return x.add[0] + x.m[0].dot(&y), x.lost.dot(&y) - x.less
}

// dot is written out because it is where the time of a plastic pipe goes.
func (a *states) dot(b *states) float64 {
	return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] + a[3]*b[3] + a[4]*b[4] + a[5]*b[5]
}
