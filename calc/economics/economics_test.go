package economics

import (
	_ "embed"
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/quantity"
)

//go:embed testdata/factors.csv
var factors string

// TestComputedFactors compares with rows of another program. Its amounts are
// printed to ten digits.
func TestComputedFactors(t *testing.T) {
	r := csv.NewReader(strings.NewReader(factors))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil || len(rows) < 6 {
		t.Fatal(len(rows), err)
	}
	for _, row := range rows[1:] {
		years, _ := strconv.Atoi(row[1])
		rate, _ := strconv.ParseFloat(row[2], 64)
		want, _ := strconv.ParseFloat(row[3], 64)
		recovery, _ := strconv.ParseFloat(row[4], 64)
		got, err := UniformPresentValue(rate, years)
		if err != nil || math.Abs(got-want) > 1e-9*want {
			t.Errorf("%s: %v, %v, want %v", row[0], got, err, want)
		}
		if math.Abs(got*recovery-1) > 1e-9 {
			t.Errorf("%s: times the capital recovery factor %v", row[0], got*recovery)
		}
		if row[5] == "" {
			t.Errorf("%s has no source", row[0])
		}
	}
}

// TestIsTheSumOfTheYears adds the years one by one.
func TestIsTheSumOfTheYears(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rate, years := rapid.Float64Range(0, 1).Draw(t, "rate"), rapid.IntRange(1, MostYears).Draw(t, "years")
		sum := 0.0
		for y := 1; y <= years; y++ {
			sum += math.Pow(1+rate, -float64(y))
		}
		got, err := UniformPresentValue(rate, years)
		if err != nil || math.Abs(got-sum) > 1e-11*sum {
			t.Fatalf("%v, %v, want %v", got, err, sum)
		}
	})
}

func TestRefuses(t *testing.T) {
	for _, c := range []struct {
		rate  float64
		years int
	}{{-0.01, 10}, {1.01, 10}, {math.NaN(), 10}, {math.Inf(1), 10}, {0.05, 0}, {0.05, -1}, {0.05, MostYears + 1}} {
		_, err := UniformPresentValue(c.rate, c.years)
		var outside *quantity.RangeError
		if !errors.As(err, &outside) {
			t.Errorf("%v: %v", c, err)
		}
	}
}

// ExampleUniformPresentValue is a row of the computed reference: 15 years at 6 %.
func ExampleUniformPresentValue() {
	f, _ := UniformPresentValue(0.06, 15)
	fmt.Printf("%.4f\n", f)
	// Output: 9.7122
}
