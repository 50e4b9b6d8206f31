package heat

import (
	"math"
	"slices"

	"recirc/calc/quantity"
	"recirc/calc/source"
	"recirc/calc/water"
)

// CoolingSource is where the cooling of a pipe as one body is from.
const CoolingSource source.ID = "lumped_cooling"

// Cooled tells when water reaches a temperature.
type Cooled struct {
	To      quantity.Temperature
	After   quantity.Duration // 0 if it was there from the start
	Reached bool              // false: never, for it lies at or beyond ambient
}

// CoolDownOptions choose how the pipe stores heat.
type CoolDownOptions struct {
	// InsulationShare of the insulation's heat capacity that counts, 0 to 1; nil:
	// by its temperature, see [Pipe.Capacity].
	InsulationShare *float64
}

// CoolDown gives the times in which standing water cools to some temperatures
//
//	C dT/dt = -q(T)
//
//	C  water, wall and insulation of a metre, by [Pipe.Capacity] at T   J/(m.K)
//	q  loss of a metre by [Pipe.Loss] at T, without film inside         W/m
//
// Loss and capacity are taken anew at each temperature: with the coefficient of
// the start a bare pipe would cool 4 to 9 % too fast. The allowance for fittings
// is left out, because a fitting stores what it loses; the times are of the pipe
// between them. A cold pipe warms by the same equation. Each answer stands at the
// place of its temperature in the list.
//
// Valid from 0 to 110 degC, for water that is of one temperature across the pipe,
// with both ends closed: no water moves by its own buoyancy. In ground or slab
// the heat that these store is left out, so that the first hours are too slow.
//
// Errors: a [*RangeError] or an [*UnknownError]; a temperature at or beyond
// ambient is no error, it is not reached.
//
// Source: energy balance of a body of one temperature, textbook heat transfer.
func (p Pipe) CoolDown(start quantity.Temperature, to []quantity.Temperature, o CoolDownOptions) ([]Cooled, error) {
	const op = "heat.Pipe.CoolDown"
	c := cooling{start: start.Kelvin(), last: start.Kelvin()}
	if _, err := water.At(start); err != nil {
		return nil, err
	}
	var err error
	// All temperatures on the way lie between start and ambient.
	if c.model, err = p.model(op, c.start, c.start, quantity.Flow{}); err != nil {
		return nil, err
	}
	if c.store, err = p.store(op, o.InsulationShare); err != nil {
		return nil, err
	}
	answers := make([]Cooled, len(to))
	order := make([]int, len(to))
	for i := range to {
		if err := quantity.Between(op, "to", to[i].Kelvin(), -math.MaxFloat64, math.MaxFloat64, "K"); err != nil {
			return nil, err
		}
		answers[i].To, order[i] = to[i], i
	}
	slices.SortStableFunc(order, func(a, b int) int { return c.earlier(to[a].Kelvin(), to[b].Kelvin()) })
	for _, i := range order {
		if answers[i].After, answers[i].Reached, err = c.reach(to[i].Kelvin()); err != nil {
			return nil, err
		}
	}
	return answers, nil
}

// cooling is a pipe on its way to ambient.
type cooling struct {
	model model
	store store
	start float64
	last  float64 // temperature reached last
	time  float64 // when
}

// earlier compares two temperatures by which is met first.
func (c *cooling) earlier(a, b float64) int {
	switch toward := c.start - c.model.Te; {
	case a == b:
		return 0
	case (a > b) == (toward > 0):
		return -1
	}
	return 1
}

// nearest is how near to ambient a temperature still counts as reached, in K.
const nearest = leastDifference

// reach moves on to a temperature. One that lies behind the start is met at once.
func (c *cooling) reach(T float64) (quantity.Duration, bool, error) {
	away, there := c.start-c.model.Te, T-c.model.Te
	if away < 0 {
		away, there = -away, -there
	}
	switch {
	case there >= away && away > 0 || T == c.start:
		return quantity.Duration{}, true, nil
	case away < nearest || there < nearest:
		return quantity.Duration{}, false, nil
	}
	if _, err := water.At(quantity.Kelvin(T)); err != nil {
		return quantity.Duration{}, false, err
	}
	dt, err := c.between(c.last, T)
	if err != nil {
		return quantity.Duration{}, false, err
	}
	c.last, c.time = T, c.time+dt
	return quantity.Seconds(c.time), true, nil
}

