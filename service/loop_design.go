package service

import (
	"math"
	"slices"

	"recirc/calc/fault"
	"recirc/calc/loop"
	"recirc/calc/network"
	"recirc/calc/quantity"
)

// LoopDesign designs the loop of a system. It gives nil and adds to faults if
// the system or the target is wrong.
func LoopDesign(req *LoopDesignRequest, faults *fault.List) *LoopDesignAnswer {
	if d := designLoop(req, faults); d != nil {
		return d.a
	}
	return nil
}

// designLoop is [LoopDesign] with the loop itself, for who goes on with it.
func designLoop(req *LoopDesignRequest, faults *fault.List) *loopDesign {
	req.System.UnsizedReturns, req.System.ReturnSeries = true, req.Sizing.Series
	g := network.Build(&req.System, systemPointer, faults)
	if g == nil {
		return nil
	}
	d := loopDesign{req: req, a: &LoopDesignAnswer{}, work: working{wanted: req.ShowWorking}}
	if d.c = newCircuits(g, req.Losses, &d.a.Notes, faults); d.c == nil {
		return nil
	}
	d.a.noteGallon(req.USGallon)
	d.c.refuseShut(faults)
	d.aim(faults)
	d.sizing = newSizing(d.c, req.Sizing, faults)
	if !faults.Empty() {
		return nil
	}
	if err := d.solve(); err != nil {
		d.c.fault(err, &d.target, faults)
		return nil
	}
	d.answer()
	return &d
}

// loopDesign is one request on its way to an answer.
type loopDesign struct {
	req    *LoopDesignRequest
	c      *circuits
	a      *LoopDesignAnswer
	work   working
	target loopTarget
	sizing *sizing

	least    []leastFlow // by connection: what was asked for
	floors   []leastFlow // by connection: the greatest floor as it stands
	valve    []float64   // by connection: floor of the smallest setting of its valve, m3/s
	setting  bool        // some valve has a smallest setting, so floors follow from pressures
	flow     []float64   // by connection, m3/s
	byHeat   []bool
	state    *loop.State
	balance  *loop.Balance
	mixing   *MixingState
	activate bool // the flow that makes the heater fire governs
	alone    []float64
	toldAt   []int32 // by pipe of the loop: where the answer tells it
}

// leastFlow is a floor under a flow.
type leastFlow struct {
	flow float64 // m3/s
	why  FlowFloor
}

// defaultLeastFlow keeps a return from standing still where no heat asks for a
// flow: common practice is none, so it is small beside any loss.
var defaultLeastFlow = quantity.CubicMetresPerSecond(0.1e-3 / 60)

// aim fixes targets and least flows of connections.
func (d *loopDesign) aim(faults *fault.List) {
	d.target = d.c.target(d.req.Target, faults)
	floor := leastFlow{d.req.LeastFlow.CubicMetresPerSecond(), FloorGiven}
	if floor.flow == 0 {
		floor = leastFlow{defaultLeastFlow.CubicMetresPerSecond(), FloorDefault}
		d.a.assume(Assumption{Code: "default_least_flow", Detail: "No least flow is given for return connections; a small one keeps every return from standing still.", Value: "0.1 L/min", Pointers: []string{""}, Source: "common_practice"})
	}
	for _, at := range d.c.valves {
		d.setting = d.setting || at.valve != nil && at.valve.SmallestKv != nil
	}
	n := len(d.c.loop.Connections)
	d.least, d.floors, d.valve = make([]leastFlow, n), make([]leastFlow, n), make([]float64, n)
	for i := range d.least {
		d.least[i] = floor
	}
	of := d.c.connections()
	for i, limit := range d.req.Connections {
		at, ok := d.c.connectionCalled(of, limit.Pipe, listPointer("/connections", i, "/pipe"), faults)
		if !ok {
			continue
		}
		if limit.LeastFlow != (quantity.Flow{}) {
			d.least[at] = leastFlow{limit.LeastFlow.CubicMetresPerSecond(), FloorGiven}
		}
		if limit.LeastTemperature == (quantity.Temperature{}) {
			continue
		}
		if d.target.at == AtHeater {
			faults.Add(listPointer("/connections", i, "/least_temperature"), fault.TargetIncomplete, "The target is at the heater, so connections have none of their own.")
			continue
		}
		d.target.goals[at].Temperature = limit.LeastTemperature
		d.target.pointers[at] = listPointer("/connections", i, "/least_temperature")
	}
}

const (
	mostDesignRounds = 200
	designSettled    = 1e-10 // relative change of flows and heat losses
)

