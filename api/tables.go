package api

import (
	"net/http"
	"slices"

	"github.com/gin-gonic/gin"

	"recirc/api/answer"
	"recirc/calc/fixture"
	"recirc/calc/pipe"
	"recirc/calc/quantity"
	"recirc/calc/source"
	"recirc/service"
)

func tubes(c *gin.Context) {
	q := query(c, "series", "unit_system")
	wanted := q.oneOf("series", seriesIDs)
	w := q.answer()
	if q.refused() {
		return
	}
	series, found := service.Tubes(wanted)
	openAnswer(w)
	w.OpenList("series")
	for i := range series {
		writeSeries(w, &series[i])
	}
	w.CloseList()
	w.OpenList("tubes")
	for i := range found {
		writeTube(w, &found[i])
	}
	w.CloseList()
	writeSources(w, cited(found, func(t pipe.Tube) source.ID { return t.Source }))
	w.CloseObject()
	reply(c, w)
}

func writeSeries(w *answer.Writer, s *pipe.Series) {
	w.OpenObject("")
	w.Text("id", s.ID)
	w.Text("title", s.Title)
	w.Text("material", string(s.Material))
	w.Text("standard", s.Standard)
	w.Text("bore_basis", string(s.BoreBasis))
	w.TextIf("note", s.Note)
	w.CloseObject()
}

func writeTube(w *answer.Writer, t *pipe.Tube) {
	w.OpenObject("")
	w.Text("series", t.Series)
	w.Text("nominal", t.Nominal)
	w.Diameter("outside_diameter", t.OutsideDiameter)
	w.Diameter("wall_thickness", t.Wall)
	w.Diameter("inside_diameter", t.Bore)
	w.Text("bore_basis", string(t.BoreBasis))
	w.Amount("volume_per_length", quantity.VolumePerLengthDimension, t.VolumePerLength().CubicMetresPerMetre())
	w.Text("source", string(t.Source))
	w.Text("status", string(t.Status))
	w.TextIf("note", t.Note)
	w.CloseObject()
}

func fixtureTypesTable(c *gin.Context) {
	q := query(c, "unit_system")
	w := q.answer()
	if q.refused() {
		return
	}
	types := service.FixtureTypes()
	openAnswer(w)
	w.OpenList("fixture_types")
	for i := range types {
		writeFixtureType(w, &types[i])
	}
	w.CloseList()
	writeSources(w, cited(types, func(t fixture.Type) source.ID { return t.Source }))
	w.CloseObject()
	reply(c, w)
}

func writeFixtureType(w *answer.Writer, t *fixture.Type) {
	w.OpenObject("")
	w.Text("type", t.ID)
	w.Text("title", t.Title)
	w.Bool("public_lavatory", t.PublicLavatory)
	if t.HasDefault {
		w.Flow("default_hot_flow", t.DefaultHotFlow)
	}
	w.TextIf("published_flow", t.PublishedFlow)
	w.TextIf("source", string(t.Source))
	w.TextIf("status", string(t.Status))
	w.TextIf("note", t.Note)
	w.CloseObject()
}

func sources(c *gin.Context) {
	q := query(c)
	if q.refused() {
		return
	}
	w := &answer.Writer{}
	w.OpenObject("")
	w.Text("version", service.Version)
	w.OpenList("sources")
	for _, s := range service.Sources() {
		w.OpenObject("")
		w.Text("id", string(s.ID))
		w.Text("title", s.Title)
		w.TextIf("edition", s.Edition)
		w.TextIf("clause", s.Clause)
		w.Text("kind", s.Kind)
		w.Text("status", string(s.Status))
		w.TextIf("note", s.Note)
		w.CloseObject()
	}
	w.CloseList()
	w.CloseObject()
	reply(c, w)
}

// cited lists the sources of rows, each once, sorted.
func cited[T any](rows []T, of func(T) source.ID) []source.ID {
	var ids []source.ID
	for _, r := range rows {
		if id := of(r); id != "" {
			ids = append(ids, id)
		}
	}
	slices.Sort(ids)
	return slices.Compact(ids)
}

func reply(c *gin.Context, w *answer.Writer) {
	text, err := w.Bytes()
	if err != nil {
		internal.problem("The answer could not be written.").write(c)
		return
	}
	c.Data(http.StatusOK, "application/json", text)
}
