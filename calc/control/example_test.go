package control_test

import (
	"fmt"

	"recirc/calc/calendar"
	"recirc/calc/control"
	"recirc/calc/quantity"
)

// An invented loop that cools by a kelvin in five minutes and warms by a kelvin in
// twelve seconds, under an aquastat from 30 to 40 degC. The simulator jumps to the crossing that
// the machine watches for.
func ExampleMachine() {
	m, err := control.New(control.Settings{
		Kind:     control.AquastatOnly,
		Aquastat: control.Aquastat{Start: quantity.Celsius(30), Stop: quantity.Celsius(40)},
	}, []calendar.DayType{calendar.Weekday}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	t, T := 0.0, quantity.Celsius(40)
	m.Step(quantity.Seconds(t), T)
	for range 4 {
		limit, rising, _ := m.Watches()
		seconds := 300.0
		if rising {
			seconds = -12
		}
		t += seconds * (T.Kelvin() - limit.Kelvin())
		T = limit
		fmt.Printf("%.0f s: runs %v\n", t, m.Step(quantity.Seconds(t), T))
	}
	fmt.Println(m.Starts(), "starts")
	// Output:
	// 3000 s: runs true
	// 3120 s: runs false
	// 6120 s: runs true
	// 6240 s: runs false
	// 2 starts
}

// Of four draws of an invented morning three are to be covered: the one at noon is left out.
func ExampleProposeWindows() {
	at := func(h float64) quantity.Duration { return quantity.Seconds(h * 3600) }
	p, err := control.ProposeWindows([]quantity.Duration{at(6.5), at(7), at(7.5), at(12)},
		control.Wish{Type: calendar.Weekday, Before: at(0.5), After: at(0.25), Share: 0.75, Most: 2})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, w := range p.Windows {
		fmt.Printf("%.2f to %.2f h\n", w.From.Seconds()/3600, w.To.Seconds()/3600)
	}
	// Output: 6.00 to 7.75 h
}
