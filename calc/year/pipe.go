package year

import "math"

// pipe is a pipe, or a section of a long one, at work. Heat is counted in m3 K of
// water.
type pipe struct {
	role    Role
	parent  int32
	of      int32 // place in System.Pipes
	ambient int32

	vt    float64 // m3, of water and of the wall that takes heat at once
	vr    float64 // m3, of the slow wall
	lose  float64 // 1/s, to the surroundings
	pass  float64 // 1/s, from the water to the slow wall
	cable float64 // 1/s, slope of the trace
	off   float64 // K, of the trace

	ta      float64 // K
	warm    float64 // 1/s, slope of the trace; 0 where the surroundings are so warm that it gives nothing
	slugs   []slug  // the one at the downstream end first
	toward  bool    // downstream is towards the heater
	slow    float64 // K, of the slow wall
	q       float64 // m3/s, away from the heater; below zero towards it
	users   int32   // that let water run through it
	at      float64 // s, up to when it has been moved
	inbox   []slug  // what has run in since then
	watched bool    // a sensor or a valve sits at its end
	shared  float64 // m3/s, of all loops that run through it, with open valves

	lost, traced float64 // m3 K
}

// fill lets a pipe be full of water of one temperature.
func (p *pipe) fill(T float64) {
	p.slugs = append(p.slugs[:0], slug{p.vt, T})
	p.slow = T
}

// cool gives the temperature of water after some time, and counts what it loses
//
//	v dT/dt = -v lose (T - Ta) + v warm (Off - T)
func (p *pipe) cool(v, T, s float64) float64 {
	if p.warm > 0 {
		return p.coolTraced(v, T, s)
	}
	d := (T - p.ta) * fade(p.lose*s)
	p.lost += v * d
	return T - d
}

func (p *pipe) coolTraced(v, T, s float64) float64 {
	if T > p.off {
		above := math.Inf(1) // time until the cable begins to heat
		if p.lose > 0 && p.ta < p.off {
			above = math.Log((T-p.ta)/(p.off-p.ta)) / p.lose
		}
		f := fade(p.lose * min(s, above))
		d := (T - p.ta) * f
		p.lost += v * d
		if s <= above {
			return T - d
		}
		T, s = p.off, s-above
	}
	k, even := p.tends(T)
	x := k * s
	if x < 1e-12 {
		return T
	}
	mean := T + (even-T)*trail(x)
	p.lost += v * p.lose * s * (mean - p.ta)
	p.traced += v * p.warm * s * (p.off - mean)
	return T + (even-T)*fade(x)
}

// tends gives the rate, in 1/s, at which water of a temperature tends to another, and
// that one.
func (p *pipe) tends(T float64) (k, even float64) {
	if p.warm > 0 && T <= p.off {
		k = p.lose + p.warm
		return k, (p.lose*p.ta + p.warm*p.off) / k
	}
	return p.lose, p.ta
}

// give lets water be in the pipe for s seconds: it exchanges heat with the slow wall
// and cools. wall is the time by which the slow wall itself cools meanwhile.
func (p *pipe) give(v, T, s, wall float64) float64 {
	if p.vr > 0 {
		T = p.exchange(v, T, s, wall)
	}
	return p.cool(v, T, s)
}

func (p *pipe) exchange(v, T, s, wall float64) float64 {
	b := fade(p.pass * s)
	if wall <= 0 {
		d := (T - p.slow) * fade(b*v/p.vr)
		p.slow += d
		return T - d*p.vr/v
	}
	warm := p.warm
	if T >= p.off || p.slow >= p.off {
		warm = 0
	}
	a := b * v / p.vr // over the time
	k := a + (p.lose+warm)*wall
	if k < 1e-12 {
		return T
	}
	even := (a*T + (p.lose*p.ta+warm*p.off)*wall) / k
	mean := p.slow + (even-p.slow)*trail(k)
	p.slow += (even - p.slow) * fade(k)
	p.lost += p.vr * p.lose * wall * (mean - p.ta)
	p.traced += p.vr * warm * wall * (p.off - mean)
	return T - b*(T-mean)
}

