package service

import (
	"recirc/calc/fault"
	"recirc/calc/network"
	"recirc/calc/pipe"
	"recirc/calc/quantity"
	"recirc/calc/rule"
)

// DeadLegsRequest asks what stands between the last hot source and each fixture.
type DeadLegsRequest struct {
	System      network.System
	Limits      []string // ids of rules; empty: all that apply
	OmitPipes   bool     // leave the pipes of each dead leg out of the answer
	ShowWorking bool
	USGallon    bool // the request used a unit with the US gallon
}

// DeadLegsAnswer is one dead leg a fixture, in the order of the request.
type DeadLegsAnswer struct {
	Fixtures []DeadLeg
	Totals   DeadLegTotals
	Notes
	Working []Step
}

// DeadLeg is the pipe between the last hot source and one fixture.
type DeadLeg struct {
	Fixture   string
	HotSource network.HotSource
	Pipes     []DeadLegPipe
	Length    quantity.Length
	Volume    quantity.Volume
	Limits    []rule.Verdict
}

// DeadLegPipe is one pipe of a dead leg.
type DeadLegPipe struct {
	Pipe      string
	Length    quantity.Length
	Bore      quantity.Length
	BoreBasis pipe.BoreBasis
	Volume    quantity.Volume
}

// DeadLegTotals is the whole building; each pipe counts once.
type DeadLegTotals struct {
	Fixtures, Pipes  int
	Length           quantity.Length
	Volume           quantity.Volume
	Longest, Largest *DeadLeg
	Limits           []LimitCount
}

// LimitCount says how many fixtures met one limit.
type LimitCount struct {
	Limit                    *rule.Limit
	Met, NotMet, NotAssessed int
}

// DeadLegs finds the dead leg of every fixture and compares it with the
// published limits. It gives nil and adds to faults if the system is wrong.
func DeadLegs(req *DeadLegsRequest, faults *fault.List) *DeadLegsAnswer {
	g := build(&req.System, faults)
	if g == nil {
		return nil
	}
	q := deadLegs{req: req, g: g, legs: g.DeadLegs(), rules: chosenLimits(req.Limits), work: working{wanted: req.ShowWorking}}
	if !q.fits(faults) {
		return nil
	}
	return q.answer()
}

// deadLegs is one request on its way to an answer.
type deadLegs struct {
	req   *DeadLegsRequest
	g     *network.Graph
	legs  []network.DeadLeg
	rules []*rule.Limit
	work  working
	path  []int32
	rows  []DeadLegPipe  // backing of every fixture's pipes
	judge []rule.Verdict // backing of every fixture's limits
}

func chosenLimits(ids []string) []*rule.Limit {
	if len(ids) == 0 {
		return rule.Limits()
	}
	var chosen []*rule.Limit
	for _, l := range rule.Limits() {
		for _, id := range ids {
			if id == l.ID {
				chosen = append(chosen, l)
				break
			}
		}
	}
	return chosen
}

// fits refuses an answer with too many rows, before making it.
func (q *deadLegs) fits(faults *fault.List) bool {
	if verdicts := len(q.rules) * len(q.req.System.Fixtures); verdicts > maxRows {
		faults.Add("/limits", fault.AnswerTooLarge, "The answer would hold %d verdicts; at most %d are given. Name fewer limits or send parts of the building.", verdicts, maxRows)
	}
	rows := pathRows(q.g, q.legs)
	if rows > maxRows && !q.req.OmitPipes {
		faults.Add("/detail", fault.AnswerTooLarge, "The answer would list %d pipes; at most %d are given. Ask for detail fixtures, or send parts of the building.", rows, maxRows)
	}
	q.work.fits(q.g, q.legs, 3, 2, faults)
	if !q.req.OmitPipes {
		q.rows = make([]DeadLegPipe, 0, min(rows, maxRows))
	}
	return faults.Empty()
}

