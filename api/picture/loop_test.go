package picture_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"recirc/api"
	"recirc/api/picture"
	"recirc/calc/quantity"
	"recirc/service"
)

// circuit is an invented one: water of 60 degC leaves, reaches its connection at
// half its length, and comes back. It is as cold as the figures say.
func circuit(name string, length, atConnection, back float64, cold bool) service.Circuit {
	c := service.Circuit{Connection: name, Turn: 2, Target: quantity.Celsius(55), Cold: cold}
	for _, p := range [][2]float64{{0, 60}, {5, 59.8}, {length / 2, atConnection}, {length - 4, back + 0.2}, {length, back}} {
		c.Distance = append(c.Distance, quantity.Metres(p[0]))
		c.Water = append(c.Water, quantity.Celsius(p[1]))
	}
	return c
}

// guestHouse is four risers, the far one cold.
func guestHouse() []service.Circuit {
	return []service.Circuit{
		circuit("riser-1-back", 22, 58.9, 57.4, false), circuit("riser-2-back", 34, 57.6, 55.9, false),
		circuit("riser-3-back", 46, 56.1, 53.2, false), circuit("riser-4-back", 60, 51.5, 46.8, true),
	}
}

func manyCircuits(n int) []service.Circuit {
	var all []service.Circuit
	for i := range n {
		c := circuit(fmt.Sprintf("back of flat %d in the long corridor", i+1), 20+float64(i), 58-float64(i)/4, 55-float64(i)/4, i%8 == 7)
		c.Target = quantity.Celsius(55 - float64(i%2))
		all = append(all, c)
	}
	return all
}

// TestLoopPictures compares invented loops with the pictures in testdata.
func TestLoopPictures(t *testing.T) {
	for _, p := range []struct {
		name     string
		circuits []service.Circuit
		critical string
		us       bool
	}{
		{"loop.svg", guestHouse(), "riser-4-back", false},
		{"loop-many.svg", manyCircuits(40), "back of flat 40 in the long corridor", true},
	} {
		got, err := picture.Loop(p.circuits, len(p.circuits), p.critical, p.us)
		if err != nil {
			t.Fatal(err)
		}
		comparePicture(t, p.name, got)
	}
}

// TestLoopPictureSays what is drawn, and what is not.
func TestLoopPictureSays(t *testing.T) {
	for _, p := range []struct {
		name     string
		circuits []service.Circuit
		us       bool
		says     []string
		not      []string
	}{
		{"a cold one", guestHouse(), false, []string{
			"<title>Temperature along each circuit</title>", "distance from the heater, m", "temperature of the water, degC", "target 55 degC", ">riser-1-back<", ">riser-4-back, critical, cold<",
			"riser-4-back: 51.5 degC at the connection after 30 m, 46.8 degC back at the heater after 60 m; target 55 degC; critical; cold.",
		}, nil},
		{"US units", guestHouse()[:1], true, []string{"heater, ft", "degF", "target 131 degF"}, []string{"critical", "cold", "degC"}},
		{"no target", []service.Circuit{func() service.Circuit { c := guestHouse()[0]; c.Target = quantity.Temperature{}; return c }()}, false, []string{"riser-1-back"}, []string{"target"}},
		{"too many", manyCircuits(40), false, []string{"<title>Temperature along 12 of 40 circuits</title>", "flat 40", "flat 32", "flat 24", "flat 16", "flat 8 ", "flat 1 ", "flat 7 "}, []string{"flat 9 ", "flat 39 "}},
		{"as many as fit", manyCircuits(12), false, []string{"along each circuit", "flat 12 "}, []string{"Shown are"}},
		{"none", nil, false, []string{"<title>"}, nil},
		{"no way at all", []service.Circuit{{Connection: "x", Distance: []quantity.Length{{}}, Water: []quantity.Temperature{quantity.Celsius(50)}}}, false, []string{">x<"}, nil},
		{"names that are markup", []service.Circuit{circuit(`</text><script>alert(1)</script>&"`+"\x00", 20, 50, 40, true)}, false, nil, []string{"<script>", "\x00"}},
	} {
		t.Run(p.name, func(t *testing.T) {
			got, err := picture.Loop(p.circuits, len(p.circuits), "riser-4-back", p.us)
			if err != nil {
				t.Fatal(err)
			}
			checkSays(t, got, p.says, p.not)
		})
	}
}

// TestLargeLoopIsToldToBeLarge asks for a loop with more circuits than a picture
// shows, as a caller does; the building is invented.
func TestLargeLoopIsToldToBeLarge(t *testing.T) {
	pipe := func(id, from, to, role string) string {
		return fmt.Sprintf(`{"id":%q,"from":%q,"to":%q,"role":%q,"length":{"value":5,"unit":"m"},"tube":{"series":"copper_en1057","nominal":"15x1"}}`, id, from, to, role)
	}
	var pipes []string
	before := "h"
	for i := range 15 {
		node := fmt.Sprint("n", i)
		pipes = append(pipes, pipe("s"+node, before, node, "supply"), pipe("u"+node, node, "e"+node, "supply"), pipe("r"+node, "e"+node, "h", "return"))
		before = node
	}
	body := `{"system":{"heater":{"node":"h","type":"storage"},"pipes":[` + strings.Join(pipes, ",") + `]}}`
	for _, c := range api.Calculations() {
		if c.Name != "loop-designs" {
			continue
		}
		got, problem := c.Picture(body, api.DefaultLimits())
		if problem != nil {
			t.Fatal(string(problem.JSON()))
		}
		checkSays(t, got, []string{"<title>Temperature along 12 of 15 circuits</title>", "Shown are "}, nil)
	}
}

// TestColdSurvivesGreyscale: a cold circuit is told by its width and its cross,
// not by its colour.
func TestColdSurvivesGreyscale(t *testing.T) {
	warm, err := picture.Loop([]service.Circuit{circuit("a", 20, 50, 40, false)}, 1, "", false)
	if err != nil {
		t.Fatal(err)
	}
	cold, err := picture.Loop([]service.Circuit{circuit("a", 20, 50, 40, true)}, 1, "", false)
	if err != nil {
		t.Fatal(err)
	}
	const thick = "stroke-width:4;"
	if bytes.Contains(warm, []byte(thick)) || !bytes.Contains(cold, []byte(thick)) {
		t.Error("a cold circuit is as thin as a warm one")
	}
	if w, c := bytes.Count(warm, []byte("<path")), bytes.Count(cold, []byte("<path")); c <= w {
		t.Errorf("a cold circuit has %d strokes, a warm one %d", c, w)
	}
	if dashed := []byte("stroke-dasharray"); !bytes.Contains(warm, dashed) {
		t.Error("the way back is not dashed")
	}
}

// TestLoopPictureRefusesNoNumbers: what no answer can hold is no picture either.
func TestLoopPictureRefusesNoNumbers(t *testing.T) {
	c := circuit("a", 20, 50, 40, false)
	zero := 0.0
	c.Water[3] = quantity.Kelvin(zero / zero)
	if got, err := picture.Loop([]service.Circuit{c}, 1, "", false); err == nil {
		t.Errorf("%.200s", got)
	}
}

// comparePicture compares with a picture in testdata, or writes it anew.
func comparePicture(t *testing.T, name string, got []byte) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s is drawn otherwise; look at it, then go test ./api/picture -update", name)
	}
	if strings.Contains(string(got), "NaN") {
		t.Errorf("%s has a place that is no number", name)
	}
}
