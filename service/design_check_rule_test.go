package service_test

import (
	_ "embed"
	"encoding/csv"
	"math"
	"strconv"
	"strings"
	"testing"

	"recirc/calc/control"
	"recirc/calc/fault"
	"recirc/calc/network"
	"recirc/calc/pipe"
	"recirc/calc/quantity"
	"recirc/calc/rule"
	"recirc/calc/source"
	"recirc/service"
)

//go:embed testdata/rule_designs.csv
var ruleDesigns string

// TestEachRule: a design that meets it, one that just misses it and one that lacks an
// input come to these ends; and no rule is without the three.
func TestEachRule(t *testing.T) {
	r := csv.NewReader(strings.NewReader(ruleDesigns))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	tried := map[string]map[string]bool{}
	for _, row := range rows[1:] {
		id, end, design := row[0], row[1], row[2]
		if tried[id] == nil {
			tried[id] = map[string]bool{}
		}
		tried[id][end] = true
		t.Run(id+"/"+end, func(t *testing.T) {
			of, ok := rule.Find(id)
			if !ok {
				t.Fatal("there is no such rule")
			}
			req := designOf(t, design)
			req.Sets, req.EveryElement = []string{of.Set.ID}, true
			n := countsOf(t, req, id)
			good := map[string]bool{
				"meets":  n.Met > 0 && n.NotMet == 0 && n.NotAssessed == 0,
				"misses": n.NotMet > 0,
				"lacks":  n.NotAssessed > 0 && n.NotMet == 0,
			}[end]
			if !good {
				t.Errorf("%q: %d met, %d not, %d not assessed", design, n.Met, n.NotMet, n.NotAssessed)
			}
		})
	}
	for _, of := range rule.Rules() {
		for _, end := range []string{"meets", "misses", "lacks"} {
			if !tried[of.ID][end] {
				t.Errorf("rule %s has no design that %s it", of.ID, end)
			}
		}
	}
}

// TestEachRuleSaysWhereItIsFrom: no rule is without document, edition, clause, source,
// requirement, advice and severity; from memory and common practice say so.
func TestEachRuleSaysWhereItIsFrom(t *testing.T) {
	seen := map[string]bool{}
	for _, r := range rule.Rules() {
		for what, text := range map[string]string{"id": r.ID, "document": r.Document(), "edition": r.Edition(), "clause": r.Clause, "requirement": r.Requirement, "advice": r.Advice, "severity": string(r.Severity), "source": string(r.Source)} {
			if text == "" {
				t.Errorf("rule %s has no %s", r.ID, what)
			}
		}
		if seen[r.ID] {
			t.Errorf("two rules %s", r.ID)
		}
		seen[r.ID] = true
		if _, ok := source.Find(r.Source); !ok {
			t.Errorf("rule %s: there is no source %q", r.ID, r.Source)
		}
		if (r.Status == rule.CommonPractice) != (r.Source == "common_practice") {
			t.Errorf("rule %s of source %s has status %s", r.ID, r.Source, r.Status)
		}
	}
}

// mustCheck checks a design in which nothing is wrong.
func mustCheck(t testing.TB, req *service.DesignCheckRequest) *service.DesignCheck {
	t.Helper()
	var faults fault.List
	a := service.CheckDesign(req, &faults)
	if a == nil {
		t.Fatalf("%+v", faults.Faults())
	}
	return a
}

// countsOf checks a design and gives the counts of one rule.
func countsOf(t *testing.T, req *service.DesignCheckRequest, id string) service.RuleCount {
	t.Helper()
	a := mustCheck(t, req)
	for _, c := range a.Rules {
		if c.Rule.ID == id {
			return c
		}
	}
	t.Fatalf("rule %s is not in the answer", id)
	return service.RuleCount{}
}

// designWords reads the words of one design.
type designWords struct {
	t     *testing.T
	given map[string]string
}

func (w *designWords) take(name, usual string) string {
	text, ok := w.given[name]
	if !ok {
		return usual
	}
	delete(w.given, name)
	return text
}

// amount reads a number with its unit right behind it.
func (w *designWords) amount(text string, d *quantity.Dimension) float64 {
	w.t.Helper()
	end := strings.IndexFunc(text, func(r rune) bool { return (r < '0' || r > '9') && r != '.' })
	if end < 0 {
		w.t.Fatalf("%q has no unit", text)
	}
	x, err := strconv.ParseFloat(text[:end], 64)
	unit, ok := d.Unit(text[end:])
	if err != nil || !ok {
		w.t.Fatalf("%q is no %s", text, d.Name)
	}
	return unit.ToSI(x)
}

