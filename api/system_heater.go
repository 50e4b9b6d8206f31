package api

import (
	"recirc/api/body"
	"recirc/calc/fault"
	"recirc/calc/network"
	"recirc/calc/quantity"
)

var heaterObject = body.NewObject("Heater",
	body.Required("node", func(r *body.Reader, h *network.Heater) { h.Node = identifier(r) }),
	body.Required("type", func(r *body.Reader, h *network.Heater) { h.Type = network.HeaterType(oneOf(r, heaterTypes)) }),
	body.Optional("outlet_temperature", func(r *body.Reader, h *network.Heater) { h.OutletTemperature = temperature(r, waterRange) }),
	body.Optional("start_up_delay", func(r *body.Reader, h *network.Heater) {
		if s, ok := r.Amount(quantity.DurationDimension, delayRange); ok {
			delay := quantity.Seconds(s)
			h.StartUpDelay = &delay
		}
	}),
	body.Optional("activation_flow", func(r *body.Reader, h *network.Heater) { h.ActivationFlow = flow(r) }),
	body.Optional("kv", func(r *body.Reader, h *network.Heater) { h.Kv = kv(r) }),
	body.Optional("rated_loss", func(r *body.Reader, h *network.Heater) {
		h.RatedLoss = new(network.RatedLoss)
		readRatedLoss(r, h.RatedLoss)
	}),
)

var ratedLossObject = body.NewObject("RatedLoss",
	body.Required("flow", func(r *body.Reader, l *network.RatedLoss) { l.Flow = flow(r) }),
	body.Optional("pressure", func(r *body.Reader, l *network.RatedLoss) {
		p, _ := r.Amount(quantity.PressureDimension, ratedPressure)
		l.Pressure = quantity.Pascals(p)
	}),
	body.Optional("head", func(r *body.Reader, l *network.RatedLoss) { l.Head = length(r, headRange) }),
)

// readHeater reads a heater, which gives its loss in one way.
func readHeater(r *body.Reader, h *network.Heater) {
	before := r.FaultCount()
	heaterObject.Read(r, h)
	if r.FaultCount() == before && h.Kv != (quantity.FlowCoefficient{}) && h.RatedLoss != nil {
		r.FaultAt("rated_loss", fault.RatedLossAmbiguous, "The heater gives its loss by kv and by rated_loss; give one of them.")
	}
}

func readRatedLoss(r *body.Reader, l *network.RatedLoss) {
	before := r.FaultCount()
	ratedLossObject.Read(r, l)
	if r.FaultCount() == before && (l.Pressure != quantity.Pressure{}) == (l.Head != quantity.Length{}) {
		r.Fault(fault.RatedLossAmbiguous, "A rated loss is a pressure or a head; give one of them.")
	}
}

var mixingValveObject = body.NewObject("MixingValve",
	body.Required("outlet_temperature", func(r *body.Reader, m *network.MixingValve) { m.OutletTemperature = temperature(r, waterRange) }),
	body.Optional("kv", func(r *body.Reader, m *network.MixingValve) { m.Kv = kv(r) }),
	body.Optional("return_to", func(r *body.Reader, m *network.MixingValve) { m.ReturnTo = oneOf(r, returnTo) }),
	body.Optional("least_flow", func(r *body.Reader, m *network.MixingValve) { m.LeastFlow = flow(r) }),
)

var (
	heaterTypes = []string{"storage", "tankless", "heat_pump", "indirect", "plate_exchanger"}
	returnTo    = []string{"heater", "mixing_valve", "both"}

	ratedPressure = body.Above(0, 1e6, "above 0 to 1 MPa")
)

func kv(r *body.Reader) quantity.FlowCoefficient {
	k, _ := r.Amount(quantity.FlowCoefficientDimension, kvRange)
	return quantity.FlowCoefficientSI(k)
}
