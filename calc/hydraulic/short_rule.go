package hydraulic

import (
	_ "embed"
	"slices"

	"recirc/calc/internal/table"
	"recirc/calc/source"
)

//go:embed data/short_rules.csv
var shortRulesCSV string

// ShortRule is a rule of the trade that is told beside a computed flow or head,
// for comparison. Nothing is computed by it.
type ShortRule struct {
	ID, Topic, Title string
	Value            float64 // in the printed unit; 0 where the rule is words
	Unit             string  // text, as printed
	Formula          string  // text; "" if there is none
	Condition        string  // "" if there is none

	Source source.ID
	Status source.Status
	Note   string
}

// The topics of short rules.
const (
	FlowFromHeatLoss = "flow_from_heat_loss"
	PumpHead         = "pump_head"
	RiserAllowance   = "riser_allowance"
)

var shortRules = readShortRules()

// ShortRules lists the rules by topic. The list is the caller's own.
func ShortRules() []ShortRule { return slices.Clone(shortRules) }

// ShortRuleOf finds a rule by its id, and false if there is none.
func ShortRuleOf(id string) (ShortRule, bool) {
	return find(shortRules, func(row *ShortRule) bool { return row.ID == id })
}

func readShortRules() []ShortRule {
	var all []ShortRule
	for _, r := range table.MustRead(shortRulesCSV) {
		value, _ := r.Optional("value")
		all = append(all, ShortRule{
			ID: r.Text("id"), Topic: r.Text("topic"), Title: r.Text("title"), Value: value, Unit: r.Text("unit"),
			Formula: r.Text("formula"), Condition: r.Text("condition"),
			Source: source.ID(r.Text("source")), Status: source.Status(r.Text("status")), Note: r.Text("note"),
		})
	}
	return all
}
