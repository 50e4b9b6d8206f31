package service

import (
	"math"

	"recirc/calc/control"
	"recirc/calc/fixture"
	"recirc/calc/heat"
	"recirc/calc/network"
	"recirc/calc/pipe"
	"recirc/calc/quantity"
	"recirc/calc/rule"
)

// The inputs that are set for every element, found once.
var (
	inOutlet, inFixtureTemperature  = input("outlet_temperature"), input("fixture_temperature")
	inFixtureType, inPublicLavatory = input("fixture_type"), input("public_lavatory")
	inMaintained, inCirculated      = input("maintained"), input("circulated")
	inReturnPipe, inHeatTraced      = input("return_pipe"), input("heat_traced")
	inDistance, inBehind            = input("distance_from_heater"), input("behind_volume")
	inNominalSize                   = input("nominal_size")
	inCirculationFlow, inDrawFlow   = input("circulation_flow_in_pipe"), input("draw_flow_in_pipe")
	inCirculationSpeed, inDrawSpeed = input("circulation_velocity"), input("draw_velocity")
	inBalancing                     = input("balancing_valve")
)

func (c *designCheck) judgeDesign() {
	for _, i := range c.ofSubject(rule.OfDesign) {
		at := element{fixture: -1}
		for _, in := range c.rules[i].Needs {
			if c.facts.Knows(in) {
				at.pointer = c.placeOf(in)
				break
			}
		}
		c.try([]int{i}, &rule.Case{Design: &c.facts}, at)
	}
}

func (c *designCheck) judgeControl() {
	rules := c.ofSubject(rule.OfControl)
	at := element{fixture: -1}
	if c.req.Control != nil {
		at.pointer = controlPointer
	}
	c.try(rules, &rule.Case{Design: &c.facts, Control: c.settings}, at)
}

func (c *designCheck) judgeFixtures() {
	fixtures := c.req.System.Fixtures
	rules := c.ofSubject(rule.OfFixture)
	var own rule.Facts
	everywhere, stated := c.facts.Number(inFixtureTemperature)
	for _, i := range byID(len(fixtures), func(i int) string { return fixtures[i].ID }) {
		f := &fixtures[i]
		leg := c.legs[c.g.FixtureNode(i)]
		facts := limitFacts(c.g, f.Type, leg)
		own.Reset(c.fixtureOwn[i])
		if _, known := own.Number(inOutlet); stated && !known {
			own.Give(inOutlet, everywhere)
		}
		if t, ok := fixture.Find(f.Type); ok {
			own.GiveWord(inFixtureType, t.ID)
			own.GiveFlag(inPublicLavatory, t.PublicLavatory)
		}
		own.GiveFlag(inMaintained, facts.Maintained)
		k := rule.Case{Design: &c.facts, Own: &own, Leg: &facts, LengthUnknown: leg.LengthUnknown, TypeUnknown: f.Type == ""}
		if q := f.HotFlow.CubicMetresPerSecond(); q > 0 {
			k.PlugFlow = quantity.Seconds(leg.Volume.CubicMetres() / q)
		}
		c.try(rules, &k, element{fixturePointer(i, ""), f.ID, i})
	}
}

func (c *designCheck) judgePipes() {
	pipes := c.req.System.Pipes
	rules := c.ofSubject(rule.OfPipe)
	if len(rules) == 0 {
		return
	}
	f := c.pipeFacts()
	water, known := c.facts.Number(input("supply_temperature"))
	if !known {
		water = defaultOutlet.Kelvin() // means of layers alone hang on it
	}
	var own rule.Facts
	for _, i := range byID(len(pipes), func(i int) string { return pipes[i].ID }) {
		p := int32(i)
		own.Reset(c.pipeOwn[i])
		c.describe(p, f, &own)
		tube := &c.g.Tubes[p]
		k := rule.Case{Design: &c.facts, Own: &own, Material: string(tube.Material), Nominal: tube.Nominal}
		insulated := c.insulated(p, quantity.Kelvin(water), &k)
		k.Pipe = &insulated
		c.try(rules, &k, element{pipePointer(p, ""), pipes[i].ID, -1})
	}
}

// pipeFacts is what the graph says of every pipe.
type pipeFacts struct {
	distance []float64 // m from the heater to where it starts, of supply pipes
	behind   []float64 // m3, the greatest content of a dead leg that it is part of
	fixtures []int     // behind it
	only     []int     // the last of them
	trunk    []bool    // all of the circulation passes it
}

