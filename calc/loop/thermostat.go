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
	case share <= 0:
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

// warmth of the water at a valve, against its flow
//
//	T = Ta + (Tnow - Ta) exp(n (1 - q now/q))
//
// as in a pipe that all of it has come through.
type coming struct{ now, around, n float64 }

func (c coming) at(x float64) (T, rise float64) {
	if c.n == 0 {
		return c.now, 0
	}
	excess := (c.now - c.around) * math.Exp(c.n*(1-1/x))
	return c.around + excess, excess * c.n / x
}

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

// off tells by how much the flow coefficient that the valve works with differs
// from that of its temperature, relative to its largest. Of a narrow band it is
// the temperature that counts, K.
func (s *stat) off(q, T float64) float64 {
	has := s.law.square
	if s.law.extra > 0 {
		drop, _ := s.law.at(math.Abs(q))
		has = drop / (q * q)
	}
	kv, _ := s.wanted(T)
	miss := math.Abs(math.Sqrt(s.square(1)/has)-kv) / s.Largest.SI()
	return miss * min(1, s.Band.Kelvin())
}
