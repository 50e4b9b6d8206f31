package hydraulic

import "math"

// Curve is a pipe's characteristic made ready for a solver, which asks for it
// millions of times.
type Curve struct {
	velocity float64 // m/s per m3/s
	reynolds float64 // per m3/s
	fittings float64 // Pa per (m3/s)^2
	valves   float64 // Pa per (m3/s)^2

	// Friction by Darcy and Weisbach, Pa: poiseuille q where laminar,
	// dynamic f q^2 beyond.
	poiseuille, dynamic float64
	rough               float64 // Colebrook's e/(3.7 D)
	gapStart, gapRise   float64 // f = gapStart + gapRise q in the transition

	hazen float64 // Pa per (m3/s)^1.85, in place of Darcy-Weisbach if above 0
	creep float64 // m3/s, below which Hazen-Williams goes on as a line
}

// Curve prepares the characteristic of a pipe. It trusts its arguments; what
// [Pipe.Loss] accepts at some flow is sound.
func (p Pipe) Curve(f Fluid) Curve {
	var c Curve
	if Kv := p.Kv.SI(); Kv > 0 {
		c.valves = f.Density / kvDensity / (Kv * Kv)
	}
	D, L := p.Bore.Metres(), p.frictionLength()
	if D == 0 {
		return c
	}
	c.velocity = 4 / (math.Pi * D * D)
	c.reynolds = f.Density * D / f.Viscosity * c.velocity
	half := f.Density / 2 * c.velocity * c.velocity
	c.fittings = p.SumK * half
	if p.HazenWilliamsC > 0 {
		c.hazen = L * hazenWilliams(1, D, p.HazenWilliamsC)
		c.creep = creepSpeed / c.velocity
		return c
	}
	c.dynamic = L / D * half
	c.poiseuille = 32 * f.Viscosity * L / (D * D) * c.velocity
	c.rough = p.relativeRoughness() / roughPart
	end := colebrook(turbulentFrom, p.relativeRoughness())
	c.gapRise = (end - laminarEnd) / (turbulentFrom - laminarUpTo) * c.reynolds
	c.gapStart = laminarEnd - c.gapRise*laminarUpTo/c.reynolds
	return c
}

// At gives the pressure drop at a flow, and its slope
//
//	drop   as [Pipe.Loss] has it            Pa
//	slope  d drop/dq, exact                 Pa/(m3/s)
//	q      of either sign; drop takes it    m3/s
//
// The drop is odd, continuous and strictly rises. The slope jumps at Re 2000 and
// 4000, and where Hazen-Williams begins. It is above 0, at q = 0 too, except
// there for what has no friction: a valve or a fitting of no length is a plain
// square. Beyond Re 1e8 the formula goes on unchecked. NaN gives NaN.
//
// Source of the slope: Colebrook's equation, differentiated implicitly.
func (c *Curve) At(q float64) (drop, slope float64) {
	a := math.Abs(q)
	drop, slope = c.friction(a)
	square := (c.fittings + c.valves) * a
	drop += square * a
	slope += 2 * square
	if q < 0 {
		drop = -drop
	}
	return drop, slope
}

// friction is the part along the pipe, at q >= 0.
func (c *Curve) friction(q float64) (drop, slope float64) {
	re := c.reynolds * q
	switch {
	case c.hazen > 0:
		return c.hazenWilliams(q)
	case re <= laminarUpTo || c.dynamic == 0:
		return c.poiseuille * q, c.poiseuille
	case re < turbulentFrom:
		square := c.dynamic * q
		return square * q * (c.gapStart + c.gapRise*q), square * (2*c.gapStart + 3*c.gapRise*q)
	}
	// With x = 1/sqrt(f): dx/dq = x/q ku/(1 + ku), so d(f q^2)/dq = 2 f q/(1 + ku).
	x, ku := colebrookRoot(c.rough, smoothPart/re)
	slope = c.dynamic * q / (x * x)
	return slope * q, 2 * slope / (1 + ku)
}

// hazenWilliams goes on to zero as a line: the power has no slope there, and a
// solver would stand still.
func (c *Curve) hazenWilliams(q float64) (drop, slope float64) {
	if q < c.creep {
		slope = c.hazen * math.Pow(c.creep, flowPower-1)
		return slope * q, slope
	}
	slope = c.hazen * math.Pow(q, flowPower-1)
	return slope * q, flowPower * slope
}
