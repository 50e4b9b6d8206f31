package service

import (
	"math"

	"recirc/calc/heat"
	"recirc/calc/quantity"
	"recirc/calc/year"
)

// steady is the temperature at the downstream end of each pipe of a circulation
// while its pump runs on and nobody draws; zero where nothing flows.
func (s *arranging) steady(d *arranged, c *year.Circulation, m int) ([]quantity.Temperature, error) {
	flow := make([]float64, len(d.sys.Pipes))
	for _, l := range c.Loops {
		q := l.Flow.CubicMetresPerSecond()
		for p := l.From; p != year.None; p = d.sys.Pipes[p].Parent {
			flow[p] += q
		}
		for p := l.Into; p != year.None; p = d.sys.Pipes[p].Parent {
			flow[p] += q
		}
	}
	at := make([]quantity.Temperature, len(d.sys.Pipes))
	entering := make([]float64, len(d.sys.Pipes)) // of returns and cold lines, W
	through := func(p int, inlet quantity.Temperature) error {
		pipe := &d.sys.Pipes[p]
		ambient := s.months[m].air
		if pipe.Ambient != airAmbient {
			ambient = d.ambients[pipe.Ambient]
		}
		along, err := heat.TemperatureAlong(heat.Run{UA: pipe.UA, Length: pipe.Length, Ambient: ambient}, inlet, flow[p]*d.sys.WaterHeat)
		at[p] = along.Outlet
		return err
	}
	for p := range d.sys.Pipes { // a pipe stands behind its parent
		pipe := &d.sys.Pipes[p]
		if pipe.Role != year.Supply || flow[p] == 0 {
			continue
		}
		inlet := d.outlet
		if pipe.Parent != year.None {
			inlet = at[pipe.Parent]
		}
		if err := through(p, inlet); err != nil {
			return nil, err
		}
	}
	for _, l := range c.Loops {
		entering[l.Into] += l.Flow.CubicMetresPerSecond() * at[l.From].Kelvin()
	}
	for p := len(d.sys.Pipes) - 1; p >= 0; p-- {
		pipe := &d.sys.Pipes[p]
		if pipe.Role == year.Supply || flow[p] == 0 {
			continue
		}
		if err := through(p, quantity.Kelvin(entering[p]/flow[p])); err != nil {
			return nil, err
		}
		if pipe.Parent != year.None {
			entering[pipe.Parent] += flow[p] * at[p].Kelvin()
		}
	}
	return at, nil
}

// standsUsable is how long the supply of a circulation stays usable once it stands,
// at the place that cools first; zero where it never is.
func (s *arranging) standsUsable(d *arranged, c *year.Circulation, at []quantity.Temperature, usable quantity.Temperature, m int) quantity.Duration {
	least := math.Inf(1)
	for p := range d.sys.Pipes {
		pipe := &d.sys.Pipes[p]
		if pipe.Role != year.Supply || at[p] == (quantity.Temperature{}) {
			continue
		}
		ambient := s.months[m].air.Kelvin()
		if pipe.Ambient != airAmbient {
			ambient = d.ambients[pipe.Ambient].Kelvin()
		}
		capacity := pipe.Content.CubicMetresPerMetre()*d.sys.WaterHeat + pipe.WallHeatCapacity
		switch {
		case at[p].Kelvin() <= usable.Kelvin():
			return quantity.Duration{}
		case usable.Kelvin() > ambient && pipe.UA > 0:
			least = min(least, capacity/pipe.UA*math.Log((at[p].Kelvin()-ambient)/(usable.Kelvin()-ambient)))
		}
	}
	return quantity.Seconds(least)
}

// renewal is how long the pump of a circulation takes to fill its supply.
func (d *arranged) renewal(c *year.Circulation) quantity.Duration {
	volume, flow := 0.0, 0.0
	seen := make([]bool, len(d.sys.Pipes))
	for _, l := range c.Loops {
		flow += l.Flow.CubicMetresPerSecond()
		for p := l.From; p != year.None && !seen[p]; p = d.sys.Pipes[p].Parent {
			seen[p] = true
			volume += d.sys.Pipes[p].Content.CubicMetresPerMetre() * d.sys.Pipes[p].Length.Metres()
		}
	}
	return quantity.Seconds(volume / flow)
}
