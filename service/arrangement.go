package service

import (
	"recirc/calc/network"
	"recirc/calc/quantity"
)

// ArrangementType is a way of bringing hot water near.
type ArrangementType string

// The arrangements.
const (
	NoCirculation     ArrangementType = "none"
	DedicatedReturn   ArrangementType = "dedicated_return"
	ColdLineReturn    ArrangementType = "cold_line_return"
	OnDemandAtFixture ArrangementType = "on_demand_at_fixture"
	HeatTraced        ArrangementType = "heat_traced"
	PointOfUseHeater  ArrangementType = "point_of_use_heater"
	BetterInsulation  ArrangementType = "better_insulation"
)

// ArrangementTypes lists the arrangements.
func ArrangementTypes() []ArrangementType {
	return []ArrangementType{NoCirculation, DedicatedReturn, ColdLineReturn, OnDemandAtFixture, HeatTraced, PointOfUseHeater, BetterInsulation}
}

// Pumped reports that it has a pump and a control.
func (t ArrangementType) Pumped() bool {
	return t == DedicatedReturn || t == ColdLineReturn || t == OnDemandAtFixture
}

// Arrangement is one way of bringing hot water near the fixtures of a system. What
// is nil or empty was not given.
type Arrangement struct {
	ID         string
	Type       ArrangementType
	Variant    *network.System // in place of the request's
	Fixtures   []string        // the part it serves
	Pump       *ArrangementPump
	Control    *Control
	Bypass     *BypassValve
	ColdLine   *ColdLine
	Trace      *network.HeatTrace
	Local      *LocalHeater
	Insulation *network.Insulation

	Install      *InstallCost
	Maintenance  *Money // a year
	Replacements []Replacement
	Residual     *Money
}

// ArrangementPump is a pump while it runs.
type ArrangementPump struct {
	Flow    quantity.Flow
	Power   quantity.Power
	ToWater *float64 // part of the power that heats the water
}

// BypassValve is the thermostatic valve between hot and cold line.
type BypassValve struct {
	ClosesAt quantity.Temperature
	Band     quantity.TemperatureDifference // zero: not given
}

// ColdLine is the cold line that carries water back; what is zero is as on the
// hot way.
type ColdLine struct {
	Length     quantity.Length
	Tube       *network.TubeSpec
	Insulation *network.Insulation
}

// LocalHeater is a small electric heater at a fixture.
type LocalHeater struct {
	Volume      quantity.Volume
	Temperature quantity.Temperature
	Power       quantity.Power
	Standby     *quantity.HeatFlow
}

// InstallCost is a sum, or labour and lines of material.
type InstallCost struct {
	Sum, Labour *Money
	Materials   []MaterialLine
}

// MaterialLine is one line of material.
type MaterialLine struct {
	Item string
	Cost Money
}

// Replacement is a cost at the end of a year, in prices of today.
type Replacement struct {
	Year int
	Cost Money
}
