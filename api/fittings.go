package api

import (
	"slices"

	"github.com/gin-gonic/gin"

	"recirc/api/answer"
	"recirc/calc/pipe"
	"recirc/calc/source"
	"recirc/service"
)

var fittingAndValveTypes = slices.Concat(fittingTypes, valveTypes)

func fittings(c *gin.Context) {
	q := query(c, "type", "unit_system")
	wanted := q.oneOf("type", fittingAndValveTypes)
	w := q.answer()
	if q.refused() {
		return
	}
	rows := service.Fittings(wanted)
	openAnswer(w)
	w.OpenList("fittings")
	for i := range rows {
		writeFittingLoss(w, &rows[i])
	}
	w.CloseList()
	writeSources(w, cited(rows, func(f pipe.FittingLoss) source.ID { return f.Source }))
	w.CloseObject()
	reply(c, w)
}

func writeFittingLoss(w *answer.Writer, f *pipe.FittingLoss) {
	w.OpenObject("")
	w.Text("type", f.Type)
	w.Text("description", f.Description)
	w.TextIf("joint", f.Joint)
	w.TextIf("nominal", f.Nominal)
	w.Text("method", string(f.Method))
	if f.Method == pipe.EquivalentLength {
		w.Length("equivalent_length", f.EquivalentLength)
	}
	w.NumberIf("loss_coefficient", f.LossCoefficient)
	w.NumberIf("length_over_diameter", f.LengthOverDiameter)
	w.NumberIf("k1", f.K1)
	w.NumberIf("k_infinity", f.KInfinity)
	w.NumberIf("k_d", f.KD)
	w.Text("source", string(f.Source))
	w.Text("status", string(f.Status))
	w.TextIf("note", f.Note)
	w.CloseObject()
}
