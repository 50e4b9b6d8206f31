// Package answer writes the JSON of an answer: members in the order they are
// written, amounts in one unit system, numbers rounded so that the same request
// gives the same bytes on every processor.
//
// It appends to one buffer straight from the calculation's values; marshalling
// copies of them took a third of a request's time.
package answer

import (
	"errors"
	"strconv"

	"github.com/go-json-experiment/json/jsontext"

	"recirc/api/scan"
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

// Bytes gives what was written.
func (w *Writer) Bytes() ([]byte, error) {
	if w.notFinite {
		return nil, ErrNotFinite
	}
	return w.b, nil
}

// next begins a member, or an element if the name is empty. It gives the buffer,
// for its value to be appended to.
func (w *Writer) next(name string) []byte {
	b := w.b
	if w.started {
		b = append(b, ',')
	}
	w.started = true
	if name != "" {
		b = append(b, '"')
		b = append(b, name...) // names are ours and need no escapes
		b = append(b, '"', ':')
	}
	return b
}

// OpenObject begins an object.
func (w *Writer) OpenObject(name string) {
	w.b = append(w.next(name), '{')
	w.started = false
}

// CloseObject ends it.
func (w *Writer) CloseObject() {
	w.b = append(w.b, '}')
	w.started = true
}

// OpenList begins a list.
func (w *Writer) OpenList(name string) {
	w.b = append(w.next(name), '[')
	w.started = false
}

// CloseList ends it.
func (w *Writer) CloseList() {
	w.b = append(w.b, ']')
	w.started = true
}

// Text writes a string.
func (w *Writer) Text(name, s string) {
	b := w.next(name)
	if scan.PlainEnd(s, 0) < len(s) {
		w.b, _ = jsontext.AppendQuote(b, s) // what is not UTF-8 becomes U+FFFD
		return
	}
	b = append(b, '"')
	b = append(b, s...)
	w.b = append(b, '"')
}

// Members writes members that a Writer of their own has written before.
func (w *Writer) Members(written []byte) { w.b = append(w.next(""), written...) }

// TextIf writes a string unless it is empty.
func (w *Writer) TextIf(name, s string) {
	if s != "" {
		w.Text(name, s)
	}
}

// Count writes a whole number.
func (w *Writer) Count(name string, n int) {
	w.b = strconv.AppendInt(w.next(name), int64(n), 10)
}

// Bool writes true or false.
func (w *Writer) Bool(name string, yes bool) {
	w.b = strconv.AppendBool(w.next(name), yes)
}

// Number writes a bare number.
func (w *Writer) Number(name string, x float64) {
	w.b = w.number(w.next(name), x)
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
	b := append(w.next(name), `{"value":`...)
	b = w.number(b, unit.FromSI(si))
	b = append(b, `,"unit":"`...)
	b = append(b, unit.Symbol...)
	w.b = append(b, `"}`...)
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
