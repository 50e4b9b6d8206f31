package api

import (
	"math"

	"recirc/api/body"
	"recirc/calc/fault"
	"recirc/calc/network"
	"recirc/calc/pipe"
	"recirc/calc/quantity"
)

var pipeObject = body.NewObject("Pipe",
	body.Required("id", func(r *body.Reader, p *network.Pipe) { p.ID = identifier(r) }),
	body.Required("from", func(r *body.Reader, p *network.Pipe) { p.From = identifier(r) }),
	body.Required("to", func(r *body.Reader, p *network.Pipe) { p.To = identifier(r) }),
	body.Required("role", func(r *body.Reader, p *network.Pipe) { p.Role = network.Role(oneOf(r, roles)) }),
	body.Required("length", func(r *body.Reader, p *network.Pipe) { p.Length = length(r, lengthRange) }),
	body.Required("tube", func(r *body.Reader, p *network.Pipe) {
		before := r.FaultCount()
		tubeObject.Read(r, &p.Tube)
		p.Tube.Unreadable = r.FaultCount() > before
	}),
	body.Optional("fittings", func(r *body.Reader, p *network.Pipe) {
		r.List(0, 100, func(int) {
			p.Fittings = append(p.Fittings, network.Fitting{Count: 1})
			fittingObject.Read(r, &p.Fittings[len(p.Fittings)-1])
		})
	}),
	body.Optional("valves", func(r *body.Reader, p *network.Pipe) {
		r.List(0, 100, func(int) {
			var v network.Valve
			readValve(r, &v)
			p.Valves = append(p.Valves, v)
		})
	}),
	body.Optional("insulation", func(r *body.Reader, p *network.Pipe) { p.Insulation = readInsulation(r) }),
	body.Optional("surroundings", func(r *body.Reader, p *network.Pipe) { p.Surroundings = readSurroundings(r) }),
	body.Optional("heat_trace", func(r *body.Reader, p *network.Pipe) {
		p.HeatTrace = new(network.HeatTrace)
		heatTraceObject.Read(r, p.HeatTrace)
	}),
	body.Optional("orientation", func(r *body.Reader, p *network.Pipe) { p.Vertical = oneOf(r, orientations) == "vertical" }),
	body.Optional("surface_emissivity", func(r *body.Reader, p *network.Pipe) { p.SurfaceEmissivity = ratio(r, 1) }),
	body.Optional("fittings_allowance", func(r *body.Reader, p *network.Pipe) { p.FittingsAllowance = ratio(r, 2) }),
)

var tubeObject = body.NewObject("Tube",
	body.Optional("series", func(r *body.Reader, t *network.TubeSpec) { t.Series = series(r) }),
	body.Optional("nominal", func(r *body.Reader, t *network.TubeSpec) { t.Nominal, _ = r.Text(1, 32) }),
	body.Optional("inside_diameter", func(r *body.Reader, t *network.TubeSpec) { t.Bore = length(r, diameterRange) }),
	body.Optional("outside_diameter", func(r *body.Reader, t *network.TubeSpec) { t.Outside = length(r, diameterRange) }),
	body.Optional("wall_thickness", func(r *body.Reader, t *network.TubeSpec) { t.Wall = length(r, wallRange) }),
	body.Optional("wall_material", func(r *body.Reader, t *network.TubeSpec) { t.Material = pipe.Material(oneOf(r, materials)) }),
)

func series(r *body.Reader) string {
	s, _ := r.OneOf(seriesIDs, pipe.NearSeries)
	return s
}

var fittingObject = body.NewObject("Fitting",
	body.Required("type", func(r *body.Reader, f *network.Fitting) { f.Type = oneOf(r, fittingTypes) }),
	body.Optional("count", func(r *body.Reader, f *network.Fitting) { f.Count, _ = r.Count(1, 1000) }),
)

var valveObject = body.NewObject("Valve",
	body.Required("type", func(r *body.Reader, v *network.Valve) { v.Type = oneOf(r, valveTypes) }),
	body.Optional("kv", func(r *body.Reader, v *network.Valve) { v.Kv = valveKv(r) }),
	body.Optional("smallest_kv", func(r *body.Reader, v *network.Valve) { v.SmallestKv = valveKv(r) }),
	body.Optional("set_temperature", func(r *body.Reader, v *network.Valve) { v.SetTemperature = temperature(r, waterRange) }),
	body.Optional("temperature_band", func(r *body.Reader, v *network.Valve) { v.Band = difference(r) }),
)

