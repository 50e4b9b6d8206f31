package service

import (
	"fmt"
	"strings"

	"recirc/calc/control"
	"recirc/calc/fault"
	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/calc/water"
	"recirc/calc/year"
)

// outlets gives the simulation the fixtures, in the order of the request, and the
// heater.
func (s *arranging) outlets(d *arranged) {
	place := make(map[string]int, len(d.g.System.Fixtures))
	for i := range d.g.System.Fixtures {
		place[d.g.System.Fixtures[i].ID] = i
	}
	for i := range s.system.Fixtures {
		id := s.system.Fixtures[i].ID
		f := place[id]
		p, _ := d.g.FedBy(d.g.FixtureNode(f))
		o := year.Outlet{ID: id, Pipe: d.supply[p], Cold: year.None}
		if d.served[f] && d.a.Local != nil {
			o.Local = localHeater(d.a.Local)
		}
		d.sys.Outlets = append(d.sys.Outlets, o)
	}
	h := &d.g.System.Heater
	d.sys.Heater = year.Heater{Outlet: d.outlet}
	if h.StartUpDelay != nil {
		d.sys.Heater.StartUpDelay = *h.StartUpDelay
	}
	if h.Type.OnFlow() {
		d.sys.Heater.Activation = h.ActivationFlow
	}
	w, err := water.At(quantity.Kelvin((d.outlet.Kelvin() + defaultAir.Kelvin()) / 2))
	if err != nil {
		s.faults.Add(d.at, fault.OutOfRange, "This arrangement cannot be calculated: %s.", reasonOf(err))
		return
	}
	d.sys.WaterHeat = w.VolumetricHeat()
}

// localHeater is a small heater in air of the usual temperature.
func localHeater(l *LocalHeater) *year.LocalHeater {
	out := &year.LocalHeater{Content: l.Volume, Power: l.Power, Set: l.Temperature, Ambient: airAmbient}
	if above := l.Temperature.Kelvin() - defaultAir.Kelvin(); l.Standby != nil && above > 0 {
		out.UA = l.Standby.Watts() / above
	}
	return out
}

// warm adds what brings hot water near: returns, cold lines and pumps.
func (s *arranging) warm(d *arranged) {
	switch d.a.Type {
	case DedicatedReturn:
		s.dedicatedReturn(d)
	case ColdLineReturn:
		s.coldLineReturn(d)
	case OnDemandAtFixture:
		s.onDemandAtFixture(d)
	}
	if d.a.Type != DedicatedReturn && hasReturns(d.g.System) {
		s.notes.assume(Assumption{Code: "returns_idle", Detail: fmt.Sprintf("The returns of the system carry nothing in arrangement %q.", d.a.ID), Value: "shut", Pointers: []string{d.at}, Source: "common_practice"})
	}
}

func hasReturns(s *network.System) bool {
	for i := range s.Pipes {
		if s.Pipes[i].Role == network.Return {
			return true
		}
	}
	return false
}

// circulation begins a circulation with the pump and its control.
func (s *arranging) circulation(d *arranged) year.Circulation {
	into := 0.5
	if d.a.Pump.ToWater != nil {
		into = *d.a.Pump.ToWater
	} else {
		s.notes.assume(Assumption{Code: "default_pump_heat", Detail: fmt.Sprintf("The pump of arrangement %q does not say which part of its power heats the water.", d.a.ID), Value: "0.5", Pointers: []string{d.at + "/pump"}, Source: "common_practice"})
	}
	at := d.at
	if d.a.Control != nil {
		at += "/control"
	}
	return year.Circulation{
		Control: s.notes.runnable(d.a.Control, d.a.Type, at, s.faults),
		Sensor:  year.None, Power: d.a.Pump.Power, IntoWater: into,
	}
}

// dedicatedReturn adds the returns that serve, and shares the pump's flow among
// them as a balanced loop would: by the heat that their ways lose.
func (s *arranging) dedicatedReturn(d *arranged) {
	c := d.g.Circulation()
	used := d.usedConnections(c)
	if len(used) == 0 {
		s.faults.Add(d.at+"/type", fault.ReturnsMissing, "The system has no return that serves these fixtures; give a variant system with return pipes.")
		return
	}
	returns, ok := s.layReturns(d, c, used)
	if !ok {
		return
	}
	out := s.circulation(d)
	shares := d.shares(c, used, returns)
	for i, k := range used {
		out.Loops = append(out.Loops, year.Loop{
			From: d.supply[k.Feeder], Into: returns[k.Return],
			Flow: quantity.CubicMetresPerSecond(shares[i] * d.a.Pump.Flow.CubicMetresPerSecond()),
		})
	}
	if len(used) > 1 {
		s.notes.assume(Assumption{Code: "flow_shared_by_loss", Detail: fmt.Sprintf("The pump's flow in arrangement %q is shared among %d returns as in a balanced loop, by the heat that their ways lose.", d.a.ID, len(used)), Value: "balanced", Pointers: []string{d.at + "/pump"}, Source: "common_practice"})
	}
	last := used[0].Return
	for p, more := d.g.Onward(last); more; p, more = d.g.Onward(p) {
		last = p
	}
	s.placeSensor(d, &out, returns[last])
	s.add(d, out, "")
}

// leastLoopFlow in m3/s: with less, water stands.
const leastLoopFlow = 1e-8

// add takes a circulation in.
func (s *arranging) add(d *arranged, c year.Circulation, fixture string) {
	for _, l := range c.Loops {
		if l.Flow.CubicMetresPerSecond() < leastLoopFlow {
			s.faults.Add(d.at+"/pump/flow", fault.OutOfRange, "The pump moves next to nothing through a loop: give at least 0.001 L/min for each.")
			return
		}
	}
	d.sys.Circulations = append(d.sys.Circulations, c)
	d.pumpAt = append(d.pumpAt, fixture)
}

