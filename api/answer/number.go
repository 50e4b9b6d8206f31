package answer

import (
	"math"
	"strconv"
)

// significantDigits of every number: enough for any use, few enough that the
// last bits, which differ between processors, do not show.
const significantDigits = 6

// number appends x, and notes if JSON cannot hold it.
func (w *Writer) number(b []byte, x float64) []byte {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		w.notFinite = true
		return b
	}
	return appendNumber(b, x)
}

// NumberText is a finite number as answers write it.
func NumberText(x float64) string { return string(appendNumber(nil, x)) }

// appendNumber writes a finite x with six significant digits, without an
// exponent where a person would not write one.
func appendNumber(b []byte, x float64) []byte {
	if x < 0 {
		b, x = append(b, '-'), -x
	}
	if x == 0 {
		return append(b, '0') // also for -0
	}
	if x < 1e-4 || x >= 1e15 {
		return strconv.AppendFloat(b, rounded(x), 'e', -1, 64)
	}
	if x >= 1e5 {
		return strconv.AppendFloat(b, rounded(x), 'f', -1, 64)
	}
	return appendDecimal(b, x, decimals(x))
}

// appendDecimal writes 1e-4 <= x < 1e5 with so many places behind the point, less
// the zeros at the end. places is such that there are six digits.
//
// The product of x and a power of ten below 10^10, which is a float64 itself, is
// rounded once, so that it is off by less than 1e-10. If it is farther than that
// from the middle between two whole numbers, the nearest one has the digits of x
// rounded; else the library finds them.
func appendDecimal(b []byte, x float64, places int) []byte {
	whole, part := math.Modf(x * powersOfTen[places])
	if part > 0.5-1e-9 && part < 0.5+1e-9 {
		return trimmed(strconv.AppendFloat(b, x, 'f', places, 64))
	}
	n := uint64(whole)
	if part > 0.5 {
		n++
	}
	for ; places > 0 && n%10 == 0; places-- {
		n /= 10
	}
	if places == 0 {
		return strconv.AppendUint(b, n, 10)
	}
	power := uint64(powersOfTen[places])
	b = append(strconv.AppendUint(b, n/power, 10), '.')
	for n %= power; places > 0; places-- {
		power /= 10
		b = append(b, '0'+byte(n/power))
		n %= power
	}
	return b
}

var powersOfTen = [...]float64{1, 10, 100, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10}

// decimals is how many places behind the point make six significant digits of
// 1e-4 <= x < 1e5.
func decimals(x float64) int {
	places := significantDigits - 1
	for ; x >= 10; x /= 10 {
		places--
	}
	for ; x < 1; x *= 10 {
		places++
	}
	return places
}

// trimmed takes the zeros off the end of a decimal fraction.
func trimmed(b []byte) []byte {
	for b[len(b)-1] == '0' {
		b = b[:len(b)-1]
	}
	if b[len(b)-1] == '.' {
		b = b[:len(b)-1]
	}
	return b
}

// rounded is x to six significant digits.
func rounded(x float64) float64 {
	y, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'e', significantDigits-1, 64), 64)
	return y
}