// readValve reads a valve, which opens no less than its smallest setting.
func readValve(r *body.Reader, v *network.Valve) {
	before := r.FaultCount()
	valveObject.Read(r, v)
	if r.FaultCount() == before && v.Kv != nil && v.SmallestKv != nil && v.SmallestKv.SI() > v.Kv.SI()*(1+lastBits) {
		r.FaultAt("smallest_kv", fault.ValveIncomplete, "The smallest setting passes more than kv; the valve cannot be set so.")
	}
}

// lastBits is by how much one figure in two units may seem larger than itself.
const lastBits = 1e-12

// valveKv reads what a valve passes; nil if it is wrong.
func valveKv(r *body.Reader) *quantity.FlowCoefficient {
	k, ok := r.Amount(quantity.FlowCoefficientDimension, valveKvRange)
	if !ok {
		return nil
	}
	kv := quantity.FlowCoefficientSI(k)
	return &kv
}

var heatTraceObject = body.NewObject("HeatTrace",
	body.Required("maintained_temperature", func(r *body.Reader, h *network.HeatTrace) { h.MaintainedTemperature = temperature(r, waterRange) }),
	body.Optional("power_per_length", func(r *body.Reader, h *network.HeatTrace) {
		w, _ := r.Amount(quantity.LinearHeatLossDimension, traceRange)
		h.PowerPerLength = quantity.WattsPerMetre(w)
	}),
)

// insulationDocument is an insulation being read: the inner layer's fields
// stand beside the list of outer layers.
type insulationDocument struct {
	inner       network.InsulationLayer
	outer       []network.InsulationLayer
	outerFaults int
}

var insulationObject = body.NewObject("Insulation",
	body.Required("thickness", func(r *body.Reader, i *insulationDocument) { i.inner.Thickness = length(r, thicknessRange) }),
	body.Optional("conductivity", func(r *body.Reader, i *insulationDocument) { i.inner.Conductivity = conductivity(r) }),
	body.Optional("conductivity_points", func(r *body.Reader, i *insulationDocument) { readPoints(r, &i.inner) }),
	body.Optional("r_value", func(r *body.Reader, i *insulationDocument) { i.inner.RValue = rValue(r) }),
	body.Optional("outer_layers", func(r *body.Reader, i *insulationDocument) {
		before := r.FaultCount()
		r.List(0, 5, func(int) {
			var l network.InsulationLayer
			readLayer(r, &l, func() int { layerObject.Read(r, &l); return 0 })
			i.outer = append(i.outer, l)
		})
		i.outerFaults = r.FaultCount() - before
	}),
)

var layerObject = body.NewObject("InsulationLayer",
	body.Required("thickness", func(r *body.Reader, l *network.InsulationLayer) { l.Thickness = length(r, thicknessRange) }),
	body.Optional("conductivity", func(r *body.Reader, l *network.InsulationLayer) { l.Conductivity = conductivity(r) }),
	body.Optional("conductivity_points", readPoints),
	body.Optional("r_value", func(r *body.Reader, l *network.InsulationLayer) { l.RValue = rValue(r) }),
)

var conductivityPointObject = body.NewObject("ConductivityPoint",
	body.Required("mean_temperature", func(r *body.Reader, p *network.ConductivityPoint) { p.MeanTemperature = temperature(r, meanRange) }),
	body.Required("conductivity", func(r *body.Reader, p *network.ConductivityPoint) { p.Conductivity = conductivity(r) }),
)

func readPoints(r *body.Reader, l *network.InsulationLayer) {
	before := r.FaultCount()
	r.List(2, 2, func(int) {
		var p network.ConductivityPoint
		conductivityPointObject.Read(r, &p)
		l.Points = append(l.Points, p)
	})
	if r.FaultCount() == before && len(l.Points) == 2 && math.Abs(l.Points[0].MeanTemperature.Kelvin()-l.Points[1].MeanTemperature.Kelvin()) < leastApart {
		r.Fault(fault.InsulationIncomplete, "The two points need two different mean temperatures.")
	}
}

// leastApart is by how much two temperatures differ, K: 50 degC and 122 degF are
// one temperature but for the last bit.
const leastApart = 1e-6

