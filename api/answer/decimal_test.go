package answer

import (
	"math"
	"strconv"
	"testing"

	"pgregory.net/rapid"
)

// agrees compares with the library's digits, and these less their zeros.
func agrees(t rapid.TB, x float64) {
	t.Helper()
	if !(x >= 1e-4 && x < 1e5) {
		return
	}
	want := string(trimmed(strconv.AppendFloat(nil, x, 'f', decimals(x), 64)))
	if got := string(appendDecimal(nil, x, decimals(x))); got != want {
		t.Fatalf("%v is written %s, by the library %s", x, got, want)
	}
}

// TestDecimalsAreTheLibrarys looks at numbers of every size, and at those near
// the middle between two roundings and near a power of ten.
func TestDecimalsAreTheLibrarys(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(1, 10).Draw(t, "digits") * math.Pow10(rapid.IntRange(-4, 4).Draw(t, "power"))
		agrees(t, x)
		short := strconv.FormatFloat(x, 'g', rapid.IntRange(1, 7).Draw(t, "places"), 64)
		y, _ := strconv.ParseFloat(short, 64)
		middle, _ := strconv.ParseFloat(short+"5", 64)
		for _, x := range []float64{y, middle, math.Nextafter(middle, 0), math.Nextafter(middle, 1e9), middle * (1 + 1e-15), middle * (1 - 1e-13)} {
			agrees(t, x)
		}
	})
	for power := -4.0; power <= 5; power++ {
		for _, x := range []float64{math.Pow(10, power), math.Nextafter(math.Pow(10, power), 0), math.Nextafter(math.Pow(10, power), 1e9), math.Pow(10, power) * (1 - 5e-7), math.Pow(10, power) * (1 - 4.9e-7)} {
			agrees(t, x)
		}
	}
}

func FuzzDecimal(f *testing.F) {
	f.Add(uint64(0x3ff8000000000000))
	f.Fuzz(func(t *testing.T, bits uint64) {
		const least, size = uint64(0x3f1a36e2eb1c432d), uint64(30) << 52 // from 1e-4 on, 30 powers of two
		agrees(t, math.Float64frombits(bits))
		agrees(t, math.Float64frombits(least+bits%size))
	})
}
