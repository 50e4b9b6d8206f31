package service

import (
	"math"

	"recirc/calc/fault"
	"recirc/calc/heat"
	"recirc/calc/hydraulic"
	"recirc/calc/loop"
	"recirc/calc/network"
	"recirc/calc/pipe"
	"recirc/calc/quantity"
	"recirc/calc/water"
)

// circuits is the circulation of a system as calc/loop sees it, with what had to
// be assumed for it.
type circuits struct {
	g       *network.Graph
	part    network.Circulation
	loop    loop.Loop
	pipes   []int32 // of the graph, by pipe of the loop
	at      []int32 // of the loop, by pipe of the graph; loop.None: not circulated
	thermal []warmPipe
	valves  []valveAt // by connection
	ends    []int32   // by connection: where its own return ends
	losses  LossMethods

	balanced    map[*network.Valve]bool
	standing    map[alike]heat.Loss // at the outlet's temperature
	h           heating
	notes       *Notes
	unpublished map[string]string // by pointer: fittings and valves without a published figure
	fittings    pipe.LossMethod
	outlet      quantity.Temperature
	waterAt     quantity.Temperature // midway between outlet and return
}

// valveAt is the balancing valve of a connection; valve nil: none is given.
type valveAt struct {
	pipe  int32 // of the graph
	valve *network.Valve
}

// newCircuits lays out the loop of a graph; nil and a fault if nothing returns.
func newCircuits(g *network.Graph, losses LossMethods, n *Notes, faults *fault.List) *circuits {
	c := newLines(g, losses, n)
	c.part = g.Circulation()
	if len(c.part.Connections) == 0 {
		faults.Add(systemPointer+"/pipes", fault.ReturnsMissing, "No pipe has the role return; a loop needs at least one return from the supply to the heater.")
		return nil
	}
	c.checkLosses(faults)
	if !faults.Empty() {
		return nil
	}
	c.outlet = n.outletTemperature(g.System)
	c.lay()
	c.findValves()
	c.thermal = make([]warmPipe, len(c.pipes))
	for i, p := range c.pipes {
		c.thermal[i] = c.warmPipe(p)
	}
	return c
}

// newLines has what the pipes of a graph are to the flow, see [circuits.line], but
// no loop.
func newLines(g *network.Graph, losses LossMethods, n *Notes) *circuits {
	return &circuits{g: g, losses: losses, notes: n, h: newHeating(g), unpublished: map[string]string{}, balanced: map[*network.Valve]bool{}, standing: map[alike]heat.Loss{}}
}

func (c *circuits) warmPipe(p int32) warmPipe {
	return warmPipe{Pipe: c.h.pipe(p, c.g.System.InsulationOf(p))}
}

// stand has a pipe lose heat from standing water as warm as the outlet, which is
// where searches begin; it is found once for all pipes alike.
func (c *circuits) stand(w *warmPipe) error {
	kind := kindOf(&w.Pipe)
	loss, ok := c.standing[kind]
	if !ok {
		found, err := w.loses(c.outlet.Kelvin(), 0)
		if err != nil {
			return err
		}
		loss = *found
		c.standing[kind] = loss
	}
	w.asked, w.at, w.flow, w.loss = true, c.outlet.Kelvin(), 0, loss
	return nil
}

// checkLosses refuses methods that lack what they need.
func (c *circuits) checkLosses(faults *fault.List) {
	l := &c.losses
	if l.Friction == "" {
		l.Friction = hydraulic.DarcyWeisbach
	}
	if l.Friction == hydraulic.HazenWilliams && l.HazenWilliamsC == 0 {
		faults.Add("/losses/hazen_williams_c", fault.FieldMissing, "Hazen-Williams needs its coefficient C; sources print 130 to 150 for copper, and the loss differs by 30 %% between them.")
	}
	if l.Fittings == "" {
		l.Fittings = "loss_coefficient"
	}
	c.fittings = pipe.LossCoefficient
	if l.Fittings == "equivalent_length" {
		c.fittings = pipe.EquivalentLength
	}
}

// lay numbers the circulated pipes, supply first.
func (c *circuits) lay() {
	c.at = make([]int32, len(c.g.Tubes))
	for i := range c.at {
		c.at[i] = loop.None
	}
	for _, list := range [2][]int32{c.part.Supply, c.part.Return} {
		for _, p := range list {
			c.at[p] = int32(len(c.pipes))
			c.pipes = append(c.pipes, p)
		}
	}
	c.loop = loop.Loop{Pipes: make([]loop.Pipe, len(c.pipes)), Supplies: len(c.part.Supply), Outlet: c.outlet}
	for i, p := range c.pipes {
		next, ok := c.g.Feeder(p)
		if i >= c.loop.Supplies {
			next, ok = c.g.Onward(p)
		}
		c.loop.Pipes[i].Next = loop.None
		if ok {
			c.loop.Pipes[i].Next = c.at[next]
		}
	}
	for _, k := range c.part.Connections {
		c.loop.Connections = append(c.loop.Connections, loop.Connection{Supply: c.at[k.Feeder], Return: c.at[k.Return]})
	}
	c.ends = c.loop.ReturnEnds()
}

// findValves finds the balancing valve of every connection, on its own return.
func (c *circuits) findValves() {
	c.valves = make([]valveAt, len(c.loop.Connections))
	for i, k := range c.loop.Connections {
		for p := k.Return; c.valves[i].valve == nil; p = c.loop.Pipes[p].Next {
			run := &c.g.System.Pipes[c.pipes[p]]
			for j := range run.Valves {
				if v := &run.Valves[j]; c.valves[i].valve == nil && balances(v) {
					c.valves[i] = valveAt{c.pipes[p], v}
					c.balanced[v] = true
				}
			}
			if p == c.ends[i] {
				break
			}
		}
	}
}