func rValue(r *body.Reader) quantity.ThermalResistance {
	v, _ := r.Amount(quantity.ThermalResistanceDimension, rValueRange)
	return quantity.SquareMetreKelvinPerWatt(v)
}

// readInsulation reads the layers around a tube, from the inside out.
func readInsulation(r *body.Reader) *network.Insulation {
	var d insulationDocument
	readLayer(r, &d.inner, func() int { insulationObject.Read(r, &d); return d.outerFaults })
	return &network.Insulation{Layers: append([]network.InsulationLayer{d.inner}, d.outer...)}
}

// readLayer checks, behind its reading, that a layer with a thickness says in
// one way how well it insulates. read gives the number of faults that are those
// of other layers.
func readLayer(r *body.Reader, l *network.InsulationLayer, read func() (elsewhere int)) {
	before := r.FaultCount()
	before += read()
	given := 0
	for _, is := range []bool{l.Conductivity != quantity.Conductivity{}, len(l.Points) > 0, l.RValue != quantity.ThermalResistance{}} {
		if is {
			given++
		}
	}
	if r.FaultCount() == before && l.Thickness != (quantity.Length{}) && given != 1 {
		r.Fault(fault.InsulationIncomplete, "A layer with a thickness needs one of conductivity, conductivity_points and r_value; %d are given.", given)
	}
}

var surroundingsObject = body.NewObject("Surroundings",
	body.Required("type", func(r *body.Reader, s *network.Surroundings) { s.Type = oneOf(r, surroundingsTypes) }),
	body.Required("temperature", func(r *body.Reader, s *network.Surroundings) { s.Temperature = temperature(r, airRange) }),
	body.Optional("radiant_temperature", func(r *body.Reader, s *network.Surroundings) { s.RadiantTemperature = temperature(r, airRange) }),
	body.Optional("air_speed", func(r *body.Reader, s *network.Surroundings) { s.AirSpeed = velocity(r) }),
	body.Optional("depth", func(r *body.Reader, s *network.Surroundings) { s.Depth = length(r, depthRange) }),
	body.Optional("ground_conductivity", func(r *body.Reader, s *network.Surroundings) { s.GroundConductivity = conductivity(r) }),
	body.Optional("surface_coefficient", func(r *body.Reader, s *network.Surroundings) {
		h, _ := r.Amount(quantity.SurfaceCoefficientDimension, coefficientRange)
		s.SurfaceCoefficient = quantity.WattsPerSquareMetreKelvin(h)
	}),
)

// readSurroundings reads what is around a pipe, with what its type needs.
func readSurroundings(r *body.Reader) *network.Surroundings {
	var s network.Surroundings
	before := r.FaultCount()
	surroundingsObject.Read(r, &s)
	switch {
	case r.FaultCount() > before:
	case s.Type == "moving_air" && s.AirSpeed == quantity.Velocity{}:
		r.Fault(fault.SurroundingsIncomplete, "Moving air needs air_speed.")
	case (s.Type == "buried" || s.Type == "in_slab") && (s.Depth == quantity.Length{} || s.GroundConductivity == quantity.Conductivity{}):
		r.Fault(fault.SurroundingsIncomplete, "A pipe that is %s needs depth and ground_conductivity.", s.Type)
	case s.Type == "given_coefficient" && s.SurfaceCoefficient == quantity.SurfaceCoefficient{}:
		r.Fault(fault.SurroundingsIncomplete, "Surroundings with a given coefficient need surface_coefficient.")
	}
	return &s
}

func conductivity(r *body.Reader) quantity.Conductivity {
	k, _ := r.Amount(quantity.ConductivityDimension, conductivityRange)
	return quantity.WattsPerMetreKelvin(k)
}

var (
	roles             = []string{"supply", "return"}
	surroundingsTypes = []string{"still_air", "moving_air", "buried", "in_slab", "given_coefficient"}
	orientations      = []string{"horizontal", "vertical"}
	fittingTypes      = pipe.FittingTypes()
	valveTypes        = pipe.ValveTypes()
	materials         = materialNames()
	seriesIDs         = allSeriesIDs()
)

func materialNames() []string {
	var names []string
	for _, m := range pipe.Materials() {
		names = append(names, string(m))
	}
	return names
}

func allSeriesIDs() []string {
	var ids []string
	for _, s := range pipe.AllSeries() {
		ids = append(ids, s.ID)
	}
	return ids
}
