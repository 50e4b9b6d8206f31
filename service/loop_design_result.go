package service

import (
	"math"

	"recirc/calc/hydraulic"
	"recirc/calc/loop"
	"recirc/calc/quantity"
)

// answer turns the solved loop into what is told about it.
func (d *loopDesign) answer() {
	d.pipes()
	d.connections()
	d.nodes()
	d.a.Circulation = d.c.circulation(d.state.Total, quantity.Kelvin(d.state.Return), d.a.Pipes)
	d.a.Duty = d.c.duty(d.state.Total, d.balance.Pressure)
	d.a.Statement = "The loop is closed: heights cancel, and no static lift is in this head. It is the loss of the critical circuit with its valve open."
	d.a.Mixing = d.mixing
	d.critical()
	d.compare()
	d.note()
	d.show()
	d.a.Circuits = d.c.drawn([]int{d.balance.Critical, d.coldest()}, d.state.In, d.state.Out,
		d.goal, func(int) bool { return false })
}

// goal of a connection; zero where the target is at the heater.
func (d *loopDesign) goal(i int) quantity.Temperature {
	if d.target.at == AtHeater {
		return quantity.Temperature{}
	}
	return d.target.goals[i].Temperature
}

func (d *loopDesign) coldest() int {
	at := 0
	for i := range d.a.Connections {
		if d.a.Connections[i].Temperature.Kelvin() < d.a.Connections[at].Temperature.Kelvin() {
			at = i
		}
	}
	return at
}

// pipes are told in the order of the request.
func (d *loopDesign) pipes() {
	valveOn := make([]float64, len(d.c.at)) // by pipe of the graph, Pa
	for i := range d.balance.Valve {
		valveOn[d.valvePipe(i)] += d.balance.Valve[i]
	}
	d.a.Pipes, d.toldAt = make([]LoopPipe, 0, len(d.c.pipes)), make([]int32, len(d.c.pipes))
	for p, i := range d.c.at {
		if i == loop.None {
			continue
		}
		line := d.c.loop.Pipes[i].Line
		loss, _ := line.Loss(quantity.CubicMetresPerSecond(d.state.Flow[i]), d.c.fluid()) // the balance has passed it
		drop := loss.Total.Pascals() + valveOn[p]
		l := d.sizing.limits(int32(p), quantity.Kelvin(d.state.In[i]))
		d.toldAt[i] = int32(len(d.a.Pipes))
		d.a.Pipes = append(d.a.Pipes, d.c.loopPipe(int32(p), loss, d.state.Flow[i], d.state.In[i], d.state.Out[i], d.c.loop.HeatLoss(d.state, int(i)), drop, l))
	}
}

// told is what the answer says of a pipe of the loop.
func (d *loopDesign) told(i int32) *LoopPipe { return &d.a.Pipes[d.toldAt[i]] }

// valvePipe is the pipe that holds the valve of a connection: the return's first
// where none is given.
func (d *loopDesign) valvePipe(i int) int32 {
	if v := d.c.valves[i]; v.valve != nil {
		return v.pipe
	}
	return d.c.part.Connections[i].Return
}

func (d *loopDesign) connections() {
	lengths, open := d.c.lengths(), d.c.openKv()
	d.a.Connections = make([]DesignedConnection, len(d.flow))
	for i, q := range d.flow {
		k := d.c.loop.Connections[i]
		d.a.Connections[i] = DesignedConnection{
			Pipe: d.c.connectionName(i), Node: d.c.g.NodeName(d.c.part.Connections[i].Node),
			Flow: quantity.CubicMetresPerSecond(q), HeatLossFlow: quantity.CubicMetresPerSecond(d.alone[i]),
			GovernedBy: d.governor(i), Target: d.goal(i),
			Temperature: quantity.Kelvin(d.state.Out[k.Supply]), ReturnEnd: quantity.Kelvin(d.state.Out[d.c.ends[i]]),
			Length: lengths[i], CircuitDrop: quantity.Pascals(d.balance.Circuit[i]), Critical: i == d.balance.Critical,
			Valve: d.balancingValve(i, open[i]),
		}
	}
}

func (d *loopDesign) governor(i int) FlowFloor {
	switch {
	case d.activate:
		return FloorActivation
	case d.byHeat[i]:
		return FloorHeatLoss
	}
	return d.floors[i].why
}