func (q *deadLegs) answer() *DeadLegsAnswer {
	fixtures := q.req.System.Fixtures
	a := &DeadLegsAnswer{Fixtures: make([]DeadLeg, len(fixtures))}
	q.judge = make([]rule.Verdict, 0, len(q.rules)*len(fixtures))
	for i := range fixtures {
		a.Fixtures[i] = q.fixture(i)
	}
	pipes := q.total(a)
	a.noteGallon(q.req.USGallon)
	a.noteSystem(q.g, pipes)
	a.use(geometry)
	a.use(q.work.sources()...)
	for _, c := range a.Totals.Limits {
		a.use(c.Limit.Source)
	}
	q.caution(a)
	a.Working = q.work.steps
	return a
}

func (q *deadLegs) fixture(i int) DeadLeg {
	f := &q.req.System.Fixtures[i]
	node := q.g.FixtureNode(i)
	leg := q.legs[node]
	d := DeadLeg{Fixture: f.ID, HotSource: q.g.HotSourceAt(leg.Source), Length: leg.Length, Volume: leg.Volume}
	if !q.req.OmitPipes || q.req.ShowWorking {
		q.path = q.g.Path(node, leg, q.path[:0])
		q.work.showDeadLeg(q.g, f.ID, q.path, leg)
	}
	if !q.req.OmitPipes {
		d.Pipes = q.pipes()
	}
	start := len(q.judge)
	facts := limitFacts(q.g, f.Type, leg)
	for _, l := range q.rules {
		if len(q.req.Limits) > 0 || l.Applies(facts) {
			q.judge = append(q.judge, l.Judge(facts))
		}
	}
	d.Limits = q.judge[start:len(q.judge):len(q.judge)]
	return d
}

// pipes lists the pipes of the path just found.
func (q *deadLegs) pipes() []DeadLegPipe {
	start := len(q.rows)
	for _, p := range q.path {
		run, tube := &q.req.System.Pipes[p], &q.g.Tubes[p]
		q.rows = append(q.rows, DeadLegPipe{Pipe: run.ID, Length: run.Length, Bore: tube.Bore, BoreBasis: tube.BoreBasis, Volume: q.g.StoredVolume(p)})
	}
	return q.rows[start:len(q.rows):len(q.rows)]
}

// total sums up the building and gives the pipes of all dead legs.
func (q *deadLegs) total(a *DeadLegsAnswer) []int32 {
	t := &a.Totals
	nodes := make([]int32, len(a.Fixtures))
	for i := range a.Fixtures {
		nodes[i] = q.g.FixtureNode(i)
		d := &a.Fixtures[i]
		if t.Longest == nil || d.Length.Metres() > t.Longest.Length.Metres() {
			t.Longest = d
		}
		if t.Largest == nil || d.Volume.CubicMetres() > t.Largest.Volume.CubicMetres() {
			t.Largest = d
		}
	}
	pipes := q.g.Union(nodes, q.legs)
	var length, volume float64
	for _, p := range pipes {
		length += q.req.System.Pipes[p].Length.Metres()
		volume += q.g.StoredVolume(p).CubicMetres()
	}
	t.Fixtures, t.Pipes = len(a.Fixtures), len(pipes)
	t.Length, t.Volume = quantity.Metres(length), quantity.CubicMetres(volume)
	t.Limits = countLimits(q.rules, a.Fixtures)
	return pipes
}

func countLimits(rules []*rule.Limit, fixtures []DeadLeg) []LimitCount {
	counts := make([]LimitCount, len(rules))
	for i, l := range rules {
		counts[i].Limit = l
	}
	for i := range fixtures {
		next := 0 // verdicts are in the order of the rules
		for j := range fixtures[i].Limits {
			v := &fixtures[i].Limits[j]
			for counts[next].Limit != v.Limit {
				next++
			}
			c := &counts[next]
			switch v.Status {
			case rule.Met:
				c.Met++
			case rule.NotMet:
				c.NotMet++
			default:
				c.NotAssessed++
			}
		}
	}
	spoken := counts[:0]
	for _, c := range counts {
		if c.Met+c.NotMet+c.NotAssessed > 0 {
			spoken = append(spoken, c)
		}
	}
	return spoken
}

func (q *deadLegs) caution(a *DeadLegsAnswer) {
	if a.Totals.Pipes > 0 {
		a.cautionStagnation()
	}
	a.cautionScalding(&q.req.System)
	a.cautionCompliance()
}
