package picture_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"recirc/api/picture"
	"recirc/calc/quantity"
)

func hour(h float64) quantity.Duration { return quantity.Seconds(3600 * h) }

// invented is a run of so many days: a pump that runs a quarter of an hour out of
// every hour from six to ten and from seventeen to twenty-one, and nodes that it warms.
func inventedRun(days, nodes int) *picture.ControlRun {
	r := &picture.ControlRun{Days: days, Levels: []picture.Level{{Name: "aquastat starts", At: quantity.Celsius(29.4)}, {Name: "aquastat stops", At: quantity.Celsius(40.6)}}}
	on := func(h float64) bool {
		of := math.Mod(h, 24)
		return (of >= 6 && of < 10 || of >= 17 && of < 21) && math.Mod(h, 1) < 0.25
	}
	for h := 0.0; h < float64(24*days); h++ {
		if on(h) {
			r.Running = append(r.Running, picture.Span{From: hour(h), To: hour(h + 0.25)})
		}
		if of := math.Mod(h, 24); of > 5 && of < 23 {
			r.Draws = append(r.Draws, hour(h+0.1), hour(h+0.55+0.3*math.Sin(h)))
		}
	}
	for i := range nodes {
		n := picture.NodeCurve{Name: fmt.Sprintf("riser %d, top floor", i+1)}
		warm := 22.0
		for h := 0.0; h <= float64(24*days); h += 1.0 / 60 {
			if on(h) {
				warm += (58 - 2*float64(i) - warm) / (3 + 2*float64(i))
			} else {
				warm += (20 - warm) / (90 + 15*float64(i))
			}
			n.Times, n.Temperatures = append(n.Times, hour(h)), append(n.Temperatures, quantity.Celsius(warm))
		}
		r.Nodes = append(r.Nodes, n)
	}
	return r
}

func week() *picture.ControlRun {
	r := inventedRun(7, 8)
	r.DayName = []string{"Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday and holidays"}
	return r
}

// TestControlPictures compares invented runs with the pictures in testdata.
func TestControlPictures(t *testing.T) {
	for _, p := range []struct {
		name string
		run  *picture.ControlRun
		us   bool
	}{{"control-day.svg", inventedRun(1, 3), false}, {"control-week.svg", week(), true}} {
		got, err := picture.ControlDays(p.run, p.us)
		if err != nil {
			t.Fatal(err)
		}
		comparePicture(t, p.name, got)
	}
}

// TestControlPictureSays what is drawn, and what is not.
func TestControlPictureSays(t *testing.T) {
	bare := &picture.ControlRun{Days: 1}
	hostile := inventedRun(2, 1)
	hostile.Nodes[0].Name, hostile.DayName, hostile.Levels[0].Name = markup, []string{markup}, markup
	for _, p := range []struct {
		name      string
		run       *picture.ControlRun
		us        bool
		says, not []string
	}{
		{"a day", inventedRun(1, 2), false, []string{
			"<title>Pump and temperatures over a day</title>", "temperature, degC", "time of day, h", ">pump on<", ">draws<", ">riser 1, top floor<", ">aquastat stops: 40.6 degC<",
			"The pump runs 2 h in 8 stretches. Hot water is drawn 34 times.", "riser 1, top floor: from ",
		}, []string{"nodes are shown"}},
		{"US units", inventedRun(1, 1), true, []string{"temperature, degF", "aquastat starts: 84.92 degF"}, []string{"degC"}},
		{"a week of many nodes", week(), false, []string{"over 7 days", "time since the first midnight, h", ">Monday<", ">6 of 8 nodes are shown.<", "riser 6"}, []string{"riser 7"}},
		{"nothing happens", bare, false, []string{"The pump runs 0 h in 0 stretches.", ">pump on<"}, nil},
		{"names that are markup", hostile, false, nil, []string{"<script>", "\x00"}},
	} {
		t.Run(p.name, func(t *testing.T) {
			got, err := picture.ControlDays(p.run, p.us)
			if err != nil {
				t.Fatal(err)
			}
			checkSays(t, got, p.says, p.not)
		})
	}
}

const markup = `</text><script>alert(1)</script>&"` + "\x00"

// TestControlPictureIsBounded: a pump that starts every other second and a draw a
// second for a week make no picture of tens of megabytes, and no peak is lost.
func TestControlPictureIsBounded(t *testing.T) {
	r := &picture.ControlRun{Days: 7, Nodes: []picture.NodeCurve{{Name: "n"}}}
	for s := 0.0; s < 7*86400; s += 2 {
		r.Running = append(r.Running, picture.Span{From: quantity.Seconds(s), To: quantity.Seconds(s + 1)})
		r.Draws = append(r.Draws, quantity.Seconds(s))
		at := quantity.Celsius(0)
		if s == 1000 {
			at = quantity.Celsius(100)
		}
		r.Nodes[0].Times, r.Nodes[0].Temperatures = append(r.Nodes[0].Times, quantity.Seconds(s)), append(r.Nodes[0].Temperatures, at)
	}
	got, err := picture.ControlDays(r, false)
	if err != nil || len(got) > 1<<20 {
		t.Fatalf("%d bytes, %v", len(got), err)
	}
	checkSays(t, got, []string{"n: from 0 to 100 degC.", ">100<"}, nil) // the axis reaches the peak
}

func TestControlPictureRefuses(t *testing.T) {
	nan := math.NaN()
	for what, change := range map[string]func(*picture.ControlRun){
		"no day":             func(r *picture.ControlRun) { r.Days = 0 },
		"eight days":         func(r *picture.ControlRun) { r.Days = 8 },
		"no temperature":     func(r *picture.ControlRun) { r.Nodes[0].Temperatures[5] = quantity.Kelvin(nan) },
		"no time":            func(r *picture.ControlRun) { r.Nodes[0].Times[5] = quantity.Seconds(nan) },
		"a draw at no time":  func(r *picture.ControlRun) { r.Draws[0] = quantity.Seconds(nan) },
		"a run for ever":     func(r *picture.ControlRun) { r.Running[0].To = quantity.Seconds(math.Inf(1)) },
		"a level of none":    func(r *picture.ControlRun) { r.Levels[0].At = quantity.Kelvin(nan) },
		"fewer temperatures": func(r *picture.ControlRun) { r.Nodes[0].Temperatures = r.Nodes[0].Temperatures[1:] },
	} {
		r := inventedRun(1, 1)
		change(r)
		if got, err := picture.ControlDays(r, false); err == nil {
			t.Errorf("%s: %.200s", what, got)
		}
	}
}

// TestNodesSurviveGreyscale: two nodes are told apart by their dashes.
func TestNodesSurviveGreyscale(t *testing.T) {
	r := inventedRun(1, 2)
	r.Levels = nil
	got, err := picture.ControlDays(r, false)
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(string(got), "stroke-dasharray"); n != 2 { // the second node's line and its swatch
		t.Errorf("%d dashed lines", n)
	}
}
