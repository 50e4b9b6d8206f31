package network

import (
	"slices"
	"testing"
)

// TestPassing: two risers behind one main, and their returns joined into one, counted
// by hand on the drawing.
func TestPassing(t *testing.T) {
	g := build(t, &System{
		Heater: Heater{Node: "h", Type: Storage},
		Pipes: []Pipe{
			supply("main", "h", "tee", 3), supply("riser a", "tee", "a", 4), supply("riser b", "tee", "b", 5), supply("branch", "b", "tap", 1),
			returning("from a", "a", "join"), returning("from b", "b", "join"), returning("home", "join", "h"),
		},
		Fixtures: []Fixture{tap("x", "tap")},
	})
	c := g.Circulation()
	if got, want := g.Passing(c, c.Connections), []int{2, 1, 1, 0, 1, 1, 2}; !slices.Equal(got, want) {
		t.Errorf("both: %v, want %v", got, want)
	}
	if got, want := g.Passing(c, c.Connections[1:]), []int{1, 0, 1, 0, 0, 1, 1}; !slices.Equal(got, want) {
		t.Errorf("the second: %v, want %v", got, want)
	}
	if got := g.Passing(c, nil); slices.Max(got) != 0 {
		t.Errorf("none: %v", got)
	}
}
