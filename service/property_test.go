package service_test

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/fault"
	"recirc/calc/fixture"
	"recirc/calc/network"
	"recirc/calc/pipe"
	"recirc/calc/quantity"
	"recirc/calc/rule"
	"recirc/calc/source"
	"recirc/service"
)

// Invented systems, drawn for these tests.

var tubes = []network.TubeSpec{
	{Series: typeL, Nominal: "1/2"}, {Series: typeM, Nominal: "3/4"}, {Series: "pex_sdr9", Nominal: "3/8"}, {Nominal: "1"},
	{Series: tableX, Nominal: "22"}, {Series: "multilayer_metric", Nominal: "16x2"},
	{Bore: quantity.Millimetres(13)}, {Outside: quantity.Millimetres(20), Wall: quantity.Millimetres(2)},
}

// drawSystem draws a supply tree with taps, returns and heat-traced pipes.
func drawSystem(t *rapid.T) network.System {
	s := network.System{
		Heater: network.Heater{Node: "n0", Type: rapid.SampledFrom([]network.HeaterType{network.Storage, network.Tankless, network.PlateExchanger}).Draw(t, "heater")},
		Defaults: network.Defaults{
			TubeSeries: "pex_sdr9",
			Insulation: rapid.SampledFrom([]*network.Insulation{nil, {Layers: []network.InsulationLayer{{Thickness: quantity.Millimetres(13), Conductivity: quantity.WattsPerMetreKelvin(0.04)}}}}).Draw(t, "default insulation"),
		},
	}
	if rapid.Bool().Draw(t, "delay given") {
		delay := quantity.Seconds(rapid.Float64Range(0, 20).Draw(t, "delay"))
		s.Heater.StartUpDelay = &delay
	}
	leaf := []bool{true}
	for i := range rapid.IntRange(1, 12).Draw(t, "pipes") {
		from := rapid.IntRange(0, i).Draw(t, "from")
		p := network.Pipe{
			ID: fmt.Sprint("p", i), From: node(from), To: node(i + 1), Role: network.Supply,
			Length: quantity.Metres(rapid.Float64Range(0.01, 40).Draw(t, "m")), Tube: rapid.SampledFrom(tubes).Draw(t, "tube"),
		}
		switch rapid.IntRange(0, 5).Draw(t, "cover") {
		case 0:
			p.HeatTrace = &network.HeatTrace{}
		case 1:
			p.Insulation = &network.Insulation{}
		}
		s.Pipes = append(s.Pipes, p)
		leaf[from], leaf = false, append(leaf, true)
	}
	for n := range leaf {
		if n > 0 && rapid.IntRange(0, 4).Draw(t, "return") == 0 {
			s.Pipes = append(s.Pipes, network.Pipe{ID: fmt.Sprint("r", n), From: node(n), To: "n0", Role: network.Return, Length: quantity.Metres(5), Tube: tubes[0]})
		}
		if leaf[n] || rapid.Bool().Draw(t, "tap") {
			s.Fixtures = append(s.Fixtures, drawFixture(t, n))
		}
	}
	return s
}

func node(i int) string { return fmt.Sprint("n", i) }

func drawFixture(t *rapid.T, at int) network.Fixture {
	kind := rapid.SampledFrom(fixture.Types()).Draw(t, "type")
	f := network.Fixture{ID: fmt.Sprint("f", at), Node: node(at), Type: kind.ID}
	if !kind.HasDefault || rapid.Bool().Draw(t, "flow given") {
		f.HotFlow = quantity.CubicMetresPerSecond(rapid.Float64Range(1e-5, 1e-3).Draw(t, "m3/s"))
		f.HotFlowBasis = rapid.SampledFrom([]string{"", "rated", "measured"}).Draw(t, "basis")
	}
	return f
}

func deadLegs(t rapid.TB, req service.DeadLegsRequest) *service.DeadLegsAnswer {
	t.Helper()
	var faults fault.List
	a := service.DeadLegs(&req, &faults)
	if a == nil || !faults.Empty() {
		t.Fatal(faults.Err())
	}
	return a
}

