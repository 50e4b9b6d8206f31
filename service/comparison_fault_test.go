package service_test

import (
	"testing"

	"recirc/calc/control"
	"recirc/calc/fault"
	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/service"
)

// comparisonOf compares one arrangement with none.
func comparisonOf(a service.Arrangement) *service.RetrofitComparisonRequest {
	return &service.RetrofitComparisonRequest{
		System: inventedHouse(), Draws: inventedDraws(),
		Arrangements: []service.Arrangement{{ID: "as it is", Type: service.NoCirculation}, a},
	}
}

// TestRetrofitComparisonsRefused: each fault a comparison can have, where it is.
func TestRetrofitComparisonsRefused(t *testing.T) {
	usd := func(x float64) *service.Money { return &service.Money{Amount: x, Currency: "USD"} }
	with := func(change func(*service.Arrangement)) func(*service.RetrofitComparisonRequest) {
		return func(r *service.RetrofitComparisonRequest) { change(&r.Arrangements[1]) }
	}
	controlled := func(c service.Control) func(*service.RetrofitComparisonRequest) {
		return with(func(a *service.Arrangement) { a.Control = &c })
	}
	variant := func(change func(*network.System)) func(*service.RetrofitComparisonRequest) {
		return with(func(a *service.Arrangement) {
			s := inventedHouse()
			change(&s)
			a.Variant = &s
		})
	}
	at := "/arrangements/1"
	cases := []struct {
		refused
		change func(*service.RetrofitComparisonRequest)
	}{
		// 24 days of 21,000 draws are 504,000.
		{refused{"twelve different months of many draws", fault.AnswerTooLarge, "/draws"}, func(r *service.RetrofitComparisonRequest) {
			r.Draws.Events = nil
			for i := range 21_000 {
				r.Draws.Events = append(r.Draws.Events, service.DrawEvent{Fixture: "shower", At: quantity.Seconds(4 * float64(i)), Volume: quantity.CubicMetres(1e-5)})
			}
			for m := range 12 {
				r.Draws.Factors = append(r.Draws.Factors, 1+float64(m)/100)
			}
		}},
		{refused{"no pump", fault.ArrangementIncomplete, at + "/pump"}, with(func(a *service.Arrangement) { a.Pump = nil })},
		{refused{"a cable without trace", fault.ArrangementIncomplete, at + "/heat_trace"}, with(func(a *service.Arrangement) { *a = service.Arrangement{ID: "x", Type: service.HeatTraced} })},
		{refused{"no small heater", fault.ArrangementIncomplete, at + "/local_heater"}, with(func(a *service.Arrangement) { *a = service.Arrangement{ID: "x", Type: service.PointOfUseHeater} })},
		{refused{"no insulation", fault.ArrangementIncomplete, at + "/insulation"}, with(func(a *service.Arrangement) { *a = service.Arrangement{ID: "x", Type: service.BetterInsulation} })},
		{refused{"a pump for nothing", fault.ArrangementContradicts, at + "/pump"}, with(func(a *service.Arrangement) { a.Type, a.Control = service.NoCirculation, nil })},
		{refused{"a valve in a return", fault.ArrangementContradicts, at + "/bypass_valve"}, with(func(a *service.Arrangement) { a.Bypass = &service.BypassValve{ClosesAt: quantity.Celsius(40)} })},
		{refused{"a cold line beside a return", fault.ArrangementContradicts, at + "/cold_line"}, with(func(a *service.Arrangement) { a.ColdLine = &service.ColdLine{} })},
		{refused{"a cable beside a return", fault.ArrangementContradicts, at + "/heat_trace"}, with(func(a *service.Arrangement) {
			a.Trace = &network.HeatTrace{MaintainedTemperature: quantity.Celsius(45)}
		})},
		{refused{"a small heater beside a return", fault.ArrangementContradicts, at + "/local_heater"}, with(func(a *service.Arrangement) { a.Local = &service.LocalHeater{} })},
		{refused{"a part of none", fault.ArrangementContradicts, "/arrangements/0/fixtures"}, func(r *service.RetrofitComparisonRequest) { r.Arrangements[0].Fixtures = []string{"basin"} }},
		{refused{"a valve on demand", fault.ArrangementContradicts, at + "/control/type"}, with(func(a *service.Arrangement) {
			a.Type, a.Control = service.ColdLineReturn, &service.Control{Kind: control.OnDemand}
		})},
		{refused{"a part that is not there", fault.FixtureUnknown, at + "/fixtures/0"}, with(func(a *service.Arrangement) { a.Fixtures = []string{"attic"} })},
		{refused{"a fixture twice", fault.ListedTwice, at + "/fixtures/1"}, with(func(a *service.Arrangement) { a.Fixtures = []string{"basin", "basin"} })},
		{refused{"no return", fault.ReturnsMissing, at + "/type"}, func(r *service.RetrofitComparisonRequest) {
			r.System.Pipes = r.System.Pipes[:5]
		}},
		{refused{"no return for the part", fault.ReturnsMissing, at + "/type"}, func(r *service.RetrofitComparisonRequest) {
			r.System.Pipes[5].From = "tee-kitchen" // and the kitchen hangs on the heater
			r.System.Pipes[1].From = "heater"
			r.Arrangements[1].Fixtures = []string{"kitchen"}
		}},
		{refused{"a timer without windows", fault.ControlIncomplete, at + "/control/windows"}, controlled(service.Control{Kind: control.Timer})},
		{refused{"windows of an aquastat", fault.ControlContradicts, at + "/control/windows"}, controlled(service.Control{Kind: control.AquastatOnly, Windows: []service.ControlWindow{{To: quantity.Seconds(1)}}})},
		{refused{"temperatures of a timer", fault.ControlContradicts, at + "/control/aquastat"}, controlled(service.Control{Kind: control.DutyCycle, Aquastat: &control.Aquastat{}})},
		{refused{"a sensor of a duty cycle", fault.ControlContradicts, at + "/control/sensor_node"}, controlled(service.Control{Kind: control.DutyCycle, Sensor: "basin"})},
		{refused{"a trigger of a duty cycle", fault.ControlContradicts, at + "/control/trigger"}, controlled(service.Control{Kind: control.DutyCycle, Trigger: &service.DemandTrigger{}})},
		{refused{"a cycle of an aquastat", fault.ControlContradicts, at + "/control/cycle"}, controlled(service.Control{Kind: control.AquastatOnly, Cycle: &control.Cycle{}})},
		{refused{"stop below start", fault.ControlContradicts, at + "/control/aquastat"}, controlled(service.Control{Kind: control.AquastatOnly, Aquastat: &control.Aquastat{Start: quantity.Celsius(45), Stop: quantity.Celsius(40)}})},
		{refused{"a window of no length", fault.ControlContradicts, at + "/control/windows/0"}, controlled(service.Control{Kind: control.Timer, Windows: []service.ControlWindow{{From: quantity.Seconds(3600), To: quantity.Seconds(3600)}}})},
		{refused{"a sensor nowhere", fault.NodeUnknown, at + "/control/sensor_node"}, controlled(service.Control{Kind: control.AquastatOnly, Sensor: "attic"})},
		{refused{"a sensor at the heater of a cold line", fault.NodeUnreachable, at + "/control/sensor_node"}, with(func(a *service.Arrangement) {
			a.Type, a.Control = service.ColdLineReturn, &service.Control{Kind: control.AquastatOnly, Sensor: "heater"}
		})},
		{refused{"a sum and labour", fault.CostAmbiguous, at + "/install_cost/sum"}, with(func(a *service.Arrangement) { a.Install = &service.InstallCost{Sum: usd(1), Labour: usd(1)} })},
		{refused{"an empty install cost", fault.CostAmbiguous, at + "/install_cost"}, with(func(a *service.Arrangement) { a.Install = &service.InstallCost{} })},
		{refused{"another currency", fault.CurrencyMixed, at + "/yearly_maintenance/currency"}, with(func(a *service.Arrangement) {
			a.Install, a.Maintenance = &service.InstallCost{Sum: usd(1)}, &service.Money{Amount: 1, Currency: "EUR"}
		})},
		{refused{"a variant without a fixture", fault.VariantDiffers, at + "/system/fixtures"}, variant(func(s *network.System) { s.Fixtures = s.Fixtures[:2]; s.Pipes = append(s.Pipes[:4:4], s.Pipes[5]) })},
		{refused{"a variant with another fixture", fault.VariantDiffers, at + "/system/fixtures/0/id"}, variant(func(s *network.System) { s.Fixtures[0].ID = "pantry" })},
		{refused{"a variant that is no system", fault.NodeUnreachable, at + "/system/pipes/3/from"}, variant(func(s *network.System) { s.Pipes[3].From = "attic" })},
		{refused{"two of one id", fault.DuplicateID, at + "/id"}, with(func(a *service.Arrangement) { a.ID = "as it is" })},
		{refused{"a baseline that is not there", fault.ArrangementUnknown, "/baseline"}, func(r *service.RetrofitComparisonRequest) { r.Baseline = "new" }},
		{refused{"nobody draws", fault.DrawsIncomplete, "/draws"}, func(r *service.RetrofitComparisonRequest) { r.Draws = service.DrawPlan{} }},
		{refused{"shares without a pattern", fault.DrawsContradict, "/draws/shares"}, func(r *service.RetrofitComparisonRequest) {
			r.Draws.Shares = []service.DrawShare{{Fixture: "basin", Share: 1}}
		}},
		{refused{"a share of nothing", fault.FixtureUnknown, "/draws/shares/0/fixture"}, func(r *service.RetrofitComparisonRequest) {
			r.Draws = service.DrawPlan{Weekday: service.PatternDay{Pattern: "eu_m"}, Shares: []service.DrawShare{{Fixture: "attic", Share: 1}}}
		}},
		{refused{"no share", fault.DrawsIncomplete, "/draws/shares"}, func(r *service.RetrofitComparisonRequest) {
			r.Draws = service.DrawPlan{Weekday: service.PatternDay{Pattern: "eu_m"}, Shares: []service.DrawShare{{Fixture: "basin"}}}
		}},
		{refused{"a pattern by the clock begins", fault.DrawsContradict, "/draws/begins_at"}, func(r *service.RetrofitComparisonRequest) {
			six := quantity.Seconds(6 * 3600)
			r.Draws = service.DrawPlan{Weekday: service.PatternDay{Pattern: "eu_m", Begins: &six}}
		}},
		{refused{"a draw at nothing", fault.FixtureUnknown, "/draws/events/0/fixture"}, func(r *service.RetrofitComparisonRequest) { r.Draws.Events[0].Fixture = "attic" }},
		{refused{"mains twice", fault.ConditionsContradict, "/conditions/climate"}, func(r *service.RetrofitComparisonRequest) {
			r.Conditions = service.YearConditions{Mains: make([]quantity.Temperature, 12), Climate: &service.Climate{Mean: quantity.Celsius(10)}}
		}},
		{refused{"a month twice", fault.ListedTwice, "/conditions/heating_season/months/1"}, func(r *service.RetrofitComparisonRequest) {
			r.Conditions.Season = &service.HeatingSeason{Months: []int{1, 1}}
		}},
		{refused{"nominal without inflation", fault.LifeCycleIncomplete, "/life_cycle/inflation"}, func(r *service.RetrofitComparisonRequest) {
			r.LifeCycle = &service.LifeCycle{Years: 10, Nominal: true}
		}},
		{refused{"a replacement after the end", fault.LifeCycleIncomplete, at + "/replacements/0/year"}, func(r *service.RetrofitComparisonRequest) {
			r.LifeCycle = &service.LifeCycle{Years: 10}
			r.Arrangements[1].Replacements = []service.Replacement{{Year: 12, Cost: *usd(1)}}
		}},
		{refused{"weights without any", fault.RankingIncomplete, "/ranking/weights"}, func(r *service.RetrofitComparisonRequest) { r.Ranking.By = service.ByWeights }},
		{refused{"weights for nothing", fault.RankingIncomplete, "/ranking/weights"}, func(r *service.RetrofitComparisonRequest) {
			r.Ranking.Weights = map[service.ComparisonCriterion]float64{service.ByWater: 1}
		}},
		{refused{"two prices of electricity", fault.CostAmbiguous, "/prices/heater_energy"}, func(r *service.RetrofitComparisonRequest) {
			r.HeaterEnergy = &service.HeaterEnergy{Carrier: "electricity", Efficiency: 1}
			r.Prices.Heater = &service.EnergyPrice{Currency: "USD"}
		}},
		{refused{"two factors of electricity", fault.CostAmbiguous, "/emission_factors/heater_energy"}, func(r *service.RetrofitComparisonRequest) {
			r.HeaterEnergy = &service.HeaterEnergy{Carrier: "electricity", Efficiency: 1}
			r.Emissions.Heater = new(quantity.EmissionFactor)
		}},
		{refused{"an input twice", fault.ListedTwice, "/ranges/1/input"}, func(r *service.RetrofitComparisonRequest) {
			r.Ranges = []service.InputRange{{Input: service.WaterPriceInput, Low: 0.5, High: 2}, {Input: service.WaterPriceInput, Low: 0.5, High: 2}}
		}},
		{refused{"a cold line of no size", fault.TubeIncomplete, at + "/cold_line/tube"}, with(func(a *service.Arrangement) {
			a.Type, a.Control, a.ColdLine = service.ColdLineReturn, nil, &service.ColdLine{Tube: &network.TubeSpec{}}
		})},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			req := comparisonOf(service.Arrangement{ID: "return", Type: service.DedicatedReturn, Pump: pumpOf(1.5, 25), Control: &service.Control{Kind: control.Continuous}})
			c.change(req)
			var faults fault.List
			if a := service.RetrofitComparison(req, &faults); a != nil {
				t.Fatal("answered")
			}
			found := false
			for _, f := range faults.Faults() {
				found = found || f.Code == c.code && f.Pointer == c.pointer
			}
			if !found {
				t.Errorf("wanted %s at %s, got %+v", c.code, c.pointer, faults.Faults())
			}
		})
	}
}

// TestControlSimulationsRefused: what a comparison does not have.
func TestControlSimulationsRefused(t *testing.T) {
	for _, c := range []struct {
		refused
		nodes []string
	}{
		{refused{"a node that is not there", fault.NodeUnknown, "/nodes/0"}, []string{"attic"}},
		{refused{"a node twice", fault.ListedTwice, "/nodes/1"}, []string{"basin", "basin"}},
		{refused{"the heater without a return", fault.NodeUnreachable, "/nodes/0"}, []string{"heater"}},
	} {
		req := &service.ControlSimulationRequest{System: inventedHouse(), Draws: inventedDraws(), Arrangement: service.Arrangement{ID: "as it is", Type: service.NoCirculation}, Nodes: c.nodes}
		var faults fault.List
		if service.ControlSimulation(req, &faults) != nil || len(faults.Faults()) != 1 || faults.Faults()[0].Code != c.code || faults.Faults()[0].Pointer != c.pointer {
			t.Errorf("%s: %+v", c.name, faults.Faults())
		}
	}
}