func (c *designCheck) pipeFacts() *pipeFacts {
	n := len(c.req.System.Pipes)
	f := &pipeFacts{make([]float64, n), make([]float64, n), make([]int, n), make([]int, n), make([]bool, n)}
	for i := range c.req.System.Fixtures {
		node := c.g.FixtureNode(i)
		if p, ok := c.g.FedBy(node); ok {
			f.fixtures[p]++
			f.only[p] = i
			f.behind[p] = c.legs[node].Volume.CubicMetres()
		}
	}
	order := c.g.SupplyOrder()
	for _, p := range order {
		if feeder, ok := c.g.Feeder(p); ok {
			f.distance[p] = f.distance[feeder] + c.req.System.Pipes[feeder].Length.Metres()
		}
	}
	for i := len(order) - 1; i >= 0; i-- {
		p := order[i]
		feeder, ok := c.g.Feeder(p)
		if !ok {
			continue
		}
		f.fixtures[feeder] += f.fixtures[p]
		if f.fixtures[p] > 0 {
			f.only[feeder] = f.only[p]
		}
		// Behind a hot source a dead leg starts anew.
		if _, end := c.g.Ends(feeder); c.legs[end].Source != end {
			f.behind[feeder] = max(f.behind[feeder], f.behind[p])
		}
	}
	c.setTrunk(f)
	return f
}

// setTrunk finds the pipes through which the circulation of every connection
// passes: there the flow is that of the pump.
func (c *designCheck) setTrunk(f *pipeFacts) {
	for p, n := range c.g.Passing(c.circulation, c.circulation.Connections) {
		f.trunk[p] = n > 0 && n == len(c.circulation.Connections)
	}
}

// describe adds to what is stated about a pipe what the system says.
func (c *designCheck) describe(p int32, f *pipeFacts, own *rule.Facts) {
	run, tube := &c.req.System.Pipes[p], &c.g.Tubes[p]
	back := run.Role == network.Return
	own.GiveFlag(inReturnPipe, back)
	own.GiveFlag(inCirculated, back || c.g.Circulated(p))
	own.GiveFlag(inHeatTraced, run.HeatTrace != nil)
	if !back {
		own.Give(inDistance, f.distance[p])
		own.Give(inBehind, f.behind[p])
	}
	if inches, ok := pipe.NominalInches(tube.Nominal); ok {
		own.Give(inNominalSize, quantity.LengthDimension.MustUnit("in").ToSI(inches))
	}
	area := math.Pi / 4 * tube.Bore.Metres() * tube.Bore.Metres()
	flow, known := own.Number(inCirculationFlow)
	if !known && f.trunk[p] {
		flow, known = c.facts.Number(input("circulation_flow"))
	}
	if known {
		own.Give(inCirculationSpeed, flow/area)
	}
	flow, known = own.Number(inDrawFlow)
	if !known && !back && f.fixtures[p] == 1 {
		flow = c.req.System.Fixtures[f.only[p]].HotFlow.CubicMetresPerSecond()
		known = flow > 0
	}
	if known {
		own.Give(inDrawSpeed, flow/area)
	}
}

// insulated says what is known of the insulation of a pipe.
func (c *designCheck) insulated(p int32, water quantity.Temperature, k *rule.Case) rule.InsulatedPipe {
	insulation, tube := c.req.System.InsulationOf(p), &c.g.Tubes[p]
	under, around := tube.OutsideDiameter, defaultAir
	if under == (quantity.Length{}) {
		under = tube.Bore
	}
	if s := c.req.System.SurroundingsOf(p); s != nil && s.Temperature != (quantity.Temperature{}) {
		around = s.Temperature
	}
	facts := insulatedPipe(tube, under, layers(under, insulation), water, around)
	switch {
	case insulation == nil:
	case insulation.Bare():
		k.Insulation = rule.SaidBare
	default:
		k.Insulation = rule.InsulationGiven
		k.RValue, _ = heat.Cover{Inner: under, Conductivity: facts.Conductivity}.RValue(facts.Thickness)
	}
	return facts
}

func (c *designCheck) judgeReturns() {
	rules := c.ofSubject(rule.OfReturn)
	connections := c.circulation.Connections
	into := make(map[int32]int, len(connections)) // returns that end at a node
	for _, p := range c.circulation.Return {
		_, to := c.g.Ends(p)
		into[to]++
	}
	id := func(i int) string { return c.req.System.Pipes[connections[i].Return].ID }
	var own rule.Facts
	if _, counted := c.facts.Number(input("connections")); !counted {
		c.try(rules, &rule.Case{Design: &c.facts, Own: &own}, element{systemPointer + "/pipes", "", -1})
	}
	for _, i := range byID(len(connections), id) {
		own.Reset(nil)
		own.GiveFlag(inBalancing, c.balancedAlone(connections[i].Return, into))
		c.try(rules, &rule.Case{Design: &c.facts, Own: &own}, element{pipePointer(connections[i].Return, ""), id(i), -1})
	}
}

// balancedAlone reports a balancing valve on the returns that carry the water of
// one connection alone.
func (c *designCheck) balancedAlone(p int32, into map[int32]int) bool {
	for {
		if hasValve(&c.req.System.Pipes[p], balances) {
			return true
		}
		next, on := c.g.Onward(p)
		if _, to := c.g.Ends(p); !on || into[to] > 1 {
			return false
		}
		p = next
	}
}

// settingPointer is where a finding of the control's settings is; an index would
// count windows as they were spread over types of day.
func settingPointer(f *control.Finding) string { return controlPointer + controlField(*f) }