// nothingLeft is the share of the duty below which a valve has nothing to take but
// rounding.
const nothingLeft = 1e-9

// balancingValve sets the valve of a connection. It is open where the circuit
// needs no more, and at its smallest where that governs the flow.
func (d *loopDesign) balancingValve(i int, open quantity.FlowCoefficient) BalancingValve {
	v := BalancingValve{Setting: ValveThrottled, Drop: quantity.Pascals(d.balance.Valve[i]), Temperature: quantity.Kelvin(d.state.In[d.c.at[d.valvePipe(i)]])}
	if at := d.c.valves[i]; at.valve != nil {
		v.Pipe = d.c.g.System.Pipes[at.pipe].ID
	}
	v.Kv = hydraulic.KvFor(quantity.CubicMetresPerSecond(d.flow[i]), v.Drop, d.c.fluid())
	left := d.balance.Pressure - d.balance.Circuit[i]
	switch {
	case i == d.balance.Critical || left <= nothingLeft*d.balance.Pressure:
		v.Setting, v.Kv = ValveOpen, open
	case d.governor(i) == FloorValve:
		v.Setting = ValveSmallest
	}
	return v
}

// nodes are told with pressures above the suction side of the pump.
func (d *loopDesign) nodes() {
	g := d.c.g
	heater := d.balance.Pressure - d.c.commonDrop(d.state.Total, d.mixing)
	d.a.Nodes = append(d.a.Nodes, LoopNode{
		Node: g.NodeName(g.HeaterNode()), Temperature: d.c.outlet, Back: quantity.Kelvin(d.state.Return),
		Pressure: quantity.Pascals(heater), PressureKnown: true,
	})
	after := make([]float64, len(d.c.pipes)) // pressure at the end of a supply, at the start of a return
	for i := range d.c.loop.Supplies {
		before := heater
		if next := d.c.loop.Pipes[i].Next; next != loop.None {
			before = after[next]
		}
		after[i] = before - d.told(int32(i)).Drop.Pascals()
		_, to := g.Ends(d.c.pipes[i])
		d.a.Nodes = append(d.a.Nodes, LoopNode{Node: g.NodeName(to), Temperature: quantity.Kelvin(d.state.Out[i]), Pressure: quantity.Pascals(after[i]), PressureKnown: true})
	}
	starts := make([]bool, len(d.c.pipes))
	for _, k := range d.c.loop.Connections {
		starts[k.Return] = true
	}
	for i := len(d.c.pipes) - 1; i >= d.c.loop.Supplies; i-- {
		behind := 0.0
		if next := d.c.loop.Pipes[i].Next; next != loop.None {
			behind = after[next]
		}
		after[i] = behind + d.told(int32(i)).Drop.Pascals()
		if from, _ := g.Ends(d.c.pipes[i]); !starts[i] {
			d.a.Nodes = append(d.a.Nodes, LoopNode{Node: g.NodeName(from), Temperature: quantity.Kelvin(d.state.In[i]), Pressure: quantity.Pascals(after[i]), PressureKnown: true})
		}
	}
}

// critical tells the circuit with the greatest loss and what it spends it on.
func (d *loopDesign) critical() {
	i := d.balance.Critical
	way, supplies := d.c.way(i)
	k := &d.a.Critical
	*k = CriticalCircuit{Connection: d.c.connectionName(i), Length: d.a.Connections[i].Length, Drop: quantity.Pascals(d.balance.Pressure)}
	var supply, returned, fittings, valves float64
	for n, p := range way {
		k.Pipes = append(k.Pipes, d.told(p).Pipe)
		loss := &d.told(p).Loss
		if n < supplies {
			supply += loss.Friction.Pascals()
		} else {
			returned += loss.Friction.Pascals()
		}
		fittings += loss.Fittings.Pascals()
		valves += loss.Valves.Pascals()
	}
	heater, mixing := d.c.commonDrops(d.state.Total, d.mixing)
	for _, part := range []struct {
		name string
		drop float64
	}{
		{"supply_friction", supply}, {"return_friction", returned}, {"fittings", fittings}, {"valves", valves},
		{"balancing_valve", d.balance.Valve[i]}, {"heater", heater}, {"mixing_valve", mixing},
	} {
		if math.Abs(part.drop) > 0 {
			k.Parts = append(k.Parts, CircuitPart{part.name, quantity.Pascals(part.drop)})
		}
	}
}
