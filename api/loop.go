package api

import (
	"recirc/api/body"
	"recirc/calc/fault"
	"recirc/calc/hydraulic"
	"recirc/calc/quantity"
	"recirc/service"
)

// What designing a loop and simulating one read alike.

var loopTargetObject = body.NewObject("LoopTarget",
	body.Required("at", func(r *body.Reader, t *service.LoopTarget) { t.At = service.TargetPlace(oneOf(r, targetPlaces)) }),
	body.Optional("temperature", func(r *body.Reader, t *service.LoopTarget) { t.Temperature = temperature(r, waterRange) }),
	body.Optional("drop", func(r *body.Reader, t *service.LoopTarget) { t.Drop = difference(r) }),
)

// readLoopTarget reads a target; a wrong one is none.
func readLoopTarget(r *body.Reader) service.LoopTarget {
	var t service.LoopTarget
	before := r.FaultCount()
	loopTargetObject.Read(r, &t)
	if r.FaultCount() == before && (t.Temperature != quantity.Temperature{}) == (t.Drop != quantity.TemperatureDifference{}) {
		r.Fault(fault.TargetIncomplete, "A target is a least temperature or an allowed drop; give one of them.")
	}
	if r.FaultCount() > before {
		return service.LoopTarget{}
	}
	return t
}

var lossMethodsObject = body.NewObject("LossMethods",
	body.Optional("friction", func(r *body.Reader, l *service.LossMethods) { l.Friction = hydraulic.Method(oneOf(r, frictionMethods)) }),
	body.Optional("hazen_williams_c", func(r *body.Reader, l *service.LossMethods) { l.HazenWilliamsC, _ = r.Number(20, 200) }),
	body.Optional("fittings", func(r *body.Reader, l *service.LossMethods) { l.Fittings = oneOf(r, fittingMethods) }),
	body.Optional("length_allowance", func(r *body.Reader, l *service.LossMethods) { l.LengthAllowance = ratio(r, 2) }),
)

// readLossMethods reads how losses are found; a figure must belong to the method
// that is chosen.
func readLossMethods(r *body.Reader) service.LossMethods {
	var l service.LossMethods
	before := r.FaultCount()
	lossMethodsObject.Read(r, &l)
	if r.FaultCount() > before {
		return l
	}
	if l.HazenWilliamsC != 0 && l.Friction != hydraulic.HazenWilliams {
		r.FaultAt("hazen_williams_c", fault.LossesContradict, "The coefficient C belongs to friction hazen_williams; choose that, or leave the coefficient out.")
	}
	if l.LengthAllowance != nil && l.Fittings != lengthAllowance {
		r.FaultAt("length_allowance", fault.LossesContradict, "The allowance on the length stands in place of fittings; choose fittings length_allowance, or leave the allowance out.")
	}
	return l
}

const lengthAllowance = "length_allowance"

var (
	targetPlaces    = []string{string(service.AtConnections), string(service.AtReturnEnds), string(service.AtHeater)}
	frictionMethods = []string{string(hydraulic.DarcyWeisbach), string(hydraulic.HazenWilliams)}
	fittingMethods  = []string{"loss_coefficient", "equivalent_length", lengthAllowance}
	sizingRules     = sizingRuleIDs()
)

func sizingRuleIDs() []string {
	var ids []string
	for _, r := range hydraulic.SizingRules() {
		ids = append(ids, r.ID)
	}
	return ids
}

// readNamed reads a list of at most most items, each of which speaks of another
// element of the system. The member field holds the element's name; name gives
// it, empty if it could not be read.
func readNamed[T any](r *body.Reader, item *body.Object[T], most int, field string, name func(*T) string) []T {
	var all []T
	seen := map[string]bool{}
	r.List(0, most, func(int) {
		var t T
		item.Read(r, &t)
		all = append(all, t)
		n := name(&t)
		if n != "" && seen[n] {
			r.FaultAt(field, fault.ListedTwice, "%q is in this list already; say once what holds for it.", n)
		}
		seen[n] = true
	})
	return all
}
