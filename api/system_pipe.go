package api

import (
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
			f := network.Fitting{Count: 1}
			fittingObject.Read(r, &f)
			p.Fittings = append(p.Fittings, f)
		})
	}),
	body.Optional("valves", func(r *body.Reader, p *network.Pipe) {
		r.List(0, 100, func(int) {
			var v network.Valve
			valveObject.Read(r, &v)
			p.Valves = append(p.Valves, v)
		})
	}),
	body.Optional("insulation", func(r *body.Reader, p *network.Pipe) { p.Insulation = readInsulation(r) }),
	body.Optional("surroundings", func(r *body.Reader, p *network.Pipe) { p.Surroundings = readSurroundings(r) }),
	body.Optional("heat_trace", func(r *body.Reader, p *network.Pipe) {
		p.HeatTrace = new(network.HeatTrace)
		heatTraceObject.Read(r, p.HeatTrace)
	}),
)

var tubeObject = body.NewObject("Tube",
	body.Optional("series", func(r *body.Reader, t *network.TubeSpec) { t.Series, _ = r.OneOf(seriesIDs, pipe.NearSeries) }),
	body.Optional("nominal", func(r *body.Reader, t *network.TubeSpec) { t.Nominal, _ = r.Text(1, 32) }),
	body.Optional("inside_diameter", func(r *body.Reader, t *network.TubeSpec) { t.Bore = length(r, diameterRange) }),
	body.Optional("outside_diameter", func(r *body.Reader, t *network.TubeSpec) { t.Outside = length(r, diameterRange) }),
	body.Optional("wall_thickness", func(r *body.Reader, t *network.TubeSpec) { t.Wall = length(r, wallRange) }),
	body.Optional("wall_material", func(r *body.Reader, t *network.TubeSpec) { t.Material = pipe.Material(oneOf(r, materials)) }),
)

var fittingObject = body.NewObject("Fitting",
	body.Required("type", func(r *body.Reader, f *network.Fitting) { f.Type = oneOf(r, fittingTypes) }),
	body.Optional("count", func(r *body.Reader, f *network.Fitting) { f.Count, _ = r.Count(1, 1000) }),
)

var valveObject = body.NewObject("Valve",
	body.Required("type", func(r *body.Reader, v *network.Valve) { v.Type = oneOf(r, valveTypes) }),
	body.Optional("kv", func(r *body.Reader, v *network.Valve) { v.Kv = kv(r) }),
	body.Optional("smallest_kv", func(r *body.Reader, v *network.Valve) { v.SmallestKv = kv(r) }),
	body.Optional("set_temperature", func(r *body.Reader, v *network.Valve) { v.SetTemperature = temperature(r, waterRange) }),
)

var heatTraceObject = body.NewObject("HeatTrace",
	body.Required("maintained_temperature", func(r *body.Reader, h *network.HeatTrace) { h.MaintainedTemperature = temperature(r, waterRange) }),
	body.Optional("power_per_length", func(r *body.Reader, h *network.HeatTrace) {
		w, _ := r.Amount(quantity.LinearHeatLossDimension, traceRange)
		h.PowerPerLength = quantity.WattsPerMetre(w)
	}),
)

var insulationObject = body.NewObject("Insulation",
	body.Required("thickness", func(r *body.Reader, i *network.Insulation) { i.Thickness = length(r, thicknessRange) }),
	body.Optional("conductivity", func(r *body.Reader, i *network.Insulation) { i.Conductivity = conductivity(r) }),
)

// readInsulation reads a layer, which needs a conductivity unless it has no
// thickness.
func readInsulation(r *body.Reader) *network.Insulation {
	var i network.Insulation
	before := r.FaultCount()
	if insulationObject.Read(r, &i); r.FaultCount() == before && !i.Bare() && i.Conductivity == (quantity.Conductivity{}) {
		r.Fault(fault.InsulationIncomplete, "An insulation with a thickness needs its conductivity.")
	}
	return &i
}

var surroundingsObject = body.NewObject("Surroundings",
	body.Required("type", func(r *body.Reader, s *network.Surroundings) { s.Type = oneOf(r, surroundingsTypes) }),
	body.Required("temperature", func(r *body.Reader, s *network.Surroundings) { s.Temperature = temperature(r, airRange) }),
	body.Optional("radiant_temperature", func(r *body.Reader, s *network.Surroundings) { s.RadiantTemperature = temperature(r, airRange) }),
	body.Optional("air_speed", func(r *body.Reader, s *network.Surroundings) {
		v, _ := r.Amount(quantity.VelocityDimension, speedRange)
		s.AirSpeed = quantity.MetresPerSecond(v)
	}),
	body.Optional("depth", func(r *body.Reader, s *network.Surroundings) { s.Depth = length(r, depthRange) }),
	body.Optional("ground_conductivity", func(r *body.Reader, s *network.Surroundings) { s.GroundConductivity = conductivity(r) }),
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
	}
	return &s
}

func conductivity(r *body.Reader) quantity.Conductivity {
	k, _ := r.Amount(quantity.ConductivityDimension, conductivityRange)
	return quantity.WattsPerMetreKelvin(k)
}

var (
	roles             = []string{"supply", "return"}
	surroundingsTypes = []string{"still_air", "moving_air", "buried", "in_slab"}
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