// solve goes round until flows, sizes, heat losses and floors agree.
func (d *loopDesign) solve() error {
	if err := d.c.warm(d.c.outlet); err != nil {
		return err
	}
	if _, err := d.c.setHeat(nil); err != nil {
		return err
	}
	d.c.setLines()
	copy(d.floors, d.least)
	for range mostDesignRounds {
		change, err := d.round()
		if err != nil {
			return err
		}
		if change <= designSettled {
			return d.finish()
		}
	}
	return loop.ErrNotFound
}

func (d *loopDesign) round() (change float64, err error) {
	before := append([]float64(nil), d.flow...)
	if err := d.require(); err != nil {
		return 0, err
	}
	change = math.Inf(1)
	if before != nil {
		change = greatestChange(before, d.flow)
	}
	d.state = d.c.loop.Temperatures(d.flow)
	back := quantity.Kelvin(d.state.Return)
	if err := d.c.warm(back); err != nil {
		return 0, err
	}
	heat, err := d.c.setHeat(d.state)
	if err != nil {
		return 0, err
	}
	resized, err := d.sizing.choose(d.state)
	if err != nil {
		return 0, err
	}
	if resized {
		heat = math.Inf(1)
	}
	d.mixing = d.c.mixingState(d.state.Total, back)
	if d.setting {
		if err := d.setBalance(); err != nil {
			return 0, err
		}
	}
	d.setFloors()
	return max(change, heat), nil
}

func (d *loopDesign) setBalance() (err error) {
	d.balance, err = d.c.loop.Balance(d.flow, d.c.openKv(), d.c.commonDrop(d.state.Total, d.mixing))
	return err
}

// require finds the flows for the present floors; the heater's activation raises
// them all.
func (d *loopDesign) require() error {
	floors := make([]float64, len(d.floors))
	for i, f := range d.floors {
		floors[i] = f.flow
	}
	r, err := d.target.require(&d.c.loop, floors)
	if err != nil {
		return err
	}
	d.flow, d.byHeat = r.Flow, r.ByHeat
	d.activate = d.c.activate(d.flow, d.activationMargin())
	return nil
}

func (d *loopDesign) activationMargin() float64 {
	if m := d.req.ActivationMargin; m != nil {
		return *m
	}
	return 1.1
}

// activation is the flow that the loop must have for the heater to fire, m3/s.
func (c *circuits) activation(margin float64) float64 {
	if h := &c.g.System.Heater; h.Type.OnFlow() {
		return margin * h.ActivationFlow.CubicMetresPerSecond()
	}
	return 0
}

// activate raises all flows alike to where the heater fires, and reports whether
// they were below.
func (c *circuits) activate(flow []float64, margin float64) bool {
	total := 0.0
	for _, q := range flow {
		total += q
	}
	needed := c.activation(margin)
	if total >= needed {
		return false
	}
	for i := range flow {
		flow[i] *= needed / total
	}
	return true
}

// setFloors takes the greatest floor of every connection: asked for, by the
// velocity in its return, or by the smallest setting of its valve.
func (d *loopDesign) setFloors() {
	for i := range d.floors {
		floor := d.least[i]
		if q := d.sizing.leastFlow(i); q > floor.flow {
			floor = leastFlow{q, FloorLeastVelocity}
		}
		if q := d.valveFloor(i); q > floor.flow {
			floor = leastFlow{q, FloorValve}
		}
		d.floors[i] = floor
	}
}

// valveFloor is what passes the valve of a connection at its smallest setting.
// The pressure that is left for it falls as the flow rises, so the floor is met
// half way.
func (d *loopDesign) valveFloor(i int) float64 {
	v := d.c.valves[i].valve
	if v == nil || v.SmallestKv == nil {
		return 0
	}
	dp := max(d.balance.Valve[i], 0)
	q := v.SmallestKv.SI() * math.Sqrt(dp*1000/d.c.loop.Water.Density)
	if d.valve[i] > 0 {
		q = math.Sqrt(q * d.valve[i])
	}
	d.valve[i] = q
	return q
}

// finish finds what heat alone would ask for, and what the valves take.
func (d *loopDesign) finish() error {
	if !d.activate && !slices.Contains(d.byHeat, false) {
		d.alone = d.flow
		return d.setBalance()
	}
	r, err := d.target.require(&d.c.loop, make([]float64, len(d.flow)))
	if err != nil {
		return err
	}
	d.alone = r.Flow
	return d.setBalance()
}

func greatestChange(before, after []float64) float64 {
	change := 0.0
	for i := range after {
		change = max(change, math.Abs(after[i]-before[i])/max(math.Abs(after[i]), 1e-12))
	}
	return change
}
