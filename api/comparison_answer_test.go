package api

import (
	"math"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	"recirc/api/answer"
	"recirc/calc/control"
	"recirc/calc/quantity"
	"recirc/service"
)

// These tests write answers made by hand, invented figures all. The bare ones have
// every list filled and no optional member, the rich ones have all of them; which
// members there are is read in the contract.

var (
	someVolume  = quantity.CubicMetres(0.003785411784) // 1 gal
	someEnergy  = quantity.Joules(3.6e6)               // 1 kWh
	someTime    = quantity.Seconds(30)
	someMass    = quantity.Kilograms(0.45359237) // 1 lb
	someMoney   = 12.5
	someRatio   = 1.75
	someFinding = service.ControlFinding{Code: control.NeverRuns, Pointer: "/arrangement/control", Detail: "A sentence."}
	someNotes   = service.Notes{
		Assumptions: []service.Assumption{{Code: "us_gallon", Detail: "A sentence.", Value: "231 in3", Pointers: []string{"/draws"}, Source: "nist_sp_811"}},
		Warnings:    []service.Warning{{Code: "draws_not_served", Pointer: "/draws", Detail: "A sentence."}},
		Cautions:    []service.Caution{{Code: "scalding", Detail: "A sentence.", Source: "common_practice"}},
	}
	someSteps = []service.Step{{Subject: "return", Symbol: "C", Name: "cost", Value: 1, Dimension: quantity.EnergyDimension, Equation: "given", Source: "common_practice"}}
	someHeat  = service.HeatBalance{
		Heater: quantity.Joules(36e6), Pump: quantity.Joules(1.8e6), Trace: quantity.Joules(0), Local: quantity.Joules(7.2e6), Drawn: quantity.Joules(18e6), RunToWaste: someEnergy,
		LostSupply: quantity.Joules(10.8e6), LostReturn: quantity.Joules(5.4e6), LostColdLine: someEnergy, LostLocal: someEnergy, Stored: quantity.Joules(-1.8e6),
	}
)

// noteless are notes whose optional members are left out.
func noteless() service.Notes {
	n := someNotes
	n.Assumptions = []service.Assumption{{Code: "us_gallon", Detail: "A sentence.", Value: "231 in3"}}
	n.Cautions = []service.Caution{{Code: "scalding", Detail: "A sentence."}}
	return n
}

func bareWaits() service.WaitDistribution {
	return service.WaitDistribution{Draws: 4, NotServed: 4, Within: []service.ServedWithin{{Wait: someTime}}}
}

func richWaits() service.WaitDistribution {
	longest := quantity.Seconds(90)
	return service.WaitDistribution{Draws: 12.5, NotServed: 0.5, Median: &someTime, Tenth: &longest, Longest: &longest, Within: []service.ServedWithin{{Wait: someTime, Share: 0.5}}}
}

func bareControlDay() *service.ControlSimulationAnswer {
	return &service.ControlSimulationAnswer{
		Arrangement: "as it is", Span: service.WeekdaySpan, Month: 1,
		Pumps:    []service.PumpDay{{Runs: []service.PumpRun{{From: someTime, To: quantity.Seconds(60)}}, RunTime: someTime, Starts: 1}},
		Nodes:    []service.NodeDay{{Node: "top", Lowest: cool, Highest: warm, Points: []service.TimedTemperature{{Time: someTime, Temperature: warm}}}},
		Draws:    []service.DrawServed{{Fixture: "sink", At: someTime, Water: service.HotWater, Wait: someTime, Mean: cool}},
		Waits:    bareWaits(),
		Water:    service.WaterBalance{HotDrawn: someVolume, RunToWaste: someVolume},
		Heat:     someHeat,
		Findings: []service.ControlFinding{someFinding},
		Notes:    noteless(),
	}
}

