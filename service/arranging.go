package service

import (
	"fmt"
	"math"

	"recirc/calc/fault"
	"recirc/calc/heat"
	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/calc/water"
	"recirc/calc/year"
)

// arranging turns arrangements into pipes to simulate. What arrangements of one
// request have in common is found once.
type arranging struct {
	notes  *Notes
	faults *fault.List
	system *network.System // of the request
	base   *network.Graph
	flows  []hotFlow // by fixture of the request
	months [12]monthly

	losses map[lossOf]heat.Loss
	lags   map[lagOf]year.Lag

	told map[string]bool // pipes that cannot be calculated
	left int             // work that the simulations of the request may still do
}

// lossOf is what the loss of a metre depends on, and at which temperature.
type lossOf struct {
	alike
	kelvin float64
}

// lagOf is what the delay of the front in a wall depends on.
type lagOf struct {
	tube      heat.Tube
	flow      float64 // of a class of flows, m3/s
	cold, hot quantity.Temperature
}

// arranged is an arrangement in pipes.
type arranged struct {
	a  *Arrangement
	at string // where the request has it
	g  *network.Graph
	by heating

	sys      year.System
	supply   []int // pipes of sys by pipe of the graph; year.None where there is none
	served   []bool
	pumpAt   []string               // by circulation, the fixture whose pump it is; empty near the heater
	ambients []quantity.Temperature // 0 is that of the air, whose months vary
	outlet   quantity.Temperature
}

// airAmbient is the place of the air of the months among the ambients.
const airAmbient = 0

// arrange builds an arrangement; nil if anything is wrong.
func (s *arranging) arrange(a *Arrangement, at string) *arranged {
	before := len(s.faults.Faults())
	checkArrangement(a, at, s.faults)
	d := &arranged{a: a, at: at, g: s.base}
	if a.Variant != nil {
		d.g = s.variant(a, at)
	}
	if d.g == nil || len(s.faults.Faults()) > before {
		return nil
	}
	d.by = newHeating(d.g)
	d.outlet = outletOf(d.g.System)
	d.ambients = []quantity.Temperature{defaultAir}
	if !s.serve(d) {
		return nil
	}
	s.layPipes(d)
	if len(s.faults.Faults()) > before {
		return nil
	}
	s.outlets(d)
	s.warm(d)
	if len(s.faults.Faults()) > before {
		return nil
	}
	return d
}

// variant links an arrangement's own system, which has the fixtures of the request.
func (s *arranging) variant(a *Arrangement, at string) *network.Graph {
	at += "/system"
	if len(a.Variant.Fixtures) == 0 {
		s.faults.Add(at+"/fixtures", fault.FixturesMissing, "There is no fixture; a variant has those of the system.")
	}
	g := network.Build(a.Variant, at, s.faults)
	known := make(map[string]bool, len(s.system.Fixtures))
	for i := range s.system.Fixtures {
		known[s.system.Fixtures[i].ID] = true
	}
	for i := range a.Variant.Fixtures {
		id := a.Variant.Fixtures[i].ID
		if !known[id] && id != "" {
			s.faults.Add(listPointer(at+"/fixtures", i, "/id"), fault.VariantDiffers, "The system of the request has no fixture %q; a variant has the same fixtures.", id)
		}
		delete(known, id)
	}
	for i := range s.system.Fixtures { // in the order of the request, not of the map
		if id := s.system.Fixtures[i].ID; known[id] {
			s.faults.Add(at+"/fixtures", fault.VariantDiffers, "The variant lacks the fixture %q; the same draws are made at every arrangement.", id)
		}
	}
	return g
}

// outletOf is the temperature that reaches the pipes, the usual one where none is
// given.
func outletOf(s *network.System) quantity.Temperature {
	switch {
	case s.MixingValve != nil:
		return s.MixingValve.OutletTemperature
	case s.Heater.OutletTemperature != quantity.Temperature{}:
		return s.Heater.OutletTemperature
	}
	return defaultOutlet
}

// serve marks the fixtures that an arrangement serves.
func (s *arranging) serve(d *arranged) bool {
	fixtures := d.g.System.Fixtures
	d.served = make([]bool, len(fixtures))
	place := make(map[string]int, len(fixtures))
	for i := range fixtures {
		place[fixtures[i].ID] = i
	}
	ok := true
	for i, id := range d.a.Fixtures {
		at := listPointer(d.at+"/fixtures", i, "")
		f, known := place[id]
		switch {
		case !known:
			s.faults.Add(at, fault.FixtureUnknown, "The system has no fixture %q.", id)
			ok = false
		case d.served[f]:
			s.faults.Add(at, fault.ListedTwice, "The fixture %q is listed twice.", id)
			ok = false
		default:
			d.served[f] = true
		}
	}
	if d.a.Fixtures != nil {
		return ok
	}
	if d.a.Type != ColdLineReturn && d.a.Type != OnDemandAtFixture {
		for i := range d.served {
			d.served[i] = true
		}
		return true
	}
	far := s.farthest(d.g)
	d.served[far] = true
	s.notes.assume(Assumption{Code: "default_part", Detail: fmt.Sprintf("Arrangement %q names no fixtures; the one farthest from the heater by the water on its way is taken.", d.a.ID), Value: fixtures[far].ID, Pointers: []string{d.at}, Source: "common_practice"})
	return true
}

