package api

import (
	"recirc/api/answer"
	"recirc/api/body"
	"recirc/api/picture"
	"recirc/calc/arrival"
	"recirc/calc/fault"
	"recirc/calc/quantity"
	"recirc/service"
)

type waitTimesBody struct {
	options
	plugFlowOnly bool
	usable       quantity.Temperature
	rise         quantity.TemperatureDifference
	start        service.Start
	showCurves   bool
}

var waitTimesObject = body.NewObject("WaitTimesRequest",
	body.Required("system", func(r *body.Reader, w *waitTimesBody) { w.readSystem(r) }),
	body.Optional("method", func(r *body.Reader, w *waitTimesBody) { w.plugFlowOnly = oneOf(r, waitMethods) == "plug_flow" }),
	body.Optional("usable_temperature", func(r *body.Reader, w *waitTimesBody) { w.usable = temperature(r, waterRange) }),
	body.Optional("usable_rise", func(r *body.Reader, w *waitTimesBody) { w.rise = difference(r) }),
	body.Optional("start", func(r *body.Reader, w *waitTimesBody) {
		before := r.FaultCount()
		startObject.Read(r, &w.start)
		if r.FaultCount() > before {
			w.start = service.Start{} // what it lacks is told already
		}
	}),
	body.Optional("show_curves", func(r *body.Reader, w *waitTimesBody) { w.showCurves = r.Bool() }),
	body.Optional("unit_system", func(r *body.Reader, w *waitTimesBody) { w.readUnitSystem(r) }),
	body.Optional("show_working", func(r *body.Reader, w *waitTimesBody) { w.showWorking = r.Bool() }),
)

var startObject = body.NewObject("StartState",
	body.Required("state", func(r *body.Reader, s *service.Start) { s.State = oneOf(r, startStates) }),
	body.Optional("temperature", func(r *body.Reader, s *service.Start) { s.Temperature = temperature(r, waterRange) }),
	body.Optional("idle_time", func(r *body.Reader, s *service.Start) {
		t, _ := r.Amount(quantity.DurationDimension, idleRange)
		s.Idle = quantity.Seconds(t)
	}),
)

var (
	waitMethods = []string{"plug_flow", "thermal"}
	startStates = []string{"surroundings", "given", "left_over"}
)

func waitTimes(q *question) *fault.Fault {
	var d waitTimesBody
	q.begin(&d.system)
	r, broken := body.Read(q.text, waitTimesObject, &d, &q.faults)
	if broken != nil || !d.systemRead {
		return broken
	}
	a := service.WaitTimes(&service.WaitTimesRequest{
		System: d.system.System, PlugFlowOnly: d.plugFlowOnly, Usable: d.usable, Rise: d.rise, Start: d.start,
		ShowCurves: d.showCurves || q.picture(), ShowWorking: d.showWorking, USGallon: r.USGallon,
	}, &q.faults)
	if a != nil {
		give(q, d.us, a, picture.Arrivals, writeWaitTimes)
	}
	return nil
}

func writeWaitTimes(w *answer.Writer, a *service.WaitTimesAnswer) {
	openAnswer(w)
	method := waitMethods[0]
	if a.Thermal {
		method = waitMethods[1]
	}
	w.Text("method", method)
	w.OpenList("fixtures")
	for i := range a.Fixtures {
		writeWaitTime(w, &a.Fixtures[i])
	}
	w.CloseList()
	writeWaitClasses(w)
	writeWaitTotals(w, a)
	writeNotes(w, &a.Notes, a.Working)
	w.CloseObject()
}

func writeWaitTime(w *answer.Writer, t *service.WaitTime) {
	w.OpenObject("")
	w.Text("fixture", t.Fixture)
	writeHotSource(w, "hot_source", t.HotSource)
	w.Volume("stored_volume", t.StoredVolume)
	w.Flow("hot_flow", t.HotFlow)
	w.Text("hot_flow_basis", t.HotFlowBasis)
	w.Duration("start_up_delay", t.StartUpDelay)
	w.OpenObject("wait")
	w.Duration("plug_flow", t.PlugFlow)
	if t.Thermal != nil && t.Thermal.Reached {
		w.Duration("expected", t.Thermal.Expected)
		w.Duration("high", t.Thermal.High)
	}
	w.CloseObject()
	w.Volume("volume_drawn", t.VolumeDrawn)
	w.Text("wait_class", t.Class)
	if t.Thermal != nil {
		writeThermalWait(w, t.Thermal)
	}
	w.CloseObject()
}

func writeThermalWait(w *answer.Writer, t *service.ThermalWait) {
	w.Temperature("usable_temperature", t.Usable)
	w.Bool("reached", t.Reached)
	w.Temperature("steady_temperature", t.Steady)
	w.NumberIf("delivered_volume_ratio", t.Ratio)
	if t.Reached {
		w.OpenObject("energy_wasted")
		w.Energy("drawn", t.Drawn)
		w.Energy("left_in_pipe", t.LeftInPipe)
		w.Energy("total", quantity.Joules(t.Drawn.Joules()+t.LeftInPipe.Joules()))
		w.CloseObject()
	}
	if t.Curve != nil {
		w.OpenList("arrival_curve")
		for _, p := range t.Curve {
			w.OpenObject("")
			w.Duration("time", p.Time)
			w.Temperature("temperature", p.Temperature)
			w.CloseObject()
		}
		w.CloseList()
	}
}

func writeWaitClasses(w *answer.Writer) {
	w.OpenList("wait_classes")
	classes := arrival.WaitClasses()
	for i, c := range classes {
		w.OpenObject("")
		w.Text("name", c.Name)
		w.Duration("above", c.Above)
		if i+1 < len(classes) {
			w.Duration("up_to", c.UpTo)
		}
		w.Text("source", string(arrival.WaitClassSource))
		w.CloseObject()
	}
	w.CloseList()
}

func writeWaitTotals(w *answer.Writer, a *service.WaitTimesAnswer) {
	t := &a.Totals
	w.OpenObject("totals")
	w.Count("fixtures", t.Fixtures)
	for _, c := range arrival.WaitClasses() {
		w.Count(c.Name, t.ByClass[c.Name])
	}
	w.OpenObject("longest")
	w.Text("fixture", t.Longest.Fixture)
	w.Duration("plug_flow", t.Longest.PlugFlow)
	if l := t.Longest.Thermal; l != nil && l.Reached {
		w.Duration("expected", l.Expected)
	}
	w.CloseObject()
	w.Volume("volume_drawn", t.VolumeDrawn)
	if a.Thermal {
		w.Energy("energy_wasted", t.Wasted)
	}
	w.CloseObject()
}
