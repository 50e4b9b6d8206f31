package api

import (
	"recirc/api/body"
	"recirc/calc/arrival"
	"recirc/calc/fault"
	"recirc/calc/source"
	"recirc/service"
)

type waitTimesBody struct{ options }

var waitTimesObject = body.NewObject("WaitTimesRequest",
	body.Required("system", func(r *body.Reader, w *waitTimesBody) { w.readSystem(r) }),
	body.Optional("method", func(r *body.Reader, _ *waitTimesBody) { oneOf(r, waitMethods) }),
	body.Optional("unit_system", func(r *body.Reader, w *waitTimesBody) { w.readUnitSystem(r) }),
	body.Optional("show_working", func(r *body.Reader, w *waitTimesBody) { w.showWorking = r.Bool() }),
)

var waitMethods = []string{"plug_flow"}

func waitTimes(text []byte, limits Limits, faults *fault.List) (any, *fault.Fault) {
	var w waitTimesBody
	w.system.most = limits.MostPipes
	r, broken := body.Read(text, waitTimesObject, &w, faults)
	if broken != nil || !w.systemRead {
		return nil, broken
	}
	a := service.WaitTimes(&service.WaitTimesRequest{System: w.system.System, ShowWorking: w.showWorking, USGallon: r.USGallon}, faults)
	if a == nil {
		return nil, nil
	}
	return fromWaitTimes(a, w.units), nil
}

type (
	waitTimesAnswer struct {
		Version     string      `json:"version"`
		UnitSystem  string      `json:"unit_system"`
		Method      string      `json:"method"`
		Fixtures    []waitTime  `json:"fixtures"`
		WaitClasses []waitClass `json:"wait_classes"`
		Totals      waitTotals  `json:"totals"`
		notes
	}
	waitTime struct {
		Fixture      string    `json:"fixture"`
		HotSource    hotSource `json:"hot_source"`
		StoredVolume amount    `json:"stored_volume"`
		HotFlow      amount    `json:"hot_flow"`
		HotFlowBasis string    `json:"hot_flow_basis"`
		StartUpDelay amount    `json:"start_up_delay"`
		Wait         wait      `json:"wait"`
		VolumeDrawn  amount    `json:"volume_drawn"`
		WaitClass    string    `json:"wait_class"`
	}
	wait struct {
		PlugFlow amount `json:"plug_flow"`
	}
	waitClass struct {
		Name   string    `json:"name"`
		Above  amount    `json:"above"`
		UpTo   amount    `json:"up_to,omitzero"`
		Source source.ID `json:"source"`
	}
	waitTotals struct {
		Fixtures     int         `json:"fixtures"`
		Acceptable   int         `json:"acceptable"`
		Marginal     int         `json:"marginal"`
		Unacceptable int         `json:"unacceptable"`
		Longest      longestWait `json:"longest"`
		VolumeDrawn  amount      `json:"volume_drawn"`
	}
	longestWait struct {
		Fixture  string `json:"fixture"`
		PlugFlow amount `json:"plug_flow"`
	}
)

func fromWaitTimes(a *service.WaitTimesAnswer, u units) *waitTimesAnswer {
	t := &a.Totals
	out := &waitTimesAnswer{
		Version: service.Version, UnitSystem: u.name(), Method: waitMethods[0],
		Fixtures:    make([]waitTime, len(a.Fixtures)),
		WaitClasses: fromWaitClasses(u),
		Totals: waitTotals{
			Fixtures: t.Fixtures, Acceptable: t.ByClass["acceptable"], Marginal: t.ByClass["marginal"], Unacceptable: t.ByClass["unacceptable"],
			Longest: longestWait{t.Longest.Fixture, u.duration(t.Longest.PlugFlow)}, VolumeDrawn: u.volume(t.VolumeDrawn),
		},
		notes: fromNotes(&a.Notes, a.Working, u),
	}
	for i := range a.Fixtures {
		w := &a.Fixtures[i]
		out.Fixtures[i] = waitTime{
			Fixture: w.Fixture, HotSource: hotSource(w.HotSource), StoredVolume: u.volume(w.StoredVolume),
			HotFlow: u.flow(w.HotFlow), HotFlowBasis: w.HotFlowBasis, StartUpDelay: u.duration(w.StartUpDelay),
			Wait: wait{u.duration(w.PlugFlow)}, VolumeDrawn: u.volume(w.VolumeDrawn), WaitClass: w.Class,
		}
	}
	return out
}

func fromWaitClasses(u units) []waitClass {
	classes := arrival.WaitClasses()
	out := make([]waitClass, len(classes))
	for i, c := range classes {
		out[i] = waitClass{Name: c.Name, Above: u.duration(c.Above), Source: arrival.WaitClassSource}
		if i+1 < len(classes) {
			out[i].UpTo = u.duration(c.UpTo)
		}
	}
	return out
}
