package loop

import (
	"math"

	"recirc/calc/hydraulic"
	"recirc/calc/internal/solve"
	"recirc/calc/quantity"
)

// Thermostat is a valve that closes as its water warms.
type Thermostat struct {
	Link              int32
	Line              hydraulic.Pipe           // the link without this valve
	Largest, Smallest quantity.FlowCoefficient // Smallest may be zero: it shuts
	Set               quantity.Temperature     // middle of the band
	Band              quantity.TemperatureDifference
}

// Kv gives the flow coefficient of the valve
//
//	Kv = Kv largest                                        T <= Ts - B/2
//	Kv = Kv largest - (Kv largest - Kv smallest)(T - Ts + B/2)/B   between
//	Kv = Kv smallest                                       T >= Ts + B/2
//
//	Ts  t.Set, B  t.Band  K
//
// Source: common practice.
func (t *Thermostat) Kv(T quantity.Temperature) quantity.FlowCoefficient {
	kv, _ := t.kv(T.Kelvin())
	return quantity.FlowCoefficientSI(kv)
}

// kv gives the flow coefficient and by how much it falls with the temperature, SI.
func (t *Thermostat) kv(T float64) (kv, fall float64) {
	B, span := t.Band.Kelvin(), t.Largest.SI()-t.Smallest.SI()
	share := (T - t.Set.Kelvin() + B/2) / B
	switch {
	case !(share > 0):
		return t.Largest.SI(), 0
	case share >= 1:
		return t.Smallest.SI(), 0
	}
	return t.Largest.SI() - share*span, span / B
}

// shutShare of its largest flow coefficient is what a shut thermostatic valve
// leaks, so that the network keeps its shape.
const shutShare = 1e-6

// law is what a thermostatic valve takes near a flow
//
//	dp = square q^2 (q/near)^extra
//
// The extra power is that of its own law: more flow brings warmer water, and that
// shuts the valve. Above near it goes on as a parabola, so that no step of Newton's
// method meets a wall.
type law struct{ square, near, extra float64 }

// at gives what the valve takes at a flow, Pa, and the slope, Pa/(m3/s).
func (v *law) at(q float64) (drop, slope float64) {
	a := math.Abs(q)
	drop, slope = v.square*a*a, 2*v.square*a
	if v.extra > 0 {
		power, x := 2+v.extra, a/v.near
		if x <= 1 {
			rise := math.Pow(x, v.extra)
			drop, slope = drop*rise, slope*rise*power/2
		} else {
			whole := v.square * v.near * v.near
			drop, slope = whole*(1+power*(x-1)+(x-1)*(x-1)), whole/v.near*(power+2*(x-1))
		}
	}
	return math.Copysign(drop, q), slope
}

// mostExtra power is that of a valve about to shut. A softer one brings no other
// state about, only more rounds.
const mostExtra = 300

// stat is a thermostatic valve at work in a network.
type stat struct {
	*Thermostat
	link  *Link
	law   law
	fluid hydraulic.Fluid

	// What its rounds have taught:
	open  float64 // by how much it should have opened, as [stat.off]
	share float64 // of the answer to all flows in proportion that is its own; 1 at first
	more  float64 // K a unit of the logarithm of the flow
}

// wanted is the flow coefficient at a temperature, and how it falls; a shut valve
// leaks.
func (s *stat) wanted(T float64) (kv, fall float64) {
	kv, fall = s.kv(T)
	if least := shutShare * s.Largest.SI(); kv < least {
		return least, 0
	}
	return kv, fall
}

// square is the pressure drop of a flow coefficient at a flow of one.
func (s *stat) square(kv float64) float64 { return s.fluid.Density / kvDensity / (kv * kv) }

const kvDensity = 1000 // kg/m3, of the water that flow coefficients are measured with

// set takes the fluid of a round.
func (s *stat) set(fluid hydraulic.Fluid) {
	s.law.square *= fluid.Density / s.fluid.Density
	s.fluid = fluid
	s.link.Curve = s.Line.Curve(fluid)
}

// coming is the warmth of the water at a valve, against its flow
//
//	T = Tc + (Tnow - Tc) exp(n (1 - q now/q)) + more ln(q/q now)
//
// as in a pipe that all of it has come through, in the coldest surroundings Tc of
// the network, K; and by what the valve's own swings have shown beside.
type coming struct{ now, cold, n, more float64 }

// at gives the temperature at a multiple of the flow, and how it rises with the
// logarithm of that.
func (c coming) at(x float64) (T, rise float64) {
	T = c.now
	if c.n > 0 {
		excess := (c.now - c.cold) * math.Exp(c.n*(1-1/x))
		T, rise = c.cold+excess, excess*c.n/x
	}
	return T + c.more*math.Log(x), rise + c.more
}

// expect tells how warm the water will come. It answers to all flows before the
// valve, of which its own is one: if all moved in proportion, by rise. A valve that
// creeps takes less of that for its own, one that swings more, and more than all.
func (s *stat) expect(q, T, rise, cold float64) coming {
	open := s.off(q, T)
	swings, creeps := open*s.open < -still*still, open*s.open > still*still && open/s.open > 0.4
	s.open = open
	switch {
	case swings && s.share == 1:
		s.more = min(max(2*s.more, 1), mostMore)
	case swings:
		s.share = min(2*s.share, 1)
	case creeps:
		s.share = max(0.8*s.share, leastShare)
	}
	if !swings {
		s.more *= 0.9
	}
	c := coming{now: T, cold: cold, more: s.more}
	if rise > 0 && T > cold {
		c.n = s.share * rise / (T - cold)
	}
	return c
}

const (
	still      = 1e-6 // of the largest flow coefficient; valves that swing by less show rounding
	leastShare = 0.01
	mostMore   = 40.0 // K a unit of the logarithm of the flow
)

// turn looks for the flow at which the valve, at the temperature that comes with
// it, takes with its line what they take now, and sets the valve for that.
func (s *stat) turn(q float64, water coming) {
	q = math.Abs(q)
	kv, _ := s.wanted(water.now)
	if q <= leastFlow {
		s.law = law{square: s.square(kv)}
		return
	}
	line, _ := s.link.Curve.At(q)
	taken, _ := s.law.at(q)
	taken += line
	var next law
	miss := func(z float64) (float64, float64) { // in logarithms it is nearly a straight line
		x := math.Exp(z - 1)
		T, rise := water.at(x)
		kv, fall := s.wanted(T)
		next = law{s.square(kv), x * q, 2 * fall / kv * rise}
		line, slope := s.link.Curve.At(x * q)
		own := next.square * next.near * next.near
		return math.Log((line + own) / taken), (slope*x*q + (2+next.extra)*own) / (line + own)
	}
	if _, err := solve.Rising(miss, 1, 1-farthest, 1+farthest, 1e-13, 100); err != nil {
		next = law{square: s.square(kv)}
	}
	next.extra = min(next.extra, mostExtra)
	s.law = next
}

const farthest = 30 // of the logarithm of a flow from round to round

// off tells by how much the flow coefficient of the water's temperature is above
// the one that the valve works with, relative to its largest. Below the flow that
// its law is made for a valve may seem wider than open, of which twice is enough.
func (s *stat) off(q, T float64) float64 {
	has := s.law.square
	if q = math.Abs(q); s.law.extra > 0 && q > leastFlow {
		drop, _ := s.law.at(q)
		has = drop / (q * q)
	}
	kv, _ := s.wanted(T)
	return (kv - min(math.Sqrt(s.square(1)/has), 2*s.Largest.SI())) / s.Largest.SI()
}
