package service

import (
	"fmt"
	"math"
	"slices"

	"recirc/calc/hydraulic"
	"recirc/calc/loop"
	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/calc/water"
)

// noteMethods says how the figures came about.
func (c *circuits) noteMethods() {
	n := c.notes
	c.h.note(n)
	n.use(water.Source, loop.EnergySource, hydraulic.ValveSource, hydraulic.DarcySource, "common_practice")
	for i := range c.pipes {
		n.use(c.thermal[i].Sources(quantity.CubicMetresPerSecond(1e-5))...)
	}
	n.noteSystem(c.g, nil)
	c.noteFriction()
	c.noteUnpublished()
	c.noteHeater()
}

// noteFriction says how friction and fittings are found.
func (c *circuits) noteFriction() {
	n := c.notes
	if c.losses.Friction == hydraulic.HazenWilliams {
		n.use(hydraulic.HazenWilliamsSource)
		n.assume(Assumption{Code: "hazen_williams_c", Detail: "Friction of every pipe by Hazen and Williams, with the coefficient given.", Value: fmt.Sprintf("C = %g", c.losses.HazenWilliamsC), Pointers: []string{"/losses/hazen_williams_c"}, Source: hydraulic.HazenWilliamsSource})
	} else {
		n.use(hydraulic.ColebrookSource, hydraulic.LaminarSource)
	}
	if c.losses.Fittings == "length_allowance" {
		n.assume(Assumption{Code: "fittings_by_length", Detail: "Fittings count as a share of the length of every pipe; those listed on pipes are not counted again.", Value: fmt.Sprintf("%g", c.allowance()), Pointers: []string{"/losses"}, Source: "return_pipe_sizing_rule"})
	}
}

// noteUnpublished lists fittings and valves that count for nothing.
func (c *circuits) noteUnpublished() {
	of := map[string][]string{}
	var kinds []string
	for pointer, kind := range c.unpublished {
		if of[kind] == nil {
			kinds = append(kinds, kind)
		}
		of[kind] = append(of[kind], pointer)
	}
	slices.Sort(kinds)
	for _, kind := range kinds {
		slices.Sort(of[kind])
		c.notes.assume(Assumption{Code: "no_published_loss", Detail: fmt.Sprintf("%s: no published figure for such a tube and no kv is given; taken as without loss: %d.", kind, len(of[kind])), Value: "no loss", Pointers: of[kind], Source: "common_practice"})
	}
}

func (c *circuits) noteHeater() {
	h := &c.g.System.Heater
	if h.RatedLoss == nil && h.Kv == (quantity.FlowCoefficient{}) {
		c.notes.assume(Assumption{Code: "no_heater_loss", Detail: "The heater gives neither kv nor rated_loss; the water passes it without loss.", Value: "no loss", Pointers: []string{systemPointer + "/heater"}, Source: "common_practice"})
	}
	if v := c.g.System.MixingValve; v != nil {
		if v.ReturnTo == "" {
			c.notes.assume(Assumption{Code: "default_return_to", Detail: "The mixing valve does not say where the return is connected; taken as led to the heater and to its cold port.", Value: "both", Pointers: []string{systemPointer + "/mixing_valve"}, Source: "common_practice"})
		}
		if h.OutletTemperature == (quantity.Temperature{}) {
			c.notes.assume(Assumption{Code: "default_outlet_temperature", Detail: "The heater behind the mixing valve gives no outlet temperature; hot stores are kept at 60 degC (140 degF) for hygiene.", Value: "60 degC", Pointers: []string{systemPointer + "/heater"}, Source: "hse_l8_hsg274_2"})
		}
	}
}

// warnLayout looks at how the loop is built.
func (c *circuits) warnLayout(mixing *MixingState) {
	s := c.g.System
	if mixing != nil && mixing.State != mixingControls {
		c.notes.warn("mixing_valve_drifts", systemPointer+"/mixing_valve", mixing.Detail)
	}
	c.warnCheckValves()
	if len(c.valves) > 1 {
		var without []int
		for i := range c.valves {
			if c.valves[i].valve == nil {
				without = append(without, i)
			}
		}
		if len(without) > 0 {
			c.notes.warn("no_balancing_valve", c.valvesPointer(c.part.Connections[without[0]].Return), fmt.Sprintf("Returns without a balancing valve: %d of %d, the first %q. Without one, near branches take the flow of far ones.", len(without), len(c.valves), c.connectionName(without[0])))
		}
	}
	for _, p := range c.part.Supply {
		if s.Pipes[p].HeatTrace != nil {
			c.notes.warn("trace_not_counted", pipePointer(p, "/heat_trace"), fmt.Sprintf("Pipe %q is heat-traced and circulated; the heat of its cable is not counted here.", s.Pipes[p].ID))
			break
		}
	}
	c.warnFarFixtures()
}

// valvesPointer points to the valves of a pipe, or to the pipe if it has none.
func (c *circuits) valvesPointer(p int32) string {
	if len(c.g.System.Pipes[p].Valves) == 0 {
		return pipePointer(p, "")
	}
	return pipePointer(p, "/valves")
}

