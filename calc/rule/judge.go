package rule

import (
	"fmt"

	"recirc/calc/quantity"
)

// DeadLeg is what a limit needs to know of the pipe in front of a fixture.
type DeadLeg struct {
	PublicLavatory bool
	Maintained     bool // from a circulated or heat-traced pipe, not from the heater
	Length         quantity.Length
	Volume         quantity.Volume

	// NominalInches is the largest nominal size on the way; 0 where some pipe
	// has none in inches. It picks a row of a table and is no bore.
	NominalInches float64
	// Outside is the largest outside diameter on the way; zero if not known.
	Outside   quantity.Length
	Insulated bool // some pipe on the way is insulated
}

// Verdict is one limit against one dead leg.
type Verdict struct {
	Limit      *Limit
	Value      float64 // SI: m or m3
	Allowed    float64 // SI; see HasAllowed
	Status     Status
	Reason     string // why it was not assessed
	HasAllowed bool
}

// Status is the outcome of a comparison.
type Status string

// The outcomes.
const (
	Met         Status = "met"
	NotMet      Status = "not_met"
	NotAssessed Status = "not_assessed"
)

// tolerance keeps a length of exactly 50 ft, added up from several pipes, from
// failing a limit of 50 ft by the last bit.
const tolerance = 1e-9

// Applies reports whether the rule speaks about such a fixture and source.
func (l *Limit) Applies(leg DeadLeg) bool {
	for _, f := range l.forms {
		if f.covers(leg) {
			return true
		}
	}
	return false
}

// Judge compares one dead leg with the rule. A rule whose inputs are missing, or
// that is for other fixtures or sources, is not assessed, with the reason.
func (l *Limit) Judge(leg DeadLeg) Verdict {
	v := Verdict{Limit: l, Value: leg.Length.Metres()}
	if l.Measures == StoredVolume {
		v.Value = leg.Volume.CubicMetres()
	}
	allowed, reason := l.allowed(leg)
	switch {
	case reason != "" && v.Value == 0:
		v.Status, v.Reason = Met, "There is no pipe between the hot source and the fixture."
	case reason != "":
		v.Status, v.Reason = NotAssessed, reason
	default:
		v.Allowed, v.HasAllowed, v.Status = allowed, true, Met
		if v.Value > allowed*(1+tolerance) {
			v.Status = NotMet
		}
	}
	return v
}

// allowed finds the limit in SI, or the reason why there is none.
func (l *Limit) allowed(leg DeadLeg) (float64, string) {
	for _, f := range l.forms {
		if !f.covers(leg) {
			continue
		}
		if f.hasLimit {
			return f.limit, ""
		}
		return l.bySize(leg)
	}
	if leg.Maintained {
		return 0, "This rule is for pipe that starts at the heater."
	}
	return 0, "This rule is for pipe that starts at a circulated or heat-traced pipe."
}

func (l *Limit) bySize(leg DeadLeg) (float64, string) {
	for _, r := range l.rows {
		if !r.covers(leg) {
			continue
		}
		switch r.match {
		case "nominal_in", "nominal_in_from":
			if leg.NominalInches == 0 {
				return 0, "The table goes by nominal size in inches, and some pipe on the way has none."
			}
		default:
			if leg.Insulated {
				return 0, "This guidance is for uninsulated pipe, and some pipe on the way is insulated."
			}
			if leg.Outside == (quantity.Length{}) {
				return 0, "The table goes by outside diameter, and some pipe on the way has none given."
			}
		}
		if r.fits(leg) {
			return r.limit, ""
		}
	}
	return 0, fmt.Sprintf("The table as read has no row for a nominal size of %g in.", leg.NominalInches)
}

func (r row) fits(leg DeadLeg) bool {
	switch r.match {
	case "nominal_in":
		return leg.NominalInches == r.size
	case "nominal_in_from":
		return leg.NominalInches >= r.size
	case "outside_mm_up_to":
		return leg.Outside.Metres() <= r.size/1000*(1+tolerance)
	default: // outside_mm_above: the last row
		return true
	}
}

func (s scope) covers(leg DeadLeg) bool {
	switch s.fixtures {
	case "public_lavatory":
		if !leg.PublicLavatory {
			return false
		}
	case "other":
		if leg.PublicLavatory {
			return false
		}
	}
	switch s.from {
	case "heater":
		return !leg.Maintained
	case "maintained":
		return leg.Maintained
	}
	return true
}
