package api

import (
	"recirc/api/body"
	"recirc/service"
)

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
