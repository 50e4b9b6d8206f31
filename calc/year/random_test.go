package year

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/calendar"
	"recirc/calc/control"
	"recirc/calc/draw"
	"recirc/calc/quantity"
)

// anySystem draws a system with whatever there may be.
func anySystem(t *rapid.T) System {
	number := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
	whole := func(name string, low, high int) int { return rapid.IntRange(low, high).Draw(t, name) }
	chance := func(name string) bool { return rapid.Bool().Draw(t, name) }
	s := System{WaterHeat: waterHeat, Heater: Heater{Outlet: quantity.Celsius(number("outlet", 35, 80))}}
	if chance("tankless") {
		s.Heater.StartUpDelay = quantity.Seconds(number("delay", 0, 20))
		s.Heater.Activation = quantity.CubicMetresPerSecond(number("activation", 0, 1e-4))
	}
	tree := func(role Role, n int) []int {
		var all []int
		for range n {
			parent := None
			if len(all) > 0 && whole("root", 0, 4) > 0 {
				parent = all[whole("parent", 0, len(all)-1)]
			}
			p := tubing{number("bore", 0.008, 0.05), number("ua", 0, 1)}.pipe(fmt.Sprintf("%s-%d", role, len(s.Pipes)), role, parent, number("length", 0.05, 25))
			if chance("slow wall") {
				most := 1 + p.WallHeatCapacity/(p.Content.CubicMetresPerMetre()*waterHeat)
				p.Lag = Lag{Ratio: 1 + number("ratio", 0, 1)*(most-1), Exchange: number("exchange", 1, 300)}
			}
			p.Ambient = whole("ambient", 0, 1)
			if role == Supply && whole("trace", 0, 5) == 0 {
				p.Trace = &Trace{Power: number("power", 0, 30), At: quantity.Celsius(40), Off: quantity.Celsius(number("off", 41, 70))}
			}
			all = append(all, len(s.Pipes))
			s.Pipes = append(s.Pipes, p)
		}
		return all
	}
	supply, back, cold := tree(Supply, whole("supply", 1, 8)), tree(Return, whole("returns", 0, 4)), tree(Cold, whole("colds", 0, 4))
	for i := range whole("outlets", 1, 6) {
		o := Outlet{ID: fmt.Sprintf("tap-%d", i), Pipe: supply[whole("at", 0, len(supply)-1)], Cold: None}
		if len(cold) > 0 && chance("cold") {
			o.Cold = cold[whole("cold at", 0, len(cold)-1)]
		}
		if whole("local", 0, 3) == 0 {
			o.Local = &LocalHeater{
				Content: quantity.CubicMetres(number("content", 0.001, 0.05)), Power: quantity.PowerWatts(number("watts", 0, 4000)),
				Set: quantity.Celsius(number("set", 30, 80)), UA: number("standby", 0, 2), Ambient: 1, FromHot: chance("from hot"),
			}
		}
		s.Outlets = append(s.Outlets, o)
	}
	into := append(append([]int{}, back...), cold...)
	for range whole("pumps", 0, 2) {
		if len(into) == 0 {
			break
		}
		c := Circulation{Control: anyControl(t), Sensor: whole("sensor", 0, len(s.Pipes)-1), Power: quantity.PowerWatts(number("pump", 0, 100)), IntoWater: number("into water", 0, 1)}
		for range whole("loops", 1, 3) {
			l := Loop{From: supply[whole("from", 0, len(supply)-1)], Into: into[whole("into", 0, len(into)-1)], Flow: quantity.CubicMetresPerSecond(number("flow", 1e-6, 3e-4))}
			if chance("bypass") {
				l.Bypass = &Bypass{Opens: quantity.Celsius(number("opens", 15, 50)), Shuts: quantity.Celsius(number("shuts", 50.5, 70))}
			}
			c.Loops = append(c.Loops, l)
		}
		s.Circulations = append(s.Circulations, c)
	}
	return s
}