func waitTimes(t rapid.TB, req service.WaitTimesRequest) *service.WaitTimesAnswer {
	t.Helper()
	var faults fault.List
	a := service.WaitTimes(&req, &faults)
	if a == nil || !faults.Empty() {
		t.Fatal(faults.Err())
	}
	return a
}

func same(a, b float64) bool { return math.Abs(a-b) <= 1e-12*max(math.Abs(a), math.Abs(b)) }

// TestOrderOfTheRequestDoesNotMatter: pipes and fixtures may come in any order.
func TestOrderOfTheRequestDoesNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSystem(t)
		mixed := s
		mixed.Pipes = rapid.Permutation(s.Pipes).Draw(t, "pipes")
		mixed.Fixtures = rapid.Permutation(s.Fixtures).Draw(t, "fixtures")
		legs, waits := map[string]service.DeadLeg{}, map[string]service.WaitTime{}
		for _, d := range deadLegs(t, service.DeadLegsRequest{System: mixed}).Fixtures {
			legs[d.Fixture] = d
		}
		for _, w := range waitTimes(t, service.WaitTimesRequest{PlugFlowOnly: true, System: mixed}).Fixtures {
			waits[w.Fixture] = w
		}
		for i, d := range deadLegs(t, service.DeadLegsRequest{System: s}).Fixtures {
			if d.Fixture != s.Fixtures[i].ID || !reflect.DeepEqual(d, legs[d.Fixture]) {
				t.Fatalf("%+v became %+v", d, legs[d.Fixture])
			}
		}
		for i, w := range waitTimes(t, service.WaitTimesRequest{PlugFlowOnly: true, System: s}).Fixtures {
			if w.Fixture != s.Fixtures[i].ID || w != waits[w.Fixture] {
				t.Fatalf("%+v became %+v", w, waits[w.Fixture])
			}
		}
	})
}

// split cuts pipe i in two of the same tube, the second one at the end of the list.
func split(s network.System, i int, share float64) network.System {
	s.Pipes = slices.Clone(s.Pipes)
	far, whole := s.Pipes[i], s.Pipes[i].Length.Metres()
	far.ID, far.From, far.Length = "far half", "middle", quantity.Metres(whole*(1-share))
	s.Pipes[i].To, s.Pipes[i].Length = "middle", quantity.Metres(whole*share)
	s.Pipes = append(s.Pipes, far)
	return s
}

// TestSplittingAPipeChangesOnlyTheRows: who draws a pipe as two gets the same
// lengths, volumes, verdicts, waits and notes, and one row more.
func TestSplittingAPipeChangesOnlyTheRows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSystem(t)
		i := rapid.IntRange(0, len(s.Pipes)-1).Draw(t, "which")
		cut := split(s, i, rapid.Float64Range(0.01, 0.99).Draw(t, "share"))
		a, b := deadLegs(t, service.DeadLegsRequest{System: s}), deadLegs(t, service.DeadLegsRequest{System: cut})
		more := 0
		for k, d := range a.Fixtures {
			e := b.Fixtures[k]
			rows := joinHalves(e.Pipes)
			more = max(more, len(e.Pipes)-len(rows))
			if d.HotSource != e.HotSource || !same(d.Length.Metres(), e.Length.Metres()) || !same(d.Volume.CubicMetres(), e.Volume.CubicMetres()) ||
				!slices.EqualFunc(d.Limits, e.Limits, sameVerdict) || !slices.EqualFunc(d.Pipes, rows, sameRow) {
				t.Fatalf("%+v became %+v", d, e)
			}
		}
		if a.Totals.Pipes+more != b.Totals.Pipes || !same(a.Totals.Length.Metres(), b.Totals.Length.Metres()) ||
			!same(a.Totals.Volume.CubicMetres(), b.Totals.Volume.CubicMetres()) || !reflect.DeepEqual(a.Totals.Limits, b.Totals.Limits) {
			t.Fatalf("totals %+v became %+v", a.Totals, b.Totals)
		}
		u, v := waitTimes(t, service.WaitTimesRequest{PlugFlowOnly: true, System: s}), waitTimes(t, service.WaitTimesRequest{PlugFlowOnly: true, System: cut})
		for k, w := range u.Fixtures {
			if x := v.Fixtures[k]; !same(w.PlugFlow.Seconds(), x.PlugFlow.Seconds()) || !same(w.VolumeDrawn.CubicMetres(), x.VolumeDrawn.CubicMetres()) || w.Class != x.Class {
				t.Fatalf("%+v became %+v", w, x)
			}
		}
		if !slices.Equal(codes(a.Notes), codes(b.Notes)) || !slices.Equal(codes(u.Notes), codes(v.Notes)) {
			t.Fatalf("notes %v and %v became %v and %v", codes(a.Notes), codes(u.Notes), codes(b.Notes), codes(v.Notes))
		}
	})
}

