package service

import (
	"math"
	"slices"

	"recirc/calc/calendar"
	"recirc/calc/control"
	"recirc/calc/fault"
	"recirc/calc/quantity"
	"recirc/calc/year"
)

const arrangementAt = "/arrangement"

// pointsOfDay is how many temperatures a node has a day: one every five minutes.
const pointsOfDay = 288

// ControlSimulation simulates a day or a week of one arrangement. It gives nil and
// adds to faults if anything is wrong.
func ControlSimulation(req *ControlSimulationRequest, faults *fault.List) *ControlSimulationAnswer {
	a := &ControlSimulationAnswer{Arrangement: req.Arrangement.ID, Span: req.Span, Month: max(1, req.Month)}
	if a.Span == "" {
		a.Span = WeekdaySpan
	}
	if req.Unreadable {
		build(&req.System, faults)
		return nil
	}
	a.noteGallon(req.USGallon)
	s := beginArranging(&a.Notes, &req.System, &req.Conditions, faults)
	draws := s.prepareDraws(&req.Draws)
	if s.base == nil {
		checkArrangement(&req.Arrangement, arrangementAt, faults)
		return nil
	}
	d := s.arrange(&req.Arrangement, arrangementAt)
	if d == nil || !faults.Empty() {
		return nil
	}
	q := controlDay{arranging: s, req: req, d: d, draws: draws, a: a, month: a.Month - 1}
	q.run()
	if !faults.Empty() {
		return nil
	}
	return a
}

// controlDay is one request on its way to an answer.
type controlDay struct {
	*arranging
	req   *ControlSimulationRequest
	d     *arranged
	draws *drawing
	a     *ControlSimulationAnswer
	month int
}

// types are the days that are simulated.
func (q *controlDay) types() []calendar.DayType {
	switch q.a.Span {
	case WeekSpan:
		return calendar.Week()
	case WeekendSpan:
		return []calendar.DayType{calendar.Weekend}
	}
	return []calendar.DayType{calendar.Weekday}
}

func (q *controlDay) run() {
	m := calendar.Month(q.month)
	var days []year.Day
	for _, t := range calendar.DayTypes() {
		days = append(days, year.Day{Type: t, Weight: 1, Draws: q.draws.on(t, m, q.months[m].mains)})
	}
	observed, names := q.observed()
	if !q.faults.Empty() {
		return
	}
	plan := q.plan(q.d, []calendar.Month{m}, [][]year.Day{days}, q.req.Draws.LongestWait)
	types := q.types()
	r, err := year.Follow(q.d.sys, plan, 0, types, &year.Observation{Pipes: observed, Points: pointsOfDay*len(types) + 1})
	if err != nil {
		q.spent(q.d, err)
		return
	}
	q.answer(r, names)
	q.judge(days, types)
	q.show(r)
	q.notePipes([]*arranged{q.d})
	q.noteHeaterStart()
	q.noteArranged(q.d, &r.Year)
	q.cautionArranged([]*arranged{q.d})
	q.a.use("common_practice")
}

// observed finds the pipes at whose ends the nodes asked for are.
func (q *controlDay) observed() (pipes []int, names []string) {
	if q.req.Nodes == nil {
		far := q.farthest(q.d.g)
		node := q.d.g.FixtureNode(far)
		p, _ := q.d.g.FedBy(node)
		return []int{q.d.supply[p]}, []string{q.d.g.NodeName(node)}
	}
	seen := map[string]bool{}
	for i, name := range q.req.Nodes {
		at := listPointer("/nodes", i, "")
		node, ok := q.d.g.NodeCalled(name)
		switch {
		case !ok:
			q.faults.Add(at, fault.NodeUnknown, "The system has no node %q.", name)
			continue
		case seen[name]:
			q.faults.Add(at, fault.ListedTwice, "The node %q is listed twice.", name)
			continue
		}
		seen[name] = true
		p := q.pipeAt(node)
		if p == year.None {
			q.faults.Add(at, fault.NodeUnreachable, "No pipe of this arrangement ends at node %q.", name)
			continue
		}
		pipes, names = append(pipes, p), append(names, name)
	}
	return pipes, names
}

