package hydraulic

import (
	"math"

	"recirc/calc/quantity"
)

// Pipe is a run of pipe as the water feels it. A fitting counts in SumK or in
// EquivalentLength, never in both. A valve alone has a Kv and no more; it needs
// no Bore.
type Pipe struct {
	Length, Bore, Roughness quantity.Length
	SumK                    float64                  // loss coefficients of fittings, on the velocity in Bore
	EquivalentLength        quantity.Length          // of fittings, added to Length for friction
	HazenWilliamsC          float64                  // above 0: Hazen-Williams in place of Darcy-Weisbach
	Kv                      quantity.FlowCoefficient // of all valves in series; zero: no valve
}

// Method tells how the friction of the pipe is found.
func (p Pipe) Method() Method {
	if p.HazenWilliamsC > 0 {
		return HazenWilliams
	}
	return DarcyWeisbach
}

// hasTube tells a pipe from a valve alone.
func (p Pipe) hasTube() bool {
	return p.Length.Metres() != 0 || p.EquivalentLength.Metres() != 0 || p.SumK != 0
}

// Loss is what water loses in a pipe.
type Loss struct {
	Velocity quantity.Velocity // in the bore; zero for a valve alone
	Reynolds float64
	Factor   float64 // Darcy's; 0 where water stands or the method is Hazen-Williams
	Regime   Regime
	Friction quantity.Pressure // along Length
	Fittings quantity.Pressure // by SumK, and friction along EquivalentLength
	Valves   quantity.Pressure
	Total    quantity.Pressure
}

// Loss gives the pressure that water loses in a pipe, by Darcy and Weisbach or by
// [HazenWilliamsGradient]
//
//	dp = [f (L + Le)/D + K] rho v^2/2 + (q/Kv)^2 rho/1000
//
//	q    flow, of either sign: velocity and losses take it   m3/s   up to 100
//	f    [FrictionFactor] of Re = rho |v| D/mu               1      Re up to 1e8
//	L    p.Length                                            m      0 to 1e6
//	Le   p.EquivalentLength                                  m      0 to 1e6
//	D    p.Bore                                              m      1e-5 to 20
//	e    p.Roughness                                         m      0 to 0.05 D
//	K    p.SumK                                              1      0 to 1e9
//	v    4 q/(pi D^2)                                        m/s
//	C    p.HazenWilliamsC                                    1      0 or 1 to 1000
//	Kv   p.Kv, see [KvDrop]                                  m3/s at 1 Pa   0 or 1e-12 to 10
//	rho, mu  density and viscosity of the water              kg/m3, Pa.s
//
// Valid for steady, developed flow. Change of level is not included: it cancels
// in a closed loop of one density.
//
// Errors: a [*RangeError].
//
// Source: Darcy and Weisbach, textbook hydraulics.
func (p Pipe) Loss(q quantity.Flow, f Fluid) (Loss, error) {
	c := quantity.Checks{Operation: "hydraulic.Pipe.Loss"}
	Q := q.CubicMetresPerSecond()
	c.Between("q", Q, -greatestFlow, greatestFlow, "m3/s")
	f.check(&c)
	p.check(&c)
	if c.Err != nil {
		return Loss{}, c.Err
	}
	curve, a := p.Curve(f), math.Abs(Q)
	l := Loss{Reynolds: curve.reynolds * a}
	c.Between("Re", l.Reynolds, 0, greatestReynolds, "1")
	if c.Err != nil {
		return Loss{}, c.Err
	}
	l.Regime = RegimeOf(l.Reynolds)
	if l.Reynolds >= leastReynolds && p.Method() == DarcyWeisbach {
		l.Factor = factor(l.Reynolds, p.relativeRoughness())
	}
	friction, _ := curve.friction(a)
	along := 0.0 // the part of the friction that is the pipe's own
	if total := p.frictionLength(); total > 0 {
		along = p.Length.Metres() / total
	}
	signed := func(dp float64) quantity.Pressure { return quantity.Pascals(math.Copysign(dp, Q)) }
	if Q == 0 {
		signed = func(float64) quantity.Pressure { return quantity.Pressure{} }
	}
	l.Velocity = quantity.MetresPerSecond(Q * curve.velocity)
	l.Friction = signed(friction * along)
	l.Fittings = signed(friction*(1-along) + curve.fittings*a*a)
	l.Valves = signed(curve.valves * a * a)
	l.Total = signed(friction + (curve.fittings+curve.valves)*a*a)
	return l, nil
}

func (p Pipe) frictionLength() float64 { return p.Length.Metres() + p.EquivalentLength.Metres() }

func (p Pipe) relativeRoughness() float64 {
	if p.Bore.Metres() == 0 {
		return 0
	}
	return p.Roughness.Metres() / p.Bore.Metres()
}