// joinHalves puts the rows of the two halves together again.
func joinHalves(rows []service.DeadLegPipe) []service.DeadLegPipe {
	var joined []service.DeadLegPipe
	for _, r := range rows {
		if r.Pipe == "far half" && len(joined) > 0 {
			near := &joined[len(joined)-1]
			near.Length = quantity.Metres(near.Length.Metres() + r.Length.Metres())
			near.Volume = quantity.CubicMetres(near.Volume.CubicMetres() + r.Volume.CubicMetres())
			continue
		}
		joined = append(joined, r)
	}
	return joined
}

func sameRow(a, b service.DeadLegPipe) bool {
	return a.Pipe == b.Pipe && a.Bore == b.Bore && a.BoreBasis == b.BoreBasis && same(a.Length.Metres(), b.Length.Metres()) && same(a.Volume.CubicMetres(), b.Volume.CubicMetres())
}

func sameVerdict(a, b rule.Verdict) bool {
	return a.Limit == b.Limit && a.Status == b.Status && a.Reason == b.Reason && a.Allowed == b.Allowed && a.HasAllowed == b.HasAllowed && same(a.Value, b.Value)
}

// codes lists all that an answer says beside its numbers.
func codes(n service.Notes) []string {
	var all []string
	for _, a := range n.Assumptions {
		all = append(all, "assumption "+a.Code)
	}
	for _, w := range n.Warnings {
		all = append(all, "warning "+w.Code)
	}
	for _, c := range n.Cautions {
		all = append(all, "caution "+c.Code)
	}
	for _, id := range n.Sources() {
		all = append(all, "source "+string(id))
	}
	return all
}

// TestRowsSumUp: the rows of a fixture make its length and volume; the totals
// count a pipe that several fixtures share once.
func TestRowsSumUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSystem(t)
		a := deadLegs(t, service.DeadLegsRequest{System: s})
		distinct := map[string]service.DeadLegPipe{}
		longest, largest := 0.0, 0.0
		for _, d := range a.Fixtures {
			length, volume := sum(d.Pipes)
			if !same(length, d.Length.Metres()) || !same(volume, d.Volume.CubicMetres()) {
				t.Fatalf("%s: rows make %v m and %v m3, the fixture has %v and %v", d.Fixture, length, volume, d.Length, d.Volume)
			}
			for _, r := range d.Pipes {
				distinct[r.Pipe] = r
			}
			longest, largest = max(longest, length), max(largest, volume)
		}
		rows := make([]service.DeadLegPipe, 0, len(distinct))
		for _, r := range distinct {
			rows = append(rows, r)
		}
		length, volume := sum(rows)
		if tot := a.Totals; tot.Fixtures != len(s.Fixtures) || tot.Pipes != len(rows) || !same(tot.Length.Metres(), length) || !same(tot.Volume.CubicMetres(), volume) {
			t.Fatalf("totals %+v, want %d pipes, %v m, %v m3", tot, len(rows), length, volume)
		}
		if !same(a.Totals.Longest.Length.Metres(), longest) || !same(a.Totals.Largest.Volume.CubicMetres(), largest) {
			t.Fatalf("longest %v, largest %v, want %v m and %v m3", a.Totals.Longest.Length, a.Totals.Largest.Volume, longest, largest)
		}
		brief := deadLegs(t, service.DeadLegsRequest{System: s, OmitPipes: true, ShowWorking: true})
		for i := range brief.Fixtures {
			if brief.Fixtures[i].Pipes != nil || brief.Fixtures[i].Volume != a.Fixtures[i].Volume {
				t.Fatalf("without rows %+v", brief.Fixtures[i])
			}
		}
	})
}

