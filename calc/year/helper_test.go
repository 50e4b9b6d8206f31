package year

import (
	"fmt"
	"math"
	"testing"

	"recirc/calc/calendar"
	"recirc/calc/control"
	"recirc/calc/draw"
	"recirc/calc/quantity"
)

const waterHeat = 4.13e6 // J/(m3.K)

// tubing is an invented copper tube, 1 mm of wall.
type tubing struct{ bore, ua float64 }

func (t tubing) pipe(id string, role Role, parent int, length float64) Pipe {
	D := t.bore + 0.002
	return Pipe{
		ID: id, Role: role, Parent: parent, Length: quantity.Metres(length),
		Content:          quantity.CubicMetresPerMetre(math.Pi / 4 * t.bore * t.bore),
		WallHeatCapacity: math.Pi / 4 * (D*D - t.bore*t.bore) * 8940 * 385, UA: t.ua,
	}
}

var (
	half         = tubing{0.0136, 0.5}
	threeQuarter = tubing{0.020, 0.65}
	insulated    = tubing{0.020, 0.22}
)

// plastic is an invented PE-X tube 16 x 2.2 with a slow wall.
func plastic(id string, parent int, length float64) Pipe {
	d, D := 0.0116, 0.016
	return Pipe{
		ID: id, Role: Supply, Parent: parent, Length: quantity.Metres(length),
		Content:          quantity.CubicMetresPerMetre(math.Pi / 4 * d * d),
		WallHeatCapacity: math.Pi / 4 * (D*D - d*d) * 940 * 2300, UA: 0.5,
		Lag: Lag{Ratio: 1, Exchange: 14},
	}
}

// house is 15 outlets: a trunk of three parts, five branches at the end of each, invented.
func house() System {
	s := System{WaterHeat: waterHeat, Heater: Heater{Outlet: quantity.Celsius(55)}}
	parent := None
	for part := range 3 {
		s.Pipes = append(s.Pipes, threeQuarter.pipe(fmt.Sprintf("trunk-%d", part), Supply, parent, 6))
		parent = len(s.Pipes) - 1
		for branch := range 5 {
			s.Pipes = append(s.Pipes, half.pipe(fmt.Sprintf("branch-%d-%d", part, branch), Supply, parent, 1.5+0.7*float64(branch)))
			s.Outlets = append(s.Outlets, Outlet{ID: fmt.Sprintf("tap-%d-%d", part, branch), Pipe: len(s.Pipes) - 1, Cold: None})
		}
	}
	return s
}

// trunkEnd is the pipe at the far end of the house's trunk.
const trunkEnd = 12

// withReturn adds a return of 18 m and its pump.
func withReturn(s System, c control.Settings) System {
	s.Pipes = append(s.Pipes[:len(s.Pipes):len(s.Pipes)], half.pipe("return", Return, None, 18))
	s.Circulations = []Circulation{{
		Control: c, Sensor: len(s.Pipes) - 1, Power: quantity.PowerWatts(25), IntoWater: 0.5,
		Loops: []Loop{{From: trunkEnd, Into: len(s.Pipes) - 1, Flow: quantity.CubicMetresPerSecond(5e-5)}},
	}}
	return s
}

// withColdLine adds a cold line of 18 m beside the trunk, a pump and a bypass at its far end.
func withColdLine(s System, c control.Settings, b *Bypass) System {
	s.Pipes = append(s.Pipes[:len(s.Pipes):len(s.Pipes)], threeQuarter.pipe("cold", Cold, None, 18))
	s.Outlets = append([]Outlet{}, s.Outlets...)
	s.Outlets[14].Cold = len(s.Pipes) - 1
	s.Circulations = []Circulation{{
		Control: c, Sensor: trunkEnd, Power: quantity.PowerWatts(25), IntoWater: 0.5,
		Loops: []Loop{{From: trunkEnd, Into: len(s.Pipes) - 1, Flow: quantity.CubicMetresPerSecond(1e-4), Bypass: b}},
	}}
	return s
}

func tap(hour, litres, perMinute float64, outlet int) Event {
	return Event{
		Event: draw.Event{
			At: quantity.Seconds(hour * 3600), Volume: quantity.CubicMetres(litres / 1000),
			Flow: quantity.CubicMetresPerSecond(perMinute / 60000), Fixture: outlet,
		},
		Usable: quantity.Celsius(40),
	}
}

