package service

import (
	"recirc/calc/fault"
	"recirc/calc/heat"
	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/calc/rule"
	"recirc/calc/water"
)

// HeatLossesRequest asks what the pipes of a system lose, filled with water of
// one temperature.
type HeatLossesRequest struct {
	System           network.System
	WaterTemperature quantity.Temperature // zero: the heater's
	Flow             quantity.Flow        // zero: standing
	PipeFlows        []PipeFlow
	CoolDownTo       []quantity.Temperature
	HoursPerYear     *float64
	InsulateWith     *network.Insulation
	ShowWorking      bool
	USGallon         bool
}

// PipeFlow is the flow in one pipe.
type PipeFlow struct {
	Pipe string
	Flow quantity.Flow
}

// HeatLossesAnswer is one loss a pipe, in the order of the request.
type HeatLossesAnswer struct {
	Pipes  []PipeHeatLoss
	Totals HeatLossTotals
	Notes
	Working []Step
}

// PipeHeatLoss is what one pipe loses.
type PipeHeatLoss struct {
	Pipe                string
	Role                network.Role
	Length              quantity.Length
	Water, Surroundings quantity.Temperature
	Flow                quantity.Flow // zero: standing
	Loss                heat.Loss     // flowing where there is a flow
	Total               quantity.HeatFlow
	StandingUA          float64 // W/(m.K)
	FlowingUA           float64 // W/(m.K); zero: standing
	Drop                quantity.TemperatureDifference
	CoolDown            []heat.Cooled
	AnnualEnergy        quantity.Energy
	With                *WithInsulation
	Minimum             []rule.InsulationVerdict
	Thickness           quantity.Length // of the present insulation
}

// WithInsulation is the same pipe with another insulation.
type WithInsulation struct {
	Total, Saved quantity.HeatFlow
	EnergySaved  quantity.Energy
	Surface      quantity.Temperature
}

// HeatLossTotals is the whole system.
type HeatLossTotals struct {
	Pipes               int
	All, Supply, Return quantity.HeatFlow
	AnnualEnergy        quantity.Energy
	Compared            bool
	Saved               quantity.HeatFlow
	EnergySaved         quantity.Energy
}

const secondsPerHour = 3600

// HeatLosses finds the loss of every pipe. It gives nil and adds to faults if
// the system is wrong.
func HeatLosses(req *HeatLossesRequest, faults *fault.List) *HeatLossesAnswer {
	g := network.Build(&req.System, systemPointer, faults)
	flows := pipeFlows(req, faults)
	if g == nil || !faults.Empty() {
		return nil
	}
	q := heatLosses{req: req, h: newHeating(g), flows: flows, a: &HeatLossesAnswer{}, work: working{wanted: req.ShowWorking}, metres: make(map[alike]*metre)}
	if steps := (21 + max(1, len(req.CoolDownTo))) * len(req.System.Pipes); q.work.wanted && steps > maxRows {
		faults.Add("/show_working", fault.AnswerTooLarge, "The working would hold about %d steps; at most %d are given. Send parts of the building.", steps, maxRows)
		return nil
	}
	q.assume()
	q.a.Pipes = make([]PipeHeatLoss, len(req.System.Pipes))
	for i := range q.a.Pipes {
		if err := q.pipe(int32(i)); err != nil {
			physicsFault(faults, int32(i), err)
		}
	}
	if !faults.Empty() {
		return nil
	}
	q.finish()
	return q.a
}

// heatLosses is one request on its way to an answer.
type heatLosses struct {
	req      *HeatLossesRequest
	h        heating
	flows    []quantity.Flow
	a        *HeatLossesAnswer
	work     working
	water    quantity.Temperature
	coolDown []quantity.Temperature
	hours    float64
	metres   map[alike]*metre
}

// pipeFlows is the flow of every pipe, by id or for all.
func pipeFlows(req *HeatLossesRequest, faults *fault.List) []quantity.Flow {
	flows := make([]quantity.Flow, len(req.System.Pipes))
	index := make(map[string]int, len(flows))
	for i := range flows {
		flows[i] = req.Flow
		index[req.System.Pipes[i].ID] = i
	}
	for i, f := range req.PipeFlows {
		if at, ok := index[f.Pipe]; ok {
			flows[at] = f.Flow
		} else if _, unread := index[""]; f.Pipe != "" && !unread {
			faults.Add(listPointer("/pipe_flows", i, "/pipe"), fault.PipeUnknown, "The system has no pipe %q.", f.Pipe)
		}
	}
	return flows
}

