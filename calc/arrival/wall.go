package arrival

import "math"

// cut is where a shell has its one temperature and where it ends, as shares of
// the cross-section of the wall from the inside.
type cut struct{ node, end float64 }

// wallCuts resolve a wall. The shells are thin inside, because the front is
// decided by the seconds in which heat gets under the inner surface. Fitted to
// walls of 30 shells over 80 plastic pipes (outside 12 to 50 mm, wall 1/12 to
// 1/5 of that, 1 to 40 m, 0.15 to 2 m/s, laminar and turbulent): over 200 other
// such pipes the outlet is within 0.5 % of the temperature difference.
var wallCuts = [wallShells]cut{{0.0063, 0.0145}, {0.0284, 0.0498}, {0.0856, 0.1426}, {0.2364, 0.3823}, {0.6135, 1}}

// lumpedCut is the one shell of a wall that conducts well. While it warms at one
// rate, its mean temperature is behind a third of its resistance.
var lumpedCut = [1]cut{{1.0 / 3, 1}}

const (
	wallShells = 5

	// lumpedWall is the resistance of a wall, as a share of the film's, up to
	// which one temperature stands for the whole wall.
	lumpedWall = 0.3

	// thinnestWall is the heat capacity of a wall, as a share of the water's, below
	// which it delays the front by less than anybody can tell.
	thinnestWall = 1e-4

	// leastUnits is the exchange in a cell below which there is nothing to sharpen.
	leastUnits = 1e-9

	maxStates = 2 + wallShells // water, wall, and the heat lost
)

// ladder is the wall of a segment per metre of length: shells with conductances
// between them, the first from the water, the last to the surroundings. Without
// shells, one conductance leads from the water to the surroundings.
type ladder struct {
	shells      int
	capacity    [wallShells]float64     // J/(m.K)
	conductance [wallShells + 1]float64 // W/(m.K)
}

// newLadder cuts a wall into shells. As a whole they resist exactly as film,
// wall and outer surface do in series.
func (f Front) newLadder(s Segment) ladder {
	l := ladder{shells: f.shells(s)}
	if l.shells == 0 {
		l.conductance[0] = lossPerKelvin(s)
		return l
	}
	inner, outer := s.Bore.Metres()/2, s.Outside.Metres()/2
	cuts := wallCuts[:]
	if l.shells == 1 {
		cuts = lumpedCut[:]
	}
	step := 1 / (2 * math.Pi * inner * s.Film)
	node, start := inner, inner
	for i, c := range cuts {
		at, end := radius(inner, outer, c.node), radius(inner, outer, c.end)
		step += wallResistance(node, at, s)
		l.conductance[i] = 1 / step
		l.capacity[i] = s.WallHeatCapacity * math.Pi * (end - start) * (end + start)
		step, node, start = 0, at, end
	}
	l.conductance[l.shells] = inSeries(wallResistance(node, outer, s), s.UA)
	return l
}

// radius inside which a share of the wall's cross-section lies.
func radius(inner, outer, share float64) float64 {
	return math.Sqrt(inner*inner + share*(outer-inner)*(outer+inner))
}

// shells is how many temperatures the wall of a segment has of its own.
func (f Front) shells(s Segment) int {
	inner, outer := s.Bore.Metres()/2, s.Outside.Metres()/2
	water, wall := f.capacities(s)
	switch {
	case s.Film == 0 || wall < thinnestWall*water:
		return 0
	case wallResistance(inner, outer, s)*2*math.Pi*inner*s.Film < lumpedWall:
		return 1
	}
	return wallShells
}

// wallResistance of the wall between two radii, in K.m/W.
func wallResistance(inner, outer float64, s Segment) float64 {
	if s.WallConductivity.WattsPerMetreKelvin() == 0 {
		return 0
	}
	return math.Log(outer/inner) / (2 * math.Pi * s.WallConductivity.WattsPerMetreKelvin())
}

// inSeries is the conductance of a resistance and a conductance behind it.
func inSeries(resistance, conductance float64) float64 {
	return 1 / (resistance + 1/conductance)
}

// lossPerKelvin is the conductance from the water to the surroundings per
// metre: film, wall and outer surface in series, W/(m.K).
func lossPerKelvin(s Segment) float64 {
	inner, outer := s.Bore.Metres()/2, s.Outside.Metres()/2
	if s.Film == 0 {
		return s.UA
	}
	return inSeries(1/(2*math.Pi*inner*s.Film)+wallResistance(inner, outer, s), s.UA)
}

// capacities of the water and of the wall per metre, J/(m.K).
func (f Front) capacities(s Segment) (water, wall float64) {
	d, outside := s.Bore.Metres(), s.Outside.Metres()
	water = f.Density * f.SpecificHeat * math.Pi / 4 * d * d
	return water, s.WallHeatCapacity * math.Pi / 4 * (outside - d) * (outside + d)
}

// sharpen raises the conductance from the water to the wall of a cell, so that
// the front is as wide as it is and not wider for being moved cell by cell. With
// one shell, water that meets the wall of a cell for n transfer units leaves it
// with the variance
//
//	R (2-b)/b - R2,  b = (1 - exp(-n (1+R)/R))/(1+R),  R = Cp/Cw
//
// in steps squared; it should be 2 R2/n, which gives the b below. With more
// shells the same holds up to third order in n.
//
// Source: moments of the discrete and the continuous exchange, derived here.
func (l *ladder) sharpen(n, r float64) {
	if l.shells == 0 || !(n > leastUnits) {
		return
	}
	b := 2 / (2*r/n + r + 1)
	share := math.Min(b*(1+r), 0.999) // of what would bring both to one temperature
	sharper := -math.Log1p(-share) * r / (1 + r) / n * l.conductance[0]
	if !(sharper > l.conductance[0]) {
		return // water and wall come to one temperature anyway
	}
	// What the loss in the long run rests on stays as it is.
	last := &l.conductance[l.shells]
	*last = inSeries(1/l.conductance[0]-1/sharper, *last)
	l.conductance[0] = sharper
}
