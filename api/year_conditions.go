package api

import (
	"recirc/api/body"
	"recirc/calc/quantity"
	"recirc/service"
)

var yearConditionsObject = body.NewObject("YearConditions",
	body.Optional("mains_temperatures", func(r *body.Reader, c *service.YearConditions) { c.Mains = months(r, monthlyMainsRange) }),
	body.Optional("climate", func(r *body.Reader, c *service.YearConditions) { c.Climate = readNew(r, climateObject) }),
	body.Optional("air_temperatures", func(r *body.Reader, c *service.YearConditions) { c.Air = months(r, monthlyAirRange) }),
	body.Optional("heating_season", func(r *body.Reader, c *service.YearConditions) { c.Season = readNew(r, heatingSeasonObject) }),
)

var climateObject = body.NewObject("Climate",
	body.Required("mean_air_temperature", func(r *body.Reader, c *service.Climate) { c.Mean = temperature(r, yearlyAirRange) }),
	body.Required("air_temperature_swing", func(r *body.Reader, c *service.Climate) { c.Swing = differenceWithin(r, swingRange) }),
	body.Optional("southern_hemisphere", func(r *body.Reader, c *service.Climate) { c.Southern = r.Bool() }),
)

var heatingSeasonObject = body.NewObject("HeatingSeason",
	body.Required("months", func(r *body.Reader, s *service.HeatingSeason) {
		r.List(1, 12, func(int) {
			m, _ := r.Count(1, 12)
			s.Months = append(s.Months, m)
		})
	}),
	body.Required("useful_share", func(r *body.Reader, s *service.HeatingSeason) { s.Useful, _ = r.Number(0, 1) }),
)

var (
	monthlyMainsRange = body.Within(273.15, 323.15, "0 to 50 degC")
	monthlyAirRange   = body.Within(223.15, 333.15, "-50 to 60 degC")
	yearlyAirRange    = body.Within(263.15, 308.15, "-10 to 35 degC")
	swingRange        = body.Within(0, 70, "0 to 70 K")
)

// months reads one temperature a month.
func months(r *body.Reader, within body.Range) []quantity.Temperature {
	all := []quantity.Temperature{}
	r.List(12, 12, func(int) { all = append(all, temperature(r, within)) })
	return all
}
