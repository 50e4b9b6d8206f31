package year

import "math"

// local is a small electric heater at work. Heat is counted in m3 K of water.
type local struct {
	content float64 // m3
	power   float64 // m3 K/s
	lose    float64 // 1/s
	set     float64 // K
	ambient int
	fromHot bool

	ta, T, at   float64
	given, lost float64 // m3 K: by electricity, to the surroundings
}

// run lets water of a temperature run through for some time, or stand if q is 0,
// and gives the mean temperature of what runs out. The store is fully mixed
//
//	V dT/dt = q (Tin - T) + P - V lose (T - Ta)
//
// and its thermostat gives P below the set temperature, and at it what keeps it.
func (l *local) run(dt, q, in float64) float64 {
	sum, all := 0.0, dt
	for range 4 { // up to the set temperature, or down to it, and on from there
		if dt <= 0 {
			break
		}
		k := q/l.content + l.lose
		source := q*in + l.content*l.lose*l.ta // without electricity
		power := 0.0
		switch needs := k*l.content*l.set - source; {
		case l.T < l.set || l.T == l.set && needs > l.power:
			power = l.power
		case l.T == l.set && needs >= 0:
			l.given += needs * dt
			l.lost += l.content * l.lose * dt * (l.set - l.ta)
			sum += l.set * dt
			dt = 0
			continue
		}
		step, meets := l.reach(k, source+power, dt)
		sum += l.advance(step, k, source+power)
		l.given += power * step
		if meets {
			l.T = l.set
		}
		dt -= step
	}
	if all <= 0 {
		return l.T
	}
	return sum / all
}

// reach gives the time until the set temperature, at most dt, and whether it is met.
func (l *local) reach(k, source, dt float64) (float64, bool) {
	t := math.Inf(1)
	if rise := source / l.content; k*dt < 1e-9 {
		if r := rise - k*l.T; r != 0 {
			t = (l.set - l.T) / r
		}
	} else if even := rise / k; even != l.set {
		if way := (l.set - l.T) / (even - l.set); way > 0 {
			t = math.Log1p(way) / k
		}
	}
	if t > 0 && t < dt {
		return t, true
	}
	return dt, false
}

// advance moves the store without a switch, and gives the integral of its temperature.
func (l *local) advance(dt, k, source float64) float64 {
	x := k * dt
	mean := l.T
	if x < 1e-9 {
		rise := (source/l.content - k*l.T) * dt
		mean += rise / 2
		l.T += rise
	} else {
		even := source / l.content / k
		mean += (even - l.T) * trail(x)
		l.T += (even - l.T) * fade(x)
	}
	l.lost += l.content * l.lose * dt * (mean - l.ta)
	return mean * dt
}

// idle lets a local heater stand until now.
func (l *local) idle(now float64) {
	if now > l.at {
		l.run(now-l.at, 0, 0)
	}
	l.at = now
}
