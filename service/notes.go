package service

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"recirc/calc/quantity"
	"recirc/calc/source"
)

// Assumption is something that was not given and therefore assumed.
type Assumption struct {
	Code, Detail, Value string
	Pointers            []string // places in the request, within the system document
	Source              source.ID
}

// Warning is a problem of the design that does not stop the calculation.
type Warning struct{ Code, Pointer, Detail string }

// Caution is where the result can hurt someone.
type Caution struct {
	Code, Detail string
	Source       source.ID
}

// Notes is what every answer carries beside its results.
type Notes struct {
	Assumptions []Assumption
	Warnings    []Warning
	Cautions    []Caution
	sources     []source.ID // each once
}

// Sources lists the ids of what was used, sorted.
func (n *Notes) Sources() []source.ID {
	return slices.Sorted(slices.Values(n.sources))
}

func (n *Notes) use(ids ...source.ID) {
	for _, id := range ids {
		if id != "" && !slices.Contains(n.sources, id) { // there are a dozen at most
			n.sources = append(n.sources, id)
		}
	}
}

func (n *Notes) assume(a Assumption) {
	n.Assumptions = append(n.Assumptions, a)
	n.use(a.Source)
}

func (n *Notes) warn(code, pointer, detail string) {
	n.Warnings = append(n.Warnings, Warning{code, pointer, detail})
}

func (n *Notes) caution(c Caution) {
	n.Cautions = append(n.Cautions, c)
	n.use(c.Source)
}

// cautionElectricalWork is for whatever has a plug or a cable.
func (n *Notes) cautionElectricalWork() {
	n.caution(Caution{Code: "electrical_work", Detail: "Connect a pump, a heater or a cable with its supply off and locked, by a licensed person where the local code asks for one, with the protective conductor and residual-current protection that it wants.", Source: "common_practice"})
}

// systemPointer is where the system document stands in every request.
const systemPointer = "/system"

func pipePointer(i int32, field string) string {
	return systemPointer + "/pipes/" + strconv.Itoa(int(i)) + field
}

func fixturePointer(i int, field string) string {
	return systemPointer + "/fixtures/" + strconv.Itoa(i) + field
}

func listPointer(list string, i int, field string) string {
	return list + "/" + strconv.Itoa(i) + field
}

// sentence makes a sentence of what a check of calc found.
func sentence(found string) string {
	if found == "" {
		return ""
	}
	return strings.ToUpper(found[:1]) + found[1:] + "."
}

// shown writes a number for a sentence: three digits that count, and no exponent
// where people of the trade would write none.
func shown(x float64) string { return string(appendShown(nil, x)) }

func appendShown(b []byte, x float64) []byte {
	switch a := math.Abs(x); {
	case a >= 1e9 || a > 0 && a < 1e-4:
		return strconv.AppendFloat(b, x, 'g', 3, 64)
	case a >= 100 || a == 0:
		return strconv.AppendFloat(b, x, 'f', 0, 64)
	default:
		return strconv.AppendFloat(b, x, 'f', 2-int(math.Floor(math.Log10(a))), 64)
	}
}

// shownTemperature writes a temperature for a sentence.
func shownTemperature(t quantity.Temperature) string {
	return strconv.FormatFloat(t.Celsius(), 'g', 4, 64) + " degC"
}
