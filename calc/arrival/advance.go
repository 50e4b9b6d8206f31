package arrival

// settle lets water and wall exchange heat before the first move, for half a
// step, and gives the heat lost.
func (g *grid) settle() float64 {
	lost := 0.0
	for i := range g.reaches {
		r := &g.reaches[i]
		for c, water := range r.water {
			after, out := r.half.meet(water, r.wall[c*r.shells:(c+1)*r.shells])
			r.water[c] = after
			lost += out
		}
	}
	return lost
}

// advance moves all water by one cell and lets it exchange heat there. It gives
// the temperature of the slug that left, and the heat lost. It starts at the
// outlet, so that a cell is read before the water behind it comes in.
func (g *grid) advance(in float64) (left, lost float64) {
	to := len(g.reaches) // where water goes on from reach i; that many is out
	for i := to - 1; i >= -1; i-- {
		water := in
		if i >= 0 {
			if g.reaches[i].cells == 0 {
				continue
			}
			water = g.reaches[i].water[g.reaches[i].cells-1]
		}
		// On its way it meets the walls of reaches that have no cells.
		for j := i + 1; j < to; j++ {
			after, out := g.reaches[j].full.meet(water, g.reaches[j].wall)
			water = after
			lost += out
		}
		if to == len(g.reaches) {
			left = water
		} else {
			lost += g.reaches[to].advance(water)
		}
		to = i
	}
	return left, lost
}

// advance has loops of its own for the two common walls, which spend most of
// their time here.
func (r *reach) advance(in float64) float64 {
	switch r.shells {
	case 0:
		return r.advanceBare(in)
	case 1:
		return r.advanceLumped(in)
	}
	lost := 0.0
	for c := len(r.water) - 1; c >= 0; c-- {
		entering := in
		if c > 0 {
			entering = r.water[c-1]
		}
		after, out := r.full.meet(entering, r.wall[c*r.shells:(c+1)*r.shells])
		r.water[c] = after
		lost += out
	}
	return lost
}

func (r *reach) advanceBare(in float64) float64 {
	lost := 0.0
	for c := len(r.water) - 1; c >= 0; c-- {
		entering := in
		if c > 0 {
			entering = r.water[c-1]
		}
		r.water[c] = r.full.m[0][0]*entering + r.full.add[0]
		lost += r.full.lost[0]*entering - r.full.less
	}
	return lost
}

func (r *reach) advanceLumped(in float64) float64 {
	m, add, out, less := r.full.m, r.full.add, r.full.lost, r.full.less
	water, wall := r.water, r.wall[:len(r.water)]
	lost := 0.0
	for c := len(water) - 1; c >= 0; c-- {
		w := in
		if c > 0 {
			w = water[c-1]
		}
		p := wall[c]
		water[c] = m[0][0]*w + m[0][1]*p + add[0]
		wall[c] = m[1][0]*w + m[1][1]*p + add[1]
		lost += out[0]*w + out[1]*p - less
	}
	return lost
}
