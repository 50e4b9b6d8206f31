package service_test

import (
	"math"
	"reflect"
	"slices"
	"testing"

	"recirc/calc/control"
	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/service"
)

// wrapped is a house whose pipes lose as little as the physics takes, a ten-thousandth
// of a bare pipe, with a tap on the connection of its return.
func wrapped() network.System {
	s := inventedHouse()
	s.Defaults.Surroundings = &network.Surroundings{Type: "given_coefficient", Temperature: fahrenheit(68), SurfaceCoefficient: quantity.WattsPerSquareMetreKelvin(0.001)}
	s.Fixtures = append(s.Fixtures, network.Fixture{ID: "on the loop", Node: "tee-bath", Type: "lavatory_faucet", HotFlow: gallonsPerMinute(1)})
	return s
}

// TestAPerfectLoopLosesNothing: nor does anybody wait at its connection.
func TestAPerfectLoopLosesNothing(t *testing.T) {
	req := comparisonOf(service.Arrangement{ID: "return", Type: service.DedicatedReturn, Pump: pumpOf(1.5, 0), Control: &service.Control{Kind: control.Continuous}})
	req.System = wrapped()
	req.Draws.Events = []service.DrawEvent{{Fixture: "on the loop", At: quantity.Seconds(8 * 3600), Volume: quantity.CubicMetres(0.01)}}
	a := compare(t, req).Arrangements[1]
	if lost := a.Heat.Lost().Joules(); lost > 0.02*a.Heat.Drawn.Joules() {
		t.Errorf("lost %g J of %g drawn", lost, a.Heat.Drawn.Joules())
	}
	if a.Waits.Longest == nil || a.Waits.Longest.Seconds() > 0.01 || a.Water.RunToWaste.CubicMetres() > 1e-6 {
		t.Errorf("waited %v, wasted %v", a.Waits.Longest, a.Water.RunToWaste)
	}
}

// TestNobodyDraws: then nothing is wasted, and what the heater gives is lost.
func TestNobodyDraws(t *testing.T) {
	req := comparisonOf(service.Arrangement{ID: "return", Type: service.DedicatedReturn, Pump: pumpOf(1.5, 25), Control: &service.Control{Kind: control.Continuous}})
	req.Draws.Factors = make([]float64, 12)
	for _, a := range compare(t, req).Arrangements {
		if a.Waits.Draws != 0 || a.Water.RunToWaste.CubicMetres() != 0 || a.Heat.Drawn.Joules() != 0 {
			t.Errorf("%s: %+v", a.ID, a.Water)
		}
		in, lost := a.Heat.Heater.Joules()+a.Heat.Pump.Joules(), a.Heat.Lost().Joules()
		if math.Abs(in-lost) > 1e-6*math.Max(in, 1) {
			t.Errorf("%s: %g J in, %g lost", a.ID, in, lost)
		}
	}
}

// TestAnAquastatThatNeverStartsIsNone: but for the heat of the returns, which stand.
func TestAnAquastatThatNeverStartsIsNone(t *testing.T) {
	never := control.Aquastat{Start: quantity.Celsius(1), Stop: quantity.Celsius(2)}
	req := comparisonOf(service.Arrangement{ID: "return", Type: service.DedicatedReturn, Pump: pumpOf(1.5, 25), Control: &service.Control{Kind: control.AquastatOnly, Aquastat: &never}})
	all := compare(t, req).Arrangements
	none, idle := all[0], all[1]
	if !reflect.DeepEqual(none.Waits, idle.Waits) || none.Water.RunToWaste != idle.Water.RunToWaste {
		t.Errorf("waits and water differ: %+v and %+v", none.Waits, idle.Waits)
	}
	if math.Abs(none.Heat.Heater.Joules()-idle.Heat.Heater.Joules()) > 1e-9*none.Heat.Heater.Joules() || idle.Pump.Starts != 0 {
		t.Errorf("heat %v and %v, starts %v", none.Heat.Heater, idle.Heat.Heater, idle.Pump.Starts)
	}
	if !slices.ContainsFunc(idle.Findings, func(f service.ControlFinding) bool { return f.Code == control.StartOutOfReach }) {
		t.Errorf("findings: %v", idle.Findings)
	}
}