func balances(v *network.Valve) bool {
	return v.Type == "balancing" || v.Type == "thermostatic_balancing"
}

func checks(v *network.Valve) bool {
	return v.Type == "check" || v.Type == "swing_check" || v.Type == "lift_check" || v.Type == "tilting_disk_check"
}

// warm takes the properties of the water midway between outlet and return.
func (c *circuits) warm(back quantity.Temperature) error {
	c.waterAt = quantity.Kelvin((c.outlet.Kelvin() + back.Kelvin()) / 2)
	w, err := water.At(c.waterAt)
	c.loop.Water = w
	return err
}

func (c *circuits) fluid() hydraulic.Fluid {
	return hydraulic.Fluid{Density: c.loop.Water.Density, Viscosity: c.loop.Water.Viscosity}
}

// setLines makes the hydraulic pipes anew, without the balancing valves.
func (c *circuits) setLines() {
	for i, p := range c.pipes {
		c.loop.Pipes[i].Line, _ = c.line(p)
	}
}

// line is what a pipe is to the flow, without its balancing valve; shut if a
// valve on it is.
func (c *circuits) line(p int32) (line hydraulic.Pipe, shut bool) {
	run, tube := &c.g.System.Pipes[p], &c.g.Tubes[p]
	line = hydraulic.Pipe{Length: run.Length, Bore: tube.Bore, Roughness: c.roughness(p)}
	if c.losses.Friction == hydraulic.HazenWilliams {
		line.HazenWilliamsC = c.losses.HazenWilliamsC
	}
	var added float64 // m
	for j, f := range run.Fittings {
		if c.losses.Fittings == "length_allowance" {
			break
		}
		if r, ok := c.resistance(f.Type, tube); ok {
			line.SumK += float64(f.Count) * r.K
			added += float64(f.Count) * r.Length.Metres()
			c.notes.use(r.Row.Source)
		} else {
			c.unpublished[listPointer(pipePointer(p, "/fittings"), j, "")] = f.Type
		}
	}
	if c.losses.Fittings == "length_allowance" {
		added = c.allowance() * run.Length.Metres()
	}
	for j := range run.Valves {
		v := &run.Valves[j]
		switch r, ok := c.resistance(v.Type, tube); {
		case c.balanced[v]:
		case v.Kv != nil && v.Kv.SI() == 0:
			shut = true
		case v.Kv != nil:
			line.Kv = hydraulic.SeriesKv(line.Kv, *v.Kv)
		case c.losses.Fittings == "length_allowance":
		case ok:
			line.SumK += r.K
			added += r.Length.Metres()
			c.notes.use(r.Row.Source)
		default:
			c.unpublished[listPointer(pipePointer(p, "/valves"), j, "")] = v.Type
		}
	}
	line.EquivalentLength = quantity.Metres(added)
	return line, shut
}

// resistance is what one fitting adds, by the method asked for, or by the other
// where that has no figure; each fitting counts once.
func (c *circuits) resistance(kind string, on *pipe.Tube) (pipe.Resistance, bool) {
	other := pipe.EquivalentLength
	if c.fittings == other {
		other = pipe.LossCoefficient
	}
	r, ok := pipe.ResistanceOf(kind, c.fittings, *on)
	if !ok {
		r, ok = pipe.ResistanceOf(kind, other, *on)
	}
	return r, ok
}

func (c *circuits) allowance() float64 {
	if a := c.losses.LengthAllowance; a != nil {
		return *a
	}
	return 0.25
}

func (c *circuits) material(p int32) pipe.Material {
	if m := c.g.Tubes[p].Material; m != "" {
		return m
	}
	return pipe.Copper // said among the assumptions of the heat loss
}

func (c *circuits) roughness(p int32) quantity.Length {
	r, _ := hydraulic.RoughnessOf(string(c.material(p)))
	c.notes.use(r.Source)
	return r.Value
}

// setHeat takes the heat loss of every pipe at its mean temperature and flow, all
// at the outlet's and standing if there is no state yet. It gives the greatest
// relative change.
func (c *circuits) setHeat(s *loop.State) (change float64, err error) {
	for i := range c.pipes {
		T, flow := c.outlet.Kelvin(), 0.0
		if s != nil {
			T, flow = (s.In[i]+s.Out[i])/2, s.Flow[i]
		} else if err := c.stand(&c.thermal[i]); err != nil {
			return 0, &pipeError{c.pipes[i], err}
		}
		was := c.loop.Pipes[i].UA
		if err := c.setPipeHeat(i, T, flow); err != nil {
			return 0, err
		}
		change = max(change, math.Abs(c.loop.Pipes[i].UA-was)/max(was, 1e-12))
	}
	return change, nil
}

func (c *circuits) setPipeHeat(i int, T, flow float64) (err error) {
	p := &c.loop.Pipes[i]
	p.UA, p.Ambient, err = c.heatOf(c.pipes[i], &c.thermal[i], T, flow)
	return err
}

// heatOf gives UA in W/K and the surroundings of a pipe of the graph with water of a
// temperature in K and a flow in m3/s.
func (c *circuits) heatOf(p int32, w *warmPipe, T, flow float64) (UA float64, ambient quantity.Temperature, err error) {
	loss, err := w.loses(T, flow)
	if err != nil {
		return 0, ambient, &pipeError{p, err}
	}
	return loss.UA * c.g.System.Pipes[p].Length.Metres(), loss.Ambient, nil
}

// pipeError is what the physics of one pipe refuses.
type pipeError struct {
	pipe int32
	err  error
}

func (e *pipeError) Error() string { return e.err.Error() }