// assume fills in what the request leaves open, and says so.
func (q *heatLosses) assume() {
	q.a.noteGallon(q.req.USGallon)
	q.water = q.req.WaterTemperature
	if q.water == (quantity.Temperature{}) {
		q.water = q.a.outletTemperature(&q.req.System)
		q.a.assume(Assumption{Code: "default_water_temperature", Detail: "The water in every pipe is taken at the temperature that leaves the heater or its mixing valve.", Value: shownTemperature(q.water), Pointers: []string{""}, Source: "common_practice"})
	}
	q.coolDown = q.req.CoolDownTo
	if len(q.coolDown) == 0 {
		q.coolDown = []quantity.Temperature{quantity.Celsius(40)}
		q.a.assume(Assumption{Code: "default_cool_down", Detail: "No temperature to cool down to is given; below about 40 degC water counts as cold at a tap.", Value: "40 degC", Pointers: []string{""}, Source: "common_practice"})
	}
	q.hours = 8760
	if q.req.HoursPerYear != nil {
		q.hours = *q.req.HoursPerYear
	} else {
		q.a.assume(Assumption{Code: "default_hours", Detail: "No hours are given; the pipes are taken as hot all year.", Value: "8760 h", Pointers: []string{""}, Source: "common_practice"})
	}
}

func (q *heatLosses) pipe(i int32) error {
	run := &q.req.System.Pipes[i]
	insulation := q.req.System.InsulationOf(i)
	model := q.h.pipe(i, insulation)
	metre, err := q.metreOf(model, &q.h.g.Tubes[i], q.flows[i])
	if err != nil {
		return err
	}
	out := &q.a.Pipes[i]
	*out = PipeHeatLoss{
		Pipe: run.ID, Role: run.Role, Length: run.Length, Water: q.water, Surroundings: model.Surroundings.Temperature,
		Flow: q.flows[i], Thickness: insulation.Thickness(), Loss: metre.loss, StandingUA: metre.standing.UA, CoolDown: metre.coolDown, Minimum: metre.minimum,
	}
	if out.Flow != (quantity.Flow{}) {
		out.FlowingUA = out.Loss.UA
		if out.Drop, err = q.drop(out); err != nil {
			return err
		}
	}
	q.amounts(out)
	if err := q.compare(i, out); err != nil {
		return err
	}
	q.showPipe(out, model)
	return nil
}

// drop is the fall of temperature along the pipe, exponential.
func (q *heatLosses) drop(p *PipeHeatLoss) (quantity.TemperatureDifference, error) {
	w, err := water.At(p.Water)
	if err != nil {
		return quantity.TemperatureDifference{}, err
	}
	run := heat.Run{UA: p.FlowingUA, Length: p.Length, Ambient: p.Loss.Ambient}
	stream, err := heat.Stream(p.Flow, w)
	if err != nil {
		return quantity.TemperatureDifference{}, err
	}
	along, err := heat.TemperatureAlong(run, p.Water, stream)
	if err != nil {
		return quantity.TemperatureDifference{}, err
	}
	return quantity.KelvinDifference(p.Water.Kelvin() - along.Outlet.Kelvin()), nil
}

func (q *heatLosses) amounts(p *PipeHeatLoss) {
	p.Total = quantity.Watts(p.Loss.PerMetre.WattsPerMetre() * p.Length.Metres())
	p.AnnualEnergy = quantity.Joules(p.Total.Watts() * q.hours * secondsPerHour)
}

// compare looks at the pipe with the other insulation, if one is given.
func (q *heatLosses) compare(i int32, p *PipeHeatLoss) error {
	if q.req.InsulateWith == nil {
		return nil
	}
	metre, err := q.metreOf(q.h.pipe(i, q.req.InsulateWith), &q.h.g.Tubes[i], p.Flow)
	if err != nil {
		return err
	}
	other := metre.loss
	total := other.PerMetre.WattsPerMetre() * p.Length.Metres()
	saved := p.Total.Watts() - total
	p.With = &WithInsulation{
		Total: quantity.Watts(total), Saved: quantity.Watts(saved), Surface: other.Surface,
		EnergySaved: quantity.Joules(saved * q.hours * secondsPerHour),
	}
	return nil
}

func (q *heatLosses) finish() {
	t := &q.a.Totals
	var all, supply, returned, saved float64
	for i := range q.a.Pipes {
		p := &q.a.Pipes[i]
		all += p.Total.Watts()
		if p.Role == network.Return {
			returned += p.Total.Watts()
		} else {
			supply += p.Total.Watts()
		}
		if p.With != nil {
			saved += p.With.Saved.Watts()
		}
		q.a.use(q.h.g.Tubes[i].Source)
	}
	t.Pipes, t.All, t.Supply, t.Return = len(q.a.Pipes), quantity.Watts(all), quantity.Watts(supply), quantity.Watts(returned)
	t.AnnualEnergy = quantity.Joules(all * q.hours * secondsPerHour)
	t.Compared, t.Saved, t.EnergySaved = q.req.InsulateWith != nil, quantity.Watts(saved), quantity.Joules(saved*q.hours*secondsPerHour)
	q.h.note(&q.a.Notes)
	for _, r := range rule.InsulationRules() {
		q.a.use(r.Source)
	}
	q.a.use(water.Source, heat.AlongSource, heat.CoolingSource)
	q.a.use(q.work.sources()...)
	q.stretched()
	q.cautions()
	q.a.Working = q.work.steps
}
