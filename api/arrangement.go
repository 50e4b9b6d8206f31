package api

import (
	"recirc/api/body"
	"recirc/calc/quantity"
	"recirc/service"
)

// arrangementDocument is an arrangement being read, and how large its system may be.
type arrangementDocument struct {
	service.Arrangement
	most int
}

var arrangementObject = body.NewObject("Arrangement",
	body.Required("id", func(r *body.Reader, a *arrangementDocument) { a.ID = identifier(r) }),
	body.Required("type", func(r *body.Reader, a *arrangementDocument) {
		a.Type = service.ArrangementType(oneOf(r, arrangementTypes))
	}),
	body.Optional("system", func(r *body.Reader, a *arrangementDocument) {
		d := systemDocument{most: a.most}
		systemObject.Read(r, &d)
		a.Variant = &d.System
	}),
	body.Optional("fixtures", func(r *body.Reader, a *arrangementDocument) {
		a.Fixtures = []string{}
		r.List(1, 50_000, func(int) { a.Fixtures = append(a.Fixtures, identifier(r)) })
	}),
	body.Optional("pump", func(r *body.Reader, a *arrangementDocument) { a.Pump = readNew(r, arrangementPumpObject) }),
	body.Optional("control", func(r *body.Reader, a *arrangementDocument) { a.Control = readNew(r, controlObject) }),
	body.Optional("bypass_valve", func(r *body.Reader, a *arrangementDocument) { a.Bypass = readNew(r, bypassValveObject) }),
	body.Optional("cold_line", func(r *body.Reader, a *arrangementDocument) { a.ColdLine = readNew(r, coldLineObject) }),
	body.Optional("heat_trace", func(r *body.Reader, a *arrangementDocument) { a.Trace = readNew(r, heatTraceObject) }),
	body.Optional("local_heater", func(r *body.Reader, a *arrangementDocument) { a.Local = readNew(r, localHeaterObject) }),
	body.Optional("insulation", func(r *body.Reader, a *arrangementDocument) { a.Insulation = readInsulation(r) }),
	body.Optional("install_cost", func(r *body.Reader, a *arrangementDocument) { a.Install = readNew(r, installCostObject) }),
	body.Optional("yearly_maintenance", func(r *body.Reader, a *arrangementDocument) { a.Maintenance = readPrice(r) }),
	body.Optional("replacements", func(r *body.Reader, a *arrangementDocument) { a.Replacements = readList(r, replacementObject, 0, 100) }),
	body.Optional("residual_value", func(r *body.Reader, a *arrangementDocument) { a.Residual = readPrice(r) }),
)

var arrangementPumpObject = body.NewObject("ArrangementPump",
	body.Required("flow", func(r *body.Reader, p *service.ArrangementPump) { p.Flow = flow(r) }),
	body.Required("power", func(r *body.Reader, p *service.ArrangementPump) { p.Power = power(r, pumpPowerRange) }),
	body.Optional("heat_to_water", func(r *body.Reader, p *service.ArrangementPump) { p.ToWater = ratio(r, 1) }),
)

var bypassValveObject = body.NewObject("BypassValve",
	body.Required("closes_at", func(r *body.Reader, v *service.BypassValve) { v.ClosesAt = temperature(r, waterRange) }),
	body.Optional("band", func(r *body.Reader, v *service.BypassValve) { v.Band = differenceWithin(r, bandRange) }),
)

var coldLineObject = body.NewObject("ColdLine",
	body.Optional("length", func(r *body.Reader, c *service.ColdLine) { c.Length = length(r, lengthRange) }),
	body.Optional("tube", func(r *body.Reader, c *service.ColdLine) { c.Tube = readNew(r, tubeObject) }),
	body.Optional("insulation", func(r *body.Reader, c *service.ColdLine) { c.Insulation = readInsulation(r) }),
)

var localHeaterObject = body.NewObject("LocalHeater",
	body.Required("volume", func(r *body.Reader, l *service.LocalHeater) { l.Volume = volume(r, contentRange) }),
	body.Required("temperature", func(r *body.Reader, l *service.LocalHeater) { l.Temperature = temperature(r, waterRange) }),
	body.Required("power", func(r *body.Reader, l *service.LocalHeater) { l.Power = power(r, elementRange) }),
	body.Optional("standby_loss", func(r *body.Reader, l *service.LocalHeater) {
		w := heatFlow(r, standbyRange)
		l.Standby = &w
	}),
)

var installCostObject = body.NewObject("InstallCost",
	body.Optional("sum", func(r *body.Reader, c *service.InstallCost) { c.Sum = readPrice(r) }),
	body.Optional("labour", func(r *body.Reader, c *service.InstallCost) { c.Labour = readPrice(r) }),
	body.Optional("materials", func(r *body.Reader, c *service.InstallCost) { c.Materials = readList(r, materialLineObject, 0, 500) }),
)

var materialLineObject = body.NewObject("MaterialLine",
	body.Required("item", func(r *body.Reader, l *service.MaterialLine) { l.Item, _ = r.Text(1, 200) }),
	body.Required("cost", func(r *body.Reader, l *service.MaterialLine) { l.Cost = *readPrice(r) }),
)

var replacementObject = body.NewObject("Replacement",
	body.Required("year", func(r *body.Reader, p *service.Replacement) { p.Year, _ = r.Count(1, 100) }),
	body.Required("cost", func(r *body.Reader, p *service.Replacement) { p.Cost = *readPrice(r) }),
)

var (
	arrangementTypes = texts(service.ArrangementTypes())
	pumpPowerRange   = body.Within(0, 1e5, "0 to 100 kW")
	elementRange     = body.Above(0, 1e5, "above 0 to 100 kW")
	standbyRange     = body.Within(0, 1e4, "0 to 10 kW")
	heaterLossRange  = body.Within(0, 1e5, "0 to 100 kW")
	bandRange        = body.Above(0, 50, "above 0 to 50 K")
	contentRange     = body.Above(0, 1, "above 0 to 1 m3")
)

// readArrangement reads an arrangement whose own system has no more pipes than most.
func readArrangement(r *body.Reader, most int) service.Arrangement {
	d := arrangementDocument{most: most}
	arrangementObject.Read(r, &d)
	return d.Arrangement
}

func power(r *body.Reader, within body.Range) quantity.Power {
	w, _ := r.Amount(quantity.PowerDimension, within)
	return quantity.PowerWatts(w)
}

func heatFlow(r *body.Reader, within body.Range) quantity.HeatFlow {
	w, _ := r.Amount(quantity.HeatFlowDimension, within)
	return quantity.Watts(w)
}

func volume(r *body.Reader, within body.Range) quantity.Volume {
	v, _ := r.Amount(quantity.VolumeDimension, within)
	return quantity.CubicMetres(v)
}

func differenceWithin(r *body.Reader, within body.Range) quantity.TemperatureDifference {
	k, _ := r.Amount(quantity.TemperatureDifferenceDimension, within)
	return quantity.KelvinDifference(k)
}