func richControlDay() *service.ControlSimulationAnswer {
	a := bareControlDay()
	a.Span, a.Month, a.Waits, a.Notes, a.Working = service.WeekSpan, 12, richWaits(), someNotes, someSteps
	a.HasPump, a.PumpEnergy, a.Balance = true, quantity.Joules(1.8e6), 1e-9
	a.Pumps[0].Fixture = "sink"
	a.Draws[0].Served, a.Draws[0].RunToWaste = true, someVolume
	a.Water.Lukewarm = &service.LukewarmCold{Volume: someVolume, Mean: cool, Highest: warm}
	a.Proposals = service.ControlProposals{
		Timer: &service.TimerProposal{
			Windows: []service.ControlWindow{{Days: "weekend", From: quantity.Seconds(23_400), To: quantity.Seconds(30_630)}, {From: quantity.Seconds(0), To: quantity.Seconds(86_400)}},
			RunTime: quantity.Seconds(7230), Covered: 0.9,
		},
		Aquastat: &service.AquastatProposal{Arrives: warm, Aquastat: control.Aquastat{Start: quantity.Celsius(45), Stop: cool}},
		Cycle:    &service.CycleProposal{Cool: quantity.Seconds(1800), Renew: someTime, Cycle: control.Cycle{On: quantity.Seconds(60), Off: quantity.Seconds(1740)}},
	}
	return a
}

func bareComparison() *service.RetrofitComparisonAnswer {
	return &service.RetrofitComparisonAnswer{
		Baseline: "as it is",
		Arrangements: []service.ComparedArrangement{{
			ID: "as it is", Type: service.NoCirculation, Rank: 1, Reason: "A sentence.", Waits: bareWaits(),
			Water: service.WaterBalance{HotDrawn: someVolume, RunToWaste: someVolume}, Heat: someHeat,
			Missing: service.NotAssessedItems(), Findings: []service.ControlFinding{someFinding},
		}},
		Ranking:     service.RankingResult{By: service.ByWaits, Order: []string{"as it is"}, CouldNotWeigh: []service.NotAssessed{service.NoLifeCycle}},
		Sensitivity: []service.WinnerRange{{Input: service.DrawVolumeInput}},
		Notes:       noteless(),
	}
}

func richComparison() *service.RetrofitComparisonAnswer {
	a := bareComparison()
	a.Currency, a.Notes, a.Working = "EUR", someNotes, someSteps
	c := &a.Arrangements[0]
	c.ID, c.Type, c.Rank, c.Waits, c.Balance = "return", service.DedicatedReturn, 2, richWaits(), 1e-9
	c.Farthest = &service.FixtureWaits{Fixture: "sink", Draws: 2.5, Median: &someTime, Tenth: &someTime}
	c.Water.Lukewarm = &service.LukewarmCold{Volume: someVolume, Mean: cool, Highest: warm}
	c.Useful, c.Returned, c.Missing = someEnergy, cool, nil
	c.Energy = service.EnergyTaken{Heater: &someEnergy, Efficiency: 0.8, Pump: someEnergy, Trace: someEnergy, Local: someEnergy, Electricity: &someEnergy, Total: &someEnergy}
	c.Pump = &service.PumpYear{Hours: 730.5, Starts: 365.25}
	c.Cost = service.YearlyCost{Electricity: &someMoney, Heater: &someMoney, Water: &someMoney, Sewer: &someMoney, Maintenance: &someMoney, Total: &someMoney}
	c.Emitted = &someMass
	c.Life = &service.LifeCycleResult{Install: 1000, NetPresent: 1500.25, Annual: 125, Cumulative: []float64{1000, 1012.5}}
	loss := -someMoney
	c.Savings = service.Savings{
		Water: someVolume, Lost: quantity.Joules(-3.6e6), Energy: &someEnergy, Emitted: &someMass, Cost: &loss, NetPresent: &loss, Ratio: &someRatio,
		Simple: &service.Payback{State: service.PaidBackAfter, Years: 7.5}, Discounted: &service.Payback{State: service.PaidBackAfter},
	}
	a.Sensitivity = []service.WinnerRange{{Input: service.ElectricityPriceInput, From: new(float64), To: &someRatio, Below: "as it is", Above: "return"}}
	outcome := service.RangedOutcome{
		Ratio: 0, First: "return",
		Arrangements: []service.RangedArrangement{{ID: "return", RunToWaste: someVolume, Lost: someEnergy, Energy: &someEnergy, Cost: &someMoney, NetPresent: &someMoney}},
	}
	a.Ranges = []service.RangedResult{{Input: service.InstallCostInput, Low: outcome, High: outcome}}
	return a
}