func anyControl(t *rapid.T) control.Settings {
	number := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
	start := number("start", 15, 60)
	c := control.Settings{
		Kind:      rapid.SampledFrom(control.Kinds()).Draw(t, "kind"),
		Aquastat:  control.Aquastat{Start: quantity.Celsius(start), Stop: quantity.Celsius(start + number("gap", 1, 20))},
		Demand:    control.Demand{Lead: quantity.Seconds(number("lead", 0, 900)), Probability: number("probability", 0, 1), LongestRun: quantity.Seconds(number("longest", 60, 900)), Seed: 3},
		Cycle:     control.Cycle{On: quantity.Seconds(number("on", 60, 3000)), Off: quantity.Seconds(number("off", 0, 3000))},
		LeastRun:  quantity.Seconds(number("least run", 0, 60)),
		LeastRest: quantity.Seconds(number("least rest", 0, 300)),
	}
	from := number("from", 0, 40000)
	c.Windows = []control.Window{
		{Type: calendar.Weekday, From: quantity.Seconds(from), To: quantity.Seconds(from + number("window", 600, 40000))},
		{Type: calendar.Weekend, From: quantity.Seconds(80000), To: quantity.Seconds(20000)},
	}
	return c
}

func anyPlan(t *rapid.T, s *System) Plan {
	number := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
	p := Plan{MostWait: quantity.Seconds(number("most wait", 10, 600)), LukewarmAbove: quantity.Celsius(25)}
	for range rapid.IntRange(1, 2).Draw(t, "months") {
		m := Month{Mains: quantity.Celsius(number("mains", 2, 25)), Ambients: []quantity.Temperature{quantity.Celsius(number("room", 10, 35)), quantity.Celsius(15)}}
		for _, d := range calendar.DayTypes() {
			day := Day{Type: d, Weight: number("weight", 0, 30)}
			for range rapid.IntRange(0, 20).Draw(t, "draws") {
				i := rapid.IntRange(0, len(s.Outlets)-1).Draw(t, "outlet")
				e := Event{Event: draw.Event{
					At: quantity.Seconds(number("at", 0, 86399)), Volume: quantity.CubicMetres(number("volume", 1e-5, 0.1)),
					Flow: quantity.CubicMetresPerSecond(number("q", 1e-6, 3e-4)), Fixture: i,
				}, Usable: quantity.Celsius(number("usable", 25, 50))}
				if e.Volume.CubicMetres()/e.Flow.CubicMetresPerSecond() > 80000 {
					e.Flow = quantity.CubicMetresPerSecond(1e-4)
				}
				e.Cold = s.Outlets[i].Cold != None && rapid.Bool().Draw(t, "cold draw")
				e.AsItComes = rapid.IntRange(0, 3).Draw(t, "as it comes") == 0
				day.Draws = append(day.Draws, e)
			}
			m.Days = append(m.Days, day)
		}
		p.Months = append(p.Months, m)
	}
	return p
}

// TestRandomSystemsClose: whatever is joined, heat in is heat drawn, lost and stored, to 1e-6,
// all sums are finite and have their sign, and temperatures lie between the extremes.
func TestRandomSystemsClose(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySystem(t)
		p := anyPlan(t, &s)
		r, err := Simulate(s, p, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range r.Days {
			if !(d.Residual < 1e-6) {
				t.Errorf("%g of the heat of a day is missing: %+v", d.Residual, d)
			}
			for i, v := range d.sums() {
				if math.IsNaN(*v) || math.IsInf(*v, 0) {
					t.Errorf("sum %d is %g", i, *v)
				}
			}
			for name, v := range map[string]float64{"draws": d.Draws, "unserved": d.Unserved, "hot": d.HotDrawn, "waste": d.RunToWaste, "returned": d.ReturnVolume,
				"trace": d.TraceHeat, "local": d.LocalHeat, "pump": d.PumpTime, "cold": d.Cold.Drawn} {
				if v < -1e-6 {
					t.Errorf("%s is %g", name, v)
				}
			}
			if d.PumpTime > float64(len(s.Circulations))*86400+1e-6 {
				t.Errorf("pumps run %g s a day", d.PumpTime)
			}
		}
		most := p.MostWait.Seconds()
		for _, w := range r.Waits {
			if !(w.Seconds >= -1e-9) || w.Served && w.Seconds > most+900+1e-6 {
				t.Errorf("a wait of %g s", w.Seconds)
			}
		}
	})
}

