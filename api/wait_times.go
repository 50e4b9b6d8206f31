package api

import (
	"recirc/api/answer"
	"recirc/api/body"
	"recirc/calc/arrival"
	"recirc/calc/fault"
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

func waitTimes(text string, limits Limits, faults *fault.List, w *answer.Writer) *fault.Fault {
	var d waitTimesBody
	d.system.most = limits.MostPipes
	r, broken := body.Read(text, waitTimesObject, &d, faults)
	if broken != nil || !d.systemRead {
		return broken
	}
	a := service.WaitTimes(&service.WaitTimesRequest{System: d.system.System, ShowWorking: d.showWorking, USGallon: r.USGallon}, faults)
	if a != nil {
		w.US = d.us
		writeWaitTimes(w, a)
	}
	return nil
}

func writeWaitTimes(w *answer.Writer, a *service.WaitTimesAnswer) {
	openAnswer(w)
	w.Text("method", waitMethods[0])
	w.OpenList("fixtures")
	for i := range a.Fixtures {
		writeWaitTime(w, &a.Fixtures[i])
	}
	w.CloseList()
	writeWaitClasses(w)
	writeWaitTotals(w, &a.Totals)
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
	w.CloseObject()
	w.Volume("volume_drawn", t.VolumeDrawn)
	w.Text("wait_class", t.Class)
	w.CloseObject()
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

func writeWaitTotals(w *answer.Writer, t *service.WaitTotals) {
	w.OpenObject("totals")
	w.Count("fixtures", t.Fixtures)
	for _, c := range arrival.WaitClasses() {
		w.Count(c.Name, t.ByClass[c.Name])
	}
	w.OpenObject("longest")
	w.Text("fixture", t.Longest.Fixture)
	w.Duration("plug_flow", t.Longest.PlugFlow)
	w.CloseObject()
	w.Volume("volume_drawn", t.VolumeDrawn)
	w.CloseObject()
}