// warnCheckValves wants every circuit to pass a check valve on its return.
func (c *circuits) warnCheckValves() {
	checked := make([]bool, len(c.pipes)) // from the start of the return to the heater
	for i := len(c.pipes) - 1; i >= c.loop.Supplies; i-- {
		run := &c.g.System.Pipes[c.pipes[i]]
		for j := range run.Valves {
			checked[i] = checked[i] || checks(&run.Valves[j])
		}
		if next := c.loop.Pipes[i].Next; next != loop.None {
			checked[i] = checked[i] || checked[next]
		}
	}
	for i, k := range c.loop.Connections {
		if !checked[k.Return] {
			c.notes.warn("no_check_valve", c.valvesPointer(c.part.Connections[i].Return), fmt.Sprintf("The return from %q to the heater passes no check valve: a draw can pull cold water backwards through it, and with the pump off gravity can turn the flow. Common practice is one on the joined return.", c.connectionName(i)))
			return
		}
	}
}

// farFromCirculation is the longest run from circulated pipe to a fixture.
// Common practice: 50 ft.
var farFromCirculation = quantity.Metres(quantity.LengthDimension.US.ToSI(50))

func (c *circuits) warnFarFixtures() {
	legs := c.g.DeadLegs()
	first, count := -1, 0
	for i := range c.g.System.Fixtures {
		if legs[c.g.FixtureNode(i)].Length.Metres() > farFromCirculation.Metres()*slack {
			if count++; first < 0 {
				first = i
			}
		}
	}
	if count > 0 {
		c.notes.warn("fixture_far_from_circulation", fixturePointer(first, ""), fmt.Sprintf("Fixtures more than 50 ft (15.24 m) of developed length from circulated pipe: %d, the first %q.", count, c.g.System.Fixtures[first].ID))
	}
}

// warnPipes looks at velocities, friction and regimes.
func (c *circuits) warnPipes(pipes []LoopPipe, s *sizing) {
	var over, slow, transition tally
	for i := range pipes {
		p := &pipes[i]
		if p.Judged && !p.Within {
			over.add(p.at, p.Pipe)
		}
		if p.Loss.Regime == hydraulic.Transition {
			transition.add(p.at, p.Pipe)
		}
		l := s.limits(p.at, p.Inlet)
		if v := math.Abs(p.Loss.Velocity.MetresPerSecond()); p.Role == network.Return && v > 0 && v < l.leastVelocity/slack {
			slow.add(p.at, p.Pipe)
		}
	}
	over.warn("velocity_over_limit", c.notes, "Pipes over the velocity or friction limit of "+s.rule.Document+" or of the request")
	slow.warn("velocity_below_least", c.notes, "Returns below the least velocity")
	transition.warn("transition_flow", c.notes, fmt.Sprintf("Pipes between laminar and turbulent, where no friction factor is agreed; a straight line in the Reynolds number between 2000 and 4000 is taken, which alone moves a branch's flow by up to %.2g %%", 100*hydraulic.TransitionSpread))
}

// tally counts pipes of a kind and remembers the first.
type tally struct {
	count int
	first int32
	name  string
}

func (t *tally) add(p int32, name string) {
	if t.count == 0 {
		t.first, t.name = p, name
	}
	t.count++
}

func (t *tally) warn(code string, n *Notes, sentence string) {
	if t.count > 0 {
		n.warn(code, pipePointer(t.first, ""), fmt.Sprintf("%s: %d, the first %q.", sentence, t.count, t.name))
	}
}

// leastReturn is the least temperature of circulated hot water that published
// guidance asks for anywhere (HSG274).
var leastReturn = quantity.Celsius(50)

// cautions of every loop; coldest is the coldest water at a connection or in the
// return.
func (c *circuits) cautions(coldest quantity.Temperature, fastest float64) {
	n := c.notes
	n.cautionScaldingAt(c.outlet)
	detail := "Published guidance keeps circulated hot water at 50 degC or more at the return (HSG274), 55 degC in healthcare and by W 551, against Legionella; which holds is for local rules and licensed practice."
	if coldest.Kelvin() < leastReturn.Kelvin() {
		detail = fmt.Sprintf("The coldest circulated water here is at %s. ", shownTemperature(coldest)) + detail
	}
	n.caution(Caution{Code: "loop_temperature", Detail: detail, Source: "hse_l8_hsg274_2"})
	n.cautionErosion(fastest)
	n.caution(Caution{Code: "confirm_by_measurement", Detail: "Balancing is confirmed by measuring temperatures and flows on site. Where a check valve closes the system, expansion of the heated water needs its own vessel or valve.", Source: "common_practice"})
}

// cautionErosion speaks of wear where the fastest water, in m/s, may do it.
func (n *Notes) cautionErosion(fastest float64) {
	if fastest > erosionFrom {
		n.caution(Caution{Code: "erosion_corrosion", Detail: "Copper in hot circulated water wears by velocity: 2 to 3 ft/s (0.6 to 0.9 m/s) is the usual limit for water that is always above 140 degF (60 degC) or that runs all day. Water chemistry and deburring count as well.", Source: "copper_tube_handbook_velocity"})
	}
}

// erosionFrom is the lower figure of what handbooks allow in hot copper, m/s.
const erosionFrom = 0.61

func fastestIn(pipes []LoopPipe) float64 {
	v := 0.0
	for i := range pipes {
		v = max(v, math.Abs(pipes[i].Loss.Velocity.MetresPerSecond()))
	}
	return v
}