// TestTheOrderOfArrangementsChangesNothing: nor does that of pipes.
func TestTheOrderOfArrangementsChangesNothing(t *testing.T) {
	req := &service.RetrofitComparisonRequest{System: inventedHouse(), Arrangements: sixWays(), Draws: inventedDraws(), Baseline: "as it is"}
	priceAll(req)
	a := compare(t, req)
	slices.Reverse(req.Arrangements)
	slices.Reverse(req.System.Pipes)
	slices.Reverse(req.Draws.Events)
	b := compare(t, req)
	if !slices.Equal(a.Ranking.Order, b.Ranking.Order) {
		t.Errorf("ranked %v and %v", a.Ranking.Order, b.Ranking.Order)
	}
	for i, one := range a.Arrangements {
		other := b.Arrangements[len(b.Arrangements)-1-i]
		if one.ID != other.ID || math.Abs(one.Life.NetPresent-other.Life.NetPresent) > 1e-6*one.Life.NetPresent || math.Abs(one.Heat.Heater.Joules()-other.Heat.Heater.Joules()) > 1e-6*one.Heat.Heater.Joules() {
			t.Errorf("%s: %v and %v", one.ID, one.Life.NetPresent, other.Life.NetPresent)
		}
	}
}

// priceAll gives invented prices, install costs and a study.
func priceAll(req *service.RetrofitComparisonRequest) {
	req.HeaterEnergy = &service.HeaterEnergy{Carrier: "natural_gas", Efficiency: 0.62}
	req.Prices = service.Prices{
		Electricity: &service.EnergyPrice{PerJoule: 0.16 / 3.6e6, Currency: "USD"}, Heater: &service.EnergyPrice{PerJoule: 1.3 / 1.054804e8, Currency: "USD"},
		Water: &service.WaterPrice{PerCubicMetre: 1.3, Currency: "USD"}, Sewer: &service.WaterPrice{PerCubicMetre: 1.8, Currency: "USD"},
	}
	factor := quantity.KilogramsPerJoule(0.4 / 3.6e6)
	req.Emissions.Electricity = &factor
	req.LifeCycle = &service.LifeCycle{Years: 20, Rate: 0.03}
	for i := range req.Arrangements {
		cost := map[service.ArrangementType]float64{service.DedicatedReturn: 1400, service.ColdLineReturn: 500, service.OnDemandAtFixture: 700, service.PointOfUseHeater: 640}[req.Arrangements[i].Type]
		req.Arrangements[i].Install = &service.InstallCost{Sum: &service.Money{Amount: cost, Currency: "USD"}}
	}
}

// TestEveryDayCloses: heat in is heat drawn, lost and stored, in every arrangement.
func TestEveryDayCloses(t *testing.T) {
	req := &service.RetrofitComparisonRequest{System: inventedHouse(), Arrangements: sixWays(), Draws: inventedDraws()}
	for _, a := range compare(t, req).Arrangements {
		h := a.Heat
		in := h.Heater.Joules() + h.Pump.Joules() + h.Trace.Joules() + h.Local.Joules()
		out := h.Drawn.Joules() + h.RunToWaste.Joules() + h.Lost().Joules() + h.Stored.Joules()
		if a.Balance > 1e-6 || math.Abs(in-out) > 1e-6*in {
			t.Errorf("%s: %g in, %g out, worst day %g", a.ID, in, out, a.Balance)
		}
	}
}

// TestSensitivityEndsWhereTheWinnerChanges: just inside the first is first, just
// outside the one named is.
func TestSensitivityEndsWhereTheWinnerChanges(t *testing.T) {
	base := func() *service.RetrofitComparisonRequest {
		req := &service.RetrofitComparisonRequest{System: inventedHouse(), Arrangements: sixWays(), Draws: inventedDraws()}
		priceAll(req)
		return req
	}
	a := compare(t, base())
	ends := 0
	look := func(input service.RangedInput, at *float64, other string, outwards float64) {
		if at == nil {
			return
		}
		ends++
		for _, side := range []float64{-1, 1} {
			req := base()
			by := *at * (1 + side*outwards*1e-4)
			switch input {
			case service.ElectricityPriceInput:
				req.Prices.Electricity.PerJoule *= by
			case service.HeaterPriceInput:
				req.Prices.Heater.PerJoule *= by
			case service.WaterPriceInput:
				req.Prices.Water.PerCubicMetre *= by
				req.Prices.Sewer.PerCubicMetre *= by
			case service.DiscountRateInput:
				req.LifeCycle.Rate *= by
			case service.InstallCostInput:
				for i := range req.Arrangements {
					req.Arrangements[i].Install.Sum.Amount *= by
				}
			}
			want := a.Ranking.Order[0]
			if side > 0 {
				want = other
			}
			if got := compare(t, req).Ranking.Order[0]; got != want {
				t.Errorf("%s times %.6f: first is %q, wanted %q", input, by, got, want)
			}
		}
	}
	for _, s := range a.Sensitivity {
		look(s.Input, s.From, s.Below, -1)
		look(s.Input, s.To, s.Above, 1)
	}
	if len(a.Sensitivity) != 5 || ends == 0 {
		t.Errorf("%d inputs, %d ends", len(a.Sensitivity), ends)
	}
}

