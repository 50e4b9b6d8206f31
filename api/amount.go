package api

import (
	"errors"
	"math"
	"strconv"

	"github.com/go-json-experiment/json/jsontext"

	"recirc/calc/quantity"
)

// significantDigits of every amount in an answer: enough for any use, few
// enough that the last bits, which differ between processors, do not show.
const significantDigits = 6

// amount is {"value", "unit"} as an answer gives it.
type amount struct {
	value float64
	unit  string
}

// units is the unit system of an answer.
type units struct{ us bool }

func (u units) name() string {
	if u.us {
		return "us_customary"
	}
	return "si"
}

// unit is the one that answers use for a dimension.
func (u units) unit(d *quantity.Dimension) *quantity.Unit {
	if u.us {
		return &d.US
	}
	return &d.SI
}

// of gives an SI value in the unit of its dimension.
func (u units) of(d *quantity.Dimension, si float64) amount {
	unit := u.unit(d)
	return amount{unit.FromSI(si), unit.Symbol}
}

func (u units) length(l quantity.Length) amount { return u.of(quantity.LengthDimension, l.Metres()) }
func (u units) diameter(l quantity.Length) amount {
	return u.of(quantity.DiameterDimension, l.Metres())
}
func (u units) volume(v quantity.Volume) amount {
	return u.of(quantity.VolumeDimension, v.CubicMetres())
}
func (u units) flow(q quantity.Flow) amount {
	return u.of(quantity.FlowDimension, q.CubicMetresPerSecond())
}
func (u units) duration(t quantity.Duration) amount {
	return u.of(quantity.DurationDimension, t.Seconds())
}

// number is a bare number of an answer, rounded as amounts are.
type number float64

var errNotFinite = errors.New("api: an answer holds a number that is not finite")

// MarshalJSONTo writes the amount rounded to six significant digits.
func (a amount) MarshalJSONTo(enc *jsontext.Encoder) error {
	b := append(enc.AvailableBuffer(), `{"value":`...)
	b, err := appendNumber(b, a.value)
	if err != nil {
		return err
	}
	b = append(b, `,"unit":"`...)
	b = append(b, a.unit...)
	return enc.WriteValue(append(b, `"}`...))
}

// MarshalJSONTo writes the number rounded to six significant digits.
func (n number) MarshalJSONTo(enc *jsontext.Encoder) error {
	b, err := appendNumber(enc.AvailableBuffer(), float64(n))
	if err != nil {
		return err
	}
	return enc.WriteValue(b)
}

// appendNumber writes x with six significant digits, without an exponent where
// a person would not write one.
func appendNumber(b []byte, x float64) ([]byte, error) {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return nil, errNotFinite
	}
	if x == 0 {
		return append(b, '0'), nil // never -0
	}
	if size := math.Abs(x); size < 1e-4 || size >= 1e15 {
		return strconv.AppendFloat(b, rounded(x), 'e', -1, 64), nil
	}
	start := len(b)
	b = strconv.AppendFloat(b, x, 'f', decimals(x), 64)
	for i := start; i < len(b); i++ {
		if b[i] == '.' {
			for b[len(b)-1] == '0' {
				b = b[:len(b)-1]
			}
			if b[len(b)-1] == '.' {
				b = b[:len(b)-1]
			}
			return b, nil
		}
	}
	return strconv.AppendFloat(b[:start], rounded(x), 'f', -1, 64), nil
}

// decimals is how many places behind the point make six significant digits;
// none for 100,000 and more.
func decimals(x float64) int {
	places := significantDigits
	for size := math.Abs(x); places > 0 && size >= 1; size /= 10 {
		places--
	}
	for size := math.Abs(x); size < 0.1; size *= 10 {
		places++
	}
	return places
}

// rounded is x to six significant digits.
func rounded(x float64) float64 {
	y, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'e', significantDigits-1, 64), 64)
	return y
}
