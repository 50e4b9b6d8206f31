package year

import (
	"errors"
	"math"
	"strings"
	"testing"

	"recirc/calc/calendar"
	"recirc/calc/control"
	"recirc/calc/quantity"
)

// TestRefuse: each fault is found and named by its field.
func TestRefuse(t *testing.T) {
	bad := quantity.Kelvin(math.NaN())
	for want, spoil := range map[string]func(s *System, p *Plan, o *Observation){
		"System.Pipes[0].ID":               func(s *System, p *Plan, o *Observation) { s.Pipes[0].ID = "" },
		"System.Pipes[1].ID":               func(s *System, p *Plan, o *Observation) { s.Pipes[1].ID = s.Pipes[0].ID },
		"System.Pipes[0].Role":             func(s *System, p *Plan, o *Observation) { s.Pipes[0].Role = "drain" },
		"System.Pipes[0].Parent":           func(s *System, p *Plan, o *Observation) { s.Pipes[0].Parent = 12 }, // a circle
		"System.Pipes[1].Parent":           func(s *System, p *Plan, o *Observation) { s.Pipes[1].Parent = 99 },
		"System.Pipes[2].Parent":           func(s *System, p *Plan, o *Observation) { s.Pipes[2].Parent = 18 },
		"System.Pipes[2].Length":           func(s *System, p *Plan, o *Observation) { s.Pipes[2].Length = quantity.Metres(0) },
		"System.Pipes[2].Content":          func(s *System, p *Plan, o *Observation) { s.Pipes[2].Content = quantity.CubicMetresPerMetre(-1) },
		"System.Pipes[2].WallHeatCapacity": func(s *System, p *Plan, o *Observation) { s.Pipes[2].WallHeatCapacity = math.Inf(1) },
		"System.Pipes[2].UA":               func(s *System, p *Plan, o *Observation) { s.Pipes[2].UA = math.NaN() },
		"System.Pipes[2].Ambient":          func(s *System, p *Plan, o *Observation) { s.Pipes[2].Ambient = 1 },
		"System.Pipes[2].Lag.Ratio":        func(s *System, p *Plan, o *Observation) { s.Pipes[2].Lag = Lag{Ratio: 5} },
		"System.Pipes[2].Lag.Exchange":     func(s *System, p *Plan, o *Observation) { s.Pipes[2].Lag = Lag{Ratio: 1} },
		"System.Pipes[2].Trace.Power": func(s *System, p *Plan, o *Observation) {
			s.Pipes[2].Trace = &Trace{Power: -1, At: quantity.Celsius(1), Off: quantity.Celsius(2)}
		},
		"System.Pipes[2].Trace.At": func(s *System, p *Plan, o *Observation) { s.Pipes[2].Trace = &Trace{At: bad, Off: quantity.Celsius(2)} },
		"System.Pipes[2].Trace.Off": func(s *System, p *Plan, o *Observation) {
			s.Pipes[2].Trace = &Trace{At: quantity.Celsius(3), Off: quantity.Celsius(2)}
		},
		"System.Outlets[1].ID":            func(s *System, p *Plan, o *Observation) { s.Outlets[1].ID = s.Outlets[0].ID },
		"System.Outlets[1].Pipe":          func(s *System, p *Plan, o *Observation) { s.Outlets[1].Pipe = 18 },
		"System.Outlets[1].Cold":          func(s *System, p *Plan, o *Observation) { s.Outlets[1].Cold = 0 },
		"System.Outlets[1].Local.Content": func(s *System, p *Plan, o *Observation) { s.Outlets[1].Local = &LocalHeater{Set: quantity.Celsius(50)} },
		"System.Outlets[1].Local.Set": func(s *System, p *Plan, o *Observation) {
			s.Outlets[1].Local = &LocalHeater{Content: quantity.CubicMetres(0.01)}
		},
		"System.Heater.Outlet":                    func(s *System, p *Plan, o *Observation) { s.Heater.Outlet = bad },
		"System.Heater.StartUpDelay":              func(s *System, p *Plan, o *Observation) { s.Heater.StartUpDelay = quantity.Seconds(-1) },
		"System.Heater.Activation":                func(s *System, p *Plan, o *Observation) { s.Heater.Activation = quantity.CubicMetresPerSecond(-1) },
		"System.WaterHeat":                        func(s *System, p *Plan, o *Observation) { s.WaterHeat = 4186 },
		"System.Circulations[0].Sensor":           func(s *System, p *Plan, o *Observation) { s.Circulations[0].Sensor = None },
		"System.Circulations[0].Power":            func(s *System, p *Plan, o *Observation) { s.Circulations[0].Power = quantity.PowerWatts(-1) },
		"System.Circulations[0].IntoWater":        func(s *System, p *Plan, o *Observation) { s.Circulations[0].IntoWater = 1.1 },
		"System.Circulations[0].Control.aquastat": func(s *System, p *Plan, o *Observation) { s.Circulations[0].Control.Aquastat = control.Aquastat{} },
		"System.Circulations[0].Loops":            func(s *System, p *Plan, o *Observation) { s.Circulations[0].Loops = nil },
		"System.Circulations[0].Loops[0].From":    func(s *System, p *Plan, o *Observation) { s.Circulations[0].Loops[0].From = 18 },
		"System.Circulations[0].Loops[0].Into":    func(s *System, p *Plan, o *Observation) { s.Circulations[0].Loops[0].Into = 0 },
		"System.Circulations[0].Loops[0].Flow":    func(s *System, p *Plan, o *Observation) { s.Circulations[0].Loops[0].Flow = quantity.Flow{} },
		"System.Circulations[0].Loops[0].Bypass.Shuts": func(s *System, p *Plan, o *Observation) {
			s.Circulations[0].Loops[0].Bypass = &Bypass{Opens: quantity.Celsius(40), Shuts: quantity.Celsius(40)}
		},
		"System.Circulations[0].Demands[0]":  func(s *System, p *Plan, o *Observation) { s.Circulations[0].Demands = []int{15} },
		"System.Pipes":                       func(s *System, p *Plan, o *Observation) { s.Pipes = nil },
		"Plan.MostWait":                      func(s *System, p *Plan, o *Observation) { p.MostWait = quantity.Seconds(0) },
		"Plan.LukewarmAbove":                 func(s *System, p *Plan, o *Observation) { p.LukewarmAbove = bad },
		"Plan.Fineness":                      func(s *System, p *Plan, o *Observation) { p.Fineness = 1000 },
		"Plan.Budget":                        func(s *System, p *Plan, o *Observation) { p.Budget = -1 },
		"days of Plan.Months":                func(s *System, p *Plan, o *Observation) { p.Months = nil },
		"Plan.Months[0].Mains":               func(s *System, p *Plan, o *Observation) { p.Months[0].Mains = bad },
		"Plan.Months[0].Ambients[0]":         func(s *System, p *Plan, o *Observation) { p.Months[0].Ambients[0] = bad },
		"Plan.Months[0].Days[0].Type":        func(s *System, p *Plan, o *Observation) { p.Months[0].Days[0].Type = "feast" },
		"Plan.Months[0].Days[0].Weight":      func(s *System, p *Plan, o *Observation) { p.Months[0].Days[0].Weight = -1 },
		"Plan.Months[0].Days[0].Draws[0].At": func(s *System, p *Plan, o *Observation) { p.Months[0].Days[0].Draws[0].At = quantity.Seconds(86400) },
		"Plan.Months[0].Days[0].Draws[0].Volume": func(s *System, p *Plan, o *Observation) {
			p.Months[0].Days[0].Draws[0].Volume = quantity.CubicMetres(1000)
		},
		"Plan.Months[0].Days[0].Draws[0].Flow":    func(s *System, p *Plan, o *Observation) { p.Months[0].Days[0].Draws[0].Flow = quantity.Flow{} },
		"Plan.Months[0].Days[0].Draws[0].Fixture": func(s *System, p *Plan, o *Observation) { p.Months[0].Days[0].Draws[0].Fixture = -1 },
		"Plan.Months[0].Days[0].Draws[0].Cold":    func(s *System, p *Plan, o *Observation) { p.Months[0].Days[0].Draws[0].Cold = true },
		"Plan.Months[0].Days[0].Draws[0].Usable":  func(s *System, p *Plan, o *Observation) { p.Months[0].Days[0].Draws[0].Usable = quantity.Temperature{} },
		"Observation.Points":                      func(s *System, p *Plan, o *Observation) { o.Points = -1 },
		"Observation.Pipes[0]":                    func(s *System, p *Plan, o *Observation) { o.Pipes = []int{77} },
		"Observation.Month":                       func(s *System, p *Plan, o *Observation) { o.Month = 5 },
		"Observation.Day":                         func(s *System, p *Plan, o *Observation) { o.Day = 5 },
	} {
		s, p, o := withReturn(house(), aquastat()), oneDay(tap(7, 5, 6, 0)), Observation{}
		spoil(&s, &p, &o)
		_, err := Simulate(s, p, &o)
		var wrong *FaultError
		if !errors.As(err, &wrong) {
			t.Errorf("%s: %v", want, err)
			continue
		}
		found := false
		for _, f := range wrong.Faults {
			found = found || f.Field == want
		}
		if !found || !strings.HasPrefix(wrong.Error(), "year: ") {
			t.Errorf("%s: found %v", want, wrong)
		}
	}
}

