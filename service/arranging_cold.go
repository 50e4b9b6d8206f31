package service

import (
	"fmt"
	"strings"

	"recirc/calc/fault"
	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/calc/year"
)

// coldLineReturn adds a valve and a cold line at each fixture served, and one pump
// at the heater.
func (s *arranging) coldLineReturn(d *arranged) {
	ends, ok := s.coldLines(d)
	if !ok {
		return
	}
	out := s.circulation(d)
	shuts, band := quantity.Celsius(40), 5.0
	if v := d.a.Bypass; v != nil {
		shuts = v.ClosesAt
		if v.Band != (quantity.TemperatureDifference{}) {
			band = v.Band.Kelvin()
		}
	}
	if d.a.Bypass == nil || d.a.Bypass.Band == (quantity.TemperatureDifference{}) {
		s.notes.assume(Assumption{Code: "default_bypass_valve", Detail: fmt.Sprintf("The valve of arrangement %q does not say at which temperature, or over which band, it closes.", d.a.ID), Value: "closes at 40 degC, over 5 K", Pointers: []string{d.at}, Source: "common_practice"})
	}
	flow := quantity.CubicMetresPerSecond(d.a.Pump.Flow.CubicMetresPerSecond() / float64(len(ends)))
	for _, e := range ends {
		out.Loops = append(out.Loops, year.Loop{
			From: d.sys.Outlets[e.outlet].Pipe, Into: e.cold, Flow: flow,
			Bypass: &year.Bypass{Opens: quantity.Kelvin(shuts.Kelvin() - band), Shuts: shuts},
		})
	}
	s.placeSensor(d, &out, d.sys.Outlets[ends[0].outlet].Pipe)
	s.add(d, out, "")
}

// onDemandAtFixture adds a pump and a cold line at each fixture served.
func (s *arranging) onDemandAtFixture(d *arranged) {
	ends, ok := s.coldLines(d)
	if !ok {
		return
	}
	for _, e := range ends {
		out := s.circulation(d)
		out.Loops = []year.Loop{{From: d.sys.Outlets[e.outlet].Pipe, Into: e.cold, Flow: d.a.Pump.Flow}}
		s.placeSensor(d, &out, d.sys.Outlets[e.outlet].Pipe)
		out.Demands = d.demands(e.outlet)
		s.add(d, out, d.sys.Outlets[e.outlet].ID)
	}
}

// demands are the outlets that a pump at one of them is triggered for: itself, and
// those whose hot way holds mostly what the pump fills.
func (d *arranged) demands(pumped int) []int {
	filled := map[int]bool{}
	for p := d.sys.Outlets[pumped].Pipe; p != year.None; p = d.sys.Pipes[p].Parent {
		filled[p] = true
	}
	var who []int
	for i := range d.sys.Outlets {
		in, all := 0.0, 0.0
		for p := d.sys.Outlets[i].Pipe; p != year.None; p = d.sys.Pipes[p].Parent {
			v := d.sys.Pipes[p].Content.CubicMetresPerMetre() * d.sys.Pipes[p].Length.Metres()
			all += v
			if filled[p] {
				in += v
			}
		}
		if i == pumped || in > all/2 && d.sys.Outlets[i].Local == nil {
			who = append(who, i)
		}
	}
	return who
}

// coldEnd is an outlet with the cold pipe that ends there.
type coldEnd struct{ outlet, cold int }

