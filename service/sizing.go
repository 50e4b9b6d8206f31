package service

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"recirc/calc/fault"
	"recirc/calc/hydraulic"
	"recirc/calc/loop"
	"recirc/calc/pipe"
	"recirc/calc/quantity"
)

// sizing judges the pipes of a loop by one rule, and chooses returns by it.
type sizing struct {
	c          *circuits
	asked      ReturnSizing
	rule       hydraulic.SizingRule
	candidates map[string][]pipe.Tube // by series, narrowest first
	falls      []int                  // by pipe of the loop: how often it became narrower
}

// defaultRule speaks about a return pipe of any material.
const defaultRule = "return_branch_rule"

func newSizing(c *circuits, asked ReturnSizing, faults *fault.List) *sizing {
	s := &sizing{c: c, asked: asked, candidates: map[string][]pipe.Tube{}, falls: make([]int, len(c.pipes))}
	id := cmp.Or(asked.Rule, defaultRule)
	s.rule, _ = hydraulic.SizingRuleOf(id)
	c.notes.use(s.rule.Source)
	if asked.Rule == "" {
		c.notes.assume(Assumption{Code: "default_sizing_rule", Detail: "No sizing rule is given; velocity and friction are judged by " + s.rule.Document + ".", Value: id, Pointers: []string{""}, Source: s.rule.Source})
	}
	for p, series := range c.g.Unsized() {
		if s.candidates[series] == nil {
			tubes := pipe.Tubes(series)
			slices.SortFunc(tubes, func(a, b pipe.Tube) int { return cmp.Compare(a.Bore.Metres(), b.Bore.Metres()) })
			s.candidates[series] = tubes
		}
		if l := s.limits(p, c.outlet); l.velocity == 0 && l.friction == 0 {
			faults.Add(pipePointer(p, "/tube"), fault.NoSizeFits, "The rule %s says nothing about the velocity in %s at this temperature; give return_sizing.greatest_velocity or greatest_friction, or choose another rule.", id, c.material(p))
		}
	}
	return s
}

// limits of a pipe in SI; zero: none.
type limits struct{ velocity, leastVelocity, friction, bore float64 }

func (s *sizing) limits(p int32, water quantity.Temperature) limits {
	greatest, least, friction, bore, _ := s.rule.Limits(string(s.c.material(p)), water)
	l := limits{greatest.MetresPerSecond(), least.MetresPerSecond(), friction, bore.Metres()}
	asked := &s.asked
	override := func(to *float64, given float64) {
		if given != 0 {
			*to = given
		}
	}
	override(&l.velocity, asked.GreatestVelocity.MetresPerSecond())
	override(&l.leastVelocity, asked.LeastVelocity.MetresPerSecond())
	override(&l.friction, asked.GreatestFriction.PascalsPerMetre())
	override(&l.bore, asked.LeastBore.Metres())
	return l
}

// slack lets a limit be met to the last digits of its unit.
const slack = 1 + 1e-9

// keeps reports whether water of a flow keeps velocity and friction.
func (l limits) keeps(loss *hydraulic.Loss, length float64) bool {
	v := math.Abs(loss.Velocity.MetresPerSecond())
	return (l.velocity == 0 || v <= l.velocity*slack) &&
		(l.friction == 0 || math.Abs(loss.Friction.Pascals()) <= l.friction*length*slack)
}

// noSizeError is a return for which no tube of its series is wide enough.
type noSizeError struct {
	pipe   int32
	series string
	flow   float64
}

func (e *noSizeError) Error() string {
	return fmt.Sprintf("no tube of %s carries %.3g L/min within the limits", e.series, 6e4*e.flow)
}

// mostFalls is how often a pipe may become narrower. A narrower one loses less, so
// less flows, so others may follow; two sizes could take turns for ever.
const mostFalls = 6

// choose takes for every open size the narrowest tube that keeps all limits. It
// reports whether any changed.
func (s *sizing) choose(state *loop.State) (resized bool, err error) {
	for i, p := range s.c.pipes {
		series, open := s.c.g.Unsized()[p]
		if !open {
			continue
		}
		tube, err := s.narrowest(p, series, state.Flow[i], quantity.Kelvin(state.In[i]))
		if err != nil {
			return false, err
		}
		now := s.c.g.Tubes[p].Bore.Metres()
		switch narrower := tube.Bore.Metres() < now; {
		case tube.Bore.Metres() == now, narrower && s.falls[i] == mostFalls:
			continue
		case narrower:
			s.falls[i]++
		}
		s.c.g.Choose(p, tube)
		s.c.thermal[i] = s.c.warmPipe(p)
		s.c.loop.Pipes[i].Line, _ = s.c.line(p)
		if err := s.c.setPipeHeat(i, (state.In[i]+state.Out[i])/2, state.Flow[i]); err != nil {
			return false, err
		}
		resized = true
	}
	return resized, nil
}

func (s *sizing) narrowest(p int32, series string, flow float64, water quantity.Temperature) (pipe.Tube, error) {
	l, length := s.limits(p, water), s.c.g.System.Pipes[p].Length.Metres()
	for _, tube := range s.candidates[series] {
		if tube.Bore.Metres() < l.bore/slack {
			continue
		}
		if v := 4 * flow / (math.Pi * tube.Bore.Metres() * tube.Bore.Metres()); l.velocity > 0 && v > l.velocity*slack {
			continue // so are most, and friction takes longer to find
		}
		line := s.c.loop.Pipes[s.c.at[p]].Line
		line.Bore = tube.Bore
		if loss, err := line.Loss(quantity.CubicMetresPerSecond(flow), s.c.fluid()); err == nil && l.keeps(&loss, length) {
			return tube, nil
		}
	}
	return pipe.Tube{}, &noSizeError{p, series, flow}
}

// leastFlow is with which the returns of a connection's own have the least
// velocity, m3/s.
func (s *sizing) leastFlow(connection int) float64 {
	q := 0.0
	for i := s.c.loop.Connections[connection].Return; ; i = s.c.loop.Pipes[i].Next {
		p := s.c.pipes[i]
		d := s.c.g.Tubes[p].Bore.Metres()
		q = max(q, s.limits(p, s.c.outlet).leastVelocity*math.Pi/4*d*d)
		if i == s.c.ends[connection] {
			return q
		}
	}
}