// handMade are the answers above with their schemas.
var handMade = []struct {
	name, schema string
	rich         bool
	write        func(*answer.Writer)
}{
	{"a bare day", "ControlSimulationAnswer", false, func(w *answer.Writer) { writeControlSimulation(w, bareControlDay()) }},
	{"a rich day", "ControlSimulationAnswer", true, func(w *answer.Writer) { writeControlSimulation(w, richControlDay()) }},
	{"a bare comparison", "RetrofitComparisonAnswer", false, func(w *answer.Writer) { writeRetrofitComparison(w, bareComparison()) }},
	{"a rich comparison", "RetrofitComparisonAnswer", true, func(w *answer.Writer) { writeRetrofitComparison(w, richComparison()) }},
}

// TestComparisonAnswersKeepTheContract looks for every member of the contract in the
// rich answers, and for none of its optional members in the bare ones.
func TestComparisonAnswersKeepTheContract(t *testing.T) {
	doc := contractDocument(t)
	for _, row := range handMade {
		schema := doc.Components.Schemas[row.schema].Value
		all, optional := membersOf(schema)
		for _, us := range []bool{false, true} {
			tree := writtenTree(t, us, row.write)
			if err := schema.VisitJSON(tree); err != nil {
				t.Errorf("%s: %v", row.name, err)
			}
			wanted := optional
			if row.rich {
				wanted = all
			}
			for _, at := range wanted {
				if has(tree, strings.Split(at, "/")) != row.rich {
					t.Errorf("%s: %s is there: %v", row.name, at, !row.rich)
				}
			}
		}
	}
}

// membersOf lists the ways to all members of what a schema describes, and to those
// that may be left out of what must be there; * is any item of a list.
func membersOf(s *openapi3.Schema) (all, optional []string) {
	var walk func(at string, s *openapi3.Schema, needed bool)
	walk = func(at string, s *openapi3.Schema, needed bool) {
		for _, part := range s.AllOf {
			walk(at, part.Value, needed)
		}
		if s.Items != nil {
			walk(at+"*/", s.Items.Value, needed)
		}
		required := map[string]bool{}
		for _, name := range s.Required {
			required[name] = true
		}
		for name, p := range s.Properties {
			all = append(all, at+name)
			if needed && !required[name] {
				optional = append(optional, at+name)
			}
			walk(at+name+"/", p.Value, needed && required[name])
		}
	}
	walk("", s, true)
	return all, optional
}

