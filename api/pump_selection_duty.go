package api

import (
	"recirc/api/body"
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
