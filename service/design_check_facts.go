package service

import (
	"strings"

	"recirc/calc/calendar"
	"recirc/calc/control"
	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/calc/rule"
)

// input finds an input that the program names.
func input(name string) *rule.Input {
	in, ok := rule.FindInput(name)
	if !ok {
		panic("service: there is no input " + name)
	}
	return in
}

// completeFacts adds to what is stated what the system and the control say.
// What is stated counts before it.
func (c *designCheck) completeFacts() {
	c.facts = c.req.Facts.Clone()
	c.from = map[*rule.Input]string{}
	c.legs, c.circulation = c.g.DeadLegs(), c.g.Circulation()
	c.heaterFacts()
	c.circulationFacts()
	c.controlFacts()
	c.coldFeedFacts()
	c.plantSize()
	if supply, ok := c.facts.Number(input("supply_temperature")); ok {
		if back, ok := c.facts.Number(input("return_temperature")); ok {
			c.number("temperature_drop", supply-back, factsPointer+"/return_temperature")
		}
	}
}

func (c *designCheck) number(name string, value float64, from string) {
	if in := input(name); !c.facts.Knows(in) {
		c.facts.Give(in, value)
		c.from[in] = from
	}
}

func (c *designCheck) flag(name string, yes bool, from string) {
	if in := input(name); !c.facts.Knows(in) {
		c.facts.GiveFlag(in, yes)
		c.from[in] = from
	}
}

func (c *designCheck) word(name, word, from string) {
	if in := input(name); word != "" && !c.facts.Knows(in) {
		c.facts.GiveWord(in, word)
		c.from[in] = from
	}
}

func (c *designCheck) heaterFacts() {
	h, m := &c.req.System.Heater, c.req.System.MixingValve
	const heater, mixing = systemPointer + "/heater", systemPointer + "/mixing_valve"
	c.word("heater", string(h.Type), heater+"/type")
	given := h.OutletTemperature != quantity.Temperature{}
	if given && h.Type != "" && !h.Type.OnFlow() {
		c.number("storage_temperature", h.OutletTemperature.Kelvin(), heater+"/outlet_temperature")
	}
	if h.ActivationFlow != (quantity.Flow{}) {
		c.number("activation_flow", h.ActivationFlow.CubicMetresPerSecond(), heater+"/activation_flow")
	}
	c.flag("mixing_valve", m != nil, mixing)
	if m == nil {
		if given {
			c.number("supply_temperature", h.OutletTemperature.Kelvin(), heater+"/outlet_temperature")
		}
		return
	}
	c.number("supply_temperature", m.OutletTemperature.Kelvin(), mixing+"/outlet_temperature")
	c.word("return_joins", m.ReturnTo, mixing+"/return_to")
	if m.LeastFlow != (quantity.Flow{}) {
		c.number("mixing_valve_least_flow", m.LeastFlow.CubicMetresPerSecond(), mixing+"/least_flow")
	}
}

// circulationFacts: a system with returns circulates; one without does not, unless
// something else in the request belongs to a circulation.
func (c *designCheck) circulationFacts() {
	const pipes = systemPointer + "/pipes"
	connections := len(c.circulation.Connections)
	stated := c.req.Control != nil || c.facts.Knows(input("circulation_flow"))
	switch {
	case connections > 0:
		c.word("circulation", "pumped", pipes)
		c.word("return_path", "dedicated", pipes)
		c.flag("check_valve_on_return", c.checked(), pipes)
	case c.facts.Word(input("return_path")) != "":
		c.word("circulation", "pumped", factsPointer+"/return_path")
	case !stated:
		c.word("circulation", "none", pipes)
	}
	// A loop that is stated and not drawn has returns that nobody counted.
	if connections > 0 || c.facts.Word(input("circulation")) != "pumped" || c.facts.Word(input("return_path")) == "cold_line" {
		c.number("connections", float64(connections), pipes)
	}
	if t, ok := c.coldestAround(); ok {
		c.number("coldest_surroundings", t, systemPointer+"/defaults/surroundings")
	}
}

// checked reports that no water can run backwards to any connection: each way
// from there to the heater has a check valve.
func (c *designCheck) checked() bool {
	returns := c.circulation.Return // each behind those that run into it
	behind := make(map[int32]bool, len(returns))
	for i := len(returns) - 1; i >= 0; i-- {
		p := returns[i]
		next, on := c.g.Onward(p)
		behind[p] = hasValve(&c.req.System.Pipes[p], checks) || on && behind[next]
	}
	for _, k := range c.circulation.Connections {
		if !behind[k.Return] {
			return false
		}
	}
	return true
}

func hasValve(p *network.Pipe, of func(*network.Valve) bool) bool {
	for i := range p.Valves {
		if of(&p.Valves[i]) {
			return true
		}
	}
	return false
}