// stand lets the water stand.
func (p *pipe) stand(dt float64) {
	if p.vr > 0 {
		share := fade(p.pass*(1+p.vt/p.vr)*dt) * p.vr / (p.vt + p.vr)
		sum := 0.0
		for i := range p.slugs {
			s := &p.slugs[i]
			d := (s.T - p.slow) * share
			s.T -= d
			sum += d * s.v
		}
		p.slow = p.cool(p.vr, p.slow+sum/p.vr, dt)
	}
	if p.warm > 0 {
		for i := range p.slugs {
			p.slugs[i].T = p.coolTraced(p.slugs[i].v, p.slugs[i].T, dt)
		}
		return
	}
	f := fade(p.lose * dt)
	for i := range p.slugs {
		s := &p.slugs[i]
		d := (s.T - p.ta) * f
		s.T -= d
		p.lost += s.v * d
	}
}

// heat is what the pipe holds above a temperature, in m3 K.
func (p *pipe) heat(T float64) float64 {
	sum := p.vr * (p.slow - T)
	for i := range p.slugs {
		sum += p.slugs[i].v * (p.slugs[i].T - T)
	}
	return sum
}

// turn makes the downstream end the one towards which water runs.
func (p *pipe) turn() {
	if towards := p.q < 0; p.users > 0 && p.q != 0 && towards != p.toward {
		p.toward = towards
		reverse(p.slugs)
	}
}

// nearEnd is the temperature at the end near the heater, farEnd at the other.
func (p *pipe) nearEnd() float64 { return p.end(p.toward) }
func (p *pipe) farEnd() float64  { return p.end(!p.toward) }

func (p *pipe) end(downstream bool) float64 {
	if downstream {
		return p.slugs[0].T
	}
	return p.slugs[len(p.slugs)-1].T
}

// grain is how fine profiles are.
type grain struct {
	most  int     // slugs of a pipe
	near  float64 // K, by which slugs may differ and be one
	fresh float64 // K, by which a slug may cool from end to end when it is new
}

func grainOf(fineness float64) grain {
	return grain{most: int(8 * fineness), near: 0.05 / fineness, fresh: 0.3 / fineness}
}

// move lets what is in the inbox run in over dt seconds, and appends what runs out
// to out. Water that passes is in the pipe for the time that its content takes,
// water that comes in or goes out for a part of it.
func (p *pipe) move(dt float64, g grain, out []slug) []slug {
	V := volume(p.inbox)
	if V <= 0 {
		p.stand(dt)
		return out
	}
	rate := dt / V // s for a m3
	held := 0.0
	kept := p.slugs[:0]
	for _, s := range p.slugs {
		end := held + s.v
		switch {
		case end <= V:
			out = add(out, s.v, p.give(s.v, s.T, (held+s.v/2)*rate, s.v*rate), 0)
		case held < V:
			leaves := V - held
			out = add(out, leaves, p.give(leaves, s.T, (held+leaves/2)*rate, leaves*rate), 0)
			kept = append(kept, slug{end - V, s.T})
		default:
			kept = append(kept, s)
		}
		held = end
	}
	old := len(kept)
	passes := max(0, V-held)
	entered := 0.0
	for _, s := range p.inbox {
		through := min(s.v, passes)
		stays := s.v - through
		passes -= through
		entered += through
		for through > 0 {
			v := through
			if d := math.Abs(s.T - p.slow); p.vr > 0 && d > g.fresh {
				// so much that what runs out changes by no more than four times fresh
				b := fade(p.pass * held * rate)
				v = min(v, max(4*g.fresh*p.vr/(b*b*d), through/100))
			}
			through -= v
			out = add(out, v, p.give(v, s.T, held*rate, v*rate), g.near)
		}
		if stays <= 0 {
			continue
		}
		n := p.parts(s.T, stays*rate, g)
		for v := stays / float64(n); n > 0; n-- {
			kept = append(kept, slug{v, p.give(v, s.T, (V-entered-v/2)*rate, 0)})
			entered += v
		}
	}
	for i := range kept[:old] {
		kept[i].T = p.give(kept[i].v, kept[i].T, dt, 0)
	}
	p.inbox = p.inbox[:0]
	p.slugs = compact(kept, g.most, g.near, held*1e-9)
	return out
}

// parts is into how many slugs new water is cut, that comes in over some time.
func (p *pipe) parts(T, dt float64, g grain) int {
	d := math.Abs(T-p.ta) * p.lose * dt
	if p.vr > 0 {
		d += math.Abs(T-p.slow) * fade(p.pass*dt) / 4
	}
	return max(1, min(g.most/2, int(math.Ceil(d/g.fresh))))
}