// Points and weights of Gauss and Legendre on -1 to 1, five of them.
func gaussLegendre() (x, w [5]float64) {
	const (
		a, b   = 0.5384693101056831, 0.9061798459386640
		wa, wb = 0.4786286704993665, 0.2369268850561891
		w0     = 128.0 / 225
	)
	return [5]float64{-b, -a, 0, a, b}, [5]float64{wb, wa, w0, wa, wb}
}

// between integrates C/q dT. In the logarithm of the difference to ambient the
// integrand is C/UA, which hardly bends, so that five points for each factor of
// about four leave 1e-9.
func (c *cooling) between(from, to float64) (float64, error) {
	Te := c.model.Te
	first, last := math.Log(math.Abs(from-Te)), math.Log(math.Abs(to-Te))
	panels := int(math.Ceil((first - last) / 1.5))
	x, w := gaussLegendre()
	half := (first - last) / float64(panels) / 2
	sum := 0.0
	for panel := range panels {
		middle := first - half*float64(2*panel+1)
		for i := range x {
			difference := math.Copysign(math.Exp(middle-half*x[i]), from-Te)
			slow, err := c.timeConstant(Te + difference)
			if err != nil {
				return 0, err
			}
			sum += w[i] * half * slow
		}
	}
	return sum, nil
}

// timeConstant is C/UA, in s.
func (c *cooling) timeConstant(T float64) (float64, error) {
	w, err := water.At(quantity.Kelvin(T))
	if err != nil {
		return 0, err
	}
	s, err := c.model.at(T)
	if err != nil {
		return 0, err
	}
	return c.store.at(&c.model, &s, &w).Total() / s.UA, nil
}

// Lump is a metre of pipe with one loss coefficient and one capacity.
type Lump struct {
	UA       float64 // W/(m.K)
	Capacity float64 // J/(m.K)
	Ambient  quantity.Temperature
}

// CoolDownConstant gives the time in which a pipe cools to a temperature with
// loss coefficient and capacity held fixed
//
//	t = (C/UA) ln[(T0 - Ta)/(T1 - Ta)]
//
//	C   capacity           J/(m.K)   C > 0
//	UA  loss coefficient   W/(m.K)   UA > 0
//	T0  at the start, T1 at the end, Ta ambient   K
//
// With the UA of the start it is 4 to 9 % short for a bare pipe, up to 2 % for an
// insulated one; [Pipe.CoolDown] does without.
//
// Errors: a [*RangeError].
//
// Source: energy balance of a body of one temperature, textbook heat transfer.
func CoolDownConstant(l Lump, start, to quantity.Temperature) (Cooled, error) {
	c := quantity.Checks{Operation: "heat.CoolDownConstant"}
	c.Between("C", l.Capacity, 1e-6, 1e12, "J/(m.K)")
	c.Between("UA", l.UA, 1e-9, greatestOne, "W/(m.K)")
	c.Between("Ta", l.Ambient.Kelvin(), coldest, hottest, "K")
	c.Between("T0", start.Kelvin(), coldest, hottest, "K")
	c.Between("T1", to.Kelvin(), coldest, hottest, "K")
	if c.Err != nil {
		return Cooled{}, c.Err
	}
	away, there := start.Kelvin()-l.Ambient.Kelvin(), to.Kelvin()-l.Ambient.Kelvin()
	if away < 0 {
		away, there = -away, -there
	}
	switch {
	case there >= away && away > 0 || to == start:
		return Cooled{To: to, Reached: true}, nil
	case away < nearest || there < nearest:
		return Cooled{To: to}, nil
	}
	return Cooled{To: to, After: quantity.Seconds(l.Capacity / l.UA * math.Log(away/there)), Reached: true}, nil
}
