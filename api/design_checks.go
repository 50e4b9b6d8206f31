package api

import (
	"math"
	"regexp"
	"time"

	"recirc/api/answer"
	"recirc/api/body"
	"recirc/calc/fault"
	"recirc/calc/rule"
	"recirc/service"
)

type designChecksBody struct {
	options
	service.DesignCheckRequest // but for its system and its options
	control                    *service.Control
}

var designChecksObject = body.NewObject("DesignCheckRequest",
	body.Required("system", func(r *body.Reader, d *designChecksBody) { d.readSystem(r) }),
	body.Optional("control", func(r *body.Reader, d *designChecksBody) { d.control = readNew(r, controlObject) }),
	body.Optional("facts", func(r *body.Reader, d *designChecksBody) { designFactsObject.Read(r, &d.DesignCheckRequest) }),
	body.Optional("sets", func(r *body.Reader, d *designChecksBody) {
		r.List(1, 100, func(int) {
			if id, ok := r.OneOf(ruleSetIDs, nil); ok {
				d.Sets = append(d.Sets, id)
			}
		})
	}),
	body.Optional("limits", readLimitOverrides),
	body.Optional("waivers", func(r *body.Reader, d *designChecksBody) { d.Waivers = readWaivers(r) }),
	body.Optional("as_of", func(r *body.Reader, d *designChecksBody) { d.AsOf = date(r) }),
	body.Optional("every_element", func(r *body.Reader, d *designChecksBody) { d.EveryElement = r.Bool() }),
	body.Optional("unit_system", func(r *body.Reader, d *designChecksBody) { d.readUnitSystem(r) }),
	body.Optional("show_working", func(r *body.Reader, d *designChecksBody) { d.showWorking = r.Bool() }),
)

var ruleSetIDs = allRuleSetIDs()

func allRuleSetIDs() []string {
	var ids []string
	for _, s := range rule.Sets() {
		ids = append(ids, s.ID)
	}
	return ids
}

// limitOverride is an override as it is read: its unit belongs to the rule, which
// may stand behind it.
type limitOverride struct {
	rule, reason string
	limit        ruleAmount
}

type ruleAmount struct {
	value    float64
	unit     string
	readable bool
}

var limitOverrideObject = body.NewObject("LimitOverride",
	body.Required("rule", func(r *body.Reader, l *limitOverride) { l.rule = identifier(r) }),
	body.Required("limit", func(r *body.Reader, l *limitOverride) {
		before := r.FaultCount()
		ruleAmountObject.Read(r, &l.limit)
		l.limit.readable = r.FaultCount() == before
	}),
	body.Required("reason", func(r *body.Reader, l *limitOverride) { l.reason, _ = r.Text(1, 1000) }),
)

var ruleAmountObject = body.NewObject("RuleAmount",
	body.Required("value", func(r *body.Reader, a *ruleAmount) { a.value, _ = r.Number(math.Inf(-1), math.Inf(1)) }),
	body.Required("unit", func(r *body.Reader, a *ruleAmount) { a.unit = oneOf(r, ruleUnits) }),
)

// ruleUnits are the units of all that rules measure.
var ruleUnits = allRuleUnits()

func allRuleUnits() []string {
	var units []string
	for _, d := range ruleDimensions() {
		for _, symbol := range d.Symbols() {
			units = appendNew(units, symbol)
		}
	}
	return units
}

func readLimitOverrides(r *body.Reader, d *designChecksBody) {
	r.List(0, 1000, func(int) {
		var l limitOverride
		before := r.FaultCount()
		limitOverrideObject.Read(r, &l)
		o := service.LimitOverride{Rule: l.rule, Reason: l.reason}
		if of, found := rule.Find(l.rule); found && of.Overridable() && l.limit.readable {
			o.Limit = limitOfRule(r, of, l.limit)
		}
		if r.FaultCount() > before {
			o.Rule = "" // it is in the list for those behind it
		}
		d.Limits = append(d.Limits, o)
	})
}

// mostLimit is more than any limit, in any SI unit.
const mostLimit = 1e9

// limitOfRule gives a limit in SI of what a rule measures.
func limitOfRule(r *body.Reader, of *rule.Rule, a ruleAmount) float64 {
	unit, ok := of.Dimension.Unit(a.unit)
	if !ok {
		r.FaultAt("limit/unit", fault.LimitNotOfRule, "The rule %s measures %s; the units are %s.", of.ID, of.Dimension.Name, joined(of.Dimension.Symbols()))
		return 0
	}
	r.NoteUnit(unit.Symbol)
	si := unit.ToSI(a.value)
	if !(si > 0 && si <= mostLimit) {
		r.FaultAt("limit/value", fault.OutOfRange, "%s %s is no limit; it is above 0, and smaller than any building needs.", answer.NumberText(a.value), unit.Symbol)
	}
	return si
}

var waiverObject = body.NewObject("Waiver",
	body.Required("rule", func(r *body.Reader, w *service.Waiver) { w.Rule = identifier(r) }),
	body.Optional("element", func(r *body.Reader, w *service.Waiver) { w.Element, _ = r.Text(0, 1000) }),
	body.Required("reason", func(r *body.Reader, w *service.Waiver) { w.Reason, _ = r.Text(1, 1000) }),
	body.Optional("until", func(r *body.Reader, w *service.Waiver) { w.Until = date(r) }),
)

func readWaivers(r *body.Reader) []service.Waiver {
	var all []service.Waiver
	r.List(0, mostWaivers, func(int) {
		var w service.Waiver
		before := r.FaultCount()
		waiverObject.Read(r, &w)
		if r.FaultCount() > before {
			w.Rule = "" // it is in the list for those behind it
		}
		all = append(all, w)
	})
	return all
}

const mostWaivers = 10_000

var datePattern = regexp.MustCompile(`^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$`)

// date reads a day of the calendar; empty if it is none.
func date(r *body.Reader) string {
	text, ok := r.Text(0, 32)
	if !ok {
		return ""
	}
	switch {
	case !datePattern.MatchString(text):
		r.Fault(fault.DateMalformed, "%s is no date; a day is written as 2026-11-25.", body.Shown(text))
	case !isDay(text):
		r.Fault(fault.DayUnknown, "The calendar has no day %s.", text)
	default:
		return text
	}
	return ""
}

// isDay reports a day of the Gregorian calendar as RFC 3339 writes it.
func isDay(text string) bool {
	_, err := time.Parse(time.DateOnly, text)
	return err == nil
}

func designChecks(q *question) *fault.Fault {
	d, broken := readDesignCheck(q)
	if d == nil {
		return broken
	}
	if a := service.CheckDesign(&d.DesignCheckRequest, &q.faults); a != nil {
		q.answer.US = d.us
		giveDesignCheck(q, d, a)
	}
	return nil
}

// readDesignCheck reads a body; nil if there is no system to look at.
func readDesignCheck(q *question) (*designChecksBody, *fault.Fault) {
	var d designChecksBody
	q.begin(&d.system)
	r, broken := body.Read(q.text, designChecksObject, &d, &q.faults)
	if broken != nil || !d.systemRead {
		return nil, broken
	}
	d.System, d.Control, d.USGallon = d.system.System, d.control, r.USGallon
	return &d, nil
}
