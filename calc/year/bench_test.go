package year

import (
	"fmt"
	"testing"

	"recirc/calc/quantity"
)

// six are the arrangements of a retrofit.
func six() []System {
	all := arrangements()
	var six []System
	for _, name := range []string{"none", "dedicated_return", "cold_line", "on_demand", "heat_traced", "point_of_use"} {
		six = append(six, all[name])
	}
	return six
}

// BenchmarkHouse is six arrangements of a house of 15 outlets over a year of 12 months
// and two day types.
func BenchmarkHouse(b *testing.B) {
	systems, plan := six(), months(morning(15))
	b.ReportAllocs()
	for b.Loop() {
		for _, s := range systems {
			if _, err := Simulate(s, plan, nil); err != nil {
				b.Fatal(err)
			}
		}
	}
}

// building is flats on risers of ten storeys, with a loop through every riser.
func building(flats int) System {
	s := System{WaterHeat: waterHeat, Heater: Heater{Outlet: quantity.Celsius(60)}}
	c := Circulation{Control: continuous(), Sensor: None, Power: quantity.PowerWatts(120), IntoWater: 0.5}
	main, back := None, None
	for riser := range (flats + 9) / 10 {
		s.Pipes = append(s.Pipes, tubing{0.05, 0.3}.pipe(fmt.Sprintf("main-%d", riser), Supply, main, 5))
		main = len(s.Pipes) - 1
		s.Pipes = append(s.Pipes, tubing{0.026, 0.25}.pipe(fmt.Sprintf("main-return-%d", riser), Return, back, 5))
		back = len(s.Pipes) - 1
		up := main
		for storey := range 10 {
			s.Pipes = append(s.Pipes, tubing{0.026, 0.25}.pipe(fmt.Sprintf("riser-%d-%d", riser, storey), Supply, up, 3))
			up = len(s.Pipes) - 1
			for k, name := range []string{"shower", "basin", "sink"} {
				s.Pipes = append(s.Pipes, half.pipe(fmt.Sprintf("%s-%d-%d", name, riser, storey), Supply, up, 3+float64(k)))
				s.Outlets = append(s.Outlets, Outlet{ID: s.Pipes[len(s.Pipes)-1].ID, Pipe: len(s.Pipes) - 1, Cold: None})
			}
		}
		s.Pipes = append(s.Pipes, tubing{0.013, 0.2}.pipe(fmt.Sprintf("return-%d", riser), Return, back, 30))
		c.Loops = append(c.Loops, Loop{From: up, Into: len(s.Pipes) - 1, Flow: quantity.CubicMetresPerSecond(4e-5)})
	}
	s.Circulations = []Circulation{c}
	return s
}

// buildingDraws are 20 draws a flat.
func buildingDraws(flats int) []Event {
	var draws []Event
	for f := range flats {
		for i := range 20 {
			h := float64((f*20+i)*7919%160_000) / 10_000 // spread over 16 h
			litres := []float64{1, 2, 40, 3}[i%4]
			draws = append(draws, tap(6+h, litres, 6, f*3+i%3))
		}
	}
	return draws
}

// BenchmarkBuilding is a building of 200 flats over a year, with and without its loops.
func BenchmarkBuilding(b *testing.B) {
	plan := months(buildingDraws(200))
	with := building(200)
	without := with
	without.Circulations = nil
	stat := with
	stat.Circulations = []Circulation{with.Circulations[0]}
	stat.Circulations[0].Control = aquastat()
	stat.Circulations[0].Sensor = 1
	for name, s := range map[string]System{"none": without, "continuous": with, "aquastat": stat} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				r, err := Simulate(s, plan, nil)
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(float64(r.Work), "slugs/op")
			}
		})
	}
}
