package economics_test

import (
	"errors"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"recirc/calc/economics"
	"recirc/calc/internal/table"
	"recirc/calc/quantity"
)

// near wants a number within a share of its size, or of 1 if it is smaller.
func near(t interface{ Errorf(string, ...any) }, what string, got, want, share float64) {
	if !(math.Abs(got-want) <= share*max(1, math.Abs(want))) {
		t.Errorf("%s: %.12g, want %.12g", what, got, want)
	}
}

// cited reads check values.
func cited(name string) []table.Row { return table.MustReadCited(os.DirFS("testdata"), name) }

// list reads numbers with semicolons between.
func list(t *testing.T, text string) []float64 {
	t.Helper()
	var all []float64
	for _, part := range strings.Split(text, ";") {
		v, err := strconv.ParseFloat(part, 64)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, v)
	}
	return all
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

func wantRangeError(t *testing.T, what string, err error) {
	t.Helper()
	var outside *quantity.RangeError
	if !errors.As(err, &outside) {
		t.Errorf("%s: %v, want a range error", what, err)
	}
}

// faults gives what is wrong as "of index field name", in its order.
func faults(t *testing.T, err error) []string {
	t.Helper()
	var list *economics.FaultError
	if !errors.As(err, &list) {
		t.Fatalf("%v, want a list of faults", err)
	}
	var all []string
	for _, f := range list.Faults {
		if f.Detail == "" {
			t.Errorf("%+v says nothing", f)
		}
		all = append(all, f.Of+" "+strconv.Itoa(f.Index)+" "+f.Field+" "+string(f.Name))
	}
	return all
}