// usedConnections are the return connections that serve: those behind whose
// circulated pipe a fixture of the part is fed.
func (d *arranged) usedConnections(c network.Circulation) []network.Connection {
	reach := make([]bool, len(d.g.System.Pipes)) // circulated pipes that serve
	circulated := make([]bool, len(d.g.System.Pipes))
	for _, p := range c.Supply {
		circulated[p] = true
	}
	last := make([]int32, len(d.g.System.Pipes)) // circulated pipe on the way of each
	for _, p := range d.g.SupplyOrder() {
		last[p] = -1
		if f, ok := d.g.Feeder(p); ok {
			last[p] = last[f]
		}
		if circulated[p] {
			last[p] = p
		}
	}
	for i, served := range d.served {
		if p, ok := d.g.FedBy(d.g.FixtureNode(i)); served && ok && last[p] >= 0 {
			reach[last[p]] = true
		}
	}
	var used []network.Connection
	served := make([]bool, len(d.g.System.Pipes)) // the way of such a pipe to a connection passes here
	for _, p := range c.Supply {
		served[p] = reach[p]
		if f, ok := d.g.Feeder(p); ok && served[f] {
			served[p] = true
		}
	}
	for _, k := range c.Connections {
		if served[k.Feeder] {
			used = append(used, k)
		}
	}
	return used
}

// layReturns gives the simulation the return pipes of the connections.
func (s *arranging) layReturns(d *arranged, c network.Circulation, used []network.Connection) (map[int32]int, bool) {
	wanted := map[int32]bool{}
	for _, k := range used {
		for p, more := k.Return, true; more && !wanted[p]; p, more = d.g.Onward(p) {
			wanted[p] = true
		}
	}
	at := s.coolAt(d, d.a.Control == nil || d.a.Control.Kind == control.Continuous)
	laid := make(map[int32]int, len(wanted))
	for i := len(c.Return) - 1; i >= 0; i-- {
		p := c.Return[i]
		if !wanted[p] {
			continue
		}
		insulation := d.g.System.InsulationOf(p)
		if d.a.Insulation != nil {
			insulation = d.a.Insulation
		}
		out, err := s.pipe(d, p, insulation, at, d.a.Pump.Flow.CubicMetresPerSecond()/float64(len(used)))
		if err != nil {
			s.pipeFault(d, p, err)
			return nil, false
		}
		out.Role, out.Parent = year.Return, year.None
		if next, ok := d.g.Onward(p); ok {
			out.Parent = laid[next]
		}
		laid[p] = len(d.sys.Pipes)
		d.sys.Pipes = append(d.sys.Pipes, out)
	}
	return laid, true
}

// shares splits a flow among connections by the loss of their ways; a pipe that
// several use counts for each in part.
func (d *arranged) shares(c network.Circulation, used []network.Connection, returns map[int32]int) []float64 {
	n := len(d.g.System.Pipes)
	count, loss := make([]float64, n), make([]float64, n)
	for _, k := range used {
		count[k.Feeder]++
		count[k.Return]++
	}
	for i := len(c.Supply) - 1; i >= 0; i-- {
		if f, ok := d.g.Feeder(c.Supply[i]); ok {
			count[f] += count[c.Supply[i]]
		}
	}
	for _, p := range c.Return {
		if next, ok := d.g.Onward(p); ok {
			count[next] += count[p]
		}
	}
	ua := func(at int) float64 { return d.sys.Pipes[at].UA * d.sys.Pipes[at].Length.Metres() }
	for _, p := range c.Supply {
		if count[p] == 0 {
			continue
		}
		loss[p] = ua(d.supply[p]) / count[p]
		if f, ok := d.g.Feeder(p); ok {
			loss[p] += loss[f]
		}
	}
	for i := len(c.Return) - 1; i >= 0; i-- {
		p := c.Return[i]
		if count[p] == 0 {
			continue
		}
		loss[p] = ua(returns[p]) / count[p]
		if next, ok := d.g.Onward(p); ok {
			loss[p] += loss[next]
		}
	}
	shares, total := make([]float64, len(used)), 0.0
	for i, k := range used {
		shares[i] = loss[k.Feeder] + loss[k.Return]
		total += shares[i]
	}
	for i := range shares {
		if total > 0 {
			shares[i] /= total
		} else {
			shares[i] = 1 / float64(len(used))
		}
	}
	return shares
}

// placeSensor puts the sensor of a control where the request has it, or at the
// usual place.
func (s *arranging) placeSensor(d *arranged, c *year.Circulation, usual int) {
	if !sensed(c.Control.Kind) {
		return
	}
	c.Sensor = usual
	if d.a.Control == nil || d.a.Control.Sensor == "" {
		return
	}
	at := d.at + "/control/sensor_node"
	node, ok := d.g.NodeCalled(d.a.Control.Sensor)
	switch {
	case !ok:
		s.faults.Add(at, fault.NodeUnknown, "The system has no node %q.", d.a.Control.Sensor)
		return
	case node == d.g.HeaterNode() && d.a.Type == DedicatedReturn:
		return // the end of the return, as usual
	}
	p, fed := d.g.FedBy(node)
	if !fed {
		s.faults.Add(at, fault.NodeUnreachable, "No hot pipe leads to node %q, so that its sensor would read nothing that the pump changes.", d.a.Control.Sensor)
		return
	}
	c.Sensor = d.supply[p]
}

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
