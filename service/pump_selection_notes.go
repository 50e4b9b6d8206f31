package service

import (
	"fmt"

	"recirc/calc/economics"
	"recirc/calc/hydraulic"
	"recirc/calc/pump"
	"recirc/calc/quantity"
)

// note gathers what is said beside the candidates.
func (s *pumpSelection) note() {
	n := &s.a.Notes
	n.noteGallon(s.req.USGallon)
	n.use(pump.CurveSource, pump.DutySource, pump.PowerSource, "common_practice")
	s.noteSettings()
	s.noteMoney()
	for i := range s.a.Pumps {
		s.warnRising(&s.a.Pumps[i])
	}
	s.warnNameplates()
	s.warnSize()
	if s.req.Duty.Basis == DutyByFillTime {
		n.warn("sensor_threshold", "/duty", "A sensor that ends the run must be set above the lukewarm water that stands in the pipe, or the pump stops before hot water comes; a run by time needs no sensor. The wall takes up heat, so that hot water comes some seconds later than the pipe is filled.")
	}
	s.cautions()
}

// noteSettings says what speeds and controls rest on.
func (s *pumpSelection) noteSettings() {
	var speeds, controls, flows []string
	byIndex := make([]*RankedPump, len(s.a.Pumps))
	for i := range s.a.Pumps {
		byIndex[s.a.Pumps[i].index] = &s.a.Pumps[i]
	}
	for i, r := range byIndex {
		c, at := &s.req.Candidates[i], listPointer("/candidates", i, "")
		if r.At != nil && (r.At.Speed < 1/slack || r.At.Speed > slack) {
			speeds = append(speeds, at)
		}
		if r.setting != nil && r.setting.held != nil {
			controls = append(controls, at)
			if c.Control.Mode == pump.ProportionalPressure && c.Control.SetFlow == (quantity.Flow{}) {
				flows = append(flows, at)
			}
		}
		if r.Reach.Speed > 0 || len(c.Speeds) > 0 || c.SpeedRange != nil {
			s.a.use(pump.AffinitySource)
		}
		if r.Reach.Kv != (quantity.FlowCoefficient{}) {
			s.a.use(hydraulic.ValveSource)
		}
	}
	s.assumeAt(speeds, Assumption{Code: "efficiency_at_other_speed", Detail: "Away from the speed of its curve a pump is taken to keep its efficiency: flow goes with the speed, head with its square, power with its cube. Small pumps lose more at lower speeds; at half the speed they may take twice this power.", Value: "efficiency unchanged", Source: pump.AffinitySource})
	s.assumeAt(controls, Assumption{Code: "control_line_held", Detail: "A control is taken to hold its line from no flow up to the curve; the lowest speed of the drive, below which it holds none, is not looked at.", Value: "line held", Source: pump.ControlSource})
	s.assumeAt(flows, Assumption{Code: "default_set_flow", Detail: "No flow is given at which proportional pressure holds its set head; taken as the largest flow of the curve.", Value: "largest flow", Source: pump.ControlSource})
}

// assumeAt notes an assumption about some candidates, if there are any.
func (s *pumpSelection) assumeAt(pointers []string, a Assumption) {
	if len(pointers) > 0 {
		a.Pointers = pointers
		s.a.assume(a)
	}
}

// candidateTally counts candidates of a kind and remembers the first in rank.
type candidateTally struct {
	count int
	first *RankedPump
}

func (t *candidateTally) add(r *RankedPump) {
	if t.count == 0 {
		t.first = r
	}
	t.count++
}

func (t *candidateTally) warn(code string, n *Notes, field, sentence string) {
	if t.count > 0 {
		n.warn(code, listPointer("/candidates", t.first.index, field), fmt.Sprintf("%s: %d, the first %q.", sentence, t.count, t.first.ID))
	}
}

// noteMoney says where costs are left out, and who is ranked last for it.
func (s *pumpSelection) noteMoney() {
	n := &s.a.Notes
	if s.req.Ranking.Years > 0 {
		n.use(economics.PresentValueSource)
	}
	if s.req.Electricity == nil {
		detail := "No electricity_price is given; costs are left out."
		if s.req.Ranking.By == ByYearlyCost {
			detail += " Candidates are ranked by their yearly energy, which gives the same order."
		}
		n.warn("electricity_price_missing", "", detail)
	}
	var unranked, noPower candidateTally
	for i := range s.a.Pumps {
		r := &s.a.Pumps[i]
		if _, known := s.worth(r); r.Accepted && !known {
			unranked.add(r)
		}
		if !s.curves[r.index].head.HasPower() {
			noPower.add(r)
		}
	}
	unranked.warn("criterion_unknown", n, "", "Accepted candidates that come last because what the ranking goes by is not known of them")
	noPower.warn("power_unknown", n, "/curve", "Candidates whose curve came without power, so that efficiency, energy and cost are left out")
}

