package hydraulic

import (
	_ "embed"
	"slices"
	"strings"

	"recirc/calc/internal/table"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

//go:embed data/sizing_rules.csv
var sizingRulesCSV string

// SizingRule is what a document asks of a return pipe.
type SizingRule struct {
	ID, Document string
	Friction     float64         // greatest, Pa/m; 0: none
	LeastBore    quantity.Length // zero: none

	Source source.ID
	Status source.Status // of the weakest of its figures
	Note   string

	velocities []VelocityLimit
}

// Velocities lists the limits that it has by material and temperature; none if it
// says nothing of velocity. The list is the caller's own.
func (r SizingRule) Velocities() []VelocityLimit { return slices.Clone(r.velocities) }

// Limits gives what the rule asks of a return pipe of a material, with water of a
// temperature: the greatest and the least velocity, the greatest friction in Pa/m
// and the least bore. Zero stands for no such limit. It is not known if the rule
// limits velocity, but for other materials or temperatures.
func (r SizingRule) Limits(material string, water quantity.Temperature) (greatest, least quantity.Velocity, friction float64, bore quantity.Length, known bool) {
	if len(r.velocities) == 0 {
		return greatest, least, r.Friction, r.LeastBore, true
	}
	i := slices.IndexFunc(r.velocities, func(l VelocityLimit) bool { return l.Applies(material, water) })
	if i < 0 {
		return greatest, least, 0, bore, false
	}
	return r.velocities[i].Greatest, r.velocities[i].Least, r.Friction, r.LeastBore, true
}

var sizingRules = readSizingRules()

// SizingRules lists the rules. They disagree on purpose; the caller selects. The
// list is the caller's own.
func SizingRules() []SizingRule { return slices.Clone(sizingRules) }

// SizingRuleOf finds a rule by its id, and false if there is none.
func SizingRuleOf(id string) (SizingRule, bool) {
	return find(sizingRules, func(row *SizingRule) bool { return row.ID == id })
}

func readSizingRules() []SizingRule {
	var all []SizingRule
	for _, r := range table.MustRead(sizingRulesCSV) {
		rule := SizingRule{
			ID: r.Text("id"), Document: r.Text("document"), Friction: printedFriction(r),
			Source: source.ID(r.Text("source")), Status: source.Status(r.Text("status")), Note: r.Text("note"),
		}
		if mm, ok := r.Optional("least_bore_mm"); ok {
			rule.LeastBore = quantity.Millimetres(mm)
		}
		for _, id := range strings.Fields(r.Text("velocity_limits")) {
			l, ok := VelocityLimitOf(id)
			if !ok {
				panic("hydraulic: sizing_rules.csv: no velocity limit " + id)
			}
			rule.velocities = append(rule.velocities, l)
		}
		all = append(all, rule)
	}
	return all
}

// printedFriction is in Pa/m. A head is that of water of 1000 kg/m3.
func printedFriction(r table.Row) float64 {
	value, ok := r.Optional("friction")
	unit := r.Text("friction_unit")
	switch {
	case !ok && unit == "":
		return 0
	case ok && unit == "psi/100ft":
		return value / 100 * psiPerFoot
	case ok && unit == "ft/100ft":
		return HeadPressure(quantity.Metres(value/100), 1000).Pascals() // per metre
	}
	panic("hydraulic: sizing_rules.csv: friction in " + unit)
}
