package network

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/fault"
	"recirc/calc/quantity"
)

// Invented systems, drawn for these tests.

func supply(id, from, to string, metres float64) Pipe {
	return Pipe{ID: id, From: from, To: to, Role: Supply, Length: quantity.Metres(metres), Tube: TubeSpec{Bore: quantity.Millimetres(20)}}
}

func returning(id, from, to string) Pipe {
	p := supply(id, from, to, 1)
	p.Role = Return
	return p
}

func tap(id, node string) Fixture { return Fixture{ID: id, Node: node, Type: "shower"} }

// house: heater - a - b, with taps at b and c, and a circulated to a.
func house() *System {
	return &System{
		Heater: Heater{Node: "h", Type: Storage},
		Pipes:  []Pipe{supply("1", "h", "a", 3), supply("2", "a", "b", 4), supply("3", "a", "c", 5)},
		Fixtures: []Fixture{
			tap("x", "b"), tap("y", "c"),
		},
	}
}

func build(t *testing.T, s *System) *Graph {
	t.Helper()
	var faults fault.List
	g := Build(s, "", &faults)
	if g == nil {
		t.Fatal(faults.Err())
	}
	return g
}

func legOf(g *Graph, fixture int) (DeadLeg, HotSource) {
	leg := g.DeadLegs()[g.FixtureNode(fixture)]
	return leg, g.HotSourceAt(leg.Source)
}

func TestHotSources(t *testing.T) {
	traced := func(s *System, i int) { s.Pipes[i].HeatTrace = &HeatTrace{} }
	cases := []struct {
		name   string
		change func(*System)
		node   string
		kind   HotKind
		metres float64 // of the dead leg of fixture x at b
	}{
		{"nothing circulated", func(*System) {}, "h", HotHeater, 7},
		{"return from a", func(s *System) { s.Pipes = append(s.Pipes, returning("r", "a", "h")) }, "a", HotCirculated, 4},
		{"return from b", func(s *System) { s.Pipes = append(s.Pipes, returning("r", "b", "h")) }, "b", HotCirculated, 0},
		{"return of two pipes", func(s *System) {
			s.Pipes = append(s.Pipes, returning("r1", "c", "m"), returning("r2", "m", "h"))
		}, "a", HotCirculated, 4},
		{"last pipe traced", func(s *System) { traced(s, 1) }, "b", HotTraced, 0},
		{"first pipe traced", func(s *System) { traced(s, 0) }, "a", HotTraced, 4},
		{"traced and circulated", func(s *System) {
			traced(s, 0)
			s.Pipes = append(s.Pipes, returning("r", "a", "h"))
		}, "a", HotCirculated, 4},
		{"tap at the heater", func(s *System) { s.Fixtures[0].Node = "h"; s.Fixtures = append(s.Fixtures, tap("z", "b")) }, "h", HotHeater, 0},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			s := house()
			c.change(s)
			leg, hot := legOf(build(t, s), 0)
			if hot != (HotSource{c.node, c.kind}) || leg.Length.Metres() != c.metres {
				t.Errorf("got %v and %v m, want %s %s and %v m", hot, leg.Length.Metres(), c.node, c.kind, c.metres)
			}
		})
	}
}

func TestTraceBehindDeadLeg(t *testing.T) {
	s := house()
	s.Pipes[1].HeatTrace = &HeatTrace{}
	if got := build(t, s).TracesBehindDeadLegs(); !slices.Equal(got, []int32{1}) {
		t.Errorf("got %v, want pipe 1: the water at a is cold", got)
	}
	s.Pipes = append(s.Pipes, returning("r", "a", "h"))
	if got := build(t, s).TracesBehindDeadLegs(); len(got) != 0 {
		t.Errorf("got %v, want none: a is circulated", got)
	}
}

