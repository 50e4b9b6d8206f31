package service_test

import (
	"math"
	"strings"
	"testing"

	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/calc/rule"
	"recirc/service"
)

// checkCase is one collected case: designs as they were described, and the ends that
// rules come to.
type checkCase struct {
	id, told string // told: what the case says, and what is right where it is wrong
	design   string // in the words of designOf
	edit     func(*service.DesignCheckRequest)

	// ends is one line a rule: id, status, and where they are measured value and limit,
	// to 0.5 %. The status silent means that the rule does not speak about the design.
	ends string
}

// sixMetresBefore puts 6 m of 22 mm tube, 0.32 L/m, before the branch.
func sixMetresBefore(req *service.DesignCheckRequest) {
	first := req.System.Pipes[0]
	first.ID, first.To, first.Length = "first", "middle", quantity.Metres(6)
	first.Tube.Bore = quantity.Millimetres(20.18510)
	req.System.Pipes[0].From = "middle"
	req.System.Pipes = append([]network.Pipe{first}, req.System.Pipes...)
}

func TestDesignCheckCases(t *testing.T) {
	for _, c := range checkCases {
		t.Run(c.id+"/"+c.design, func(t *testing.T) {
			req := designOf(t, c.design)
			if c.edit != nil {
				c.edit(req)
			}
			a := mustCheck(t, req)
			for _, line := range strings.Split(c.ends, "\n") {
				if end := strings.Fields(line); len(end) == 2 || len(end) == 4 {
					wantEnd(t, a, end)
				} else {
					t.Fatalf("no end: %q", line)
				}
			}
			if t.Failed() {
				t.Log(c.told)
			}
		})
	}
}

// wantEnd compares one rule: id, status, value, limit.
func wantEnd(t *testing.T, a *service.DesignCheck, end []string) {
	t.Helper()
	if _, ok := rule.Find(end[0]); !ok {
		t.Fatalf("there is no rule %q", end[0])
	}
	found := findingsOf(a, end[0])
	if end[1] == "silent" {
		if len(found) > 0 {
			t.Errorf("%s speaks: %s", end[0], found[0].Detail)
		}
		return
	}
	if len(found) == 0 {
		t.Errorf("%s does not speak", end[0])
		return
	}
	f := found[0]
	if string(f.Status) != end[1] {
		t.Errorf("%s: %s, want %s: %s", end[0], f.Status, end[1], f.Detail)
		return
	}
	if f.Status == rule.NotAssessed && len(f.Missing) == 0 {
		t.Errorf("%s does not say what is missing", end[0])
	}
	if len(end) == 2 {
		return
	}
	w := designWords{t: t}
	value, limit := w.amount(end[2], f.Dimension), w.amount(end[3], f.Dimension)
	if !f.HasValue || !f.HasLimit || math.Abs(f.Value-value) > 0.005*value || math.Abs(f.Limit-limit) > 0.005*limit {
		t.Errorf("%s: value %g, want %s; limit %g, want %s", end[0], f.Value, end[2], f.Limit, end[3])
	}
}

// TestDesignCheckShowsClashes: what disagrees in G01 is told, not resolved: 36 ft meet
// one document and miss another, 2 ft meet one method and miss the other.
func TestDesignCheckShowsClashes(t *testing.T) {
	for _, c := range []struct {
		design      string
		sets        []string
		kind        service.ClashKind
		met, notMet string
	}{
		{"building=commercial fixture=public_lavatory_faucet branch=36ft", []string{"ipc_2018", "iecc_commercial_2015"}, service.DocumentsClash, "ipc_607_2", "iecc_c404_5_1_length iecc_c404_5_2_volume"},
		{"building=commercial fixture=public_lavatory_faucet branch=2ft", []string{"iecc_commercial_2015"}, service.MethodsClash, "iecc_c404_5_1_length", "iecc_c404_5_2_volume"},
		{"building=commercial branch=51ft series=pex_sdr9", []string{"iecc_commercial_2015"}, service.MethodsClash, "iecc_c404_5_2_volume", "iecc_c404_5_1_length"},
	} {
		req := designOf(t, c.design)
		req.Sets = c.sets
		a := mustCheck(t, req)
		if len(a.Clashes) != 1 {
			t.Fatalf("%s: %d clashes", c.design, len(a.Clashes))
		}
		clash := a.Clashes[0]
		if clash.Kind != c.kind || ids(clash.Met) != c.met || ids(clash.NotMet) != c.notMet || clash.Count != 1 || clash.Elements[0] != "/system/fixtures/0" {
			t.Errorf("%s: %+v", c.design, clash)
		}
	}
}

func ids(rules []*rule.Rule) string {
	var all []string
	for _, r := range rules {
		all = append(all, r.ID)
	}
	return strings.Join(all, " ")
}
