package api

import (
	"slices"

	"github.com/gin-gonic/gin"

	"recirc/api/answer"
	"recirc/calc/draw"
	"recirc/calc/quantity"
	"recirc/calc/source"
	"recirc/service"
)

func drawPatterns(c *gin.Context) {
	q := query(c, "pattern", "unit_system")
	wanted := q.oneOf("pattern", patternIDs)
	w := q.answer()
	if q.refused() {
		return
	}
	patterns := service.DrawPatterns(wanted)
	openAnswer(w)
	w.OpenList("patterns")
	for i := range patterns {
		writeDrawPattern(w, &patterns[i])
	}
	w.CloseList()
	writeSources(w, sourcesOfPatterns(patterns))
	w.CloseObject()
	reply(c, w)
}

// sourcesOfPatterns are those of the figures, and of the kinds of use, which the
// patterns themselves do not print.
func sourcesOfPatterns(patterns []draw.Pattern) []source.ID {
	ids := cited(patterns, func(p draw.Pattern) source.ID { return p.Source })
	named := func(d draw.Draw) bool { return d.Use != "" }
	if slices.ContainsFunc(patterns, func(p draw.Pattern) bool { return slices.ContainsFunc(p.Draws, named) }) {
		ids = append(ids, draw.UseSource)
		slices.Sort(ids)
	}
	return ids
}

// writeDrawPattern writes energies in kWh in every unit system, as they are printed.
func writeDrawPattern(w *answer.Writer, p *draw.Pattern) {
	w.OpenObject("")
	w.Text("id", p.ID)
	w.Text("title", p.Title)
	w.Text("basis", string(p.Basis))
	if p.TotalVolume != (quantity.Volume{}) {
		w.Volume("total_volume", p.TotalVolume)
	}
	if p.TotalEnergy != (quantity.Energy{}) {
		w.AmountIn("total_energy", &quantity.EnergyDimension.SI, p.TotalEnergy.Joules())
	}
	w.OpenList("draws")
	for i := range p.Draws {
		writePatternDraw(w, &p.Draws[i])
	}
	w.CloseList()
	w.Text("source", string(p.Source))
	w.Text("status", string(p.Status))
	w.TextIf("note", p.Note)
	w.CloseObject()
}

func writePatternDraw(w *answer.Writer, d *draw.Draw) {
	w.OpenObject("")
	w.Duration("at", d.At)
	if d.Volume != (quantity.Volume{}) {
		w.Volume("volume", d.Volume)
	}
	if d.Energy != (quantity.Energy{}) {
		w.AmountIn("energy", &quantity.EnergyDimension.SI, d.Energy.Joules())
	}
	w.Flow("flow", d.Flow)
	w.TemperatureIf("counts_from", d.CountsFrom)
	w.TemperatureIf("peak_temperature", d.Peak)
	w.TextIf("use", string(d.Use))
	w.CloseObject()
}
