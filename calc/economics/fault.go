package economics

import (
	"fmt"
	"math"
)

// FaultName names what is wrong with a study or an alternative.
type FaultName string

// The faults.
const (
	NotFinite       FaultName = "not_finite"
	OutOfRange      FaultName = "out_of_range"
	YearOutOfStudy  FaultName = "year_out_of_study"
	BasisUnknown    FaultName = "basis_unknown"
	InflationUnused FaultName = "inflation_unused"
	StudiesDiffer   FaultName = "studies_differ"
	TooMany         FaultName = "too_many"
)

// Fault is one thing that is wrong.
type Fault struct {
	Of     string // "study", "investment", "energy", "water", "maintenance", "maintenance_at", "replacement", "residual"
	Index  int    // in the list of that name; -1 where there is no list
	Field  string // "amount", "year", "escalation", "life", or a field of the study; "" for the whole
	Name   FaultName
	Detail string // a sentence that says what was found
}

// FaultError is what is wrong with a study and an alternative, all at once.
type FaultError struct {
	Faults  []Fault // at most [MaxFaults]
	Dropped int     // beyond
}

// MaxFaults is how many faults are kept.
const MaxFaults = 100

// MaxItems is the greatest length of each list of an alternative.
const MaxItems = 10_000

func (e *FaultError) Error() string {
	first := e.Faults[0]
	return fmt.Sprintf("economics: %d faults, the first: %s %d: %s (%s)", len(e.Faults)+e.Dropped, first.Of, first.Index, first.Detail, first.Name)
}

func (e *FaultError) add(f Fault, format string, args ...any) {
	if len(e.Faults) >= MaxFaults {
		e.Dropped++
		return
	}
	f.Detail = fmt.Sprintf(format, args...)
	e.Faults = append(e.Faults, f)
}

// err gives the faults as an error, nil if there is none.
func (e *FaultError) err() error {
	if len(e.Faults) == 0 {
		return nil
	}
	return e
}

// between looks at a number; at says where it stands.
func (e *FaultError) between(at Fault, what string, v, low, high float64) {
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		at.Name = NotFinite
		e.add(at, "the %s is no finite number", what)
	case v < low || v > high:
		at.Name = OutOfRange
		e.add(at, "the %s is %.6g, not from %g to %g", what, v, low, high)
	}
}

func (e *FaultError) study(s Study) {
	at := func(field string) Fault { return Fault{Of: "study", Index: -1, Field: field} }
	e.between(at("years"), "number of years", float64(s.Years), 1, MostYears)
	e.between(at("service"), "number of years before the service date", float64(s.Service), 0, float64(max(s.Years, 1)-1))
	e.between(at("rate"), "discount rate", s.Rate, LeastRate, GreatestRate)
	e.between(at("inflation"), "inflation", s.Inflation, LeastRate, GreatestRate)
	f := at("basis")
	switch {
	case s.Basis != ConstantDollar && s.Basis != CurrentDollar:
		f.Name = BasisUnknown
		e.add(f, "there is no basis %.40q", s.Basis)
	case s.Basis == ConstantDollar && s.Inflation != 0:
		f.Field, f.Name = "inflation", InflationUnused
		e.add(f, "inflation has no part in a study in constant dollars, whose rates are real")
	}
}

func (e *FaultError) alternative(a *Alternative, s Study) {
	e.yearly("energy", a.Energy)
	e.yearly("water", a.Water)
	e.yearly("maintenance", a.Maintenance)
	e.dated("investment", a.Investment, s)
	e.dated("maintenance_at", a.MaintenanceAt, s)
	e.dated("replacement", a.Replacements, s)
	e.between(Fault{Of: "residual", Index: -1, Field: "amount"}, "residual value", a.Residual, -mostMoney, mostMoney)
}

// mostMoney bounds an amount of an alternative, so that no result overflows.
const mostMoney = 1e12

func (e *FaultError) yearly(of string, all []Yearly) {
	if e.tooMany(of, len(all)) {
		return
	}
	for i, y := range all {
		e.between(Fault{Of: of, Index: i, Field: "amount"}, "amount", y.Amount, -mostMoney, mostMoney)
		e.escalation(of, i, y.Escalation)
	}
}

func (e *FaultError) dated(of string, all []Dated, s Study) {
	if e.tooMany(of, len(all)) {
		return
	}
	for i, d := range all {
		e.between(Fault{Of: of, Index: i, Field: "amount"}, "amount", d.Amount, -mostMoney, mostMoney)
		e.between(Fault{Of: of, Index: i, Field: "life"}, "life in years", float64(d.Life), 0, 1000)
		e.escalation(of, i, d.Escalation)
		if d.Year < 0 || d.Year > s.Years {
			e.add(Fault{Of: of, Index: i, Field: "year", Name: YearOutOfStudy}, "year %d is not within the study, from 0 to %d", d.Year, s.Years)
		}
	}
}

func (e *FaultError) escalation(of string, i int, own Escalation) {
	e.between(Fault{Of: of, Index: i, Field: "escalation"}, "escalation", own.rate, LeastRate, GreatestRate)
}

func (e *FaultError) tooMany(of string, n int) bool {
	if n > MaxItems {
		e.add(Fault{Of: of, Index: -1, Name: TooMany}, "at most %d are taken, not %d", MaxItems, n)
	}
	return n > MaxItems
}
