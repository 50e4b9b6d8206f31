package api

import (
	"recirc/api/body"
	"recirc/calc/fault"
	"recirc/calc/network"
	"recirc/calc/pipe"
	"recirc/calc/rule"
	"recirc/calc/source"
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

func deadLegs(text []byte, limits Limits, faults *fault.List) (any, *fault.Fault) {
	var d deadLegsBody
	d.system.most = limits.MostPipes
	r, broken := body.Read(text, deadLegsObject, &d, faults)
	if broken != nil || !d.systemRead {
		return nil, broken
	}
	a := service.DeadLegs(&service.DeadLegsRequest{
		System: d.system.System, Limits: d.Limits, OmitPipes: d.OmitPipes, ShowWorking: d.showWorking, USGallon: r.USGallon,
	}, faults)
	if a == nil {
		return nil, nil
	}
	return fromDeadLegs(a, d.units, d.OmitPipes), nil
}

type (
	deadLegsAnswer struct {
		Version    string        `json:"version"`
		UnitSystem string        `json:"unit_system"`
		Fixtures   []deadLeg     `json:"fixtures"`
		Totals     deadLegTotals `json:"totals"`
		notes
	}
	deadLeg struct {
		Fixture         string         `json:"fixture"`
		HotSource       hotSource      `json:"hot_source"`
		Pipes           []deadLegPipe  `json:"pipes,omitzero"`
		DevelopedLength amount         `json:"developed_length"`
		StoredVolume    amount         `json:"stored_volume"`
		Limits          []limitVerdict `json:"limits"`
	}
	hotSource struct {
		Node string          `json:"node"`
		Kind network.HotKind `json:"kind"`
	}
	deadLegPipe struct {
		Pipe            string         `json:"pipe"`
		DevelopedLength amount         `json:"developed_length"`
		InsideDiameter  amount         `json:"inside_diameter"`
		BoreBasis       pipe.BoreBasis `json:"bore_basis"`
		StoredVolume    amount         `json:"stored_volume"`
	}
	limitVerdict struct {
		Rule         string       `json:"rule"`
		Document     string       `json:"document"`
		Edition      string       `json:"edition"`
		Clause       string       `json:"clause"`
		Measures     rule.Measure `json:"measures"`
		MeasuredFrom hotSource    `json:"measured_from"`
		Value        amount       `json:"value"`
		Limit        amount       `json:"limit,omitzero"`
		Status       rule.Status  `json:"status"`
		Reason       string       `json:"reason,omitempty"`
		Source       source.ID    `json:"source"`
	}
	deadLegTotals struct {
		Fixtures        int          `json:"fixtures"`
		Pipes           int          `json:"pipes"`
		DevelopedLength amount       `json:"developed_length"`
		StoredVolume    amount       `json:"stored_volume"`
		Longest         longestLeg   `json:"longest"`
		Largest         largestLeg   `json:"largest"`
		Limits          []limitCount `json:"limits"`
	}
	longestLeg struct {
		Fixture         string `json:"fixture"`
		DevelopedLength amount `json:"developed_length"`
	}
	largestLeg struct {
		Fixture      string `json:"fixture"`
		StoredVolume amount `json:"stored_volume"`
	}
	limitCount struct {
		Rule        string `json:"rule"`
		Met         int    `json:"met"`
		NotMet      int    `json:"not_met"`
		NotAssessed int    `json:"not_assessed"`
	}
)

func fromDeadLegs(a *service.DeadLegsAnswer, u units, omitPipes bool) *deadLegsAnswer {
	out := &deadLegsAnswer{
		Version: service.Version, UnitSystem: u.name(),
		Fixtures: make([]deadLeg, len(a.Fixtures)),
		Totals:   fromDeadLegTotals(&a.Totals, u),
		notes:    fromNotes(&a.Notes, a.Working, u),
	}
	for i := range a.Fixtures {
		out.Fixtures[i] = fromDeadLeg(&a.Fixtures[i], u, omitPipes)
	}
	return out
}

func fromDeadLeg(d *service.DeadLeg, u units, omitPipes bool) deadLeg {
	hot := hotSource(d.HotSource)
	out := deadLeg{
		Fixture: d.Fixture, HotSource: hot,
		DevelopedLength: u.length(d.Length), StoredVolume: u.volume(d.Volume),
		Limits: make([]limitVerdict, len(d.Limits)),
	}
	if !omitPipes {
		out.Pipes = make([]deadLegPipe, len(d.Pipes))
	}
	for i, p := range d.Pipes {
		out.Pipes[i] = deadLegPipe{p.Pipe, u.length(p.Length), u.diameter(p.Bore), p.BoreBasis, u.volume(p.Volume)}
	}
	for i := range d.Limits {
		out.Limits[i] = fromVerdict(&d.Limits[i], hot, u)
	}
	return out
}

func fromVerdict(v *rule.Verdict, hot hotSource, u units) limitVerdict {
	l := v.Limit
	out := limitVerdict{
		Rule: l.ID, Document: l.Document, Edition: l.Edition, Clause: l.Clause, Measures: l.Measures, MeasuredFrom: hot,
		Value: u.of(l.Measures.Dimension(), v.Value), Status: v.Status, Reason: v.Reason, Source: l.Source,
	}
	if v.HasAllowed {
		out.Limit = u.of(l.Measures.Dimension(), v.Allowed)
	}
	return out
}

func fromDeadLegTotals(t *service.DeadLegTotals, u units) deadLegTotals {
	out := deadLegTotals{
		Fixtures: t.Fixtures, Pipes: t.Pipes, DevelopedLength: u.length(t.Length), StoredVolume: u.volume(t.Volume),
		Longest: longestLeg{t.Longest.Fixture, u.length(t.Longest.Length)},
		Largest: largestLeg{t.Largest.Fixture, u.volume(t.Largest.Volume)},
	}
	for _, c := range t.Limits {
		out.Limits = append(out.Limits, limitCount{c.Limit.ID, c.Met, c.NotMet, c.NotAssessed})
	}
	return out
}