// coldLines adds the cold lines to the fixtures served: as the request gives them,
// or each hot pipe on the way once more, bare.
func (s *arranging) coldLines(d *arranged) ([]coldEnd, bool) {
	if given := d.a.ColdLine; given == nil || given.Length == (quantity.Length{}) || given.Tube == nil {
		s.notes.assume(Assumption{Code: "default_cold_line", Detail: fmt.Sprintf("What arrangement %q does not say of the cold line is taken as on the hot way, and bare.", d.a.ID), Value: "as the hot way", Pointers: []string{d.at}, Source: "common_practice"})
	}
	laid := map[int32]int{}
	var ends []coldEnd
	place := make(map[string]int, len(d.sys.Outlets))
	for i := range d.sys.Outlets {
		place[d.sys.Outlets[i].ID] = i
	}
	for f, served := range d.served {
		if !served {
			continue
		}
		node := d.g.FixtureNode(f)
		cold, err := year.None, error(nil)
		if d.a.ColdLine == nil {
			cold, err = s.coldCopy(d, d.g.WayTo(node), laid)
		} else {
			cold, err = s.ownColdLine(d, f, d.g.WayTo(node))
		}
		if err != nil {
			s.faults.Add(d.at, fault.OutOfRange, "The cold line to fixture %q cannot be calculated: %s.", d.g.System.Fixtures[f].ID, reasonOf(err))
			return nil, false
		}
		if cold == year.None {
			return nil, false
		}
		at := place[d.g.System.Fixtures[f].ID]
		d.sys.Outlets[at].Cold = cold
		ends = append(ends, coldEnd{at, cold})
	}
	return ends, true
}

// coldCopy lays the pipes of a hot way once more, bare, shared where ways are.
func (s *arranging) coldCopy(d *arranged, way []int32, laid map[int32]int) (int, error) {
	parent := year.None
	for i := len(way) - 1; i >= 0; i-- { // from the heater out
		p := way[i]
		if at, done := laid[p]; done {
			parent = at
			continue
		}
		out, err := s.pipe(d, p, nil, s.coolAt(d, false), d.a.Pump.Flow.CubicMetresPerSecond())
		if err != nil {
			return year.None, err
		}
		out.ID, out.Role, out.Parent = "cold "+d.g.System.Pipes[p].ID, year.Cold, parent
		parent = len(d.sys.Pipes)
		laid[p] = parent
		d.sys.Pipes = append(d.sys.Pipes, out)
	}
	return parent, nil
}

// ownColdLine lays the cold line that an arrangement gives, as a system of one pipe.
func (s *arranging) ownColdLine(d *arranged, fixture int, way []int32) (int, error) {
	c := d.a.ColdLine
	first := d.g.System.Pipes[way[0]]
	run := network.Pipe{ID: "cold line", From: "heater", To: "end", Role: network.Supply, Length: c.Length, Tube: first.Tube, Insulation: c.Insulation, Surroundings: first.Surroundings, SurfaceEmissivity: first.SurfaceEmissivity}
	if c.Tube != nil {
		run.Tube = *c.Tube
	}
	if c.Length == (quantity.Length{}) {
		total := 0.0
		for _, p := range way {
			total += d.g.System.Pipes[p].Length.Metres()
		}
		run.Length = quantity.Metres(total)
	}
	defaults := d.g.System.Defaults
	defaults.Insulation = nil // what insulates hot pipes says nothing of cold ones
	line := &network.System{
		Heater: network.Heater{Node: "heater"}, Pipes: []network.Pipe{run}, Defaults: defaults,
		Fixtures: []network.Fixture{{ID: "end", Node: "end", Type: "other"}},
	}
	var found fault.List
	g := network.Build(line, "/line", &found)
	for _, f := range found.Faults() {
		s.faults.Add(d.at+"/cold_line"+strings.TrimPrefix(f.Pointer, "/line/pipes/0"), f.Code, "%s", f.Detail)
	}
	if g == nil || !found.Empty() {
		return year.None, nil
	}
	by := newHeating(g)
	out, err := s.lay(d, by.pipe(0, c.Insulation), "cold line of "+d.g.System.Fixtures[fixture].ID, run.Length, line.SurroundingsOf(0) == nil, s.coolAt(d, false), d.a.Pump.Flow.CubicMetresPerSecond())
	if err != nil {
		return year.None, err
	}
	out.Role, out.Parent = year.Cold, year.None
	d.sys.Pipes = append(d.sys.Pipes, out)
	return len(d.sys.Pipes) - 1, nil
}
