package service

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"recirc/calc/calendar"
	"recirc/calc/control"
	"recirc/calc/fault"
	"recirc/calc/heat"
	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/calc/year"
)

// beginArranging checks what arrangements of a request have in common.
func beginArranging(n *Notes, system *network.System, c *YearConditions, faults *fault.List) *arranging {
	s := &arranging{
		notes: n, faults: faults, system: system, told: make(map[string]bool), left: maxSimulated,
		losses: make(map[lossOf]heat.Loss), lags: make(map[lagOf]year.Lag),
	}
	s.flows = n.hotFlows(system, faults)
	s.base = build(system, faults)
	s.months = n.monthsOf(c, system, faults)
	n.outletTemperature(system) // notes the usual one where it is not given
	return s
}

// maxSimulated is the work that all simulations of a request may do, in slugs moved:
// some ten seconds.
const maxSimulated = 300_000_000

// lukewarmAbove is how far above the mains a cold draw counts as lukewarm.
const lukewarmAbove = 5 // K

// plan is what an arrangement is used for in some months. Days that are alike in all
// that counts for it are simulated once.
func (s *arranging) plan(d *arranged, months []calendar.Month, draws [][]year.Day, wait quantity.Duration) year.Plan {
	p := year.Plan{MostWait: wait, Budget: max(1, s.left)}
	if wait == (quantity.Duration{}) {
		p.MostWait = defaultLongestWait
	}
	warmest := 0.0
	for i, m := range months {
		at := s.months[m]
		ambients := slices.Clone(d.ambients)
		ambients[airAmbient] = at.air
		warmest = max(warmest, at.mains.Kelvin())
		month := year.Month{Mains: at.mains, Ambients: ambients, HeatingSeason: at.season, Days: d.followed(draws[i])}
		if len(months) > 1 && !d.byChance() {
			if d.sameOnAllDays() {
				month.Days = joinDays(month.Days)
			}
			if joinMonth(p.Months, &month) {
				continue
			}
		}
		p.Months = append(p.Months, month)
	}
	p.LukewarmAbove = quantity.Kelvin(warmest + lukewarmAbove)
	return p
}

// byChance tells whether days that look alike differ by chance.
func (d *arranged) byChance() bool {
	return slices.ContainsFunc(d.sys.Circulations, func(c year.Circulation) bool {
		return c.Control.Kind == control.OnDemand && c.Control.Demand.Probability < 1
	})
}

// sameOnAllDays tells whether no timer knows weekdays from weekends.
func (d *arranged) sameOnAllDays() bool {
	return d.a.Control == nil || !slices.ContainsFunc(d.a.Control.Windows, func(w ControlWindow) bool { return w.Days != "" })
}

// joinDays joins the days of a month on which the same is drawn.
func joinDays(days []year.Day) []year.Day {
	joined := days[:0:0]
	for _, day := range days {
		if i := slices.IndexFunc(joined, func(j year.Day) bool { return slices.Equal(j.Draws, day.Draws) }); i >= 0 {
			joined[i].Weight += day.Weight
			continue
		}
		joined = append(joined, day)
	}
	return joined
}

// joinMonth joins a month to one like it, and tells whether there was one.
func joinMonth(months []year.Month, m *year.Month) bool {
	for i := range months {
		one := &months[i]
		same := one.Mains == m.Mains && one.HeatingSeason == m.HeatingSeason && slices.Equal(one.Ambients, m.Ambients) &&
			slices.EqualFunc(one.Days, m.Days, func(a, b year.Day) bool { return a.Type == b.Type && slices.Equal(a.Draws, b.Draws) })
		if same {
			for k := range one.Days {
				one.Days[k].Weight += m.Days[k].Weight
			}
			return true
		}
	}
	return false
}

// followed leaves out the cold draws at fixtures whose cold line the arrangement does
// not change: they are as cold as the mains.
func (d *arranged) followed(days []year.Day) []year.Day {
	out := slices.Clone(days)
	for i := range out {
		unfollowed := func(e year.Event) bool { return e.Cold && d.sys.Outlets[e.Fixture].Cold == year.None }
		if slices.ContainsFunc(out[i].Draws, unfollowed) {
			out[i].Draws = slices.DeleteFunc(slices.Clone(out[i].Draws), unfollowed)
		}
	}
	return out
}

// spent turns an error of the simulation into a fault of the arrangement.
func (s *arranging) spent(d *arranged, err error) {
	if errors.Is(err, year.ErrBudget) {
		s.faults.Add(d.at, fault.AnswerTooLarge, "Arrangement %q takes more computation than one request may: fewer pipes, draws or starts of the pump, or parts of the building.", d.a.ID)
		return
	}
	reason := reasonOf(err)
	if list := (*year.FaultError)(nil); errors.As(err, &list) {
		first := list.Faults[0]
		name := first.Field[strings.LastIndexByte(first.Field, '.')+1:]
		reason = fmt.Sprintf("%s: %s", strings.TrimRight(name, "[]0123456789"), strings.TrimSuffix(first.Detail, "."))
	}
	s.faults.Add(d.at, fault.OutOfRange, "Arrangement %q cannot be simulated. %s.", d.a.ID, reason)
}

// noteVariant adds what is assumed of the pipes of arrangements, in their own place.
func (s *arranging) notePipes(all []*arranged) {
	noted := false
	for _, d := range all {
		if d.g == s.base && noted {
			continue
		}
		var own Notes
		d.by.note(&own)
		order := d.g.SupplyOrder()
		own.noteSystem(d.g, order)
		if d.g == s.base {
			noted = true
		} else {
			own.movePointers(d.at)
		}
		s.notes.join(&own)
	}
}

// movePointers puts notes about a system document where a variant stands.
func (n *Notes) movePointers(at string) {
	for i := range n.Assumptions {
		for k, p := range n.Assumptions[i].Pointers {
			n.Assumptions[i].Pointers[k] = at + p
		}
	}
	for i := range n.Warnings {
		n.Warnings[i].Pointer = at + n.Warnings[i].Pointer
	}
}

// join adds other notes.
func (n *Notes) join(other *Notes) {
	n.Assumptions = append(n.Assumptions, other.Assumptions...)
	n.Warnings = append(n.Warnings, other.Warnings...)
	n.Cautions = append(n.Cautions, other.Cautions...)
	n.use(other.sources...)
}

// noteHeaterStart says that a heater that starts on flow gives no delay.
func (s *arranging) noteHeaterStart() {
	h := &s.system.Heater
	if h.StartUpDelay != nil || !h.Type.OnFlow() {
		return
	}
	at := systemPointer + "/heater"
	s.notes.assume(Assumption{Code: "default_start_up_delay", Detail: fmt.Sprintf("The %s heater gives no start-up delay.", h.Type), Value: "0 s", Pointers: []string{at}, Source: "common_practice"})
	s.notes.warn("start_up_delay_not_given", at, "A heater that starts on flow needs some seconds before it gives hot water; without start_up_delay the waits are too short by that.")
}
