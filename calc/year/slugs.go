package year

import "math"

// slug is water of one temperature, with the part of the wall that takes heat at
// once. A series of slugs is in the order in which they flow.
type slug struct {
	v float64 // m3 of water that has its heat
	T float64 // K
}

// fade is 1 - exp(-x) for x >= 0, for small x by its series, which is off by 2e-9
// of it at most, and for large ones 1, as it is to the last digit: most of the time of
// a simulation goes here.
func fade(x float64) float64 {
	switch {
	case x < 0.25:
		return x * (1 - x*(1./2)*(1-x*(1./3)*(1-x*(1./4)*(1-x*(1./5)*(1-x*(1./6)*(1-x*(1./7)))))))
	case x > 37:
		return 1
	}
	return 1 - math.Exp(-x)
}

// trail is 1 - (1 - exp(-x))/x for x >= 0: by which share of the way the mean of what
// tends to something is there. For small x by its series.
func trail(x float64) float64 {
	if x < 0.03 {
		return x * (1./2 - x*(1./6-x*(1./24))) // as fade has it, so that heat adds up
	}
	return 1 - fade(x)/x
}

// add appends a slug to a series, and joins it to the last if they differ by less
// than near.
func add(series []slug, v, T, near float64) []slug {
	if v <= 0 {
		return series
	}
	if n := len(series); n > 0 {
		if last := &series[n-1]; math.Abs(last.T-T) < near {
			last.join(v, T)
			return series
		}
	}
	return append(series, slug{v, T})
}

// join mixes water into a slug.
func (s *slug) join(v, T float64) {
	sum := s.v + v
	s.T += (T - s.T) * (v / sum)
	s.v = sum
}

// compact joins slugs beside each other: those that differ by less than near,
// those that are next to nothing, and then, until at most most are left, those
// whose joining changes the profile least.
func compact(series []slug, most int, near, nothing float64) []slug {
	n := 0
	for i := range series {
		s := series[i]
		if n > 0 {
			last := &series[n-1]
			if math.Abs(last.T-s.T) < near || s.v < nothing || last.v < nothing {
				last.join(s.v, s.T)
				continue
			}
		}
		series[n] = s
		n++
	}
	series = series[:n]
	for len(series) > most {
		best, least := 0, math.Inf(1)
		for i := 1; i < len(series); i++ {
			a, b := &series[i-1], &series[i]
			d := a.T - b.T
			if cost := a.v * b.v / (a.v + b.v) * d * d; cost < least {
				best, least = i, cost
			}
		}
		series[best-1].join(series[best].v, series[best].T)
		series = append(series[:best], series[best+1:]...)
	}
	return series
}

// mix lets two series that flow over the same time run together.
func mix(a, b, into []slug, near float64) []slug {
	va, vb := volume(a), volume(b)
	switch {
	case va <= 0:
		return append(into, b...)
	case vb <= 0:
		return append(into, a...)
	}
	i, j := 0, 0
	x, y := a[0].v/va, b[0].v/vb // where the slugs at hand end, as a share of the time
	at := 0.0
	for {
		end := min(x, y)
		if last := i == len(a)-1 && j == len(b)-1; last {
			end = 1
		}
		wa, wb := (end-at)*va, (end-at)*vb
		if wa+wb > 0 {
			into = add(into, wa+wb, (wa*a[i].T+wb*b[j].T)/(wa+wb), near)
		}
		at = max(at, end)
		if i == len(a)-1 && j == len(b)-1 {
			return into
		}
		if j == len(b)-1 || i < len(a)-1 && x <= y {
			i++
			x += a[i].v / va
		} else {
			j++
			y += b[j].v / vb
		}
	}
}

func volume(series []slug) float64 {
	sum := 0.0
	for i := range series {
		sum += series[i].v
	}
	return sum
}

func reverse(series []slug) {
	for i, j := 0, len(series)-1; i < j; i, j = i+1, j-1 {
		series[i], series[j] = series[j], series[i]
	}
}
