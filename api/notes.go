package api

import (
	"recirc/api/answer"
	"recirc/calc/source"
	"recirc/service"
)

// writeNotes writes what every answer carries beside its results.
func writeNotes(w *answer.Writer, n *service.Notes, steps []service.Step) {
	w.OpenList("assumptions")
	for i := range n.Assumptions {
		writeAssumption(w, &n.Assumptions[i])
	}
	w.CloseList()
	w.OpenList("warnings")
	for _, warning := range n.Warnings {
		w.OpenObject("")
		w.Text("code", warning.Code)
		w.Text("pointer", warning.Pointer)
		w.Text("detail", warning.Detail)
		w.CloseObject()
	}
	w.CloseList()
	w.OpenList("cautions")
	for _, c := range n.Cautions {
		w.OpenObject("")
		w.Text("code", c.Code)
		w.Text("detail", c.Detail)
		w.TextIf("source", string(c.Source))
		w.CloseObject()
	}
	w.CloseList()
	writeSources(w, n.Sources())
	if steps != nil {
		writeWorking(w, steps)
	}
}

func writeAssumption(w *answer.Writer, a *service.Assumption) {
	w.OpenObject("")
	w.Text("code", a.Code)
	w.Text("detail", a.Detail)
	w.Text("value", a.Value)
	w.OpenList("pointers")
	for _, p := range a.Pointers {
		w.Text("", p)
	}
	w.CloseList()
	w.TextIf("source", string(a.Source))
	w.CloseObject()
}

func writeSources(w *answer.Writer, ids []source.ID) {
	w.OpenList("sources")
	for _, id := range ids {
		w.Text("", string(id))
	}
	w.CloseList()
}

func writeWorking(w *answer.Writer, steps []service.Step) {
	w.OpenList("working")
	for i := range steps {
		s := &steps[i]
		unit := w.UnitOf(s.Dimension)
		w.OpenObject("")
		w.Text("subject", s.Subject)
		w.Text("symbol", s.Symbol)
		w.Text("name", s.Name)
		w.Number("value", unit.FromSI(s.Value))
		w.Text("unit", unit.Symbol)
		w.Text("equation", s.Equation)
		w.Text("source", string(s.Source))
		w.CloseObject()
	}
	w.CloseList()
}
