package api

import (
	"recirc/api/body"
	"recirc/calc/quantity"
	"recirc/service"
)

var heaterEnergyObject = body.NewObject("HeaterEnergy",
	body.Required("carrier", func(r *body.Reader, h *service.HeaterEnergy) { h.Carrier = oneOf(r, carriers) }),
	body.Required("efficiency", func(r *body.Reader, h *service.HeaterEnergy) { h.Efficiency, _ = r.Number(0.05, 10) }),
	body.Optional("standby_loss", func(r *body.Reader, h *service.HeaterEnergy) { h.Standby = heatFlow(r, heaterLossRange) }),
	body.Optional("return_penalty", func(r *body.Reader, h *service.HeaterEnergy) { h.Penalty = readNew(r, returnPenaltyObject) }),
)

var returnPenaltyObject = body.NewObject("ReturnPenalty",
	body.Required("from", func(r *body.Reader, p *service.ReturnPenalty) { p.From = temperature(r, waterRange) }),
	body.Required("share", func(r *body.Reader, p *service.ReturnPenalty) { p.Share, _ = r.Number(0, 0.2) }),
)

var pricesObject = body.NewObject("Prices",
	body.Optional("electricity", func(r *body.Reader, p *service.Prices) { p.Electricity = readEnergyPrice(r) }),
	body.Optional("heater_energy", func(r *body.Reader, p *service.Prices) { p.Heater = readEnergyPrice(r) }),
	body.Optional("water", func(r *body.Reader, p *service.Prices) { p.Water = readWaterPrice(r) }),
	body.Optional("sewer", func(r *body.Reader, p *service.Prices) { p.Sewer = readWaterPrice(r) }),
	body.Optional("escalation", func(r *body.Reader, p *service.Prices) { escalationObject.Read(r, &p.Escalation) }),
)

var escalationObject = body.NewObject("Escalation",
	body.Optional("electricity", func(r *body.Reader, e *service.Escalation) { e.Electricity = rise(r) }),
	body.Optional("heater_energy", func(r *body.Reader, e *service.Escalation) { e.Heater = rise(r) }),
	body.Optional("water", func(r *body.Reader, e *service.Escalation) { e.Water = rise(r) }),
	body.Optional("maintenance", func(r *body.Reader, e *service.Escalation) { e.Maintenance = rise(r) }),
)

// rise reads by how much prices rise in a year.
func rise(r *body.Reader) *float64 {
	x, _ := r.Number(-0.2, 0.5)
	return &x
}

var emissionFactorsObject = body.NewObject("EmissionFactors",
	body.Optional("electricity", func(r *body.Reader, e *service.EmissionFactors) { e.Electricity = emissionFactor(r) }),
	body.Optional("heater_energy", func(r *body.Reader, e *service.EmissionFactors) { e.Heater = emissionFactor(r) }),
)

func emissionFactor(r *body.Reader) *quantity.EmissionFactor {
	x, _ := r.Amount(quantity.EmissionFactorDimension, emissionRange)
	f := quantity.KilogramsPerJoule(x)
	return &f
}

var lifeCycleObject = body.NewObject("LifeCycle",
	body.Required("years", func(r *body.Reader, l *service.LifeCycle) { l.Years, _ = r.Count(1, 100) }),
	body.Required("discount_rate", func(r *body.Reader, l *service.LifeCycle) { l.Rate, _ = r.Number(0, 1) }),
	body.Optional("basis", func(r *body.Reader, l *service.LifeCycle) { l.Nominal = oneOf(r, studyBases) == "nominal" }),
	body.Optional("inflation", func(r *body.Reader, l *service.LifeCycle) { l.Inflation = rise(r) }),
)

var comparisonRankingObject = body.NewObject("ComparisonRanking",
	body.Optional("by", func(r *body.Reader, k *service.ComparisonRanking) {
		k.By = service.ComparisonCriterion(oneOf(r, comparisonCriteria))
	}),
	body.Optional("weights", func(r *body.Reader, k *service.ComparisonRanking) {
		k.Weights = make(map[service.ComparisonCriterion]float64)
		rankingWeightsObject.Read(r, &k.Weights)
	}),
)

type weights = map[service.ComparisonCriterion]float64

var rankingWeightsObject = body.NewObject("RankingWeights",
	weightOf(service.ByNetPresentCost), weightOf(service.ByCostOfYear), weightOf(service.ByWater),
	weightOf(service.ByEnergyTaken), weightOf(service.ByEmissions), weightOf(service.ByWaits),
)

func weightOf(by service.ComparisonCriterion) body.Field[weights] {
	return body.Optional(string(by), func(r *body.Reader, w *weights) { (*w)[by], _ = r.Number(0, 1000) })
}

var inputRangeObject = body.NewObject("InputRange",
	body.Required("input", func(r *body.Reader, i *service.InputRange) { i.Input = service.RangedInput(oneOf(r, rangedInputs)) }),
	body.Required("low", func(r *body.Reader, i *service.InputRange) { i.Low, _ = r.Number(0, 1) }),
	body.Required("high", func(r *body.Reader, i *service.InputRange) { i.High, _ = r.Number(1, 10) }),
)

var (
	carriers           = service.Carriers()
	studyBases         = []string{"real", "nominal"}
	comparisonCriteria = texts(service.ComparisonCriteria())
	rangedInputs       = texts(service.RangedInputs())
	emissionRange      = body.Within(0, 1e-3, "0 to 3600 kg/kWh")
)
