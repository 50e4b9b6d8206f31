package service

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"recirc/calc/fault"
	"recirc/calc/heat"
	"recirc/calc/network"
	"recirc/calc/pipe"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

// What is assumed where a system does not say.
var (
	defaultAir    = quantity.Celsius(20)
	defaultOutlet = quantity.Celsius(60)
	defaultMains  = quantity.Celsius(10)
)

// leastHeight of a vertical run in m; what is shorter is a fitting, and its film
// that of the run it belongs to.
const leastHeight = 0.05

// heating turns the pipes of a system into pipes that lose heat, and remembers
// what it had to assume.
type heating struct {
	g                                                   *network.Graph
	noSurroundings, noMaterial, noOutside, noEmissivity []int32 // pipes, some more than once
	sources                                             map[source.ID]bool
}

func newHeating(g *network.Graph) heating {
	return heating{g: g, sources: make(map[source.ID]bool)}
}

// pipe gives the thermal model of a pipe with an insulation, its own or another.
func (h *heating) pipe(p int32, insulation *network.Insulation) heat.Pipe {
	run := &h.g.System.Pipes[p]
	out := heat.Pipe{
		Tube:              h.tube(p),
		Surroundings:      h.surroundings(p, insulation),
		FittingsAllowance: h.g.System.AllowanceOf(p),
	}
	if run.Vertical {
		out.Orientation, out.Height = heat.Vertical, quantity.Metres(max(run.Length.Metres(), leastHeight))
	}
	out.Layers = layers(out.Tube.Outside, insulation)
	return out
}

func (h *heating) tube(p int32) heat.Tube {
	t := &h.g.Tubes[p]
	material, outside := t.Material, t.OutsideDiameter
	if material == "" {
		material = pipe.Copper
		h.noMaterial = append(h.noMaterial, p)
	}
	if outside == (quantity.Length{}) {
		outside = t.Bore // no wall is better than a guessed one; said among the assumptions
		h.noOutside = append(h.noOutside, p)
	}
	m, _ := heat.MaterialOf(string(material))
	h.sources[m.Source] = true
	return heat.Tube{Bore: t.Bore, Outside: outside, Conductivity: m.Conductivity, HeatCapacity: m.HeatCapacity()}
}

func (h *heating) surroundings(p int32, insulation *network.Insulation) heat.Surroundings {
	out := heat.Surroundings{Kind: heat.StillAir, Temperature: defaultAir, Emissivity: h.emissivity(p, insulation)}
	s := h.g.System.SurroundingsOf(p)
	if s == nil {
		h.noSurroundings = append(h.noSurroundings, p)
		return out
	}
	out.Kind, out.Temperature, out.Radiant = heat.Kind(s.Type), s.Temperature, s.RadiantTemperature
	out.AirSpeed, out.Depth, out.GroundConductivity, out.Coefficient = s.AirSpeed, s.Depth, s.GroundConductivity, s.SurfaceCoefficient
	return out
}

func (h *heating) emissivity(p int32, insulation *network.Insulation) float64 {
	if e := h.g.System.EmissivityOf(p); e != nil {
		return *e
	}
	h.noEmissivity = append(h.noEmissivity, p)
	surface := heat.JacketSurface
	if insulation.Bare() {
		material := h.g.Tubes[p].Material
		if material == "" {
			material = pipe.Copper
		}
		m, _ := heat.MaterialOf(string(material))
		surface = m.Surface
	}
	e, _ := heat.EmissivityOf(surface)
	h.sources[e.Source] = true
	return e.Value
}

// layers turns the insulation of a tube into thermal layers.
func layers(tubeOutside quantity.Length, insulation *network.Insulation) []heat.Layer {
	if insulation.Bare() {
		return nil
	}
	var out []heat.Layer
	radius := tubeOutside.Metres() / 2
	for _, l := range insulation.Layers {
		if l.Thickness == (quantity.Length{}) {
			continue
		}
		outer := radius + l.Thickness.Metres()
		out = append(out, heat.Layer{Thickness: l.Thickness, Conductivity: layerConductivity(l, radius, outer)})
		radius = outer
	}
	return out
}

