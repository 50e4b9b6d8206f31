package year_test

import (
	"fmt"

	"recirc/calc/calendar"
	"recirc/calc/control"
	"recirc/calc/draw"
	"recirc/calc/quantity"
	"recirc/calc/year"
)

// A pipe of 20 m in a room of 20 degC, whose wall takes no heat, and a draw of 5 L at 6 L/min:
// what stood in it, 20 m of 0.2 L/m, runs to waste in 40 s. By hand, a day: 4 L run off at 10 K above
// mains, 165 kJ; 5 L drawn that have cooled by 35 (1 - exp(-0.5*20/413)) = 0.85 K, 912 kJ; lost while
// water runs 0.85 K of 5 L and half of it of the 4 L before them, and what 4 L hold 34.6 K above the room, 595 kJ.
func ExampleSimulate() {
	s := year.System{
		WaterHeat: 4.13e6, Heater: year.Heater{Outlet: quantity.Celsius(55)},
		Pipes: []year.Pipe{{
			ID: "pipe", Role: year.Supply, Parent: year.None, Length: quantity.Metres(20),
			Content: quantity.CubicMetresPerMetre(2e-4), UA: 0.5,
		}},
		Outlets: []year.Outlet{{ID: "basin", Pipe: 0, Cold: year.None}},
	}
	p := year.Plan{MostWait: quantity.Seconds(300), Months: []year.Month{{
		Mains: quantity.Celsius(10), Ambients: []quantity.Temperature{quantity.Celsius(20)},
		Days: []year.Day{{Type: calendar.Weekday, Weight: 365, Draws: []year.Event{{
			Event:  draw.Event{At: quantity.Seconds(7 * 3600), Volume: quantity.CubicMetres(0.005), Flow: quantity.CubicMetresPerSecond(1e-4)},
			Usable: quantity.Celsius(40),
		}}}},
	}}}
	r, err := year.Simulate(s, p, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	wait, _ := r.Waits.Quantile(0.5)
	fmt.Printf("wait %.1f s, %.2f m3 a year to waste\n", wait, r.Year.RunToWaste)
	fmt.Printf("heat: %.0f kWh made, %.0f drawn, %.0f run off, %.0f lost\n",
		r.Year.HeaterHeat/3.6e6, r.Year.HeatDrawn/3.6e6, r.Year.HeatWasted/3.6e6, r.Year.Lost.Sum()/3.6e6)
	// Output:
	// wait 40.0 s, 1.46 m3 a year to waste
	// heat: 170 kWh made, 92 drawn, 17 run off, 60 lost
}

// A loop of 15 m out and back with a pump that a timer runs from 6 to 8 on weekdays.
func ExampleFollow() {
	pipe := func(id string, role year.Role) year.Pipe {
		return year.Pipe{ID: id, Role: role, Parent: year.None, Length: quantity.Metres(15), Content: quantity.CubicMetresPerMetre(2e-4), UA: 0.3}
	}
	s := year.System{
		WaterHeat: 4.13e6, Heater: year.Heater{Outlet: quantity.Celsius(55)},
		Pipes: []year.Pipe{pipe("supply", year.Supply), pipe("return", year.Return)},
		Circulations: []year.Circulation{{
			Control: control.Settings{Kind: control.Timer, Windows: []control.Window{{Type: calendar.Weekday, From: quantity.Seconds(6 * 3600), To: quantity.Seconds(8 * 3600)}}},
			Sensor:  year.None, Power: quantity.PowerWatts(25),
			Loops: []year.Loop{{From: 0, Into: 1, Flow: quantity.CubicMetresPerSecond(5e-5)}},
		}},
	}
	p := year.Plan{MostWait: quantity.Seconds(300), Months: []year.Month{{
		Mains: quantity.Celsius(10), Ambients: []quantity.Temperature{quantity.Celsius(20)},
		Days: []year.Day{{Type: calendar.Weekday}, {Type: calendar.Weekend}},
	}}}
	r, err := year.Follow(s, p, 0, calendar.Week(), &year.Observation{Pipes: []int{1}, Points: 7 * 24})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f h, %.0f starts, %.2f kWh of the pump\n", r.Year.PumpTime/3600, r.Year.PumpStarts, r.Year.PumpEnergy/3.6e6)
	fmt.Printf("the return at 7: %.1f degC, at 12: %.1f\n", r.Observed.Degrees[0][7]-273.15, r.Observed.Degrees[0][12]-273.15)
	// Output:
	// 10 h, 5 starts, 0.25 kWh of the pump
	// the return at 7: 53.5 degC, at 12: 20.2
}

// 6 m of copper tube 15x1: with water and wall at one temperature the front would come at 1.28
// volumes. A part of the wall is slow, and 40 degC comes at 1.22.
func ExampleLagOf() {
	lag, err := year.LagOf(year.Tube{
		Bore: quantity.Millimetres(13), Outside: quantity.Millimetres(15), WallHeatCapacity: 8940 * 385, Film: 4521,
		Length: quantity.Metres(6), Flow: quantity.CubicMetresPerSecond(1e-4), WaterHeat: 4.146e6,
		Cold: quantity.Celsius(20), Hot: quantity.Celsius(60), Usable: quantity.Celsius(40),
	})
	fmt.Printf("%.2f %v\n", lag.Ratio, err)
	// Output: 1.11 <nil>
}