// pipeAt is the pipe that ends at a node: the supply pipe into it, or the return
// into the heater.
func (q *controlDay) pipeAt(node int32) int {
	if p, ok := q.d.g.FedBy(node); ok {
		return q.d.supply[p]
	}
	if node == q.d.g.HeaterNode() {
		for p := range q.d.sys.Pipes {
			if q.d.sys.Pipes[p].Role == year.Return && q.d.sys.Pipes[p].Parent == year.None {
				return p
			}
		}
	}
	return year.None
}

// answer writes down what was seen.
func (q *controlDay) answer(r *year.Result, names []string) {
	a, o := q.a, r.Observed
	end := quantity.Seconds(float64(len(q.types())) * calendar.SecondsOfDay)
	a.Pumps = pumpDays(o.Pump, q.d.pumpAt, end)
	for i, name := range names {
		a.Nodes = append(a.Nodes, nodeDay(name, o.Times, o.Degrees[i]))
	}
	for _, w := range o.Draws {
		a.Draws = append(a.Draws, drawServed(q.d.sys.Outlets[w.Outlet].ID, w))
	}
	a.Waits = distributionOf(r.Waits, usualWithin())
	a.Water = waterOf(&r.Year, q.coldCarries())
	a.Heat = balanceOf(&r.Year)
	a.PumpEnergy, a.HasPump = quantity.Joules(r.Year.PumpEnergy), len(q.d.sys.Circulations) > 0
	a.Balance = math.Abs(r.Year.Residual)
	if a.HasPump && sensed(q.d.sys.Circulations[0].Control.Kind) {
		a.Aquastat = &q.d.sys.Circulations[0].Control.Aquastat
	}
}

// coldCarries tells whether a cold line carries hot water back.
func (q *controlDay) coldCarries() bool { return q.d.carriesBackCold() }

func (d *arranged) carriesBackCold() bool {
	return d.a.Type == ColdLineReturn || d.a.Type == OnDemandAtFixture
}

// pumpDays gathers the runs of each pump from its switches.
func pumpDays(switches []year.Switch, at []string, end quantity.Duration) []PumpDay {
	pumps := make([]PumpDay, len(at))
	on := make([]*float64, len(at))
	total := make([]float64, len(at))
	close := func(c int, t float64) {
		if on[c] == nil {
			return
		}
		pumps[c].Runs = append(pumps[c].Runs, PumpRun{quantity.Seconds(*on[c]), quantity.Seconds(t)})
		total[c] += t - *on[c]
		on[c] = nil
	}
	for i := range switches {
		w := &switches[i]
		if !w.On {
			close(w.Circulation, w.At)
			continue
		}
		if on[w.Circulation] == nil {
			on[w.Circulation] = &w.At
			pumps[w.Circulation].Starts++
		}
	}
	for c := range pumps {
		close(c, end.Seconds())
		pumps[c].Fixture, pumps[c].RunTime = at[c], quantity.Seconds(total[c])
	}
	return pumps
}

func nodeDay(name string, times, kelvin []float64) NodeDay {
	n := NodeDay{Node: name, Lowest: quantity.Kelvin(slices.Min(kelvin)), Highest: quantity.Kelvin(slices.Max(kelvin))}
	for i, t := range times {
		n.Points = append(n.Points, TimedTemperature{quantity.Seconds(t), quantity.Kelvin(kelvin[i])})
	}
	return n
}

func drawServed(fixture string, w year.Drawn) DrawServed {
	d := DrawServed{Fixture: fixture, At: quantity.Seconds(w.Wanted), Water: HotWater, Wait: quantity.Seconds(w.Wait), Served: w.Served, RunToWaste: quantity.CubicMetres(w.RunToWaste), Mean: quantity.Kelvin(w.Kelvin)}
	switch {
	case w.Cold:
		d.Water = ColdWater
	case w.AsItComes:
		d.Water = HotAsItIs
	}
	return d
}

// judge says what is wrong with the settings, and proposes others.
func (q *controlDay) judge(days []year.Day, types []calendar.DayType) {
	var times control.DrawTimes
	times.Weekday, times.Weekend = drawTimes(days[0].Draws), drawTimes(days[1].Draws)
	q.a.Findings = q.findings(q.d, times, q.month)
	if !q.d.a.Type.Pumped() {
		return
	}
	q.a.Proposals.Timer = q.proposeTimer(times.On(types[0]), types[0])
	c := &q.d.sys.Circulations[0]
	at, err := q.steady(q.d, c, q.month)
	if err != nil {
		return
	}
	sensor := c.Sensor
	if sensor == year.None {
		sensor = q.usualSensor(c)
	}
	q.a.Proposals.Aquastat = q.proposeAquastat(at[sensor])
	if q.d.a.Type == DedicatedReturn {
		q.a.Proposals.Cycle = q.proposeCycle(c, at)
	}
}

