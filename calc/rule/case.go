package rule

import (
	"recirc/calc/control"
	"recirc/calc/quantity"
)

// Case is one element with all that is known of it.
type Case struct {
	Design *Facts // of the design
	Own    *Facts // of the element; nil for the design. They count before those of the design

	Leg           *DeadLeg          // of a fixture
	LengthUnknown bool              // some pipe of it has no length
	TypeUnknown   bool              // the fixture has no type
	PlugFlow      quantity.Duration // the least time to hot water; zero: not known

	Pipe       *InsulatedPipe // of a pipe
	Insulation InsulationKnown
	RValue     quantity.ThermalResistance // of its insulation, referred to the outside
	Material   string
	Nominal    string

	Control []control.Finding // of a control that is known
}

// InsulationKnown says what was said about the insulation of a pipe.
type InsulationKnown string

// What is known.
const (
	NothingSaid     InsulationKnown = "" // no insulation given, bare neither
	InsulationGiven InsulationKnown = "given"
	SaidBare        InsulationKnown = "bare"
)

func (k *Case) number(in *Input) (float64, bool) {
	if k.Own != nil {
		if v, ok := k.Own.Number(in); ok {
			return v, true
		}
	}
	return k.Design.Number(in)
}

func (k *Case) word(in *Input) string {
	if k.Own != nil {
		if w := k.Own.Word(in); w != "" {
			return w
		}
	}
	return k.Design.Word(in)
}

func (k *Case) knows(in *Input) bool {
	return k.Own != nil && k.Own.Knows(in) || k.Design.Knows(in)
}

// Outcome is one rule against one case.
type Outcome struct {
	Status Status // "": the rule does not speak about the case

	Value, Limit       float64 // SI of the rule's dimension
	HasValue, HasLimit bool

	// Of what was not assessed: inputs that are missing, members of the element
	// that are (as JSON Pointers within it, separated by spaces), and the reason
	// where it is another.
	Missing InputSet
	Members string
	Reason  string

	Finding *control.Finding // of a control that is not met
	Bounded bool             // the value is a bound of the true one, which decides all the same
}

// Excess says how far a value is beyond its limit, in parts of the limit; below
// zero it is within. Without a measure it is 0.
func (o *Outcome) Excess(r *Rule) float64 {
	if !o.HasValue || !o.HasLimit {
		return 0
	}
	excess := o.Value - o.Limit
	if r.LimitIs == AtLeast {
		excess = -excess
	}
	if o.Limit != 0 {
		excess /= max(o.Limit, -o.Limit)
	}
	return excess
}