// farthest is the fixture with most water between it and the heater.
func (s *arranging) farthest(g *network.Graph) int {
	volume := make([]float64, len(g.System.Pipes))
	for _, p := range g.SupplyOrder() {
		volume[p] = g.StoredVolume(p).CubicMetres()
		if f, ok := g.Feeder(p); ok {
			volume[p] += volume[f]
		}
	}
	far, most := 0, -1.0
	for i := range g.System.Fixtures {
		if p, ok := g.FedBy(g.FixtureNode(i)); ok && volume[p] > most {
			far, most = i, volume[p]
		}
	}
	return far
}

// insulated tells which supply pipes an insulation of the arrangement is put on:
// those on the way to what it serves.
func (d *arranged) insulated() []bool {
	on := make([]bool, len(d.g.System.Pipes))
	for i, served := range d.served {
		if !served {
			continue
		}
		for p, ok := d.g.FedBy(d.g.FixtureNode(i)); ok && !on[p]; p, ok = d.g.Feeder(p) {
			on[p] = true
		}
	}
	return on
}

// layPipes gives the simulation the supply pipes.
func (s *arranging) layPipes(d *arranged) {
	d.supply = make([]int, len(d.g.System.Pipes))
	for i := range d.supply {
		d.supply[i] = year.None
	}
	served := d.insulated()
	flows := s.usualFlows(d.g)
	at := s.coolAt(d, d.a.Type == DedicatedReturn && (d.a.Control == nil || d.a.Control.Kind == "continuous"))
	for _, p := range d.g.SupplyOrder() {
		insulation := d.g.System.InsulationOf(p)
		if served[p] && d.a.Insulation != nil {
			insulation = d.a.Insulation
		}
		out, err := s.pipe(d, p, insulation, at, flows[p])
		if err != nil {
			s.pipeFault(d, p, err)
			return
		}
		out.Role, out.Parent = year.Supply, year.None
		if f, ok := d.g.Feeder(p); ok {
			out.Parent = d.supply[f]
		}
		if trace := d.g.System.Pipes[p].HeatTrace; trace != nil {
			out.Trace = traceOf(trace, out.UA, s.ambientOf(d, &out))
		} else if served[p] && d.a.Trace != nil {
			out.Trace = traceOf(d.a.Trace, out.UA, s.ambientOf(d, &out))
		}
		d.supply[p] = len(d.sys.Pipes)
		d.sys.Pipes = append(d.sys.Pipes, out)
	}
}

// pipeFault tells that a pipe cannot be calculated, once for all arrangements.
func (s *arranging) pipeFault(d *arranged, p int32, err error) {
	at := pipePointer(p, "")
	if d.a.Variant != nil {
		at = d.at + at
	}
	if !s.told[at] {
		s.told[at] = true
		s.faults.Add(at, fault.OutOfRange, "This pipe cannot be calculated: %s.", reasonOf(err))
	}
}

// ambientOf is what surrounds a pipe, of the air its mean over the year.
func (s *arranging) ambientOf(d *arranged, p *year.Pipe) quantity.Temperature {
	if p.Ambient != airAmbient {
		return d.ambients[p.Ambient]
	}
	sum := 0.0
	for i := range s.months {
		sum += s.months[i].air.Kelvin()
	}
	return quantity.Kelvin(sum / float64(len(s.months)))
}

// coolAt is the temperature at which the coefficients of loss are taken. A pipe
// that is kept hot loses as hot; one that cools between draws passes through all
// temperatures down to its surroundings, and is taken at two thirds of the way up.
func (s *arranging) coolAt(d *arranged, keptHot bool) quantity.Temperature {
	if keptHot {
		return d.outlet
	}
	air := defaultAir.Kelvin()
	return quantity.Kelvin(max(air, air+2*(d.outlet.Kelvin()-air)/3))
}

// pipe gives one pipe of the graph to the simulation, but for its role, its parent
// and its cable.
func (s *arranging) pipe(d *arranged, p int32, insulation *network.Insulation, at quantity.Temperature, flow float64) (year.Pipe, error) {
	run := &d.g.System.Pipes[p]
	return s.lay(d, d.by.pipe(p, insulation), string(run.Role)+" "+run.ID, run.Length, d.g.System.SurroundingsOf(p) == nil, at, flow)
}

