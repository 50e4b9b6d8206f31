package api

import (
	"recirc/api/body"
	"recirc/api/picture"
	"recirc/calc/fault"
	"recirc/calc/quantity"
	"recirc/service"
)

type retrofitComparisonsBody struct {
	options
	service.RetrofitComparisonRequest // but for its system and its options
}

var retrofitComparisonsObject = body.NewObject("RetrofitComparisonRequest",
	body.Required("system", func(r *body.Reader, c *retrofitComparisonsBody) { c.readSystem(r) }),
	body.Required("arrangements", func(r *body.Reader, c *retrofitComparisonsBody) {
		c.Arrangements = []service.Arrangement{}
		r.List(1, 24, func(int) { c.Arrangements = append(c.Arrangements, readArrangement(r, c.system.most)) })
	}),
	body.Optional("baseline", func(r *body.Reader, c *retrofitComparisonsBody) { c.Baseline = identifier(r) }),
	body.Required("draws", func(r *body.Reader, c *retrofitComparisonsBody) { drawPlanObject.Read(r, &c.Draws) }),
	body.Optional("conditions", func(r *body.Reader, c *retrofitComparisonsBody) { yearConditionsObject.Read(r, &c.Conditions) }),
	body.Optional("heater_energy", func(r *body.Reader, c *retrofitComparisonsBody) { c.HeaterEnergy = readNew(r, heaterEnergyObject) }),
	body.Optional("prices", func(r *body.Reader, c *retrofitComparisonsBody) { pricesObject.Read(r, &c.Prices) }),
	body.Optional("emission_factors", func(r *body.Reader, c *retrofitComparisonsBody) { emissionFactorsObject.Read(r, &c.Emissions) }),
	body.Optional("life_cycle", func(r *body.Reader, c *retrofitComparisonsBody) { c.LifeCycle = readNew(r, lifeCycleObject) }),
	body.Optional("ranking", func(r *body.Reader, c *retrofitComparisonsBody) { comparisonRankingObject.Read(r, &c.Ranking) }),
	body.Optional("served_within", func(r *body.Reader, c *retrofitComparisonsBody) {
		r.List(1, 10, func(int) { c.Within = append(c.Within, duration(r, waitRange)) })
	}),
	body.Optional("ranges", func(r *body.Reader, c *retrofitComparisonsBody) { c.Ranges = readList(r, inputRangeObject, 0, 20) }),
	body.Optional("unit_system", func(r *body.Reader, c *retrofitComparisonsBody) { c.readUnitSystem(r) }),
	body.Optional("show_working", func(r *body.Reader, c *retrofitComparisonsBody) { c.showWorking = r.Bool() }),
)

var waitRange = body.Above(0, 3600, "above 0 to 1 h")

func retrofitComparisons(q *question) *fault.Fault {
	var c retrofitComparisonsBody
	q.begin(&c.system)
	r, broken := body.Read(q.text, retrofitComparisonsObject, &c, &q.faults)
	if broken != nil || !c.systemRead {
		return broken
	}
	c.System, c.ShowWorking, c.USGallon, c.Unreadable = c.system.System, c.showWorking, r.USGallon, !q.faults.Empty()
	a := service.RetrofitComparison(&c.RetrofitComparisonRequest, &q.faults)
	if a != nil {
		give(q, c.us, a, drawRetrofitComparison, writeRetrofitComparison)
	}
	return nil
}

// drawRetrofitComparison hands a picture what it draws.
func drawRetrofitComparison(a *service.RetrofitComparisonAnswer, us bool) ([]byte, error) {
	drawn := picture.Arrangements{Currency: a.Currency}
	for i := range a.Arrangements {
		from := &a.Arrangements[i]
		one := picture.Arrangement{
			Name: from.ID, Pump: from.Energy.Pump, Trace: from.Energy.Trace, LocalHeater: from.Energy.Local, Wasted: from.Water.RunToWaste,
		}
		if from.Energy.Heater != nil {
			one.Heater = *from.Energy.Heater
		} else {
			one.Heater = quantity.Joules(max(0, from.Heat.Heater.Joules()))
		}
		if from.Life != nil {
			one.Costs = from.Life.Cumulative
		}
		for _, s := range from.WaitCurve {
			one.Waits = append(one.Waits, picture.Served{Within: s.Wait, Share: s.Share})
		}
		drawn.All = append(drawn.All, one)
	}
	return picture.Comparison(&drawn, us)
}