// TestOrder: the order in which pipes and outlets are listed changes nothing to 1e-9.
func TestOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := anySystem(t)
		p := anyPlan(t, &s)
		a, err := Simulate(s, p, nil)
		if err != nil {
			t.Fatal(err)
		}
		shuffled, plan := shuffle(t, s, p)
		b, err := Simulate(shuffled, plan, nil)
		if err != nil {
			t.Fatal(err)
		}
		// What is stored more at the end is a difference of what is stored, so it is
		// as round as that.
		full := 0.0
		for i := range s.Pipes {
			full += s.WaterHeat * 100 * s.Pipes[i].Length.Metres() * s.Pipes[i].Content.CubicMetresPerMetre()
		}
		for i, v := range a.Year.sums() {
			w := *b.Year.sums()[i]
			scale := math.Abs(*v) + a.Year.HeaterFlow + 1e-6*math.Abs(a.Year.HeaterHeat)
			if v == &a.Year.StoredChange {
				scale += 1e-2 * full
			}
			if math.Abs(*v-w) > 1e-9*scale {
				t.Errorf("sum %d is %.15g, and %.15g in another order", i, *v, w)
			}
		}
		for _, q := range []float64{0.5, 0.9} {
			v, _ := a.Waits.Quantile(q)
			w, _ := b.Waits.Quantile(q)
			if math.Abs(v-w) > 1e-9*(1+v) {
				t.Errorf("quantile %g is %.15g, and %.15g in another order", q, v, w)
			}
		}
	})
}

// shuffle lists pipes, outlets and draws in another order.
func shuffle(t *rapid.T, s System, p Plan) (System, Plan) {
	count := func(n int) []int {
		all := make([]int, n)
		for i := range all {
			all[i] = i
		}
		return all
	}
	order := rapid.Permutation(count(len(s.Pipes))).Draw(t, "pipes")
	to := make([]int, len(order))
	for i, old := range order {
		to[old] = i
	}
	place := func(i int) int {
		if i == None {
			return None
		}
		return to[i]
	}
	taps := rapid.Permutation(count(len(s.Outlets))).Draw(t, "taps")
	tapTo := make([]int, len(taps))
	for i, old := range taps {
		tapTo[old] = i
	}
	n := System{Heater: s.Heater, WaterHeat: s.WaterHeat}
	for _, old := range order {
		q := s.Pipes[old]
		q.Parent = place(q.Parent)
		n.Pipes = append(n.Pipes, q)
	}
	for _, old := range taps {
		o := s.Outlets[old]
		o.Pipe, o.Cold = place(o.Pipe), place(o.Cold)
		n.Outlets = append(n.Outlets, o)
	}
	for _, c := range s.Circulations {
		c.Sensor = place(c.Sensor)
		var loops []Loop
		for _, l := range c.Loops {
			l.From, l.Into = place(l.From), place(l.Into)
			loops = append(loops, l)
		}
		c.Loops = loops
		n.Circulations = append(n.Circulations, c)
	}
	plan := p
	plan.Months = nil
	for _, m := range p.Months {
		var days []Day
		for _, d := range m.Days {
			draws := append([]Event{}, d.Draws...)
			for i := range draws {
				draws[i].Fixture = tapTo[draws[i].Fixture]
			}
			d.Draws = draws
			if len(draws) > 1 {
				var mixed []Event
				for _, i := range rapid.Permutation(count(len(draws))).Draw(t, "draws") {
					mixed = append(mixed, draws[i])
				}
				d.Draws = mixed
			}
			days = append(days, d)
		}
		m.Days = days
		plan.Months = append(plan.Months, m)
	}
	return n, plan
}
