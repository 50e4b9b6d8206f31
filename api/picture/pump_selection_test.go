package picture_test

import (
	"fmt"
	"strings"
	"testing"

	"recirc/api/picture"
	"recirc/calc/fault"
	"recirc/calc/pump"
	"recirc/calc/quantity"
	"recirc/service"
)

// invented is a pump that gives up to a head at up to a flow.
func invented(id string, head, litresPerMinute, watts float64, approved bool) service.PumpCandidate {
	c := service.PumpCandidate{ID: id, Approved: &approved}
	for i := range 6 {
		x := float64(i) / 5
		p := pump.Point{Flow: quantity.CubicMetresPerSecond(litresPerMinute * x / 6e4), Head: quantity.Metres(head * (1 - 0.97*x*x))}
		if watts > 0 {
			p.Power = quantity.PowerWatts(watts * (0.6 + 0.4*x))
		}
		c.Curve = append(c.Curve, p)
	}
	return c
}

func selectionOf(t *testing.T, candidates ...service.PumpCandidate) *service.PumpSelectionAnswer {
	t.Helper()
	req := service.PumpSelectionRequest{
		Duty:       service.DutyRequest{Basis: service.DutyGiven, Flow: quantity.CubicMetresPerSecond(8 / 6e4), Head: quantity.Metres(1.2)},
		Candidates: candidates,
	}
	faults := new(fault.List)
	a := service.PumpSelection(&req, faults)
	if a == nil {
		t.Fatal(faults.Faults())
	}
	return a
}

func fourPumps() []service.PumpCandidate {
	return []service.PumpCandidate{
		invented("fits", 2, 16, 22, true), invented("fits too", 3, 14, 28, true),
		invented("not approved", 2.4, 20, 30, false), invented("too small", 0.9, 10, 9, true),
	}
}

func manyPumps(n int, watts float64) []service.PumpCandidate {
	var all []service.PumpCandidate
	for i := range n {
		all = append(all, invented(fmt.Sprintf("circulator number %d of the long list", i+1), 1+0.2*float64(i), 12+float64(i), watts, i%3 > 0))
	}
	return all
}

// TestPumpPictures compares invented selections with the pictures in testdata.
func TestPumpPictures(t *testing.T) {
	for _, p := range []struct {
		name  string
		pumps []service.PumpCandidate
		us    bool
	}{
		{"pumps.svg", fourPumps(), false}, {"pumps-many.svg", manyPumps(20, 0), true},
	} {
		got, err := picture.PumpSelection(selectionOf(t, p.pumps...), p.us)
		if err != nil {
			t.Fatal(err)
		}
		comparePicture(t, p.name, got)
	}
}

// TestPumpPictureSays what is drawn, and what is not.
func TestPumpPictureSays(t *testing.T) {
	for _, p := range []struct {
		name      string
		pumps     []service.PumpCandidate
		us        bool
		says, not []string
	}{
		{"four", fourPumps(), false, []string{
			"<title>Where each pump meets the system</title>", "flow, L/min", "head, m", "electrical power, W", ">system<", ">duty<", ">1  fits, accepted<", ">3  not approved, rejected<",
			"The duty is 8 L/min at 1.2 m.", "4, too small, rejected, meets the system at ",
		}, nil},
		{"US units", fourPumps()[:1], true, []string{"flow, gal/min", "head, ft"}, []string{"L/min", "rejected"}},
		{"no power", manyPumps(2, 0), false, []string{"head, m"}, []string{"electrical power"}},
		{"too many", manyPumps(20, 10), false, []string{"<title>Where the first 8 of 20 pumps meet the system</title>"}, []string{"9  "}},
		{"one that does not meet the system", []service.PumpCandidate{func() service.PumpCandidate {
			c := invented("short curve", 3, 14, 0, true)
			c.Curve = c.Curve[:2]
			return c
		}()}, false, []string{"does not meet the system on its curve"}, nil},
		{"names that are markup", []service.PumpCandidate{invented(`</text><script>alert(1)</script>&"`+"\x00", 2, 16, 22, true)}, false, nil, []string{"<script>", "\x00"}},
	} {
		t.Run(p.name, func(t *testing.T) {
			got, err := picture.PumpSelection(selectionOf(t, p.pumps...), p.us)
			if err != nil {
				t.Fatal(err)
			}
			checkSays(t, got, p.says, p.not)
		})
	}
}

// TestAcceptedSurvivesGreyscale: an accepted pump is told by its line, its mark
// and a word, not by its colour.
func TestAcceptedSurvivesGreyscale(t *testing.T) {
	drawn := func(approved bool) string {
		got, err := picture.PumpSelection(selectionOf(t, invented("a", 2, 16, 0, approved)), false)
		if err != nil {
			t.Fatal(err)
		}
		return string(got)
	}
	accepted, rejected := drawn(true), drawn(false)
	if strings.Contains(accepted, "stroke-dasharray") || !strings.Contains(rejected, "stroke-dasharray") {
		t.Error("the line of a rejected pump is drawn as that of an accepted one")
	}
	if !strings.Contains(accepted, "a, accepted") || !strings.Contains(rejected, "a, rejected") {
		t.Error("the legend does not tell them apart")
	}
}