func TestFaults(t *testing.T) {
	cases := []struct {
		name   string
		change func(*System)
		want   string // pointers and codes, in order
	}{
		{"none", func(*System) {}, ""},
		{"no pipe at the heater", func(s *System) { s.Heater.Node = "elsewhere" }, "/heater/node node_unknown"},
		{"unreachable", func(s *System) { s.Pipes = append(s.Pipes, supply("4", "q", "r", 1)) }, "/pipes/3/from node_unreachable"},
		{"unreachable, told once", func(s *System) {
			s.Pipes = append(s.Pipes, supply("4", "q", "r", 1), supply("5", "q", "s", 1), supply("6", "s", "u", 1))
		}, "/pipes/3/from node_unreachable"},
		{"second parent", func(s *System) { s.Pipes = append(s.Pipes, supply("4", "b", "c", 1)) }, "/pipes/3/to second_parent"},
		{"cycle of two", func(s *System) { s.Pipes = append(s.Pipes, supply("4", "q", "r", 1), supply("5", "r", "q", 1)) }, "/pipes/4/to supply_cycle"},
		{"cycle with a tail", func(s *System) {
			s.Pipes = append(s.Pipes, supply("4", "q", "r", 1), supply("5", "r", "q", 1), supply("6", "r", "w", 1), supply("7", "w", "v", 1))
		}, "/pipes/4/to supply_cycle"},
		{"into the heater", func(s *System) { s.Pipes = append(s.Pipes, supply("4", "b", "h", 1)) }, "/pipes/3/to supply_into_heater"},
		{"to itself", func(s *System) { s.Pipes = append(s.Pipes, supply("4", "b", "b", 1)) }, "/pipes/3/to pipe_to_itself"},
		{"leads nowhere", func(s *System) { s.Pipes = append(s.Pipes, supply("4", "b", "stub", 1)) }, "/pipes/3/to pipe_leads_nowhere"},
		{"return from nowhere", func(s *System) { s.Pipes = append(s.Pipes, returning("r", "q", "h")) }, "/pipes/3/from return_off_supply"},
		{"return from the heater", func(s *System) { s.Pipes = append(s.Pipes, returning("r", "h", "m"), returning("r2", "m", "h")) }, "/pipes/3/from return_off_supply"},
		{"return to nowhere", func(s *System) { s.Pipes = append(s.Pipes, returning("r", "b", "q")) }, "/pipes/3/to return_not_to_heater"},
		{"return into the supply", func(s *System) { s.Pipes = append(s.Pipes, returning("r", "b", "a")) }, "/pipes/3/to return_into_supply"},
		{"return in a circle", func(s *System) {
			s.Pipes = append(s.Pipes, returning("r1", "b", "m"), returning("r2", "m", "n"), returning("r3", "n", "m"))
		}, "/pipes/5/to return_not_to_heater"},
		{"return splits", func(s *System) { s.Pipes = append(s.Pipes, returning("r1", "b", "h"), returning("r2", "b", "h")) }, "/pipes/4/from return_splits"},
		{"two returns join", func(s *System) {
			s.Pipes = append(s.Pipes, returning("r1", "b", "m"), returning("r2", "c", "m"), returning("r3", "m", "h"))
		}, ""},
		{"two returns share a dead end", func(s *System) {
			s.Pipes = append(s.Pipes, returning("r1", "b", "m"), returning("r2", "c", "m"))
		}, "/pipes/3/to return_not_to_heater"},
		{"fixture at an unknown node", func(s *System) { s.Fixtures = append(s.Fixtures, tap("z", "mars")) }, "/fixtures/2/node node_unknown"},
		{"fixture on a return", func(s *System) {
			s.Pipes = append(s.Pipes, returning("r1", "b", "m"), returning("r2", "m", "h"))
			s.Fixtures = append(s.Fixtures, tap("z", "m"))
		}, "/fixtures/2/node fixture_off_supply"},
		{"fixture behind an unreachable pipe", func(s *System) {
			s.Pipes = append(s.Pipes, supply("4", "q", "r", 1))
			s.Fixtures = append(s.Fixtures, tap("z", "r"))
		}, "/pipes/3/from node_unreachable"},
		{"pipe id twice", func(s *System) { s.Pipes[2].ID = "1" }, "/pipes/2/id duplicate_id"},
		{"fixture id twice", func(s *System) { s.Fixtures[1].ID = "x" }, "/fixtures/1/id duplicate_id"},
		{"several at once", func(s *System) {
			s.Pipes[2].ID = "1"
			s.Pipes = append(s.Pipes, supply("4", "b", "c", 1), supply("5", "c", "stub", 1))
			s.Fixtures[1].Node = "mars"
		}, "/pipes/2/id duplicate_id; /pipes/3/to second_parent; /pipes/4/to pipe_leads_nowhere; /fixtures/1/node node_unknown"},
		{"an unreadable pipe hides what hangs on it", func(s *System) { s.Pipes[0].Unreadable = true; s.Pipes[2].ID = "2" }, "/pipes/2/id duplicate_id"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			s := house()
			c.change(s)
			if got := faultsOf(s); got != c.want {
				t.Errorf("got  %s\nwant %s", got, c.want)
			}
		})
	}
}

func faultsOf(s *System) string {
	var faults fault.List
	Build(s, "", &faults)
	var told []string
	for _, f := range faults.Faults() {
		told = append(told, fmt.Sprint(f.Pointer, " ", f.Code))
	}
	return strings.Join(told, "; ")
}

