package year

import (
	"errors"
	"fmt"
	"testing"

	"recirc/calc/control"
	"recirc/calc/quantity"
)

// TestHostile: what is within the bounds and makes as much work as can be ends by
// its budget, not by patience.
func TestHostile(t *testing.T) {
	deep := System{WaterHeat: waterHeat, Heater: Heater{Outlet: quantity.Celsius(55)}}
	for i := range 5000 {
		deep.Pipes = append(deep.Pipes, half.pipe(fmt.Sprint("p", i), Supply, i-1, 0.1))
	}
	for i := range 2000 {
		deep.Outlets = append(deep.Outlets, Outlet{ID: fmt.Sprint("o", i), Pipe: 4999 - i, Cold: None})
	}
	valves := deep
	valves.Pipes = append(append([]Pipe{}, deep.Pipes...), half.pipe("back", Return, None, 1))
	var loops []Loop
	for i := range MaxLoops {
		loops = append(loops, Loop{From: 4999 - i%100, Into: 5000, Flow: quantity.CubicMetresPerSecond(1e-6), Bypass: &Bypass{Opens: quantity.Celsius(20), Shuts: quantity.Celsius(50)}})
	}
	valves.Circulations = []Circulation{{Control: continuous(), Sensor: None, Loops: loops}}
	cycling := withReturn(house(), control.Settings{Kind: control.DutyCycle, Cycle: control.Cycle{On: quantity.Seconds(30), Off: quantity.Seconds(30)}})
	at := func(n, outlets int, litres float64) Plan {
		var draws []Event
		for i := range n {
			draws = append(draws, tap(7, litres, 6, i%outlets))
		}
		p := oneDay(draws...)
		p.Budget = 5_000_000
		return p
	}
	for name, c := range map[string]struct {
		s System
		p Plan
	}{
		"a chain, everybody at once":    {deep, at(2000, 2000, 5)},
		"a queue at one tap":            {house(), at(200_000, 1, 1e-5)},
		"valves":                        {valves, at(1, 1, 5)},
		"a pump that starts 1440 times": {cycling, months(morning(15))},
	} {
		if _, err := Simulate(c.s, c.p, nil); err != nil && !errors.Is(err, ErrBudget) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
