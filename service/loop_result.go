package service

import (
	"math"
	"slices"

	"recirc/calc/hydraulic"
	"recirc/calc/loop"
	"recirc/calc/network"
	"recirc/calc/quantity"
)

// loopPipe gathers what is told about one pipe; drop is with its balancing valve.
func (c *circuits) loopPipe(p int32, loss hydraulic.Loss, flow, in, out, heatLoss, drop float64, l limits) LoopPipe {
	run, tube := &c.g.System.Pipes[p], &c.g.Tubes[p]
	_, open := c.g.Unsized()[p]
	r := LoopPipe{
		at:   p,
		Pipe: run.ID, Role: run.Role, Series: tube.Series, Nominal: tube.Nominal, Bore: tube.Bore, Chosen: open,
		Flow: quantity.CubicMetresPerSecond(flow), Loss: loss, Inlet: quantity.Kelvin(in), Outlet: quantity.Kelvin(out),
		HeatLoss: quantity.Watts(heatLoss), Drop: quantity.Pascals(drop),
		Gradient: quantity.PascalsPerMetre(math.Abs(loss.Friction.Pascals()) / run.Length.Metres()),
		Limit:    quantity.MetresPerSecond(l.velocity), Judged: l.velocity > 0 || l.friction > 0,
	}
	r.Within = r.Judged && l.keeps(&loss, run.Length.Metres())
	c.notes.use(tube.Source)
	return r
}

// circulation sums up a loop.
func (c *circuits) circulation(total float64, back quantity.Temperature, pipes []LoopPipe) Circulation {
	out := Circulation{Flow: quantity.CubicMetresPerSecond(total), Outlet: c.outlet, Return: back, Water: c.waterAt}
	var supply, returned float64
	for i := range pipes {
		if pipes[i].Role == network.Return {
			returned += pipes[i].HeatLoss.Watts()
		} else {
			supply += pipes[i].HeatLoss.Watts()
		}
	}
	out.SupplyLoss, out.BackLoss, out.HeatLoss = quantity.Watts(supply), quantity.Watts(returned), quantity.Watts(supply+returned)
	return out
}

func (c *circuits) duty(total, pressure float64) PumpDuty {
	dp := quantity.Pascals(pressure)
	return PumpDuty{
		Flow: quantity.CubicMetresPerSecond(total), Pressure: dp, Head: hydraulic.Head(dp, c.loop.Water.Density),
		Hydraulic: quantity.PowerWatts(total * pressure),
	}
}

// way lists the pipes of the loop along a circuit, from the heater out and back,
// and how many of them are supply.
func (c *circuits) way(connection int) (pipes []int32, supplies int) {
	k := c.loop.Connections[connection]
	for i := k.Supply; i != loop.None; i = c.loop.Pipes[i].Next {
		pipes = append(pipes, i)
	}
	slices.Reverse(pipes)
	supplies = len(pipes)
	for i := k.Return; i != loop.None; i = c.loop.Pipes[i].Next {
		pipes = append(pipes, i)
	}
	return pipes, supplies
}

// lengths of all circuits, in linear time.
func (c *circuits) lengths() []quantity.Length {
	sum := make([]float64, len(c.pipes)) // from the heater to the end of a supply, from the start of a return to the heater
	add := func(i int) {
		sum[i] = c.g.System.Pipes[c.pipes[i]].Length.Metres()
		if next := c.loop.Pipes[i].Next; next != loop.None {
			sum[i] += sum[next]
		}
	}
	for i := range c.loop.Supplies {
		add(i)
	}
	for i := len(c.pipes) - 1; i >= c.loop.Supplies; i-- {
		add(i)
	}
	out := make([]quantity.Length, len(c.loop.Connections))
	for i, k := range c.loop.Connections {
		out[i] = quantity.Metres(sum[k.Supply] + sum[k.Return])
	}
	return out
}

// Pictures show at most so many circuits, each pipe of a short one in steps.
const (
	drawnCircuits = 12
	finePipes     = 200
	pipeSteps     = 6
)

// circuits gives the temperatures along some circuits: those asked for first, then
// others in order.
func (c *circuits) drawn(first []int, in, out []float64, goal func(i int) quantity.Temperature, cold func(i int) bool) []Circuit {
	taken := map[int]bool{}
	var all []Circuit
	take := func(i int) {
		if len(all) < drawnCircuits && !taken[i] {
			taken[i] = true
			all = append(all, c.along(i, in, out, goal(i), cold(i)))
		}
	}
	for _, i := range first {
		take(i)
	}
	for i := range c.loop.Connections {
		take(i)
	}
	return all
}

func (c *circuits) along(connection int, in, out []float64, goal quantity.Temperature, cold bool) Circuit {
	way, supplies := c.way(connection)
	r := Circuit{Connection: c.connectionName(connection), Target: goal, Cold: cold}
	steps, x := 1, 0.0
	if len(way) <= finePipes {
		steps = pipeSteps
	}
	point := func(x, T float64) {
		r.Distance, r.Water = append(r.Distance, quantity.Metres(x)), append(r.Water, quantity.Kelvin(T))
	}
	for n, i := range way {
		L, Ta := c.g.System.Pipes[c.pipes[i]].Length.Metres(), c.loop.Pipes[i].Ambient.Kelvin()
		point(x, in[i])
		for k := 1; k < steps; k++ { // exponential between the ends
			share := float64(k) / float64(steps)
			if ratio := (out[i] - Ta) / (in[i] - Ta); ratio > 0 && !math.IsInf(ratio, 1) {
				point(x+share*L, Ta+(in[i]-Ta)*math.Pow(ratio, share))
			}
		}
		x += L
		point(x, out[i])
		if n == supplies-1 {
			r.Turn = len(r.Water) - 1
		}
	}
	return r
}
