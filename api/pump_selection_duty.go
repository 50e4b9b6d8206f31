package api

import (
	"recirc/api/body"
	"recirc/calc/fault"
	"recirc/calc/pump"
	"recirc/calc/quantity"
	"recirc/service"
)

var selectionDutyObject = body.NewObject("SelectionDuty",
	body.Required("basis", func(r *body.Reader, d *service.DutyRequest) { d.Basis = service.DutyBasis(oneOf(r, dutyBases)) }),
	body.Optional("flow", func(r *body.Reader, d *service.DutyRequest) { d.Flow = flow(r) }),
	body.Optional("head", func(r *body.Reader, d *service.DutyRequest) { d.Head = length(r, headRange) }),
	body.Optional("pressure", func(r *body.Reader, d *service.DutyRequest) { d.Pressure = pressure(r, dutyPressureRange) }),
	body.Optional("time", func(r *body.Reader, d *service.DutyRequest) { d.Time = duration(r, fillTimeRange) }),
	body.Optional("volume", func(r *body.Reader, d *service.DutyRequest) {
		v, _ := r.Amount(quantity.VolumeDimension, fillVolumeRange)
		d.Volume = quantity.CubicMetres(v)
	}),
	body.Optional("fixture", func(r *body.Reader, d *service.DutyRequest) { d.Fixture = identifier(r) }),
)

var (
	dutyBases         = []string{string(service.DutyByHeatLoss), string(service.DutyByFillTime), string(service.DutyGiven)}
	dutyPressureRange = body.Above(0, 1e6, "above 0 to 1000 kPa")
	fillTimeRange     = body.Within(0.1, 3600, "0.1 s to 1 h")
	fillVolumeRange   = body.Above(0, 10, "above 0 to 10 m3")
)

func duration(r *body.Reader, within body.Range) quantity.Duration {
	t, _ := r.Amount(quantity.DurationDimension, within)
	return quantity.Seconds(t)
}

// readSelectionDuty reads a duty; a wrong one has no basis.
func readSelectionDuty(r *body.Reader, d *service.DutyRequest) {
	before := r.FaultCount()
	selectionDutyObject.Read(r, d)
	if r.FaultCount() > before {
		d.Basis = ""
	}
}

var systemCurveObject = body.NewObject("SystemCurve",
	body.Optional("static_head", func(r *body.Reader, c *service.SystemCurve) {
		h := length(r, staticHeadRange)
		c.Static = &h
	}),
	body.Required("points", func(r *body.Reader, c *service.SystemCurve) { c.Points = readCurvePoints(r, 1, pumpPointObject) }),
)

var staticHeadRange = body.Within(0, 100, "0 to 100 m")

func readSystemCurve(r *body.Reader) *service.SystemCurve {
	c, before := new(service.SystemCurve), r.FaultCount()
	systemCurveObject.Read(r, c)
	c.Unreadable = r.FaultCount() > before
	return c
}

// readCurvePoints reads the points of a curve, at least least of them.
func readCurvePoints(r *body.Reader, least int, point *body.Object[pump.Point]) []pump.Point {
	points := []pump.Point{}
	r.List(least, pump.MaxPoints, func(int) {
		var p pump.Point
		point.Read(r, &p)
		points = append(points, p)
	})
	return points
}

var runningObject = body.NewObject("RunningTime",
	body.Optional("hours_per_year", func(r *body.Reader, t *service.RunningTime) { t.Hours = ratio(r, 8784) }),
	body.Optional("control", func(r *body.Reader, t *service.RunningTime) {
		t.Control = service.RunningControl(oneOf(r, runningControls))
	}),
	body.Optional("time_per_day", func(r *body.Reader, t *service.RunningTime) {
		d := duration(r, dayRange)
		t.PerDay = &d
	}),
	body.Optional("running_share", func(r *body.Reader, t *service.RunningTime) { t.Share = ratio(r, 1) }),
	body.Optional("starts_per_day", func(r *body.Reader, t *service.RunningTime) { t.Starts = ratio(r, 1440) }),
	body.Optional("time_per_start", func(r *body.Reader, t *service.RunningTime) {
		d := duration(r, delayRange)
		t.PerStart = &d
	}),
)

var (
	dayRange        = body.Within(0, 86400, "0 to 24 h")
	runningControls = []string{string(service.RunsContinuously), string(service.RunsByTimer), string(service.RunsByAquastat), string(service.RunsOnDemand)}
)

// readRunning reads a running time; a wrong one is none.
func readRunning(r *body.Reader, t *service.RunningTime) {
	before := r.FaultCount()
	runningObject.Read(r, t)
	if r.FaultCount() > before {
		*t = service.RunningTime{}
	}
}

var rankingObject = body.NewObject("Ranking",
	body.Optional("by", func(r *body.Reader, k *service.Ranking) { k.By = service.Criterion(oneOf(r, criteria)) }),
	body.Optional("years", func(r *body.Reader, k *service.Ranking) { k.Years, _ = r.Count(1, 100) }),
	body.Optional("discount_rate", func(r *body.Reader, k *service.Ranking) { k.Rate = ratio(r, 1) }),
)

var criteria = []string{string(service.ByYearlyCost), string(service.ByEnergy), string(service.ByExcess), string(service.ByPrice), string(service.ByLifeCycleCost)}

// readRanking reads a ranking; a wrong one is none.
func readRanking(r *body.Reader, k *service.Ranking) {
	before := r.FaultCount()
	rankingObject.Read(r, k)
	if r.FaultCount() > before {
		*k = service.Ranking{}
	}
}

var moneyObject = body.NewObject("Money",
	body.Required("amount", func(r *body.Reader, m *service.Money) { m.Amount, _ = r.Number(-mostMoney, mostMoney) }),
	body.Required("currency", func(r *body.Reader, m *service.Money) { m.Currency = currency(r) }),
)

const mostMoney = 1e12

// energyPrice is a price as it is written.
type energyPrice struct {
	service.Money
	joules float64
}

var energyPriceObject = body.NewObject("PricePerEnergy",
	body.Required("amount", func(r *body.Reader, p *energyPrice) { p.Amount, _ = r.Number(0, mostMoney) }),
	body.Required("currency", func(r *body.Reader, p *energyPrice) { p.Currency = currency(r) }),
	body.Required("per", func(r *body.Reader, p *energyPrice) {
		unit, _ := quantity.EnergyDimension.Unit(oneOf(r, energyUnits))
		p.joules = unit.ToSI(1)
	}),
)

var energyUnits = quantity.EnergyDimension.Symbols()

// readEnergyPrice reads a price; of a wrong one only the currency counts.
func readEnergyPrice(r *body.Reader) *service.EnergyPrice {
	var p energyPrice
	energyPriceObject.Read(r, &p)
	if p.joules == 0 {
		p.joules = 1
	}
	return &service.EnergyPrice{PerJoule: p.Amount / p.joules, Currency: p.Currency}
}

// currency reads three capital letters; empty if they are none.
func currency(r *body.Reader) string {
	s, ok := r.Text(0, 1<<30)
	if !ok {
		return ""
	}
	capitals := len(s) == 3
	for i := range len(s) {
		capitals = capitals && s[i] >= 'A' && s[i] <= 'Z'
	}
	if !capitals {
		r.Fault(fault.CurrencyMalformed, "A currency is written as three capital letters, as ISO 4217 has them, such as EUR or USD.")
		return ""
	}
	return s
}
