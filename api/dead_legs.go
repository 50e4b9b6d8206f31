package api

import (
	"recirc/api/answer"
	"recirc/api/body"
	"recirc/calc/fault"
	"recirc/calc/network"
	"recirc/calc/rule"
	"recirc/service"
)

type deadLegsBody struct {
	options
	Limits    []string
	OmitPipes bool
}

var deadLegsObject = body.NewObject("DeadLegsRequest",
	body.Required("system", func(r *body.Reader, d *deadLegsBody) { d.readSystem(r) }),
	body.Optional("limits", func(r *body.Reader, d *deadLegsBody) {
		r.List(1, 100, func(int) {
			if id, ok := r.OneOf(limitIDs, nil); ok {
				d.Limits = append(d.Limits, id)
			}
		})
	}),
	body.Optional("detail", func(r *body.Reader, d *deadLegsBody) { d.OmitPipes = oneOf(r, details) == "fixtures" }),
	body.Optional("unit_system", func(r *body.Reader, d *deadLegsBody) { d.readUnitSystem(r) }),
	body.Optional("show_working", func(r *body.Reader, d *deadLegsBody) { d.showWorking = r.Bool() }),
)

var (
	details  = []string{"pipes", "fixtures"}
	limitIDs = allLimitIDs()
)

func allLimitIDs() []string {
	var ids []string
	for _, l := range rule.Limits() {
		ids = append(ids, l.ID)
	}
	return ids
}

func deadLegs(q *question) *fault.Fault {
	var d deadLegsBody
	q.begin(&d.system)
	r, broken := body.Read(q.text, deadLegsObject, &d, &q.faults)
	if broken != nil || !d.systemRead {
		return broken
	}
	a := service.DeadLegs(&service.DeadLegsRequest{
		System: d.system.System, Limits: d.Limits, OmitPipes: d.OmitPipes, ShowWorking: d.showWorking, USGallon: r.USGallon,
	}, &q.faults)
	if a != nil {
		q.answer.US = d.us
		writeDeadLegs(&q.answer, a, d.OmitPipes)
	}
	return nil
}

func writeDeadLegs(w *answer.Writer, a *service.DeadLegsAnswer, omitPipes bool) {
	openAnswer(w)
	w.OpenList("fixtures")
	for i := range a.Fixtures {
		writeDeadLeg(w, &a.Fixtures[i], omitPipes)
	}
	w.CloseList()
	writeDeadLegTotals(w, &a.Totals)
	writeNotes(w, &a.Notes, a.Working)
	w.CloseObject()
}

func writeDeadLeg(w *answer.Writer, d *service.DeadLeg, omitPipes bool) {
	w.OpenObject("")
	w.Text("fixture", d.Fixture)
	writeHotSource(w, "hot_source", d.HotSource)
	if !omitPipes {
		w.OpenList("pipes")
		for i := range d.Pipes {
			writeDeadLegPipe(w, &d.Pipes[i])
		}
		w.CloseList()
	}
	w.Length("developed_length", d.Length)
	w.Volume("stored_volume", d.Volume)
	w.OpenList("limits")
	for i := range d.Limits {
		writeVerdict(w, &d.Limits[i], d.HotSource)
	}
	w.CloseList()
	w.CloseObject()
}

func writeHotSource(w *answer.Writer, name string, hot network.HotSource) {
	w.OpenObject(name)
	w.Text("node", hot.Node)
	w.Text("kind", string(hot.Kind))
	w.CloseObject()
}

func writeDeadLegPipe(w *answer.Writer, p *service.DeadLegPipe) {
	w.OpenObject("")
	w.Text("pipe", p.Pipe)
	w.Length("developed_length", p.Length)
	w.Diameter("inside_diameter", p.Bore)
	w.Text("bore_basis", string(p.BoreBasis))
	w.Volume("stored_volume", p.Volume)
	w.CloseObject()
}

// limitMembers is what every verdict on a limit says of the limit itself.
var limitMembers = allLimitMembers()

func allLimitMembers() map[*rule.Limit][]byte {
	all := map[*rule.Limit][]byte{}
	for _, l := range rule.Limits() {
		var w answer.Writer
		w.Text("rule", l.ID)
		w.Text("document", l.Document)
		w.Text("edition", l.Edition)
		w.Text("clause", l.Clause)
		w.Text("measures", string(l.Measures))
		all[l], _ = w.Bytes() // no number that could fail
	}
	return all
}

func writeVerdict(w *answer.Writer, v *rule.Verdict, from network.HotSource) {
	l := v.Limit
	w.OpenObject("")
	w.Members(limitMembers[l])
	writeHotSource(w, "measured_from", from)
	w.Amount("value", l.Measures.Dimension(), v.Value)
	if v.HasAllowed {
		w.Amount("limit", l.Measures.Dimension(), v.Allowed)
	}
	w.Text("status", string(v.Status))
	w.TextIf("reason", v.Reason)
	w.Text("source", string(l.Source))
	w.CloseObject()
}

func writeDeadLegTotals(w *answer.Writer, t *service.DeadLegTotals) {
	w.OpenObject("totals")
	w.Count("fixtures", t.Fixtures)
	w.Count("pipes", t.Pipes)
	w.Length("developed_length", t.Length)
	w.Volume("stored_volume", t.Volume)
	w.OpenObject("longest")
	w.Text("fixture", t.Longest.Fixture)
	w.Length("developed_length", t.Longest.Length)
	w.CloseObject()
	w.OpenObject("largest")
	w.Text("fixture", t.Largest.Fixture)
	w.Volume("stored_volume", t.Largest.Volume)
	w.CloseObject()
	w.OpenList("limits")
	for _, c := range t.Limits {
		w.OpenObject("")
		w.Text("rule", c.Limit.ID)
		w.Count("met", c.Met)
		w.Count("not_met", c.NotMet)
		w.Count("not_assessed", c.NotAssessed)
		w.CloseObject()
	}
	w.CloseList()
	w.CloseObject()
}