// lay makes a pipe of a thermal model.
func (s *arranging) lay(d *arranged, model heat.Pipe, id string, length quantity.Length, inAir bool, at quantity.Temperature, flow float64) (year.Pipe, error) {
	key := lossOf{kindOf(&model), at.Kelvin()}
	loss, known := s.losses[key]
	if !known {
		var err error
		if loss, err = model.Loss(at, quantity.Flow{}); err != nil {
			return year.Pipe{}, err
		}
		s.losses[key] = loss
		s.notes.use(model.Sources(quantity.Flow{})...)
	}
	bore, outside := model.Tube.Bore.Metres(), model.Tube.Outside.Metres()
	out := year.Pipe{
		ID: id, Length: quantity.Metres(max(length.Metres(), leastLength)), UA: loss.UA,
		Content:          quantity.CubicMetresPerMetre(math.Pi / 4 * bore * bore),
		WallHeatCapacity: model.Tube.HeatCapacity * math.Pi / 4 * (outside*outside - bore*bore),
	}
	if !inAir {
		out.Ambient = d.ambient(loss.Ambient)
	}
	var err error
	out.Lag, err = s.lag(d, model.Tube, flow)
	return out, err
}

// leastLength in m of a pipe that is simulated: what is shorter is a fitting.
const leastLength = 0.001

// ambient finds the place of a temperature among the ambients.
func (d *arranged) ambient(t quantity.Temperature) int {
	for i := airAmbient + 1; i < len(d.ambients); i++ {
		if d.ambients[i] == t {
			return i
		}
	}
	d.ambients = append(d.ambients, t)
	return len(d.ambients) - 1
}

// A class of flows is 1.25 times as wide as it begins: the delay of a front goes
// with about the square root of the flow, and a building has thousands of pipes.
const flowClass = 1.25

// fittedLength in m is that of a usual dead leg, for which the delay is fitted.
const fittedLength = 10

// lag finds how the front is delayed in a kind of tube.
func (s *arranging) lag(d *arranged, t heat.Tube, flow float64) (year.Lag, error) {
	if t.HeatCapacity == 0 || t.Outside.Metres() <= t.Bore.Metres() || flow == 0 {
		return year.Lag{}, nil
	}
	q := math.Pow(flowClass, math.Round(math.Log(flow)/math.Log(flowClass)))
	cold := defaultAir
	if d.outlet.Kelvin() < cold.Kelvin()+5 {
		return year.Lag{}, nil // nothing that anybody waits for
	}
	key := lagOf{t, q, cold, d.outlet}
	if l, known := s.lags[key]; known {
		return l, nil
	}
	w, err := water.At(quantity.Kelvin((cold.Kelvin() + d.outlet.Kelvin()) / 2))
	if err != nil {
		return year.Lag{}, err
	}
	film, err := heat.InsideFilm(heat.Tube{Bore: t.Bore, Outside: t.Outside}, quantity.CubicMetresPerSecond(q), w)
	if err != nil {
		return year.Lag{}, err
	}
	l, err := year.LagOf(year.Tube{
		Bore: t.Bore, Outside: t.Outside, WallConductivity: t.Conductivity, WallHeatCapacity: t.HeatCapacity,
		Film: film.Coefficient.WattsPerSquareMetreKelvin(), Length: quantity.Metres(fittedLength), Flow: quantity.CubicMetresPerSecond(q),
		WaterHeat: w.VolumetricHeat(), Cold: cold, Hot: d.outlet, Usable: quantity.Kelvin(cold.Kelvin() + 0.7*(d.outlet.Kelvin()-cold.Kelvin())),
	})
	if err != nil {
		return year.Lag{}, err
	}
	s.lags[key] = l
	return l, nil
}

// usualFlows is the mean flow of the fixtures behind each supply pipe, in m3/s.
func (s *arranging) usualFlows(g *network.Graph) []float64 {
	byID := make(map[string]float64, len(s.flows))
	for i := range s.system.Fixtures {
		byID[s.system.Fixtures[i].ID] = s.flows[i].flow.CubicMetresPerSecond()
	}
	sum, count := make([]float64, len(g.System.Pipes)), make([]float64, len(g.System.Pipes))
	for i := range g.System.Fixtures {
		if p, ok := g.FedBy(g.FixtureNode(i)); ok {
			sum[p] += byID[g.System.Fixtures[i].ID]
			count[p]++
		}
	}
	order := g.SupplyOrder()
	for i := len(order) - 1; i >= 0; i-- {
		if f, ok := g.Feeder(order[i]); ok {
			sum[f] += sum[order[i]]
			count[f] += count[order[i]]
		}
	}
	for p := range sum {
		if count[p] > 0 {
			sum[p] /= count[p]
		}
	}
	return sum
}

// offAbove is how far above the temperature that it holds a self-regulating cable
// gives nothing more: common practice.
const offAbove = 10 // K

// traceOf is a cable that holds a pipe at a temperature: where its power is not
// given, it just keeps it there.
func traceOf(t *network.HeatTrace, ua float64, around quantity.Temperature) *year.Trace {
	power := t.PowerPerLength.WattsPerMetre()
	if power == 0 {
		power = max(0, ua*(t.MaintainedTemperature.Kelvin()-around.Kelvin()))
	}
	return &year.Trace{Power: power, At: t.MaintainedTemperature, Off: quantity.Kelvin(t.MaintainedTemperature.Kelvin() + offAbove)}
}
