package arrival

import (
	"fmt"
	"math"

	"recirc/calc/quantity"
)

// InputError is an argument outside its range.
type InputError struct {
	Field  string // as in Segments[2].Bore
	Value  float64
	Reason string // such as "must be above 0"
}

func (e *InputError) Error() string {
	return fmt.Sprintf("arrival: %s %v %s", e.Field, e.Value, e.Reason)
}

// hottestAllowed is far beyond water; it keeps the digits of other temperatures.
const hottestAllowed = 1e4 // K

const (
	positive    = "must be above 0 and finite"
	notNegative = "must not be negative or infinite"
)

// fields collects the first fault of what it is shown.
type fields struct {
	segment int // the one looked at, from 1; 0 outside of segments
	err     *InputError
}

func (c *fields) refuse(bad bool, name string, value float64, reason string) {
	if !bad || c.err != nil {
		return
	}
	if c.segment > 0 {
		name = fmt.Sprintf("Segments[%d].%s", c.segment-1, name)
	}
	c.err = &InputError{name, value, reason}
}

func (c *fields) above0(name string, v float64) {
	c.refuse(!(v > 0) || math.IsInf(v, 1), name, v, positive)
}

func (c *fields) atLeast0(name string, v float64) {
	c.refuse(!(v >= 0) || math.IsInf(v, 1), name, v, notNegative)
}

func (c *fields) temperature(name string, t quantity.Temperature) {
	k := t.Kelvin()
	c.refuse(!(k > 0 && k <= hottestAllowed), name, k, "must be above 0 K and at most 10000 K")
}

func (c *fields) result() error {
	if c.err == nil {
		return nil
	}
	return c.err
}

func (f Front) check() error {
	c := &fields{}
	c.refuse(len(f.Segments) == 0 || len(f.Segments) > MaxSegments, "number of Segments", float64(len(f.Segments)), "must be at least 1 and at most MaxSegments")
	c.above0("Flow", f.Flow.CubicMetresPerSecond())
	c.above0("Density", f.Density)
	c.above0("SpecificHeat", f.SpecificHeat)
	if len(f.InletTable) == 0 {
		c.temperature("Inlet", f.Inlet)
		c.atLeast0("StartUpDelay", f.StartUpDelay.Seconds())
		if f.StartUpDelay.Seconds() > 0 {
			c.temperature("BeforeStart", f.BeforeStart)
		}
	}
	for i, p := range f.InletTable {
		c.temperature("InletTable", p.Temperature)
		c.atLeast0("InletTable", p.Time.Seconds())
		c.refuse(p.Time.Seconds() < f.InletTable[max(i-1, 0)].Time.Seconds(), "InletTable", p.Time.Seconds(), "must be in order of time")
	}
	for i := range f.Segments {
		c.segment = i + 1
		f.Segments[i].check(c)
	}
	return c.result()
}

func (s *Segment) check(c *fields) {
	c.above0("Length", s.Length.Metres())
	c.above0("Bore", s.Bore.Metres())
	c.refuse(!(s.Outside.Metres() >= s.Bore.Metres()) || math.IsInf(s.Outside.Metres(), 1), "Outside", s.Outside.Metres(), "must be at least the bore and finite")
	c.atLeast0("WallConductivity", s.WallConductivity.WattsPerMetreKelvin())
	c.atLeast0("WallHeatCapacity", s.WallHeatCapacity)
	c.atLeast0("Film", s.Film)
	c.atLeast0("UA", s.UA)
	c.atLeast0("Dispersion", s.Dispersion)
	if s.UA > 0 {
		c.temperature("Ambient", s.Ambient)
	}
	if len(s.InitialProfile) == 0 {
		c.temperature("Initial", s.Initial)
	}
	for _, t := range s.InitialProfile {
		c.temperature("InitialProfile", t)
	}
}

func (o Options) check() error {
	c := &fields{}
	for _, t := range o.Thresholds {
		c.temperature("Thresholds", t)
	}
	c.atLeast0("Horizon", o.Horizon)
	c.refuse(o.Curve < 0 || o.Curve == 1 || o.Curve > MaxPoints, "Curve", float64(o.Curve), "must be 0, or at least 2 and at most MaxPoints")
	c.refuse(o.Cells < 0 || o.Cells > MaxCells, "Cells", float64(o.Cells), "must be at least 0 and at most MaxCells")
	c.refuse(o.Exchanges < 0, "Exchanges", float64(o.Exchanges), "must be at least 0")
	return c.result()
}