func sum(rows []service.DeadLegPipe) (metres, cubicMetres float64) {
	for _, r := range rows {
		metres += r.Length.Metres()
		cubicMetres += r.Volume.CubicMetres()
	}
	return metres, cubicMetres
}

// TestVerdictsAreCounted: every verdict is in the counts of its limit.
func TestVerdictsAreCounted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := deadLegs(t, service.DeadLegsRequest{System: drawSystem(t)})
		want, got := map[string]int{}, map[string]int{}
		for _, d := range a.Fixtures {
			for _, v := range d.Limits {
				want[v.Limit.ID+" "+string(v.Status)]++
			}
		}
		for _, c := range a.Totals.Limits {
			for status, n := range map[rule.Status]int{rule.Met: c.Met, rule.NotMet: c.NotMet, rule.NotAssessed: c.NotAssessed} {
				if n > 0 {
					got[c.Limit.ID+" "+string(status)] = n
				}
			}
		}
		if !reflect.DeepEqual(got, want) {
			t.Fatalf("counted %v, the verdicts are %v", got, want)
		}
	})
}

// TestWaitIsInverseToFlow: k times the flow, a k-th of the wait for the stored
// water; the start-up delay stays, and only where the heater is the hot source.
func TestWaitIsInverseToFlow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSystem(t)
		k := rapid.Float64Range(0.1, 10).Draw(t, "k")
		a := waitTimes(t, service.WaitTimesRequest{PlugFlowOnly: true, System: s})
		faster := s
		faster.Fixtures = slices.Clone(s.Fixtures)
		for i, w := range a.Fixtures {
			faster.Fixtures[i].HotFlow = quantity.CubicMetresPerSecond(k * w.HotFlow.CubicMetresPerSecond())
		}
		drawn, byClass := 0.0, map[string]int{}
		for i, w := range waitTimes(t, service.WaitTimesRequest{PlugFlowOnly: true, System: faster}).Fixtures {
			slow, delay := a.Fixtures[i], 0.0
			if s.Heater.StartUpDelay != nil && w.HotSource.Kind == network.HotHeater {
				delay = s.Heater.StartUpDelay.Seconds()
			}
			if w.StartUpDelay.Seconds() != delay || slow.StartUpDelay.Seconds() != delay {
				t.Fatalf("%s from %s: delay %v, want %v s", w.Fixture, w.HotSource.Kind, w.StartUpDelay, delay)
			}
			if math.Abs(k*(w.PlugFlow.Seconds()-delay)-(slow.PlugFlow.Seconds()-delay)) > 1e-9*max(1, slow.PlugFlow.Seconds()) {
				t.Fatalf("%s: %v became %v at %v times the flow", w.Fixture, slow.PlugFlow, w.PlugFlow, k)
			}
			if purge := slow.StoredVolume.CubicMetres() + slow.HotFlow.CubicMetresPerSecond()*delay; math.Abs(slow.VolumeDrawn.CubicMetres()-purge) > 1e-9*purge {
				t.Fatalf("%s: %v drawn, want the stored water and what runs during the delay: %v", w.Fixture, slow.VolumeDrawn, purge)
			}
			drawn += slow.VolumeDrawn.CubicMetres()
			byClass[slow.Class]++
			if slow.PlugFlow.Seconds() > a.Totals.Longest.PlugFlow.Seconds() {
				t.Fatalf("%s waits longer than the longest, %s", slow.Fixture, a.Totals.Longest.Fixture)
			}
		}
		if a.Totals.Fixtures != len(s.Fixtures) || !same(a.Totals.VolumeDrawn.CubicMetres(), drawn) || !reflect.DeepEqual(a.Totals.ByClass, byClass) {
			t.Fatalf("totals %+v", a.Totals)
		}
	})
}