func TestTubes(t *testing.T) {
	mm := quantity.Millimetres
	cases := []struct {
		name string
		tube TubeSpec
		mm   float64 // bore
		want string  // code, if it is wrong
	}{
		{"catalogue", TubeSpec{Series: "copper_type_l", Nominal: "3/4"}, 19.939, ""},
		{"series from defaults", TubeSpec{Nominal: "1/2"}, 12.065, ""},
		{"bore given", TubeSpec{Bore: mm(13)}, 13, ""},
		{"outside less walls", TubeSpec{Outside: mm(16), Wall: mm(2)}, 12, ""},
		{"all three agree", TubeSpec{Bore: mm(13), Outside: mm(15), Wall: mm(1)}, 13, ""},
		{"nominal not in series", TubeSpec{Series: "copper_type_l", Nominal: "7/8"}, 0, "/pipes/0/tube/nominal tube_nominal_unknown"},
		{"no nominal", TubeSpec{Series: "copper_type_l"}, 0, "/pipes/0/tube/nominal tube_incomplete"},
		{"nothing", TubeSpec{}, 0, "/pipes/0/tube tube_incomplete"},
		{"outside only", TubeSpec{Outside: mm(15)}, 0, "/pipes/0/tube tube_incomplete"},
		{"both ways", TubeSpec{Series: "copper_type_l", Nominal: "3/4", Bore: mm(20)}, 0, "/pipes/0/tube tube_ambiguous"},
		{"diameters exchanged", TubeSpec{Bore: mm(15), Outside: mm(13)}, 0, "/pipes/0/tube/inside_diameter tube_contradicts"},
		{"wall thicker than the tube", TubeSpec{Outside: mm(15), Wall: mm(8)}, 0, "/pipes/0/tube/wall_thickness tube_contradicts"},
		{"walls leave next to nothing", TubeSpec{Outside: mm(16), Wall: mm(7.9999)}, 0, "/pipes/0/tube/wall_thickness tube_contradicts"},
		{"walls and bore disagree", TubeSpec{Bore: mm(13), Outside: mm(15), Wall: mm(0.7)}, 0, "/pipes/0/tube tube_contradicts"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			s := house()
			s.Defaults.TubeSeries = "pex_sdr9"
			s.Pipes[0].Tube = c.tube
			if got := faultsOf(s); got != c.want {
				t.Fatalf("got %q, want %q", got, c.want)
			}
			if c.want == "" {
				if got := build(t, s).Tubes[0].Bore.Metres(); math.Abs(got-c.mm/1000) > 1e-12 {
					t.Errorf("bore %v mm, want %v", got*1000, c.mm)
				}
			}
		})
	}
}

// TestSeriesIsNeverGuessed: a nominal size without a series has many bores.
func TestSeriesIsNeverGuessed(t *testing.T) {
	s := house()
	s.Pipes[0].Tube = TubeSpec{Nominal: "3/4"}
	if got := faultsOf(s); got != "/pipes/0/tube/series tube_series_missing" {
		t.Errorf("got %q", got)
	}
}

// TestLargeSystem: 50,000 pipes in a chain, the deepest a system can be.
func TestLargeSystem(t *testing.T) {
	s := &System{Heater: Heater{Node: "0", Type: Storage}}
	for i := range 50_000 {
		s.Pipes = append(s.Pipes, supply(fmt.Sprint(i), fmt.Sprint(i), fmt.Sprint(i+1), 1))
	}
	s.Fixtures = []Fixture{tap("end", "50000")}
	leg, _ := legOf(build(t, s), 0)
	if leg.Pipes != 50_000 || leg.Length.Metres() != 50_000 {
		t.Errorf("got %d pipes, %v m", leg.Pipes, leg.Length.Metres())
	}
}

// drawTree draws a random supply tree with a tap at every end.
func drawTree(t *rapid.T) *System {
	s := &System{Heater: Heater{Node: "n0", Type: Storage}}
	isEnd := map[int]bool{}
	for i := range rapid.IntRange(1, 30).Draw(t, "pipes") {
		from := rapid.IntRange(0, i).Draw(t, "from")
		p := supply(fmt.Sprintf("p%d", i), fmt.Sprintf("n%d", from), fmt.Sprintf("n%d", i+1), rapid.Float64Range(0.01, 50).Draw(t, "m"))
		p.Tube.Bore = quantity.Millimetres(rapid.Float64Range(4, 100).Draw(t, "mm"))
		s.Pipes = append(s.Pipes, p)
		delete(isEnd, from)
		isEnd[i+1] = true
	}
	for n := range len(s.Pipes) + 1 {
		if isEnd[n] {
			s.Fixtures = append(s.Fixtures, tap(fmt.Sprintf("f%d", n), fmt.Sprintf("n%d", n)))
		}
	}
	return s
}

