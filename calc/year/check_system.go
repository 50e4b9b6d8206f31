package year

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"recirc/calc/calendar"
	"recirc/calc/control"
)

func (c *checker) system() {
	s := c.s
	c.between(place{}, "System.WaterHeat", s.WaterHeat, 1e6, 1e7, "J/(m3.K)")
	c.temperature(place{}, "System.Heater.Outlet", s.Heater.Outlet)
	c.between(place{}, "System.Heater.StartUpDelay", s.Heater.StartUpDelay.Seconds(), 0, 3600, "s")
	c.between(place{}, "System.Heater.Activation", s.Heater.Activation.CubicMetresPerSecond(), 0, greatestFlow, "m3/s")
	if !c.count("System.Pipes", len(s.Pipes), 1, MaxPipes) || !c.count("System.Outlets", len(s.Outlets), 0, MaxOutlets) ||
		!c.count("System.Circulations", len(s.Circulations), 0, MaxCirculations) {
		return
	}
	c.pipes()
	c.outlets()
	loops := 0
	for i := range s.Circulations {
		c.circulation(&s.Circulations[i], place{"System.Circulations", i})
		loops += len(s.Circulations[i].Loops)
	}
	c.count("loops of System.Circulations", loops, 0, MaxLoops)
}

func (c *checker) pipes() {
	ids := make(map[string]int, len(c.s.Pipes))
	slugs := 0.0
	for i := range c.s.Pipes {
		p, at := &c.s.Pipes[i], place{"System.Pipes", i}
		c.id(ids, p.ID, at)
		if p.Role != Supply && p.Role != Return && p.Role != Cold {
			c.add(at.field("Role"), "%q is no role.", p.Role)
		}
		if p.Parent != None && c.index(at, "Parent", p.Parent, len(c.s.Pipes), "pipe") && c.s.Pipes[p.Parent].Role != p.Role {
			c.add(at.field("Parent"), "Pipe %d has another role.", p.Parent)
		}
		whole := c.wall(p, at)
		c.between(at, "UA", p.UA, 0, 1e4, "W/(m.K)")
		c.ambient(at, p.Ambient)
		if t := p.Trace; t != nil {
			c.between(at, "Trace.Power", t.Power, 0, 1e4, "W/m")
			if c.temperature(at, "Trace.At", t.At) && c.temperature(at, "Trace.Off", t.Off) && t.Off.Kelvin()-t.At.Kelvin() < 0.1 {
				c.add(at.field("Trace.Off"), "A cable gives nothing from %g K on, which is not above %g K, at which its power is given.", t.Off.Kelvin(), t.At.Kelvin())
			}
		}
		sections := 1.0
		if p.Lag.Ratio != 0 && p.Lag.Ratio < whole {
			sections = min(maxSections, math.Ceil(p.Length.Metres()*max(1, c.p.Fineness)/longSection))
		}
		slugs += sections * 16 * max(1, c.p.Fineness)
	}
	if slugs > maxSlugs {
		c.add("System.Pipes", "So many pipes at this fineness need %.0f slugs; there may be %d.", slugs, maxSlugs)
	}
	c.roots()
}

// wall checks what a front depends on, and gives the greatest ratio.
func (c *checker) wall(p *Pipe, at place) float64 {
	L := c.between(at, "Length", p.Length.Metres(), 1e-3, 1e4, "m")
	ok := c.between(at, "Content", p.Content.CubicMetresPerMetre(), 1e-7, 1, "m3/m")
	wall := c.between(at, "WallHeatCapacity", p.WallHeatCapacity, 0, 1e7, "J/(m.K)")
	if !ok || !wall || !L || !(c.s.WaterHeat > 0) {
		return 1
	}
	whole := 1 + p.WallHeatCapacity/(p.Content.CubicMetresPerMetre()*c.s.WaterHeat)
	if p.Lag.Ratio == 0 {
		return whole
	}
	c.between(at, "Lag.Ratio", p.Lag.Ratio, 1, whole*(1+1e-6), "")
	if p.Lag.Ratio < whole {
		c.between(at, "Lag.Exchange", p.Lag.Exchange, 1e-3, 1e6, "W/(m.K)")
	}
	return whole
}