// TestComparisonAnswerFigures reads figures back, in both unit systems. 1 kWh is
// 3412.14 Btu (International Table), 1 lb is 0.45359237 kg, 1 gal 3.785411784 L.
func TestComparisonAnswerFigures(t *testing.T) {
	day := func(w *answer.Writer) { writeControlSimulation(w, richControlDay()) }
	year := func(w *answer.Writer) { writeRetrofitComparison(w, richComparison()) }
	const kWh, btu = `{"unit":"kWh","value":1}`, `{"unit":"Btu","value":3412.14}`
	for _, row := range []struct {
		write  func(*answer.Writer)
		at     string
		si, us string
		why    string
	}{
		{day, "pump_energy", `{"unit":"kWh","value":0.5}`, `{"unit":"kWh","value":0.5}`, "electricity is in kWh everywhere"},
		{day, "heat/pump", `{"unit":"kWh","value":0.5}`, `{"unit":"Btu","value":1706.07}`, "heat, whatever it came from"},
		{day, "heat/stored", `{"unit":"kWh","value":-0.5}`, `{"unit":"Btu","value":-1706.07}`, "less than before"},
		{day, "heat/trace", `{"unit":"kWh","value":0}`, `{"unit":"Btu","value":0}`, "none, which is known"},
		{day, "nodes/0/lowest", `{"unit":"degC","value":50}`, `{"unit":"degF","value":122}`, ""},
		{day, "waits/draws", `12.5`, `12.5`, "a count of representative draws"},
		{day, "water/run_to_waste", `{"unit":"L","value":3.78541}`, `{"unit":"gal","value":1}`, ""},
		{day, "proposals/timer/windows/0", `{"days":"weekend","from":"06:30","to":"08:30:30"}`, `{"days":"weekend","from":"06:30","to":"08:30:30"}`, ""},
		{day, "proposals/timer/windows/1", `{"from":"00:00","to":"24:00"}`, `{"from":"00:00","to":"24:00"}`, "all day, on both types of day"},
		{day, "proposals/aquastat/start", `{"unit":"degC","value":45}`, `{"unit":"degF","value":113}`, ""},
		{year, "arrangements/0/energy/pump", kWh, kWh, "electricity is in kWh everywhere"},
		{year, "arrangements/0/energy/trace", kWh, kWh, "the same"},
		{year, "arrangements/0/energy/local_heater", kWh, kWh, "the same"},
		{year, "arrangements/0/energy/electricity", kWh, kWh, "the same"},
		{year, "arrangements/0/energy/heater", kWh, btu, ""},
		{year, "arrangements/0/energy/total", kWh, btu, ""},
		{year, "arrangements/0/heat/local_heater", `{"unit":"kWh","value":2}`, `{"unit":"Btu","value":6824.28}`, ""},
		{year, "arrangements/0/emissions", `{"unit":"kg","value":0.453592}`, `{"unit":"lb","value":1}`, ""},
		{year, "arrangements/0/savings/heat_lost", `{"unit":"kWh","value":-1}`, `{"unit":"Btu","value":-3412.14}`, "it loses more"},
		{year, "arrangements/0/savings/yearly_cost", `{"amount":-12.5,"currency":"EUR"}`, `{"amount":-12.5,"currency":"EUR"}`, "it costs more"},
		{year, "arrangements/0/savings/simple_payback", `{"state":"after","years":7.5}`, `{"state":"after","years":7.5}`, ""},
		{year, "arrangements/0/savings/discounted_payback", `{"state":"after","years":0}`, `{"state":"after","years":0}`, "at the very start"},
		{year, "arrangements/0/life_cycle/cumulative_cost/1", `{"amount":1012.5,"currency":"EUR"}`, `{"amount":1012.5,"currency":"EUR"}`, ""},
		{year, "arrangements/0/not_assessed", `[]`, `[]`, "all is known"},
		{year, "sensitivity/0/from", `0`, `0`, "an end at nothing is an end"},
		{year, "ranges/0/low/ratio", `0`, `0`, "nothing of it"},
	} {
		for us, want := range map[bool]string{false: row.si, true: row.us} {
			if got := figureAt(t, writtenTree(t, us, row.write), row.at); got != want {
				t.Errorf("%s, US %v: %s, want %s; %s", row.at, us, got, want, row.why)
			}
		}
	}
}

// TestPaybackYears: years stand only where extra money comes back after some.
func TestPaybackYears(t *testing.T) {
	for _, state := range service.PaybackStates() {
		a := richComparison()
		a.Arrangements[0].Savings.Simple = &service.Payback{State: state, Years: 3}
		tree := writtenTree(t, false, func(w *answer.Writer) { writeRetrofitComparison(w, a) })
		if has(tree, strings.Split("arrangements/*/savings/simple_payback/years", "/")) != (state == service.PaidBackAfter) {
			t.Errorf("%s: years are there: %v", state, state != service.PaidBackAfter)
		}
	}
}

// TestComparisonAnswersAreFinite: a figure that is none is no answer.
func TestComparisonAnswersAreFinite(t *testing.T) {
	day, year := richControlDay(), richComparison()
	day.Balance, year.Arrangements[0].Life.Annual = math.NaN(), math.Inf(1)
	for name, write := range map[string]func(*answer.Writer){
		"NaN": func(w *answer.Writer) { writeControlSimulation(w, day) }, "an endless cost": func(w *answer.Writer) { writeRetrofitComparison(w, year) },
	} {
		var w answer.Writer
		write(&w)
		if text, err := w.Bytes(); err == nil {
			t.Errorf("%s is written: %s", name, text)
		}
	}
}