func layerConductivity(l network.InsulationLayer, inner, outer float64) heat.Conductivity {
	switch {
	case len(l.Points) == 2:
		a, b := l.Points[0], l.Points[1]
		slope := (b.Conductivity.WattsPerMetreKelvin() - a.Conductivity.WattsPerMetreKelvin()) / (b.MeanTemperature.Kelvin() - a.MeanTemperature.Kelvin())
		return heat.Conductivity{K: a.Conductivity, Reference: a.MeanTemperature, PerKelvin: slope}
	case l.RValue != quantity.ThermalResistance{}:
		k := outer * math.Log(outer/inner) / l.RValue.SquareMetreKelvinPerWatt() // R = r2 ln(r2/r1)/k
		return heat.Constant(quantity.WattsPerMetreKelvin(k))
	}
	return heat.Constant(l.Conductivity)
}

// note lists what was assumed for the pipes that were looked at.
func (h *heating) note(n *Notes) {
	add := func(pipes []int32, field string, a Assumption) {
		slices.Sort(pipes)
		if pipes = slices.Compact(pipes); len(pipes) == 0 {
			return
		}
		a.Detail = fmt.Sprintf("%s: %d.", a.Detail, len(pipes))
		a.Pointers = make([]string, len(pipes))
		for i, p := range pipes {
			a.Pointers[i] = pipePointer(p, field)
		}
		n.assume(a)
	}
	add(h.noSurroundings, "", Assumption{Code: "default_surroundings", Detail: "Pipes without surroundings, taken as in still air", Value: "still air, 20 degC", Source: "common_practice"})
	add(h.noMaterial, "/tube", Assumption{Code: "default_wall_material", Detail: "Tubes that do not say their material, taken as copper", Value: "copper", Source: "common_practice"})
	add(h.noOutside, "/tube", Assumption{Code: "default_wall_material", Detail: "Tubes that give no outside diameter; their wall is left out", Value: "no wall", Source: "common_practice"})
	add(h.noEmissivity, "", Assumption{
		Code: "default_emissivity", Detail: "Pipes without surface_emissivity, taken by the material of the tube, oxidised, or as a jacket where insulated",
		Value: "by surface", Source: "thermal_imaging_emissivity",
	})
	for id := range h.sources {
		n.use(id)
	}
}

// outletTemperature is the heater's, or the usual one where it is not given. A
// mixing valve behind the heater sets what reaches the pipes.
func (n *Notes) outletTemperature(s *network.System) quantity.Temperature {
	switch {
	case s.MixingValve != nil:
		return s.MixingValve.OutletTemperature
	case s.Heater.OutletTemperature != quantity.Temperature{}:
		return s.Heater.OutletTemperature
	}
	n.assume(Assumption{
		Code: "default_outlet_temperature", Detail: "The heater gives no outlet temperature; hot stores are kept at 60 degC (140 degF) for hygiene.",
		Value: "60 degC", Pointers: []string{systemPointer + "/heater"}, Source: "hse_l8_hsg274_2",
	})
	return defaultOutlet
}

func (n *Notes) mainsTemperature(s *network.System) quantity.Temperature {
	if s.MainsTemperature != (quantity.Temperature{}) {
		return s.MainsTemperature
	}
	n.assume(Assumption{
		Code: "default_mains_temperature", Detail: "The system gives no mains temperature; a usual yearly mean is taken.",
		Value: "10 degC", Pointers: []string{systemPointer}, Source: "common_practice",
	})
	return defaultMains
}

// physicsFault turns an error of a formula into a fault of the pipe it was for.
func physicsFault(faults *fault.List, p int32, err error) {
	faults.Add(pipePointer(p, ""), fault.OutOfRange, "This pipe cannot be calculated: %s.", reasonOf(err))
}

// reasonOf is what an error of a formula says, without the formula's name in
// front, which is the program's and not the caller's.
func reasonOf(err error) string {
	if _, reason, named := strings.Cut(err.Error(), ": "); named {
		return reason
	}
	return err.Error()
}