// TestWorkingIsTheAnswer: the working holds the numbers of the answer, and its
// equations hold between them.
func TestWorkingIsTheAnswer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSystem(t)
		legs := deadLegs(t, service.DeadLegsRequest{System: s, ShowWorking: true})
		waits := waitTimes(t, service.WaitTimesRequest{PlugFlowOnly: true, System: s, ShowWorking: true})
		k, m := 0, 0
		for i, d := range legs.Fixtures {
			k = checkLeg(t, d, legs.Working, k)
			m = checkLeg(t, d, waits.Working, m)
			w, subject := waits.Fixtures[i], "fixture "+d.Fixture
			q := step(t, waits.Working, m, subject, "q", w.HotFlow.CubicMetresPerSecond())
			delay := step(t, waits.Working, m+1, subject, "t_s", w.StartUpDelay.Seconds())
			wait := step(t, waits.Working, m+2, subject, "t", w.PlugFlow.Seconds())
			drawn := step(t, waits.Working, m+3, subject, "V_w", w.VolumeDrawn.CubicMetres())
			if !same(wait, w.StoredVolume.CubicMetres()/q+delay) || !same(drawn, q*wait) || w.StoredVolume != d.Volume {
				t.Fatalf("the steps of %s do not follow from each other: %+v", subject, w)
			}
			m += 4
		}
		if len(legs.Working) != k || len(waits.Working) != m {
			t.Fatalf("%d and %d steps, want %d and %d", len(legs.Working), len(waits.Working), k, m)
		}
		registered(t, legs.Notes, legs.Working)
		registered(t, waits.Notes, waits.Working)
		if deadLegs(t, service.DeadLegsRequest{System: s}).Working != nil || waitTimes(t, service.WaitTimesRequest{PlugFlowOnly: true, System: s}).Working != nil {
			t.Fatal("working that nobody asked for")
		}
	})
}

// checkLeg checks the steps of one dead leg from k on and gives where they end.
func checkLeg(t *rapid.T, d service.DeadLeg, working []service.Step, k int) int {
	t.Helper()
	lengths, volumes := 0.0, 0.0
	for _, r := range d.Pipes {
		bore := step(t, working, k, "pipe "+r.Pipe, "d", r.Bore.Metres())
		length := step(t, working, k+1, "pipe "+r.Pipe, "L", r.Length.Metres())
		volume := step(t, working, k+2, "pipe "+r.Pipe, "V", r.Volume.CubicMetres())
		if !same(volume, math.Pi/4*bore*bore*length) {
			t.Fatalf("pipe %s: %v m3 do not follow from %v m and %v m", r.Pipe, volume, bore, length)
		}
		lengths, volumes, k = lengths+length, volumes+volume, k+3
	}
	if l, v := step(t, working, k, "fixture "+d.Fixture, "L_d", d.Length.Metres()), step(t, working, k+1, "fixture "+d.Fixture, "V_d", d.Volume.CubicMetres()); !same(l, lengths) || !same(v, volumes) {
		t.Fatalf("fixture %s: %v m and %v m3, the steps before make %v and %v", d.Fixture, l, v, lengths, volumes)
	}
	return k + 2
}

func step(t *rapid.T, working []service.Step, k int, subject, symbol string, value float64) float64 {
	t.Helper()
	if k >= len(working) {
		t.Fatalf("the working ends before %s of %s", symbol, subject)
	}
	s := working[k]
	if s.Subject != subject || s.Symbol != symbol || s.Value != value || s.Name == "" || s.Equation == "" || s.Dimension == nil {
		t.Fatalf("step %d is %+v, want %s = %v of %s", k, s, symbol, value, subject)
	}
	return s.Value
}