// usualSensor is where an aquastat would be.
func (q *controlDay) usualSensor(c *year.Circulation) int {
	if q.d.a.Type != DedicatedReturn {
		return c.Loops[0].From
	}
	p := c.Loops[0].Into
	for q.d.sys.Pipes[p].Parent != year.None {
		p = q.d.sys.Pipes[p].Parent
	}
	return p
}

// drawTimes are the times at which somebody wants hot water.
func drawTimes(draws []year.Event) []quantity.Duration {
	var times []quantity.Duration
	for i := range draws {
		if e := &draws[i]; !e.Cold && !e.AsItComes {
			times = append(times, e.At)
		}
	}
	return times
}

func (q *controlDay) proposeTimer(draws []quantity.Duration, t calendar.DayType) *TimerProposal {
	wish := control.Wish{Type: t, Before: quantity.Seconds(1800), After: quantity.Seconds(300), Share: 0.9}
	if w := q.req.Wish; w.Covered > 0 {
		wish.Share = w.Covered
	}
	if b := q.req.Wish.Before; b != nil {
		wish.Before = *b
	}
	if after := q.req.Wish.After; after != nil {
		wish.After = *after
	}
	if len(draws) == 0 {
		return nil
	}
	p, err := control.ProposeWindows(draws, wish)
	if err != nil {
		return nil // more draws than a timer makes sense for
	}
	out := &TimerProposal{RunTime: p.RunTime}
	out.Covered, _ = control.Coverage(p.Windows, t, draws)
	for _, w := range p.Windows {
		out.Windows = append(out.Windows, ControlWindow{Days: string(t), From: w.From, To: w.To})
	}
	return out
}

func (q *controlDay) proposeAquastat(arrives quantity.Temperature) *AquastatProposal {
	margin, gap := q.req.Wish.Margin, q.req.Wish.Gap
	if margin == (quantity.TemperatureDifference{}) {
		margin = quantity.KelvinDifference(5)
	}
	if gap == (quantity.TemperatureDifference{}) {
		gap = quantity.KelvinDifference(5)
	}
	set, err := control.ProposeAquastat(arrives, margin, gap)
	if err != nil {
		return nil
	}
	return &AquastatProposal{Arrives: arrives, Aquastat: set}
}

func (q *controlDay) proposeCycle(c *year.Circulation, at []quantity.Temperature) *CycleProposal {
	cool := q.standsUsable(q.d, c, at, q.draws.usable, q.month)
	renew := q.d.renewal(c)
	set, err := control.ProposeCycle(cool, renew, c.Control.LeastRun)
	if err != nil || math.IsInf(cool.Seconds(), 1) {
		return nil // it cools within a minute, or hardly at all
	}
	return &CycleProposal{Cool: cool, Renew: renew, Cycle: set}
}

// leastRise is what a tankless heater needs between what comes back and what it is
// set to, so that it fires: common practice.
var leastRise = quantity.KelvinDifference(5)

// findings tells which settings cannot do what they are meant to.
func (s *arranging) findings(d *arranged, draws control.DrawTimes, month int) []ControlFinding {
	var all []ControlFinding
	for i := range d.sys.Circulations {
		c := &d.sys.Circulations[i]
		where := control.Circumstances{Draws: draws, Coldest: s.months[month].air}
		if at, err := s.steady(d, c, month); err == nil && c.Sensor != year.None {
			where.Warmest = at[c.Sensor]
		}
		if d.g.System.Heater.Type.OnFlow() {
			where.LeastRise = leastRise
		}
		for _, f := range control.Check(c.Control, where) {
			found := ControlFinding{Code: f.Name, Pointer: d.at, Detail: sentence(f.Detail)}
			if d.a.Control != nil {
				found.Pointer = d.at + "/control" + controlField(f)
			}
			if !slices.Contains(all, found) {
				all = append(all, found)
			}
		}
	}
	return all
}
