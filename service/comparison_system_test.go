package service_test

import (
	"recirc/calc/control"
	"recirc/calc/fault"
	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/service"
	"testing"
)

const (
	foot   = 0.3048
	gallon = 0.003785411784
)

func fahrenheit(f float64) quantity.Temperature { return quantity.Celsius((f - 32) / 1.8) }

// inventedHouse has three mains with a return from the last tee, insulated by half
// an inch of foam; four fixtures. It is invented.
func inventedHouse() network.System {
	foam := &network.Insulation{Layers: []network.InsulationLayer{{Thickness: quantity.Metres(0.0127), Conductivity: quantity.WattsPerMetreKelvin(0.039)}}}
	pipe := func(id, from, to string, feet float64, nominal string, insulation *network.Insulation) network.Pipe {
		return network.Pipe{ID: id, From: from, To: to, Role: network.Supply, Length: quantity.Metres(feet * foot), Tube: network.TubeSpec{Series: "copper_type_l", Nominal: nominal}, Insulation: insulation}
	}
	back := pipe("return", "tee-bath", "heater", 68, "1/2", foam)
	back.Role = network.Return
	return network.System{
		Heater: network.Heater{Node: "heater", Type: network.Storage, OutletTemperature: fahrenheit(130)},
		Pipes: []network.Pipe{
			pipe("main-1", "heater", "tee-kitchen", 24, "3/4", foam), pipe("kitchen", "tee-kitchen", "kitchen", 9, "1/2", nil),
			pipe("main-2", "tee-kitchen", "tee-bath", 48, "3/4", foam), pipe("basin", "tee-bath", "basin", 8, "1/2", nil),
			pipe("shower", "tee-bath", "shower", 11, "1/2", nil), back,
		},
		Fixtures: []network.Fixture{
			{ID: "kitchen", Node: "kitchen", Type: "kitchen_faucet", HotFlow: gallonsPerMinute(1.5)},
			{ID: "basin", Node: "basin", Type: "lavatory_faucet", HotFlow: gallonsPerMinute(0.8)},
			{ID: "shower", Node: "shower", Type: "shower", HotFlow: gallonsPerMinute(1.8)},
		},
		Defaults:         network.Defaults{Surroundings: &network.Surroundings{Type: "still_air", Temperature: fahrenheit(68)}},
		MainsTemperature: fahrenheit(55),
	}
}

// inventedDraws is a household of two.
func inventedDraws() service.DrawPlan {
	at := func(fixture string, hours, gallons float64) service.DrawEvent {
		return service.DrawEvent{Fixture: fixture, At: quantity.Seconds(hours * 3600), Volume: quantity.CubicMetres(gallons * gallon)}
	}
	cold := at("basin", 22.3, 0.3)
	cold.Water = service.ColdWater
	return service.DrawPlan{
		Events: []service.DrawEvent{at("shower", 6.7, 14), at("basin", 6.9, 0.5), at("shower", 7.1, 12), at("kitchen", 7.4, 1), at("basin", 17.5, 0.5), at("kitchen", 18.2, 2), at("kitchen", 18.9, 4), at("basin", 22.2, 0.6), cold},
		Usable: fahrenheit(105),
	}
}

func pumpOf(flow, watts float64) *service.ArrangementPump {
	return &service.ArrangementPump{Flow: gallonsPerMinute(flow), Power: quantity.PowerWatts(watts)}
}

// sixWays are the arrangements of a usual comparison.
func sixWays() []service.Arrangement {
	morning := []service.ControlWindow{{From: quantity.Seconds(6 * 3600), To: quantity.Seconds(8 * 3600)}, {From: quantity.Seconds(17 * 3600), To: quantity.Seconds(19 * 3600)}}
	lead := quantity.Seconds(60)
	return []service.Arrangement{
		{ID: "as it is", Type: service.NoCirculation},
		{ID: "all day", Type: service.DedicatedReturn, Pump: pumpOf(1.5, 25), Control: &service.Control{Kind: control.Continuous}},
		{ID: "timer", Type: service.DedicatedReturn, Pump: pumpOf(1.5, 25), Control: &service.Control{Kind: control.TimerAndAquastat, Windows: morning}},
		{ID: "cold line", Type: service.ColdLineReturn, Fixtures: []string{"basin"}, Pump: pumpOf(1.5, 25), Control: &service.Control{Kind: control.Timer, Windows: morning}},
		{ID: "button", Type: service.OnDemandAtFixture, Fixtures: []string{"basin"}, Pump: pumpOf(3, 80), Control: &service.Control{Kind: control.OnDemand, Trigger: &service.DemandTrigger{Kind: "remote_button", Lead: &lead}}},
		{ID: "small heater", Type: service.PointOfUseHeater, Fixtures: []string{"basin"}, Local: &service.LocalHeater{Volume: quantity.CubicMetres(0.01), Temperature: quantity.Celsius(50), Power: quantity.PowerWatts(1500)}},
	}
}

func compare(t testing.TB, req *service.RetrofitComparisonRequest) *service.RetrofitComparisonAnswer {
	t.Helper()
	var faults fault.List
	a := service.RetrofitComparison(req, &faults)
	if !faults.Empty() {
		t.Fatalf("%+v", faults.Faults())
	}
	return a
}