// registered checks that whatever an answer cites is in the registry and in its
// own list of sources.
func registered(t *rapid.T, n service.Notes, working []service.Step) {
	t.Helper()
	listed := n.Sources()
	cited := slices.Clone(listed)
	for _, s := range working {
		cited = append(cited, s.Source)
	}
	for _, a := range n.Assumptions {
		if a.Source != "" {
			cited = append(cited, a.Source)
		}
	}
	for _, c := range n.Cautions {
		if c.Source != "" {
			cited = append(cited, c.Source)
		}
	}
	for _, id := range cited {
		if _, ok := source.Find(id); !ok || !slices.Contains(listed, id) {
			t.Fatalf("source %q: registered %v, listed %v", id, ok, slices.Contains(listed, id))
		}
	}
	if !slices.IsSorted(listed) || len(slices.Compact(slices.Clone(listed))) != len(listed) {
		t.Fatalf("sources %v are not sorted, or one comes twice", listed)
	}
}

// TestAnswersNameTheirSources: those of every method, tube and limit used, also
// without working, and none of a limit by which nothing was judged.
func TestAnswersNameTheirSources(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSystem(t)
		a, w := deadLegs(t, service.DeadLegsRequest{System: s}), waitTimes(t, service.WaitTimesRequest{PlugFlowOnly: true, System: s})
		registered(t, a.Notes, nil)
		registered(t, w.Notes, nil)
		want := map[source.ID]bool{"geometry": true}
		series := map[string]network.TubeSpec{}
		for _, p := range s.Pipes {
			series[p.ID] = p.Tube
		}
		for _, d := range a.Fixtures {
			for _, r := range d.Pipes {
				spec := series[r.Pipe]
				if spec.Series == "" {
					spec.Series = s.Defaults.TubeSeries
				}
				if tube, ok := pipe.Find(spec.Series, spec.Nominal); ok {
					want[tube.Source] = true
				}
			}
		}
		for id := range want {
			if !slices.Contains(w.Sources(), id) {
				t.Fatalf("the waits do not name %s", id)
			}
		}
		if !slices.Contains(w.Sources(), "plug_flow") || !slices.Contains(w.Sources(), "aspe_dwh_performance") {
			t.Fatalf("the waits do not name method and classes: %v", w.Sources())
		}
		for _, d := range a.Fixtures {
			for _, v := range d.Limits {
				want[v.Limit.Source] = true
			}
		}
		for id := range want {
			if !slices.Contains(a.Sources(), id) {
				t.Fatalf("the dead legs do not name %s", id)
			}
		}
		for _, l := range rule.Limits() {
			if !want[l.Source] && slices.Contains(a.Sources(), l.Source) {
				t.Fatalf("the dead legs name %s, by which nothing was judged", l.Source)
			}
		}
	})
}

// TestAssumedFlowsAreAllNamed: each fixture without a flow, and each flow
// without a basis, stands in an assumption, and no other.
func TestAssumedFlowsAreAllNamed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSystem(t)
		want := map[string][]string{}
		a := waitTimes(t, service.WaitTimesRequest{PlugFlowOnly: true, System: s})
		for i, f := range s.Fixtures {
			at, got, basis, flow := fmt.Sprint("/system/fixtures/", i), a.Fixtures[i], f.HotFlowBasis, f.HotFlow
			switch kind, _ := fixture.Find(f.Type); {
			case f.HotFlow == quantity.Flow{}:
				want["default_hot_flow "+kind.PublishedFlow] = append(want["default_hot_flow "+kind.PublishedFlow], at)
				basis, flow = "default", kind.DefaultHotFlow
			case f.HotFlowBasis == "":
				want["default_hot_flow_basis rated"] = append(want["default_hot_flow_basis rated"], at+"/hot_flow")
				basis = "rated"
			}
			if got.HotFlowBasis != basis || got.HotFlow != flow {
				t.Fatalf("%s: %v, %s; want %v, %s", f.ID, got.HotFlow, got.HotFlowBasis, flow, basis)
			}
		}
		named := map[string][]string{}
		for _, n := range a.Assumptions {
			if strings.HasPrefix(n.Code, "default_hot_flow") {
				named[n.Code+" "+n.Value] = append(named[n.Code+" "+n.Value], n.Pointers...)
			}
		}
		for _, pointers := range []map[string][]string{named, want} {
			for _, p := range pointers {
				slices.Sort(p)
			}
		}
		if !reflect.DeepEqual(named, want) {
			t.Fatalf("named %v, want %v", named, want)
		}
	})
}
