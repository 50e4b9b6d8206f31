package service

import (
	"cmp"
	"slices"

	"recirc/calc/pump"
	"recirc/calc/quantity"
)

// rank puts accepted candidates first, by the criterion, then rejected ones, the
// nearest to being fit first; equals by excess of flow and by id. It does not
// depend on the order of the request.
func (s *pumpSelection) rank() {
	slices.SortFunc(s.a.Pumps, func(a, b RankedPump) int {
		switch {
		case a.Accepted && b.Accepted:
			return cmp.Or(s.compare(&a, &b), cmp.Compare(*a.Excess, *b.Excess), cmp.Compare(a.ID, b.ID))
		case a.Accepted:
			return -1
		case b.Accepted:
			return 1
		}
		return cmp.Or(cmp.Compare(len(a.Rejections), len(b.Rejections)), cmp.Compare(a.nearness, b.nearness), cmp.Compare(a.ID, b.ID))
	})
	if best := &s.a.Pumps[0]; !best.Accepted {
		s.a.Miss = &NearestMiss{ID: best.ID}
		for i := range best.Rejections {
			s.a.Miss.Changes = append(s.a.Miss.Changes, s.change(best, &best.Rejections[i]))
		}
	}
	s.draw()
}

// compare two accepted candidates by the criterion; what is not known comes last.
func (s *pumpSelection) compare(a, b *RankedPump) int {
	x, knownX := s.worth(a)
	y, knownY := s.worth(b)
	switch {
	case knownX && knownY:
		return cmp.Compare(x, y)
	case knownX:
		return -1
	case knownY:
		return 1
	}
	return 0
}

// worth is what a candidate is ranked by. Without a price of electricity, energy
// gives the order that the cost would.
func (s *pumpSelection) worth(r *RankedPump) (float64, bool) {
	known := func(x *float64) (float64, bool) {
		if x == nil {
			return 0, false
		}
		return *x, true
	}
	switch s.req.Ranking.By {
	case ByExcess:
		return known(r.Excess)
	case ByPrice:
		return known(r.Price)
	case ByLifeCycleCost:
		return known(r.LifeCycle)
	}
	if r.Energy == nil {
		return 0, false
	}
	return r.Energy.Joules(), true
}

// mostDrawn is how many pumps a picture shows, and in how many steps.
const mostDrawn, drawnSteps = 8, 60

// draw traces the first candidates for the picture, and the system as far as they
// meet it.
func (s *pumpSelection) draw() {
	last := 2 * s.flow
	for i := range s.a.Pumps {
		r := &s.a.Pumps[i]
		if r.setting == nil {
			continue
		}
		if len(s.a.Drawn) == mostDrawn {
			break
		}
		if r.At != nil {
			last = max(last, 1.2*r.At.Flow.CubicMetresPerSecond())
		}
		span := r.setting.span()
		s.a.Drawn = append(s.a.Drawn, DrawnPump{r, i + 1, traced(span.From, span.To, func(q quantity.Flow) (p pump.Point, known bool) {
			h, known := r.setting.headAt(q)
			P, _ := r.setting.power(q)
			return pump.Point{Flow: q, Head: quantity.Metres(h), Power: P}, known
		})})
	}
	s.a.DrawnSystem = traced(quantity.Flow{}, quantity.CubicMetresPerSecond(last), func(q quantity.Flow) (pump.Point, bool) {
		h, _ := s.system.Head(q.CubicMetresPerSecond())
		return pump.Point{Flow: q, Head: quantity.Metres(h)}, true
	})
}

// traced gives what is known at flows from one to another.
func traced(from, to quantity.Flow, at func(quantity.Flow) (pump.Point, bool)) []pump.Point {
	var points []pump.Point
	a, b := from.CubicMetresPerSecond(), to.CubicMetresPerSecond()
	for k := range drawnSteps + 1 {
		if p, known := at(quantity.CubicMetresPerSecond(a + (b-a)*float64(k)/drawnSteps)); known {
			points = append(points, p)
		}
	}
	return points
}