func legsByFixture(t *rapid.T, s *System) map[string]DeadLeg {
	var faults fault.List
	g := Build(s, "", &faults)
	if g == nil {
		t.Fatal(faults.Err())
	}
	legs, all := map[string]DeadLeg{}, g.DeadLegs()
	for i, f := range s.Fixtures {
		legs[f.ID] = all[g.FixtureNode(i)]
	}
	return legs
}

func same(a, b float64) bool { return math.Abs(a-b) <= 1e-12*math.Max(math.Abs(a), math.Abs(b)) }

// TestSplittingAPipeChangesNothing: two pipes in series of one tube hold what
// one pipe of their length holds.
func TestSplittingAPipeChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawTree(t)
		before := legsByFixture(t, s)
		i := rapid.IntRange(0, len(s.Pipes)-1).Draw(t, "which")
		share := rapid.Float64Range(0.01, 0.99).Draw(t, "share")
		far := s.Pipes[i]
		far.ID, far.From = "far half", "middle"
		far.Length = quantity.Metres(s.Pipes[i].Length.Metres() * (1 - share))
		s.Pipes[i].To = "middle"
		s.Pipes[i].Length = quantity.Metres(s.Pipes[i].Length.Metres() * share)
		s.Pipes = append(s.Pipes, far)
		for id, leg := range legsByFixture(t, s) {
			if b := before[id]; !same(leg.Length.Metres(), b.Length.Metres()) || !same(leg.Volume.CubicMetres(), b.Volume.CubicMetres()) {
				t.Fatalf("%s: %v became %v", id, b, leg)
			}
		}
	})
}

// TestOrderDoesNotMatter: pipes and fixtures may come in any order.
func TestOrderDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawTree(t)
		before := legsByFixture(t, s)
		s.Pipes = rapid.Permutation(s.Pipes).Draw(t, "pipes")
		s.Fixtures = rapid.Permutation(s.Fixtures).Draw(t, "fixtures")
		for id, leg := range legsByFixture(t, s) {
			if b := before[id]; leg.Length != b.Length || leg.Volume != b.Volume || leg.Pipes != b.Pipes {
				t.Fatalf("%s: %v became %v", id, b, leg)
			}
		}
	})
}

// TestMonotone: a longer or a wider pipe never stores less.
func TestMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawTree(t)
		before := legsByFixture(t, s)
		i := rapid.IntRange(0, len(s.Pipes)-1).Draw(t, "which")
		p := &s.Pipes[i]
		p.Length = quantity.Metres(p.Length.Metres() * rapid.Float64Range(1, 2).Draw(t, "longer"))
		p.Tube.Bore = quantity.Metres(p.Tube.Bore.Metres() * rapid.Float64Range(1, 2).Draw(t, "wider"))
		for id, leg := range legsByFixture(t, s) {
			if leg.Volume.CubicMetres() < before[id].Volume.CubicMetres() {
				t.Fatalf("%s: %v became %v", id, before[id], leg)
			}
		}
	})
}

// FuzzBuild: whatever the graph, faults or finite dead legs.
func FuzzBuild(f *testing.F) {
	for _, seed := range []string{"", "h", "habh", "ha ab bh hh", "ha hb ba ab", "ab cd ef", "har abr"} {
		f.Add(seed, 1.0, 0.02)
	}
	f.Add("ha ab", 1e-320, 1e-320)
	f.Add("ha ab", 1e308, 1e308)
	f.Add("ha ab", math.Inf(1), 1.0)
	f.Add("ha ab", math.NaN(), -1.0)
	f.Fuzz(func(t *testing.T, edges string, metres, bore float64) {
		s := &System{Heater: Heater{Node: "h", Type: Storage}}
		for i, e := range strings.Fields(edges) {
			if len(e) < 2 {
				continue
			}
			p := supply(fmt.Sprint(i), e[:1], e[1:2], metres)
			p.Tube.Bore = quantity.Metres(bore)
			if len(e) > 2 {
				p.Role = Return
			}
			s.Pipes = append(s.Pipes, p)
			s.Fixtures = append(s.Fixtures, tap(fmt.Sprint(i), e[1:2]))
		}
		var faults fault.List
		g := Build(s, "", &faults)
		if (g == nil) == faults.Empty() {
			t.Fatal("a graph and faults, or neither")
		}
		if g != nil {
			g.DeadLegs()
		}
	})
}
