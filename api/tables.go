package api

import (
	"net/http"
	"slices"

	"github.com/gin-gonic/gin"
	"github.com/go-json-experiment/json"

	"recirc/calc/fixture"
	"recirc/calc/pipe"
	"recirc/calc/quantity"
	"recirc/calc/source"
	"recirc/service"
)

type (
	tubesAnswer struct {
		Version    string       `json:"version"`
		UnitSystem string       `json:"unit_system"`
		Series     []tubeSeries `json:"series"`
		Tubes      []tube       `json:"tubes"`
		Sources    []source.ID  `json:"sources"`
	}
	tubeSeries struct {
		ID        string         `json:"id"`
		Title     string         `json:"title"`
		Material  pipe.Material  `json:"material"`
		Standard  string         `json:"standard"`
		BoreBasis pipe.BoreBasis `json:"bore_basis"`
		Note      string         `json:"note,omitempty"`
	}
	tube struct {
		Series          string         `json:"series"`
		Nominal         string         `json:"nominal"`
		OutsideDiameter amount         `json:"outside_diameter"`
		WallThickness   amount         `json:"wall_thickness"`
		InsideDiameter  amount         `json:"inside_diameter"`
		BoreBasis       pipe.BoreBasis `json:"bore_basis"`
		VolumePerLength amount         `json:"volume_per_length"`
		Source          source.ID      `json:"source"`
		Status          source.Status  `json:"status"`
		Note            string         `json:"note,omitempty"`
	}
	fixtureTypesAnswer struct {
		Version      string        `json:"version"`
		UnitSystem   string        `json:"unit_system"`
		FixtureTypes []fixtureType `json:"fixture_types"`
		Sources      []source.ID   `json:"sources"`
	}
	fixtureType struct {
		Type           string        `json:"type"`
		Title          string        `json:"title"`
		PublicLavatory bool          `json:"public_lavatory"`
		DefaultHotFlow amount        `json:"default_hot_flow,omitzero"`
		PublishedFlow  string        `json:"published_flow,omitempty"`
		Source         source.ID     `json:"source,omitempty"`
		Status         source.Status `json:"status,omitempty"`
		Note           string        `json:"note,omitempty"`
	}
	sourcesAnswer struct {
		Version string        `json:"version"`
		Sources []sourceEntry `json:"sources"`
	}
	sourceEntry struct {
		ID      source.ID     `json:"id"`
		Title   string        `json:"title"`
		Edition string        `json:"edition,omitempty"`
		Clause  string        `json:"clause,omitempty"`
		Kind    string        `json:"kind"`
		Status  source.Status `json:"status"`
		Note    string        `json:"note,omitempty"`
	}
)

func tubes(c *gin.Context) {
	q := query(c, "series", "unit_system")
	wanted, u := q.oneOf("series", seriesIDs), q.units()
	if q.refused() {
		return
	}
	series, found := service.Tubes(wanted)
	a := tubesAnswer{Version: service.Version, UnitSystem: u.name()}
	for _, s := range series {
		a.Series = append(a.Series, tubeSeries{s.ID, s.Title, s.Material, s.Standard, s.BoreBasis, s.Note})
	}
	for _, t := range found {
		a.Tubes = append(a.Tubes, tube{
			t.Series, t.Nominal, u.diameter(t.OutsideDiameter), u.diameter(t.Wall), u.diameter(t.Bore), t.BoreBasis,
			u.of(quantity.VolumePerLengthDimension, t.VolumePerLength().CubicMetresPerMetre()), t.Source, t.Status, t.Note,
		})
	}
	a.Sources = cited(found, func(t pipe.Tube) source.ID { return t.Source })
	reply(c, a)
}

func fixtureTypesTable(c *gin.Context) {
	q := query(c, "unit_system")
	u := q.units()
	if q.refused() {
		return
	}
	a := fixtureTypesAnswer{Version: service.Version, UnitSystem: u.name()}
	types := service.FixtureTypes()
	for _, t := range types {
		row := fixtureType{Type: t.ID, Title: t.Title, PublicLavatory: t.PublicLavatory, PublishedFlow: t.PublishedFlow, Source: t.Source, Status: t.Status, Note: t.Note}
		if t.HasDefault {
			row.DefaultHotFlow = u.flow(t.DefaultHotFlow)
		}
		a.FixtureTypes = append(a.FixtureTypes, row)
	}
	a.Sources = cited(types, func(t fixture.Type) source.ID { return t.Source })
	reply(c, a)
}

func sources(c *gin.Context) {
	if q := query(c); q.refused() {
		return
	}
	a := sourcesAnswer{Version: service.Version}
	for _, s := range service.Sources() {
		a.Sources = append(a.Sources, sourceEntry(s))
	}
	reply(c, a)
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

func reply(c *gin.Context, answer any) {
	text, err := json.Marshal(answer)
	if err != nil {
		internal.problem("The answer could not be written.").write(c)
		return
	}
	c.Data(http.StatusOK, "application/json", text)
}