// warnRising tells of a curve that does not fall everywhere, and of several points
// at which it meets the system which one is stable.
func (s *pumpSelection) warnRising(r *RankedPump) {
	rises := s.curves[r.index].head.Rises()
	if rises == nil {
		return
	}
	detail := fmt.Sprintf("The curve of %q rises from %.3g to %.3g L/min; there the pump may hunt.", r.ID, 6e4*rises[0].From.CubicMetresPerSecond(), 6e4*rises[0].To.CubicMetresPerSecond())
	if len(r.Others) > 0 {
		detail += fmt.Sprintf(" It meets the system at %d flows:", 1+len(r.Others))
		for i, d := range append([]pump.Duty{r.At.Duty}, r.Others...) {
			stable := "unstable"
			if d.Stable {
				stable = "stable"
			}
			if i > 0 {
				detail += ","
			}
			detail += fmt.Sprintf(" %.4g L/min is %s", 6e4*d.Flow.CubicMetresPerSecond(), stable)
		}
		detail += ". From rest it comes to the first stable one."
	}
	s.a.Notes.warn("curve_not_falling", listPointer("/candidates", r.index, "/curve"), detail)
}

// atNoHead is the part of its greatest head at which a curve is said to end at none.
const atNoHead = 0.02

// warnNameplates tells that the flow at no head, which nameplates show, is not
// what runs in the pipe.
func (s *pumpSelection) warnNameplates() {
	for i := range s.a.Pumps {
		r := &s.a.Pumps[i]
		points, highest := s.req.Candidates[r.index].Curve, 0.0
		for _, p := range points {
			highest = max(highest, p.Head.Metres())
		}
		if last := points[len(points)-1]; r.At != nil && last.Head.Metres() <= atNoHead*highest {
			s.a.Notes.warn("nameplate_flow", listPointer("/candidates", r.index, "/curve"), fmt.Sprintf("The largest flow of %q, %.4g L/min at next to no head, is not the flow in the pipe; in this system that is %.4g L/min.", r.ID, 6e4*r.At.LargestOn.CubicMetresPerSecond(), 6e4*r.At.Flow.CubicMetresPerSecond()))
			return
		}
	}
}

// oversized is from where a pump that is ranked first is said to give too much.
const oversized = 0.5

// warnSize tells that nothing fits, or that what fits best is too large.
func (s *pumpSelection) warnSize() {
	best := &s.a.Pumps[0]
	switch {
	case !best.Accepted:
		s.a.Notes.warn("no_candidate_fits", "/candidates", fmt.Sprintf("No candidate fits; the nearest is %q.", best.ID))
	case s.req.Limits.Excess == nil && *best.Excess > oversized:
		s.a.Notes.warn("oversized", listPointer("/candidates", best.index, ""), fmt.Sprintf("The first in rank, %q, gives %.3g %% more flow than the duty: it wears pipes and wastes power. Look for a smaller one, a lower speed, or set greatest_excess_flow.", best.ID, 100**best.Excess))
	}
}

// cautions of every selection, but for what a designed loop said already.
func (s *pumpSelection) cautions() {
	n := &s.a.Notes
	if s.a.Circulation == nil {
		n.cautionScaldingAt(s.water)
	}
	fastest := 0.0
	for i := range s.a.Pumps {
		if r := &s.a.Pumps[i]; i == 0 || r.Accepted {
			fastest = max(fastest, r.Velocity.MetresPerSecond())
		}
	}
	if !n.cautioned("erosion_corrosion") {
		n.cautionErosion(fastest)
	}
	if s.water.Kelvin() >= hotSurface.Kelvin() {
		n.caution(Caution{Code: "hot_pump", Detail: "The casing of the pump is as hot as the water, 55 degC or more, and can burn on touch; shut, drain and let cool before work on it.", Source: "common_practice"})
	}
	n.cautionElectricalWork()
	n.caution(Caution{Code: "pump_dead_headed", Detail: "A pump that runs against closed valves heats the water in it and can be destroyed, or burn who opens it: keep a way open, or stop it by its control.", Source: "common_practice"})
}

func (n *Notes) cautioned(code string) bool {
	for i := range n.Cautions {
		if n.Cautions[i].Code == code {
			return true
		}
	}
	return false
}