func (w *designWords) temperature(text string) quantity.Temperature {
	return quantity.Kelvin(w.amount(text, quantity.TemperatureDimension))
}

// designOf builds a design of the words of the table: a heater, a supply, with returns
// a branch behind their start, and a fixture.
func designOf(t *testing.T, text string) *service.DesignCheckRequest {
	t.Helper()
	w := &designWords{t, map[string]string{}}
	for _, word := range strings.Fields(text) {
		name, value, _ := strings.Cut(word, "=")
		w.given[name] = value
	}
	req := &service.DesignCheckRequest{System: w.system()}
	req.Control = w.control()
	w.facts(req)
	return req
}

func (w *designWords) system() network.System {
	s := network.System{Heater: network.Heater{Node: "heater", Type: network.HeaterType(w.take("heater", "storage"))}}
	if outlet := w.take("outlet", "60degC"); outlet != "none" {
		s.Heater.OutletTemperature = w.temperature(outlet)
	}
	if flow := w.take("activation", ""); flow != "" {
		s.Heater.ActivationFlow = quantity.CubicMetresPerSecond(w.amount(flow, quantity.FlowDimension))
	}
	if mixed := w.take("mixing", ""); mixed != "" {
		s.MixingValve = &network.MixingValve{OutletTemperature: w.temperature(mixed), ReturnTo: w.take("join", "")}
		if least := w.take("least", ""); least != "" {
			s.MixingValve.LeastFlow = quantity.CubicMetresPerSecond(w.amount(least, quantity.FlowDimension))
		}
	}
	if around := w.take("around", ""); around != "" {
		s.Defaults.Surroundings = &network.Surroundings{Type: "still_air", Temperature: w.temperature(around)}
	}
	tube, bore := w.tube()
	s.Defaults.Insulation = w.insulation()
	w.pipes(&s, tube, bore)
	f := network.Fixture{ID: "tap", Node: "tap", Type: w.take("fixture", "other")}
	if flow := w.take("flow", "6L/min"); flow != "none" {
		f.HotFlow = quantity.CubicMetresPerSecond(w.amount(flow, quantity.FlowDimension))
	}
	s.Fixtures = []network.Fixture{f}
	return s
}

// tube is that of every pipe, with its bore in m.
func (w *designWords) tube() (network.TubeSpec, float64) {
	if own := w.take("tube", ""); own != "" { // outside by wall
		outside, wall, _ := strings.Cut(strings.TrimSuffix(own, "mm"), "x")
		D, _ := strconv.ParseFloat(outside, 64)
		s, _ := strconv.ParseFloat(wall, 64)
		return network.TubeSpec{Outside: quantity.Millimetres(D), Wall: quantity.Millimetres(s), Material: pipe.Copper}, (D - 2*s) / 1000
	}
	if bore := w.take("bore", ""); bore != "" {
		d := w.amount(bore, quantity.LengthDimension)
		return network.TubeSpec{Bore: quantity.Metres(d), Material: pipe.Copper}, d
	}
	spec := network.TubeSpec{Series: w.take("series", "copper_type_l"), Nominal: w.take("nominal", "1/2")}
	found, ok := pipe.Find(spec.Series, spec.Nominal)
	if !ok {
		w.t.Fatalf("no tube %+v", spec)
	}
	return spec, found.Bore.Metres()
}

// insulation is thickness@conductivity in Btu.in/(h.ft2.degF), and 0 where it is said to
// be bare.
func (w *designWords) insulation() *network.Insulation {
	text := w.take("insulation", "")
	if text == "" {
		return nil
	}
	thickness, k, given := strings.Cut(text, "@")
	if !given {
		return &network.Insulation{Layers: []network.InsulationLayer{{}}}
	}
	return &network.Insulation{Layers: []network.InsulationLayer{{
		Thickness:    quantity.Metres(w.amount(thickness, quantity.LengthDimension)),
		Conductivity: quantity.WattsPerMetreKelvin(w.amount(k+"Btu.in/(h.ft2.degF)", quantity.ConductivityDimension)),
	}}}
}

