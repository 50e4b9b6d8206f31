// Package answer writes the JSON of an answer: members in the order they are
// written, amounts in one unit system, numbers rounded so that the same request
// gives the same bytes on every processor.
//
// It appends to one buffer straight from the calculation's values; marshalling
// copies of them took a third of a request's time.
package answer

import (
	"errors"
	"slices"
	"strconv"

	"github.com/go-json-experiment/json/jsontext"

	"recirc/calc/quantity"
)

// Writer writes one JSON value. An empty name writes an element of a list.
type Writer struct {
	US bool // amounts in US customary units; SI otherwise

	b         []byte
	started   bool // something stands before the next member at this level
	notFinite bool
}

// ErrNotFinite says that a number of the answer was NaN or infinite, which JSON
// cannot hold and a caller must never see.
var ErrNotFinite = errors.New("answer: a number is not finite")

// Grow makes room for an answer of about so many bytes.
func (w *Writer) Grow(bytes int) { w.b = slices.Grow(w.b, bytes) }

// Bytes gives what was written.
func (w *Writer) Bytes() ([]byte, error) {
	if w.notFinite {
		return nil, ErrNotFinite
	}
	return w.b, nil
}

// next begins a member, or an element if the name is empty.
func (w *Writer) next(name string) {
	if w.started {
		w.b = append(w.b, ',')
	}
	w.started = true
	if name != "" {
		w.b = append(w.b, '"')
		w.b = append(w.b, name...) // names are ours and need no escapes
		w.b = append(w.b, '"', ':')
	}
}

// OpenObject begins an object.
func (w *Writer) OpenObject(name string) {
	w.next(name)
	w.b = append(w.b, '{')
	w.started = false
}

// CloseObject ends it.
func (w *Writer) CloseObject() {
	w.b = append(w.b, '}')
	w.started = true
}

// OpenList begins a list.
func (w *Writer) OpenList(name string) {
	w.next(name)
	w.b = append(w.b, '[')
	w.started = false
}

// CloseList ends it.
func (w *Writer) CloseList() {
	w.b = append(w.b, ']')
	w.started = true
}

// Text writes a string.
func (w *Writer) Text(name, s string) {
	w.next(name)
	w.b, _ = jsontext.AppendQuote(w.b, s) // what is not UTF-8 becomes U+FFFD
}

// TextIf writes a string unless it is empty.
func (w *Writer) TextIf(name, s string) {
	if s != "" {
		w.Text(name, s)
	}
}

// Count writes a whole number.
func (w *Writer) Count(name string, n int) {
	w.next(name)
	w.b = strconv.AppendInt(w.b, int64(n), 10)
}

// Bool writes true or false.
func (w *Writer) Bool(name string, yes bool) {
	w.next(name)
	w.b = strconv.AppendBool(w.b, yes)
}

// Number writes a bare number.
func (w *Writer) Number(name string, x float64) {
	w.next(name)
	w.number(x)
}

// NumberIf writes a bare number unless it is zero.
func (w *Writer) NumberIf(name string, x float64) {
	if x != 0 {
		w.Number(name, x)
	}
}

// UnitOf is the unit that this answer uses for a dimension.
func (w *Writer) UnitOf(d *quantity.Dimension) *quantity.Unit {
	if w.US {
		return &d.US
	}
	return &d.SI
}

// Amount writes {"value", "unit"} from a value in SI.
func (w *Writer) Amount(name string, d *quantity.Dimension, si float64) {
	w.AmountIn(name, w.UnitOf(d), si)
}

// AmountIn writes an amount in a unit that does not hang on the unit system.
func (w *Writer) AmountIn(name string, unit *quantity.Unit, si float64) {
	w.next(name)
	w.b = append(w.b, `{"value":`...)
	w.number(unit.FromSI(si))
	w.b = append(w.b, `,"unit":"`...)
	w.b = append(w.b, unit.Symbol...)
	w.b = append(w.b, `"}`...)
}

// Length writes a length in m or ft.
func (w *Writer) Length(name string, l quantity.Length) {
	w.Amount(name, quantity.LengthDimension, l.Metres())
}

// Diameter writes a bore, a diameter or a wall in mm or in.
func (w *Writer) Diameter(name string, l quantity.Length) {
	w.Amount(name, quantity.DiameterDimension, l.Metres())
}

// Volume writes a volume in L or gal.
func (w *Writer) Volume(name string, v quantity.Volume) {
	w.Amount(name, quantity.VolumeDimension, v.CubicMetres())
}

// Flow writes a flow in L/min or gal/min.
func (w *Writer) Flow(name string, q quantity.Flow) {
	w.Amount(name, quantity.FlowDimension, q.CubicMetresPerSecond())
}

// Duration writes a time in s.
func (w *Writer) Duration(name string, t quantity.Duration) {
	w.Amount(name, quantity.DurationDimension, t.Seconds())
}

// Temperature writes a temperature in degC or degF.
func (w *Writer) Temperature(name string, t quantity.Temperature) {
	w.Amount(name, quantity.TemperatureDimension, t.Kelvin())
}

// Energy writes an energy in kWh or Btu.
func (w *Writer) Energy(name string, e quantity.Energy) {
	w.Amount(name, quantity.EnergyDimension, e.Joules())
}

// HeatFlow writes a heat flow in W or Btu/h.
func (w *Writer) HeatFlow(name string, q quantity.HeatFlow) {
	w.Amount(name, quantity.HeatFlowDimension, q.Watts())
}

// Pressure writes a pressure in kPa or psi.
func (w *Writer) Pressure(name string, p quantity.Pressure) {
	w.Amount(name, quantity.PressureDimension, p.Pascals())
}

// Velocity writes a velocity in m/s or ft/s.
func (w *Writer) Velocity(name string, v quantity.Velocity) {
	w.Amount(name, quantity.VelocityDimension, v.MetresPerSecond())
}

// FlowIf writes a flow unless it is zero.
func (w *Writer) FlowIf(name string, q quantity.Flow) {
	if q != (quantity.Flow{}) {
		w.Flow(name, q)
	}
}

// TemperatureIf writes a temperature unless it is the absolute zero, which
// stands for none.
func (w *Writer) TemperatureIf(name string, t quantity.Temperature) {
	if t != (quantity.Temperature{}) {
		w.Temperature(name, t)
	}
}

// FlowCoefficientIf writes what a valve passes, as Kv in m3/h or as Cv in
// gal/min, unless it is zero.
func (w *Writer) FlowCoefficientIf(name string, k quantity.FlowCoefficient) {
	if k != (quantity.FlowCoefficient{}) {
		w.Amount(name, quantity.FlowCoefficientDimension, k.SI())
	}
}

// Money writes an amount of money.
func (w *Writer) Money(name string, amount float64, currency string) {
	w.OpenObject(name)
	w.Number("amount", amount)
	w.Text("currency", currency)
	w.CloseObject()
}