// morning is 40 draws over a day, invented.
func morning(outlets int) []Event {
	var draws []Event
	for i := range 40 {
		hour := 6 + 16*float64(i)/40 + 0.3*math.Sin(float64(7*i))
		litres := []float64{1, 2, 4, 1.5, 30, 3, 0.8, 6}[i%8]
		draws = append(draws, tap(hour, litres, 4+float64(i%3)*2, (i*7)%outlets))
	}
	return draws
}

// months is a year of months with a day of each type.
func months(draws []Event) Plan {
	p := Plan{MostWait: quantity.Seconds(300)}
	for m := range calendar.Months {
		month := Month{
			Mains:    quantity.Celsius(12 - 5*math.Cos(2*math.Pi*float64(m)/12)),
			Ambients: []quantity.Temperature{quantity.Celsius(20)}, HeatingSeason: m < 4 || m > 8,
		}
		for _, d := range calendar.Days() {
			if d.Month == calendar.Month(m) {
				month.Days = append(month.Days, Day{Type: d.Type, Weight: d.Weight, Draws: draws})
			}
		}
		p.Months = append(p.Months, month)
	}
	return p
}

// oneDay is a plan of one weekday in a room of 20 degC with mains at 10 degC.
func oneDay(draws ...Event) Plan {
	return Plan{MostWait: quantity.Seconds(600), Months: []Month{{
		Mains: quantity.Celsius(10), Ambients: []quantity.Temperature{quantity.Celsius(20)},
		Days: []Day{{Type: calendar.Weekday, Weight: 1, Draws: draws}},
	}}}
}

func simulated(t testing.TB, s System, p Plan) *Result {
	t.Helper()
	r, err := Simulate(s, p, nil)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > relative*math.Abs(want) {
		t.Errorf("%s is %.9g, want %.9g within %g of it", what, got, want, relative)
	}
}

func continuous() control.Settings { return control.Settings{Kind: control.Continuous} }

// aquastat has the settings of common practice: start at 85 F, stop at 105 F.
func aquastat() control.Settings {
	return control.Settings{Kind: control.AquastatOnly, Aquastat: control.Aquastat{Start: quantity.Celsius(29.44), Stop: quantity.Celsius(40.56)}}
}

// onDemand stops at 110 F: common practice.
func onDemand(lead float64) control.Settings {
	return control.Settings{
		Kind:     control.OnDemand,
		Aquastat: control.Aquastat{Start: quantity.Celsius(43.33), Stop: quantity.Celsius(43.33)},
		Demand:   control.Demand{Lead: quantity.Seconds(lead), Probability: 1, LongestRun: quantity.Seconds(600), Seed: 7},
	}
}

func morningTimer() control.Settings {
	return control.Settings{Kind: control.TimerAndAquastat, Windows: []control.Window{
		{Type: calendar.Weekday, From: quantity.Seconds(6 * 3600), To: quantity.Seconds(22 * 3600)},
		{Type: calendar.Weekend, From: quantity.Seconds(7 * 3600), To: quantity.Seconds(23 * 3600)},
	}, Aquastat: aquastat().Aquastat}
}

// traced has cables along the trunk.
func traced(s System) System {
	s.Pipes = append([]Pipe{}, s.Pipes...)
	for _, i := range []int{0, 6, 12} {
		p := insulated.pipe(s.Pipes[i].ID, Supply, s.Pipes[i].Parent, 6)
		p.Trace = &Trace{Power: 12, At: quantity.Celsius(40), Off: quantity.Celsius(60)}
		s.Pipes[i] = p
	}
	return s
}

// withLocal has a small electric heater at the last tap.
func withLocal(s System) System {
	s.Outlets = append([]Outlet{}, s.Outlets...)
	s.Outlets[14].Local = &LocalHeater{Content: quantity.CubicMetres(0.01), Power: quantity.PowerWatts(2000), Set: quantity.Celsius(60), UA: 0.6}
	return s
}

func better(s System) System {
	s.Pipes = append([]Pipe{}, s.Pipes...)
	for i := range s.Pipes {
		s.Pipes[i].UA *= 0.4
	}
	return s
}

// arrangements are those of a retrofit.
func arrangements() map[string]System {
	return map[string]System{
		"none":              house(),
		"dedicated_return":  withReturn(house(), continuous()),
		"aquastat":          withReturn(house(), aquastat()),
		"timer":             withReturn(house(), morningTimer()),
		"cold_line":         withColdLine(house(), continuous(), &Bypass{Opens: quantity.Celsius(35), Shuts: quantity.Celsius(46)}),
		"on_demand":         withColdLine(house(), onDemand(0), nil),
		"heat_traced":       traced(house()),
		"point_of_use":      withLocal(house()),
		"better_insulation": better(house()),
	}
}