func (w *designWords) pipes(s *network.System, tube network.TubeSpec, bore float64) {
	branch := 1.0
	switch text := w.take("branch", "1m"); {
	case text == "0":
		branch = 0
	case strings.HasSuffix(text, "L"):
		branch = w.amount(text, quantity.VolumeDimension) / (math.Pi / 4 * bore * bore)
	default:
		branch = w.amount(text, quantity.LengthDimension)
	}
	returns, _ := strconv.Atoi(w.take("returns", "0"))
	if w.take("return", "") == "yes" {
		returns = 1
	}
	if returns == 0 {
		s.Pipes = []network.Pipe{supply("branch", "heater", "tap", branch, tube)}
		return
	}
	var valves []network.Valve
	if kind := w.take("ret_valve", ""); kind != "" {
		valves = []network.Valve{{Type: kind}}
	}
	last := "heater"
	for i := range returns {
		node := "start-" + strconv.Itoa(i)
		s.Pipes = append(s.Pipes, supply("supply-"+strconv.Itoa(i), last, node, 5, tube), back("return-"+strconv.Itoa(i), node, "heater", 5, tube, valves...))
		last = node
	}
	s.Pipes = append(s.Pipes, supply("branch", last, "tap", branch, tube))
}

func (w *designWords) control() *service.Control {
	kind := w.take("control", "")
	if kind == "" {
		return nil
	}
	c := &service.Control{Kind: control.Kind(kind)}
	seconds := func(text string) quantity.Duration {
		return quantity.Seconds(w.amount(text, quantity.DurationDimension))
	}
	if text := w.take("aquastat", ""); text != "" {
		start, stop, _ := strings.Cut(text, "-")
		c.Aquastat = &control.Aquastat{Start: w.temperature(start), Stop: w.temperature(stop)}
	}
	for _, window := range strings.FieldsFunc(w.take("windows", ""), func(r rune) bool { return r == ',' }) {
		from, to, _ := strings.Cut(window, "-")
		c.Windows = append(c.Windows, service.ControlWindow{From: seconds(from), To: seconds(to)})
	}
	if c.Kind == control.Timer && c.Windows == nil {
		c.Windows = []service.ControlWindow{{From: seconds("6h"), To: seconds("22h")}}
	}
	if text := w.take("cycle", ""); text != "" {
		on, off, _ := strings.Cut(text, "-")
		c.Cycle = &control.Cycle{On: seconds(on), Off: seconds(off)}
	}
	if text := w.take("run", ""); text != "" {
		d := seconds(text)
		c.LeastRun = &d
	}
	if text := w.take("rest", ""); text != "" {
		d := seconds(text)
		c.LeastRest = &d
	}
	return c
}

// facts states what is left, of the design, of the fixture or of every pipe.
func (w *designWords) facts(req *service.DesignCheckRequest) {
	var tap, pipes rule.Facts
	ofTap, ofPipes := false, false
	for name, text := range w.given {
		in, ok := rule.FindInput(name)
		if !ok {
			w.t.Fatalf("there is no input %q", name)
		}
		into := &req.Facts
		switch in.Of {
		case rule.OfFixture:
			into, ofTap = &tap, true
		case rule.OfPipe:
			into, ofPipes = &pipes, true
		}
		switch {
		case in.Kind == rule.Word:
			into.GiveWord(in, text)
		case in.Kind == rule.Flag:
			into.GiveFlag(in, text == "yes")
		case in.Kind == rule.Count:
			n, _ := strconv.ParseFloat(text, 64)
			into.Give(in, n)
		case strings.HasPrefix(text, "v"): // the flow of a velocity in m/s
			v, _ := strconv.ParseFloat(text[1:], 64)
			t, _ := pipe.Find(req.System.Pipes[0].Tube.Series, req.System.Pipes[0].Tube.Nominal)
			into.Give(in, v*math.Pi/4*t.Bore.Metres()*t.Bore.Metres())
		default:
			into.Give(in, w.amount(text, in.Dimension))
		}
	}
	if ofTap {
		req.Fixtures = []service.ElementFacts{{ID: "tap", Facts: tap}}
	}
	if ofPipes {
		for _, p := range req.System.Pipes {
			req.Pipes = append(req.Pipes, service.ElementFacts{ID: p.ID, Facts: pipes})
		}
	}
}