// TestAllFaultsAtOnce: a hundred are named, the rest counted.
func TestAllFaultsAtOnce(t *testing.T) {
	s := house()
	for range 150 {
		s.Pipes = append(s.Pipes, Pipe{ID: "same", Role: Supply, Parent: None})
	}
	_, err := Simulate(s, oneDay(), nil)
	var wrong *FaultError
	if !errors.As(err, &wrong) || len(wrong.Faults) != MaxFaults || wrong.Dropped < 300 || !strings.Contains(wrong.Error(), "more.") {
		t.Errorf("%v", err)
	}
}

func TestFollowRefuses(t *testing.T) {
	for want, ask := range map[string]func() error{
		"types": func() error { _, err := Follow(house(), oneDay(), 0, nil, nil); return err },
		"types[0]": func() error {
			_, err := Follow(house(), oneDay(), 0, []calendar.DayType{calendar.Weekend}, nil)
			return err
		},
		"month": func() error {
			_, err := Follow(house(), oneDay(), 3, []calendar.DayType{calendar.Weekday}, nil)
			return err
		},
	} {
		var wrong *FaultError
		if err := ask(); !errors.As(err, &wrong) || wrong.Faults[0].Field != want {
			t.Errorf("%s: %v", want, err)
		}
	}
}

func TestBudget(t *testing.T) {
	p := months(morning(15))
	p.Budget = 5000
	if _, err := Simulate(house(), p, nil); !errors.Is(err, ErrBudget) {
		t.Errorf("a small budget gives %v", err)
	}
	p.Budget = 0
	if r := simulated(t, house(), p); r.Work < 5000 || r.Work > MaxBudget {
		t.Errorf("the work is %d", r.Work)
	}
}
