package api

import (
	"recirc/api/body"
	"recirc/calc/draw"
	"recirc/service"
)

var drawPlanObject = body.NewObject("DrawPlan",
	body.Optional("pattern", func(r *body.Reader, p *service.DrawPlan) { p.Weekday.Pattern = oneOf(r, patternIDs) }),
	body.Optional("daily_volume", func(r *body.Reader, p *service.DrawPlan) { p.Weekday.Daily = volume(r, dailyRange) }),
	body.Optional("begins_at", func(r *body.Reader, p *service.DrawPlan) { p.Weekday.Begins = clockPointer(r) }),
	body.Optional("weekend", func(r *body.Reader, p *service.DrawPlan) { weekendDrawsObject.Read(r, &p.Weekend) }),
	body.Optional("shares", func(r *body.Reader, p *service.DrawPlan) {
		p.Shares = readList(r, drawShareObject, 1, draw.MaxSpreadFixtures)
	}),
	body.Optional("events", func(r *body.Reader, p *service.DrawPlan) { p.Events = readList(r, drawEventObject, 1, draw.MaxEvents) }),
	body.Optional("monthly_factors", func(r *body.Reader, p *service.DrawPlan) {
		r.List(12, 12, func(int) {
			x, _ := r.Number(0, 10)
			p.Factors = append(p.Factors, x)
		})
	}),
	body.Optional("usable_temperature", func(r *body.Reader, p *service.DrawPlan) { p.Usable = temperature(r, waterRange) }),
	body.Optional("longest_wait", func(r *body.Reader, p *service.DrawPlan) { p.LongestWait = duration(r, longestWaitRange) }),
)

var weekendDrawsObject = body.NewObject("WeekendDraws",
	body.Optional("pattern", func(r *body.Reader, d *service.PatternDay) { d.Pattern = oneOf(r, patternIDs) }),
	body.Optional("daily_volume", func(r *body.Reader, d *service.PatternDay) { d.Daily = volume(r, dailyRange) }),
	body.Optional("begins_at", func(r *body.Reader, d *service.PatternDay) { d.Begins = clockPointer(r) }),
)

var drawShareObject = body.NewObject("DrawShare",
	body.Required("fixture", func(r *body.Reader, s *service.DrawShare) { s.Fixture = identifier(r) }),
	body.Required("share", func(r *body.Reader, s *service.DrawShare) { s.Share, _ = r.Number(0, 1e6) }),
)

var drawEventObject = body.NewObject("DrawEvent",
	body.Required("fixture", func(r *body.Reader, e *service.DrawEvent) { e.Fixture = identifier(r) }),
	body.Required("at", func(r *body.Reader, e *service.DrawEvent) { e.At = clockTime(r) }),
	body.Required("volume", func(r *body.Reader, e *service.DrawEvent) { e.Volume = volume(r, drawnRange) }),
	body.Optional("flow", func(r *body.Reader, e *service.DrawEvent) { e.Flow = flow(r) }),
	body.Optional("days", func(r *body.Reader, e *service.DrawEvent) { e.Days = oneOf(r, dayTypes) }),
	body.Optional("water", func(r *body.Reader, e *service.DrawEvent) { e.Water = service.DrawnWater(oneOf(r, drawnWaters)) }),
)

var (
	patternIDs       = allPatternIDs()
	drawnWaters      = texts(service.DrawnWaters())
	dailyRange       = body.Above(0, 1000, "above 0 to 1000 m3")
	drawnRange       = body.Above(0, 100, "above 0 to 100 m3")
	longestWaitRange = body.Within(10, 3600, "10 s to 1 h")
)

func allPatternIDs() []string {
	var ids []string
	for _, p := range draw.Patterns() {
		ids = append(ids, p.ID)
	}
	return ids
}
