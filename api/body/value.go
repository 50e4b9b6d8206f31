package body

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"recirc/calc/fault"
	"recirc/calc/quantity"
)

// Text reads a string of least to most characters.
func (r *Reader) Text(least, most int) (string, bool) {
	s, ok := r.string()
	if !ok {
		return "", false
	}
	if len(s) <= most && len(s) >= utf8.UTFMax*least {
		return s, true // however many bytes its characters have
	}
	if n := utf8.RuneCountInString(s); n < least || n > most {
		r.Fault(fault.TextLength, "The text has %d characters; %d to %d are allowed.", n, least, most)
		return "", false
	}
	return s, true
}

// OneOf reads a string of a closed list.
func (r *Reader) OneOf(list []string, near func(string) []string) (string, bool) {
	s, ok := r.string()
	if !ok {
		return "", false
	}
	for _, listed := range list {
		if listed == s {
			return listed, true
		}
	}
	verb := "the list is"
	if near != nil {
		if names := near(s); len(names) > 0 {
			list, verb = names, "near names are"
		}
	}
	r.Fault(fault.ValueNotListed, "%s is not in the list; %s %s.", Shown(s), verb, strings.Join(list, ", "))
	return "", false
}

// string reads any string.
func (r *Reader) string() (string, bool) {
	s, ok := r.scan.Text()
	if !ok {
		r.wrongType("a string")
	}
	return s, ok
}

// Bool reads true or false.
func (r *Reader) Bool() bool {
	yes, ok := r.scan.Bool()
	if !ok {
		r.wrongType("a boolean")
	}
	return yes
}

// Count reads a whole number from least to most.
func (r *Reader) Count(least, most int) (int, bool) {
	x, ok := r.number()
	if !ok {
		return 0, false
	}
	if x != math.Trunc(x) {
		r.Fault(fault.TypeWrong, "%v is not a whole number.", x)
		return 0, false
	}
	if x < float64(least) || x > float64(most) {
		r.Fault(fault.CountRange, "%v is outside %d to %d.", x, least, most)
		return 0, false
	}
	return int(x), true
}

// Number reads a bare number, a ratio or a count, from least to most.
func (r *Reader) Number(least, most float64) (float64, bool) {
	x, ok := r.number()
	if ok && (x < least || x > most) {
		r.Fault(fault.CountRange, "%v is outside %v to %v.", x, least, most)
		return 0, false
	}
	return x, ok
}

// number reads a finite number.
func (r *Reader) number() (float64, bool) {
	x, digits, ok := r.scan.Number()
	if !ok {
		r.wrongType("a number")
		return 0, false
	}
	if math.IsInf(x, 0) {
		r.Fault(fault.NotFinite, "%s is too large to hold.", Shown(digits))
		return 0, false
	}
	return x, true
}

// Range is what a quantity may be, in SI and as a sentence says it.
type Range struct {
	Above, Least, Most float64 // Above counts where it is set, Least otherwise
	Open               bool    // true: greater than Above; false: at least Least
	Text               string
}

// Above is the range low < x <= high.
func Above(low, high float64, text string) Range {
	return Range{Above: low, Most: high, Open: true, Text: text}
}

// Within is the range low <= x <= high.
func Within(low, high float64, text string) Range {
	return Range{Least: low, Most: high, Text: text}
}

// lastBits is how far a bound may be missed by: 230 degF is 110 degC but for
// the last bit.
const lastBits = 1e-12

func (g Range) holds(x float64) bool {
	if x > g.Most+lastBits*math.Abs(g.Most) {
		return false
	}
	return g.Open && x > g.Above || !g.Open && x >= g.Least-lastBits*math.Abs(g.Least)
}

type amount struct {
	value    float64
	unit     *quantity.Unit
	hasValue bool
	hasUnit  bool
}

// Amount reads {"value", "unit"} of a dimension and gives it in SI.
func (r *Reader) Amount(d *quantity.Dimension, within Range) (float64, bool) {
	if !r.scan.OpenObject() {
		r.wrongType(`an amount {"value": number, "unit": string}`)
		return 0, false
	}
	var a amount
	if !r.amountMembers(d, &a) || !a.hasValue || !a.hasUnit {
		return 0, false
	}
	si := a.unit.ToSI(a.value)
	if !within.holds(si) { // an infinite product fails this too
		r.FaultAt("value", fault.OutOfRange, "%s %s is outside the range %s.", strconv.FormatFloat(a.value, 'g', 6, 64), a.unit.Symbol, within.Text)
		return 0, false
	}
	return si, true
}

// amountMembers reads the two members of an open amount. Most of a body is amounts,
// so they do not go through an [Object].
func (r *Reader) amountMembers(d *quantity.Dimension, a *amount) bool {
	seenValue, seenUnit := false, false
	for guess := "value"; ; guess = "unit" {
		name, ok := r.scan.Member(guess)
		if !ok {
			break
		}
		switch name {
		case "value":
			seenValue = true
			a.value, a.hasValue = r.number()
		case "unit":
			seenUnit = true
			a.unit, a.hasUnit = r.unit(d)
		default:
			r.Skip()
			r.Fault(fault.FieldUnknown, "There is no field %s in an amount; the fields are value, unit.", Shown(name))
		}
	}
	if r.scan.Err() != nil {
		return false
	}
	if !seenValue {
		r.FaultAt("value", fault.FieldMissing, "The field value is missing.")
	}
	if !seenUnit {
		r.FaultAt("unit", fault.FieldMissing, "The field unit is missing; the units are %s.", strings.Join(d.Symbols(), ", "))
	}
	return true
}

// NoteUnit notes that the text uses a unit.
func (r *Reader) NoteUnit(symbol string) {
	r.USGallon = r.USGallon || strings.HasPrefix(symbol, "gal") && !strings.HasPrefix(symbol, "gal_imp")
}

func (r *Reader) unit(d *quantity.Dimension) (*quantity.Unit, bool) {
	s, ok := r.string()
	if !ok {
		return nil, false
	}
	for i := range d.Units {
		if u := &d.Units[i]; u.Symbol == s {
			r.NoteUnit(s)
			return u, true
		}
	}
	if others := quantity.DimensionsOf(s); len(others) > 0 {
		r.Fault(fault.UnitDimension, "%s is a unit of %s, not of %s; the units are %s.", Shown(s), strings.Join(others, " and "), d.Name, strings.Join(d.Symbols(), ", "))
	} else {
		r.Fault(fault.UnitUnknown, "%s is not a unit known here; the units of %s are %s.", Shown(s), d.Name, strings.Join(d.Symbols(), ", "))
	}
	return nil, false
}