// coldestAround is the lowest temperature around the loop in K, if it is given for
// every pipe of it.
func (c *designCheck) coldestAround() (float64, bool) {
	coldest := 0.0
	for _, pipes := range [][]int32{c.circulation.Supply, c.circulation.Return} {
		for _, p := range pipes {
			s := c.req.System.SurroundingsOf(p)
			if s == nil || s.Temperature == (quantity.Temperature{}) {
				return 0, false
			}
			if t := s.Temperature.Kelvin(); coldest == 0 || t < coldest {
				coldest = t
			}
		}
	}
	return coldest, coldest > 0
}

// controlFacts: what the kind of control and its settings say of how the pump runs.
func (c *designCheck) controlFacts() {
	if c.req.Control == nil {
		return
	}
	set := c.a.settingsOf(c.req.Control, controlPointer)
	s := &set
	for _, k := range control.Kinds() {
		if s.Kind == k {
			c.word("control", string(k), controlPointer+"/type")
		}
	}
	c.settings = control.Check(*s, c.circumstances())
	byTemperature := s.Kind == control.AquastatOnly || s.Kind == control.TimerAndAquastat || s.Kind == control.OnDemand
	c.flag("demand_control", s.Kind == control.OnDemand, controlPointer)
	c.flag("stops_when_warm", byTemperature, controlPointer)
	if s.Kind != control.Continuous {
		c.flag("pump_off_switch", true, controlPointer)
	}
	if byTemperature {
		c.number("pump_stop_temperature", s.Aquastat.Stop.Kelvin(), controlPointer+"/aquastat")
	}
	if hours, ok := timeOff(s); ok && !cannotRun(s) {
		c.number("hours_off_per_day", hours, controlPointer)
	}
}

// cannotRun reports that the settings are of a kind that no control has.
func cannotRun(s *control.Settings) bool {
	_, err := control.New(*s, calendar.DayTypes(), nil)
	return err != nil
}

// timeOff is the longest that a control keeps the pump off on a day in s, and
// false for one whose pauses depend on temperatures or draws.
func timeOff(s *control.Settings) (float64, bool) {
	switch s.Kind {
	case control.Continuous:
		return 0, true
	case control.Timer:
		off := 0.0
		for _, t := range calendar.DayTypes() {
			off = max(off, calendar.SecondsOfDay-control.RunTime(s.Windows, t).Seconds())
		}
		return off, true
	case control.DutyCycle:
		on, off := s.Cycle.On.Seconds(), s.Cycle.Off.Seconds()
		return calendar.SecondsOfDay * off / (on + off), on+off > 0
	}
	return 0, false
}

// circumstances of the control. Its sensor is in the return, which is no hotter
// than the temperature stated for it, or else than the supply.
func (c *designCheck) circumstances() control.Circumstances {
	var now control.Circumstances
	if t, ok := c.facts.Number(input("supply_temperature")); ok {
		now.Warmest = quantity.Kelvin(t)
	}
	if t, ok := c.facts.Number(input("return_temperature")); ok {
		now.Warmest = quantity.Kelvin(t)
	}
	if t, ok := c.facts.Number(input("coldest_surroundings")); ok {
		now.Coldest = quantity.Kelvin(t)
	}
	if rise, ok := c.facts.Number(input("least_temperature_rise")); ok {
		now.LeastRise = quantity.KelvinDifference(rise)
	}
	return now
}

func (c *designCheck) coldFeedFacts() {
	if yes, known := c.facts.Flag(input("check_valve_on_cold_feed")); known && yes {
		c.flag("closed_cold_feed", true, factsPointer+"/check_valve_on_cold_feed")
	}
}

// plantSize: sources differ on whether a large plant stores more than 400 L and has
// more than 3 L in a pipe, or one of them; here one is enough.
func (c *designCheck) plantSize() {
	const store, content = 0.400, 0.003 // m3
	stored, known := c.facts.Number(input("storage_volume"))
	large := known && stored > store
	for i := range c.req.System.Fixtures {
		leg := &c.legs[c.g.FixtureNode(i)]
		large = large || leg.Volume.CubicMetres() > content*slack
	}
	if large || known {
		c.flag("large_plant", large, systemPointer)
	}
}

// asks gives the place in the request at which to give an input that is missing
// for an element.
func asks(in *rule.Input, at element) string {
	switch {
	case in.Given && in.Of == rule.OfFixture:
		return fixtureFactsPointer + "/-/" + in.Name
	case in.Given && in.Of == rule.OfPipe:
		return pipeFactsPointer + "/-/" + in.Name
	case in.Given:
		return factsPointer + "/" + in.Name
	case strings.HasPrefix(in.Ask, "/"):
		return in.Ask
	case in.Ask == "":
		return at.pointer
	}
	return at.pointer + "/" + in.Ask
}

// placeOf is where a known fact of the design is from.
func (c *designCheck) placeOf(in *rule.Input) string {
	if from, ok := c.from[in]; ok {
		return from
	}
	return factsPointer + "/" + in.Name
}
