package service

import (
	"fmt"
	"math"

	"recirc/calc/control"
	"recirc/calc/network"
	"recirc/calc/year"
)

// noteArranged warns of what an arrangement does that its owner may not expect.
func (s *arranging) noteArranged(d *arranged, t *year.Totals) {
	n, a := s.notes, d.a
	if t.Unserved > 0 {
		n.warn("draws_not_served", d.at, fmt.Sprintf("In arrangement %q %s of %s draws never become usable before they are given up.", a.ID, shown(t.Unserved), shown(t.Draws)))
	}
	if a.Local != nil && a.Local.Standby == nil {
		n.warn("standby_loss_missing", d.at+"/local_heater", fmt.Sprintf("The local heater of arrangement %q gives no standby loss; its energy is too low by it.", a.ID))
	}
	if d.carriesBackCold() {
		s.noteColdLine(d, t)
	}
	if d.a.Type.Pumped() {
		s.notePumped(d, t)
	}
}

// noteColdLine speaks of the warm cold line.
func (s *arranging) noteColdLine(d *arranged, t *year.Totals) {
	s.notes.warn("lukewarm_cold_line", d.at, fmt.Sprintf("In arrangement %q cooled hot water goes into the cold line: what is drawn cold there next is lukewarm first.", d.a.ID))
	if t.Cold.Drawn == 0 {
		s.notes.warn("cold_draws_missing", drawsAt, fmt.Sprintf("No cold draws are given at the fixtures of arrangement %q, so that the volume drawn lukewarm is not known; add events with water cold.", d.a.ID))
	}
}

// burstVelocity is what handbooks allow in hot copper for a short time, in m/s; what
// runs all day has less.
const burstVelocity = 1.524 // 5 ft/s

// notePumped speaks of pumps and loops.
func (s *arranging) notePumped(d *arranged, t *year.Totals) {
	n, a := s.notes, d.a
	c := &d.sys.Circulations[0]
	if lead := c.Control.Demand.Lead.Seconds(); c.Control.Kind == control.OnDemand {
		if fill := d.renewal(c).Seconds(); lead > 3*fill && lead > 60 {
			n.warn("lead_time_not_explained", d.at+"/control", fmt.Sprintf("The pump of arrangement %q fills the way with %s L in %s s, but is triggered %s s before the draw: if so long is needed, its flow is less than given, or the heater comes late.", a.ID, shown(1000*fill*flowOf(c)), shown(fill), shown(lead)))
		}
		if v := d.fastest(c); v > burstVelocity {
			n.warn("burst_velocity", d.at+"/pump/flow", fmt.Sprintf("The pump of arrangement %q moves water at %s m/s in the narrowest pipe: more than copper with hot water takes (1.5 m/s), even in short bursts.", a.ID, shown(v)))
		}
	}
	if c.Control.Kind != control.OnDemand && t.PumpEnergy > 0 && t.Lost.Sum() > 3*t.PumpEnergy {
		n.warn("pump_power_is_the_small_part", d.at+"/pump/power", fmt.Sprintf("In arrangement %q the pipes lose %s times what the pump takes: the watts of the pump are the small part.", a.ID, shown(t.Lost.Sum()/t.PumpEnergy)))
	}
	if d.g.System.Heater.Type == network.HeatPump && a.Type != OnDemandAtFixture && c.Control.Kind != control.OnDemand {
		n.warn("warm_return_to_heat_pump", d.at, fmt.Sprintf("Arrangement %q brings warm water back to a heat pump: it runs longer, its store mixes and its backup may switch on. Common practice keeps the loop's loss in a tank of its own, or runs the pump on demand.", a.ID))
	}
}

func flowOf(c *year.Circulation) float64 {
	q := 0.0
	for _, l := range c.Loops {
		q += l.Flow.CubicMetresPerSecond()
	}
	return q
}

// fastest is the velocity in the narrowest pipe of a circulation of one loop, m/s.
func (d *arranged) fastest(c *year.Circulation) float64 {
	most := 0.0
	for _, l := range c.Loops {
		for p := l.From; p != year.None; p = d.sys.Pipes[p].Parent {
			most = math.Max(most, l.Flow.CubicMetresPerSecond()/d.sys.Pipes[p].Content.CubicMetresPerMetre())
		}
	}
	return most
}

// cautionArranged says where arrangements can hurt someone, each once.
func (s *arranging) cautionArranged(all []*arranged) {
	n := s.notes
	n.cautionScalding(s.system)
	var cools, cold, trace, electric, returns bool
	for _, d := range all {
		for i := range d.sys.Circulations {
			cools = cools || d.sys.Circulations[i].Control.Kind != control.Continuous
		}
		cold = cold || d.carriesBackCold()
		trace = trace || d.a.Trace != nil
		electric = electric || d.a.Type.Pumped() || d.a.Local != nil
		returns = returns || d.a.Type == DedicatedReturn || d.a.Type == ColdLineReturn
		if len(d.sys.Circulations) == 0 {
			cools = true
		}
	}
	if cools {
		n.caution(Caution{Code: "loop_left_to_cool", Detail: "Pipes that are left to cool pass through the temperatures at which Legionella grows. Published guidance keeps the return of a circulation at 50 degC (122 degF) or more and allows short stops at most; where people at risk use the water, ask who is responsible for its hygiene before a control lets it cool.", Source: "hse_l8_hsg274_2"})
	}
	if cold {
		n.caution(Caution{Code: "lukewarm_cold_water", Detail: "Hot water in a cold line warms drinking water to where germs grow, may carry what was in the heater to the cold tap, and makes a shower that is mixed by hand suddenly hotter. Local codes may forbid it.", Source: "common_practice"})
	}
	if returns {
		n.caution(Caution{Code: "condensing_return", Detail: "Warm water that comes back keeps a condensing heater from condensing and a heat pump from its efficiency: look at the return temperature that the heater is made for.", Source: "common_practice"})
	}
	if trace {
		n.caution(Caution{Code: "trace_cable", Detail: "A heating cable is electrical equipment on a water pipe: a licensed person connects it, with residual-current protection, and it is laid and insulated as its listing says, so that it starts no fire.", Source: "common_practice"})
	}
	if electric {
		n.cautionElectricalWork()
	}
}
