package year

import (
	"math"
	"testing"

	"recirc/calc/calendar"
	"recirc/calc/control"
	"recirc/calc/quantity"
)

// cells is a pipe cut into equal cells that move one cell a step: another method for
// the same pipes, with nothing of this package in it.
type cells struct {
	T    []float64
	tau  float64
	lost float64 // m3 K
	v    float64 // m3 of a cell
}

func newCells(p *Pipe, v float64) *cells {
	C := p.Content.CubicMetresPerMetre()*waterHeat + p.WallHeatCapacity
	c := &cells{tau: C / p.UA}
	n := int(math.Round(C * p.Length.Metres() / waterHeat / v))
	c.v = C * p.Length.Metres() / waterHeat / float64(n)
	for range n {
		c.T = append(c.T, 20)
	}
	return c
}

func (c *cells) cool(dt float64) {
	f := 1 - math.Exp(-dt/c.tau)
	for i, T := range c.T {
		c.T[i] -= (T - 20) * f
		c.lost += c.v * (T - 20) * f
	}
}

func (c *cells) push(T float64) (out float64) {
	out = c.T[len(c.T)-1]
	copy(c.T[1:], c.T[:len(c.T)-1])
	c.T[0] = T
	return out
}

// TestCells: a trunk and two branches, drawn from in turn over a day, by both methods.
func TestCells(t *testing.T) {
	s := single(threeQuarter.pipe("trunk", Supply, None, 8))
	s.Pipes = append(s.Pipes, half.pipe("a", Supply, 0, 5), half.pipe("b", Supply, 0, 9))
	s.Outlets = []Outlet{{ID: "a", Pipe: 1, Cold: None}, {ID: "b", Pipe: 2, Cold: None}}
	var draws []Event
	for i := range 30 {
		hour := 5 + 0.55*float64(i) + 0.2*math.Sin(float64(3*i))
		draws = append(draws, tap(hour, []float64{0.5, 3, 12, 1}[i%4], 6, (i*i/2)%2))
	}
	plan := oneDay(draws...)
	r := simulated(t, s, plan)

	const v, q = 2.5e-6, 1e-4 // cells of 2.5 mL, at 6 L/min
	pipes := []*cells{newCells(&s.Pipes[0], v), newCells(&s.Pipes[1], v), newCells(&s.Pipes[2], v)}
	now, wasted, wastedHeat, drawn := 0.0, 0.0, 0.0, 0.0
	var waits []float64
	stand := func(to float64) {
		for _, p := range pipes {
			p.cool(to - now)
		}
		now = to
	}
	for _, d := range draws {
		stand(d.At.Seconds())
		branch := pipes[1+d.Fixture]
		left, wait, usable := d.Volume.CubicMetres(), 0.0, false
		for dt := v / q; left > 1e-12; now += dt {
			out := branch.push(pipes[0].push(55))
			for _, p := range pipes {
				p.cool(dt)
			}
			if usable = usable || out >= 40; usable {
				left -= v
				drawn += v * (out - 10)
			} else {
				wait += dt
				wasted += v
				wastedHeat += v * (out - 10)
			}
		}
		waits = append(waits, wait)
	}
	stand(86400)
	lost := pipes[0].lost + pipes[1].lost + pipes[2].lost

	near(t, "run to waste", r.Year.RunToWaste, wasted, 0.003)
	near(t, "heat wasted", r.Year.HeatWasted, wastedHeat*waterHeat, 0.003)
	near(t, "heat drawn", r.Year.HeatDrawn, drawn*waterHeat, 0.001)
	near(t, "lost", r.Year.Lost.Sum(), lost*waterHeat, 0.001)
	for i, w := range waits {
		if got := r.Waits[i].Seconds; math.Abs(got-w) > 0.15+0.003*w {
			t.Errorf("draw %d waits %.2f s, %.2f by cells", i, got, w)
		}
	}
}

// TestCellsOfALoop: a trunk with a branch and a return, whose pump a timer runs, by both methods.
func TestCellsOfALoop(t *testing.T) {
	s := single(threeQuarter.pipe("trunk", Supply, None, 12))
	s.Pipes = append(s.Pipes, half.pipe("branch", Supply, 0, 4), half.pipe("return", Return, None, 12))
	s.Outlets[0].Pipe = 1
	window := func(from, to float64) control.Window {
		return control.Window{Type: calendar.Weekday, From: quantity.Seconds(from * 3600), To: quantity.Seconds(to * 3600)}
	}
	s.Circulations = []Circulation{{
		Control: control.Settings{Kind: control.Timer, Windows: []control.Window{window(6, 8), window(17, 18.5)}}, Sensor: None,
		Loops: []Loop{{From: 0, Into: 2, Flow: quantity.CubicMetresPerSecond(1e-4)}},
	}}
	var draws []Event
	for i := range 26 {
		draws = append(draws, tap(5+0.61*float64(i), []float64{0.5, 3, 12, 1}[i%4], 6, 0))
	}
	r := simulated(t, s, oneDay(draws...))

	const v, q = 1e-5, 1e-4 // cells of 10 mL
	trunk, branch, back := newCells(&s.Pipes[0], v), newCells(&s.Pipes[1], v), newCells(&s.Pipes[2], v)
	const dt = v / q
	wasted, drawn, returned := 0.0, 0.0, 0.0
	var waits []float64
	next, left, wait, usable := 0, 0.0, 0.0, false
	for step := range int(86400 / dt) {
		now := float64(step) * dt
		if next < len(draws) && left <= 1e-9 && now >= draws[next].At.Seconds() {
			left, wait, usable = draws[next].Volume.CubicMetres(), 0, false
			next++
		}
		if h := now / 3600; h >= 6 && h < 8 || h >= 17 && h < 18.5 {
			returned += v * (back.push(trunk.push(55)) - 10)
		}
		if left > 1e-9 {
			out := branch.push(trunk.push(55))
			if usable = usable || out >= 40; usable {
				left -= v
				drawn += v * (out - 10)
			} else {
				wait += dt
				wasted += v
			}
			if left <= 1e-9 {
				waits = append(waits, wait)
			}
		}
		if step%20 == 0 {
			for _, p := range []*cells{trunk, branch, back} {
				p.cool(20 * dt)
			}
		}
	}
	near(t, "run to waste", r.Year.RunToWaste, wasted, 0.003)
	near(t, "heat drawn", r.Year.HeatDrawn, drawn*waterHeat, 0.0005)
	near(t, "heat brought back", r.Year.ReturnHeat, returned*waterHeat, 0.0005)
	near(t, "lost by supply", r.Year.Lost.Supply, (trunk.lost+branch.lost)*waterHeat, 0.0005)
	near(t, "lost by the return", r.Year.Lost.Return, back.lost*waterHeat, 0.0005)
	for i, w := range waits {
		if got := r.Waits[i].Seconds; math.Abs(got-w) > 0.5+0.005*w {
			t.Errorf("draw %d waits %.2f s, %.2f by cells", i, got, w)
		}
	}
}
