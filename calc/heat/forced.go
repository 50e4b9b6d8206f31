package heat

import (
	"math"

	"recirc/calc/air"
	"recirc/calc/source"
)

// CrossflowSource is where the correlation of moving air is published.
const CrossflowSource source.ID = "churchill_bernstein_1977"

// crossflow gives forced convection about a cylinder across the wind
//
//	Nu = 0.3 + 0.62 Re^(1/2) Pr^(1/3)/[1 + (0.4/Pr)^(2/3)]^(1/4) [1 + (Re/282000)^(5/8)]^(4/5)
//	Re = V D/nu
//
//	V   speed of the air, at right angles to the pipe   m/s   V >= 0
//	D   diameter of the outermost surface               m
//	nu  of the air at the film temperature              m2/s
//
// Valid for Re Pr > 0.2, from 1e2 to 1e7 within about 20 %. Wind along the pipe
// takes less.
//
// Source: Churchill and Bernstein (1977), J. Heat Transfer 99, 300, from memory.
func crossflow(D, speed float64, film *air.Properties) convection {
	re, pr := speed*D/film.KinematicViscosity(), film.Prandtl()
	nu := 0.3
	if re > 0 {
		logRe := math.Log(re)
		nu += 0.62 * math.Sqrt(re) * math.Cbrt(pr) / math.Sqrt(math.Sqrt(1+math.Exp(2.0/3*math.Log(0.4/pr)))) *
			math.Exp(0.8*math.Log(1+math.Exp(0.625*(logRe-math.Log(282000)))))
	}
	c := convection{coefficient: nu * film.Conductivity / D, reynolds: re}
	if !(re*pr > 0.2 && re < 1e7) {
		c.notes |= noteForcedRange
	}
	return c
}

// windy takes the greater of forced and natural convection. They are not added:
// how they add depends on the angle between wind and buoyancy. Where Gr/Re^2 is
// between 0.1 and 10 both matter, and a note says so.
func windy(forced, natural convection, grashof float64) convection {
	both := forced
	if natural.coefficient > forced.coefficient {
		both = natural
		both.reynolds = forced.reynolds
	}
	both.rayleigh = natural.rayleigh
	both.notes = forced.notes | natural.notes
	if re2 := forced.reynolds * forced.reynolds; grashof > 0.1*re2 && grashof < 10*re2 {
		both.notes |= noteMixed
	}
	return both
}