func (c *checker) id(ids map[string]int, id string, at place) {
	switch before, twice := ids[id]; {
	case id == "":
		c.add(at.field("ID"), "It is empty.")
	case twice:
		c.add(at.field("ID"), "%q is that of %d too.", id, before)
	default:
		ids[id] = at.index
	}
}

func (c *checker) ambient(at place, i int) {
	if n := c.ambients; n < math.MaxInt && (i < 0 || i >= n) {
		c.add(at.field("Ambient"), "A month has no ambient temperature %d.", i)
	}
}

// roots checks that every pipe hangs at the heater.
func (c *checker) roots() {
	const unknown, open, good, bad = 0, 1, 2, 3
	state := make([]int8, len(c.s.Pipes))
	var path []int
	for i := range c.s.Pipes {
		path = path[:0]
		j := i
		for j >= 0 && j < len(state) && state[j] == unknown {
			state[j] = open
			path = append(path, j)
			j = c.s.Pipes[j].Parent
		}
		end := int8(good)
		if j >= 0 && j < len(state) && state[j] != good {
			end = bad
			if state[j] == open {
				c.add(place{"System.Pipes", j}.field("Parent"), "The pipe lies before itself.")
			}
		}
		for _, k := range path {
			state[k] = end
		}
	}
}

func (c *checker) outlets() {
	ids := make(map[string]int, len(c.s.Outlets))
	for i := range c.s.Outlets {
		o, at := &c.s.Outlets[i], place{"System.Outlets", i}
		c.id(ids, o.ID, at)
		c.pipe(at, "Pipe", o.Pipe, Supply)
		if o.Cold != None {
			c.pipe(at, "Cold", o.Cold, Cold)
		}
		if h := o.Local; h != nil {
			c.between(at, "Local.Content", h.Content.CubicMetres(), 1e-5, 100, "m3")
			c.between(at, "Local.Power", h.Power.Watts(), 0, 1e6, "W")
			c.between(at, "Local.UA", h.UA, 0, 1e4, "W/K")
			c.temperature(at, "Local.Set", h.Set)
			c.ambient(at, h.Ambient)
		}
	}
}

func (c *checker) pipe(at place, name string, i int, roles ...Role) {
	if c.index(at, name, i, len(c.s.Pipes), "pipe") && !slices.Contains(roles, c.s.Pipes[i].Role) {
		c.add(at.field(name), "Pipe %d is a %s pipe; %s is wanted.", i, c.s.Pipes[i].Role, roles[0])
	}
}

func (c *checker) circulation(k *Circulation, at place) {
	c.between(at, "Power", k.Power.Watts(), 0, 1e6, "W")
	c.between(at, "IntoWater", k.IntoWater, 0, 1, "")
	var wrong *control.SettingsError
	if _, err := control.New(k.Control, []calendar.DayType{calendar.Weekday}, nil); errors.As(err, &wrong) {
		for _, f := range wrong.Findings {
			c.add(at.field("Control."+f.Field), "%s", f.Detail)
		}
	}
	switch k.Control.Kind {
	case control.AquastatOnly, control.TimerAndAquastat, control.OnDemand:
		c.pipe(at, "Sensor", k.Sensor, Supply, Return, Cold)
	default:
		if k.Sensor != None {
			c.pipe(at, "Sensor", k.Sensor, Supply, Return, Cold)
		}
	}
	if len(k.Loops) == 0 {
		c.add(at.field("Loops"), "There is none.")
	}
	for i := range k.Loops {
		l := &k.Loops[i]
		name := fmt.Sprintf("Loops[%d].", i)
		c.pipe(at, name+"From", l.From, Supply)
		c.pipe(at, name+"Into", l.Into, Return, Cold)
		c.between(at, name+"Flow", l.Flow.CubicMetresPerSecond(), leastFlow, greatestFlow, "m3/s")
		if b := l.Bypass; b != nil && c.temperature(at, name+"Bypass.Opens", b.Opens) && c.temperature(at, name+"Bypass.Shuts", b.Shuts) &&
			b.Shuts.Kelvin()-b.Opens.Kelvin() < 0.1 {
			c.add(at.field(name+"Bypass.Shuts"), "The valve shuts at %g K, which is not above %g K, below which it is open.", b.Shuts.Kelvin(), b.Opens.Kelvin())
		}
	}
	for i, o := range k.Demands {
		c.index(at, fmt.Sprintf("Demands[%d]", i), o, len(c.s.Outlets), "outlet")
	}
}