// TestRangesAreWhatAChangedRequestGives.
func TestRangesAreWhatAChangedRequestGives(t *testing.T) {
	base := func() *service.RetrofitComparisonRequest {
		req := &service.RetrofitComparisonRequest{System: inventedHouse(), Arrangements: sixWays()[:3], Draws: inventedDraws()}
		priceAll(req)
		return req
	}
	req := base()
	req.Ranges = []service.InputRange{{Input: service.DrawVolumeInput, Low: 0.5, High: 2}, {Input: service.PipeHeatLossInput, Low: 0.8, High: 1.5}, {Input: service.InstallCostInput, Low: 0.5, High: 2}}
	a := compare(t, req)
	double := base()
	double.Draws.Factors = slices.Repeat([]float64{2}, 12)
	want := compare(t, double)
	for i, got := range a.Ranges[0].High.Arrangements {
		if w := want.Arrangements[i].Life.NetPresent; math.Abs(*got.NetPresent-w) > 1e-6*w {
			t.Errorf("%s with twice the draws: %v, wanted %v", got.ID, *got.NetPresent, w)
		}
	}
	for i, got := range a.Ranges[1].High.Arrangements {
		if low := a.Ranges[1].Low.Arrangements[i].Lost.Joules(); got.Lost.Joules() <= low {
			t.Errorf("%s loses %v with 1.5 times the coefficients, %v with 0.8", got.ID, got.Lost, low)
		}
	}
	for i, got := range a.Ranges[2].High.Arrangements {
		if more := *got.NetPresent - a.Arrangements[i].Life.NetPresent; math.Abs(more-a.Arrangements[i].Life.Install) > 1e-6 {
			t.Errorf("%s: twice the install cost adds %v, wanted %v", got.ID, more, a.Arrangements[i].Life.Install)
		}
	}
}

// TestMonthsAlikeShareTheirDraws: and only those. Factors that differ by less than
// anything that counts keep months from sharing.
func TestMonthsAlikeShareTheirDraws(t *testing.T) {
	yearBy := func(factors ...float64) *service.RetrofitComparisonAnswer {
		req := &service.RetrofitComparisonRequest{System: inventedHouse(), Arrangements: sixWays()[:2], Draws: inventedDraws()}
		req.Draws.Factors = factors
		req.Ranges = []service.InputRange{{Input: service.DrawVolumeInput, Low: 0.5, High: 2}}
		return compare(t, req)
	}
	const e = 1e-12
	shared := yearBy(1, 1, 1, 2, 2, 2, 0, 0, 1, 1, 1, 1)
	apart := yearBy(1, 1+e, 1, 2, 2+e, 2, e, 0, 1, 1-e, 1, 1-e)
	for i := range shared.Arrangements {
		within(t, "heat of the heater", shared.Arrangements[i].Heat.Heater.Joules(), apart.Arrangements[i].Heat.Heater.Joules(), 1e-6)
		for _, got := range []float64{shared.Arrangements[i].Waits.Draws, apart.Arrangements[i].Waits.Draws} {
			within(t, "draws", got, 8*(365-31-31), 1e-9) // none in July and August
		}
		within(t, "waste with twice the draws", shared.Ranges[0].High.Arrangements[i].RunToWaste.CubicMetres(), apart.Ranges[0].High.Arrangements[i].RunToWaste.CubicMetres(), 1e-6)
	}
}
