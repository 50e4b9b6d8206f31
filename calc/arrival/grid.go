package arrival

import "math"

const (
	// MaxSegments is the longest path that [Front.Arrive] takes.
	MaxSegments = 10000
	// MaxCells is the finest grid that [Front.Arrive] takes.
	MaxCells = 2000

	// fewestCells and mostCells bound the default grid.
	fewestCells = 120
	mostCells   = 400

	// flattest is by how much, as a share of the time that the front takes, a
	// grid may widen it without need.
	flattest = 0.005
)

// reach is a segment on the grid.
type reach struct {
	cells, shells int
	full, half    exchange            // in a step, and in the half step before the first move
	water         []float64           // K above the base, from inlet to outlet; a short segment may have no cell
	wall          []float64           // the shells of the first cell, then of the second
	capacity      [wallShells]float64 // of a cell's shells, J/K

	residence float64 // s, of the front in the segment
}

// grid is the path cut into cells that the front passes in one time step each.
type grid struct {
	reaches   []reach
	water     []float64 // of all reaches
	wall      []float64
	mixing    mixing
	step      float64 // s
	residence float64 // s, of the front in the whole path
	slug      float64 // heat capacity of the water of a cell, J/K
	base      float64 // K; temperatures are kept above it, so that few digits are lost
}

// newGrid cuts the path. The front passes it in exactly the sum of the times of
// its segments; within that each segment gets a whole number of cells, see
// [share], with its whole wall, exchange and loss. What rounding takes from the
// water of one segment, half a cell at each end at most, it gives to another.
func newGrid(f Front, cells int) (*grid, error) {
	g := &grid{base: f.coldest()}
	times := make([]float64, len(f.Segments))
	flow := f.Density * f.SpecificHeat * f.Flow.CubicMetresPerSecond() // W/K
	for i, s := range f.Segments {
		water, wall := f.capacities(s)
		if s.Film == 0 {
			water += wall
		}
		times[i] = water * s.Length.Metres() / flow
		g.residence += times[i]
	}
	if cells == 0 {
		cells = f.enoughCells(times, g.residence, flow)
	}
	g.step = g.residence / float64(cells)
	g.slug = flow * g.step
	for _, v := range []float64{g.residence, g.step, flow, g.slug, g.slug * g.step} {
		if !(v > 0) || math.IsInf(v, 1) {
			return nil, &InputError{"Flow", f.Flow.CubicMetresPerSecond(), "gives no finite time of passage"}
		}
	}
	g.cut(f, times, share(times, g.residence, cells))
	g.mixing = newMixing(f, g)
	return g, nil
}

// cut makes the reaches, from the outlet up, and fills them with the initial
// temperatures.
func (g *grid) cut(f Front, times []float64, cells []int) {
	g.reaches = make([]reach, len(cells))
	all, walls := 0, 0
	for i, n := range cells {
		all += n
		walls += max(n, 1) * f.shells(f.Segments[i])
	}
	g.water = make([]float64, 0, all)
	g.wall = make([]float64, 0, walls)
	for i, s := range f.Segments {
		g.reaches[i] = g.newReach(f, s, cells[i])
		g.reaches[i].residence = times[i]
	}
	g.fill(f)
}

// fill gives each slug the mean initial temperature over its span of the path,
// measured by the time that the front takes. A slug that spans two segments
// holds water of both, so that the heat of neither is rounded.
func (g *grid) fill(f Front) {
	end := 0.0
	for i := range g.reaches {
		start := end
		end += g.reaches[i].residence
		for c := int(start / g.step); c < len(g.water); c++ {
			from, to := math.Max(float64(c)*g.step, start), math.Min(float64(c+1)*g.step, end)
			if from >= end {
				break
			}
			middle := ((from+to)/2 - start) / (end - start)
			g.water[c] += (f.Segments[i].initialAt(middle) - g.base) * (to - from) / g.step
		}
	}
}

// newReach makes a reach. One without cells still has a wall, as of one cell,
// which the water meets on its way from cell to cell.
func (g *grid) newReach(f Front, s Segment, cells int) reach {
	l := f.newLadder(s)
	walls := max(cells, 1)
	length := s.Length.Metres() / float64(walls)
	water, wall := f.capacities(s)
	l.sharpen(l.conductance[0]*length*g.step/g.slug, wall/water)
	ambient := 0.0
	if s.UA > 0 {
		ambient = s.Ambient.Kelvin() - g.base
	}
	r := reach{cells: cells, shells: l.shells}
	r.full = newExchange(l, length, g.slug, g.step, ambient)
	r.half = newExchange(l, length, g.slug, g.step/2, ambient)
	for i := range l.shells {
		r.capacity[i] = l.capacity[i] * length
	}
	from, to := len(g.water), len(g.water)+cells
	r.water, g.water = g.water[from:to:to], g.water[:to]
	from = len(g.wall)
	for i := range walls {
		for range l.shells {
			g.wall = append(g.wall, s.initialAt((float64(i)+0.5)/float64(walls))-g.base)
		}
	}
	r.wall = g.wall[from:len(g.wall):len(g.wall)]
	return r
}

// share deals cells out: it rounds where each segment ends, so that no end is off
// by more than half a cell. A short segment may get none.
func share(times []float64, total float64, cells int) []int {
	n := make([]int, len(times))
	end, time := 0, 0.0
	for i, t := range times {
		time += t
		next := int(math.Round(time / total * float64(cells)))
		n[i], end = next-end, next
	}
	n[len(n)-1] += cells - end
	return n
}

// enoughCells is the coarsest grid on which [ladder.sharpen] can undo what
// moving by cells does, but for a spread of flattest, with a fifth to spare.
func (f Front) enoughCells(times []float64, total, flow float64) int {
	for cells := fewestCells; cells < mostCells; cells += cells / 4 {
		step := total / float64(cells)
		left := 0.0 // variance, s2
		for i, s := range f.Segments {
			if f.shells(s) == 0 {
				continue
			}
			water, wall := f.capacities(s)
			inner, outer := s.Bore.Metres()/2, s.Outside.Metres()/2
			conductance := 1 / (1/(2*math.Pi*inner*s.Film) + wallResistance(inner, outer, s)/3)
			r := wall / water
			n := conductance * s.Length.Metres() / flow * step / times[i]
			left += math.Max(1.5*r*(1+r)-2*r*r/n, 0) * times[i] * step
		}
		if left <= flattest*flattest*total*total {
			return cells
		}
	}
	return mostCells
}

// heat is what water and walls hold above the base temperature, J.
func (g *grid) heat() float64 {
	sum := 0.0
	for i := range g.reaches {
		r := &g.reaches[i]
		for _, t := range r.water {
			sum += g.slug * t
		}
		for j, t := range r.wall {
			sum += r.capacity[j%r.shells] * t
		}
	}
	return sum
}

// temperatures copies those of water and walls.
func (g *grid) temperatures() []float64 {
	return append(append(make([]float64, 0, len(g.water)+len(g.wall)), g.water...), g.wall...)
}
