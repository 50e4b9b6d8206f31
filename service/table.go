package service

import (
	"slices"

	"recirc/calc/draw"
	"recirc/calc/fixture"
	"recirc/calc/pipe"
	"recirc/calc/rule"
	"recirc/calc/source"
)

// Tubes lists the catalogue, or one series of it.
func Tubes(series string) ([]pipe.Series, []pipe.Tube) {
	var found []pipe.Series
	var tubes []pipe.Tube
	for _, s := range pipe.AllSeries() {
		if series == "" || s.ID == series {
			found = append(found, s)
			tubes = append(tubes, pipe.Tubes(s.ID)...)
		}
	}
	return found, tubes
}

// Fittings lists the published losses, or those of one type.
func Fittings(of string) []pipe.FittingLoss {
	all := pipe.FittingLosses()
	if of == "" {
		return all
	}
	return slices.DeleteFunc(all, func(f pipe.FittingLoss) bool { return f.Type != of })
}

// FixtureTypes lists the fixture types.
func FixtureTypes() []fixture.Type { return fixture.Types() }

// DrawPatterns lists the published patterns of a day's draws, or one of them.
func DrawPatterns(id string) []draw.Pattern {
	all := draw.Patterns()
	if id == "" {
		return all
	}
	return slices.DeleteFunc(all, func(p draw.Pattern) bool { return p.ID != id })
}

// Sources lists the registry of sources.
func Sources() []source.Source { return source.All() }

// Rules lists the sets of rules, or the one that is named, each with its rules.
func Rules(set string) []*rule.Set {
	all := rule.Sets()
	if set == "" {
		return all
	}
	return slices.DeleteFunc(slices.Clone(all), func(s *rule.Set) bool { return s.ID != set })
}
