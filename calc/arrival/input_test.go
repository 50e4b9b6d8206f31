package arrival_test

import (
	"errors"
	"math"
	"testing"

	"recirc/calc/arrival"
	"recirc/calc/quantity"
)

// TestInputErrors: each argument outside its range is named.
func TestInputErrors(t *testing.T) {
	type change func(*arrival.Front, *arrival.Options, float64)
	both := []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1}
	above := append([]float64{0}, both...)
	for field, c := range map[string]struct {
		bad []float64
		set change
	}{
		"Flow":         {above, func(f *arrival.Front, _ *arrival.Options, x float64) { f.Flow = quantity.CubicMetresPerSecond(x) }},
		"Density":      {above, func(f *arrival.Front, _ *arrival.Options, x float64) { f.Density = x }},
		"SpecificHeat": {above, func(f *arrival.Front, _ *arrival.Options, x float64) { f.SpecificHeat = x }},
		"Inlet":        {append([]float64{1e5}, above...), func(f *arrival.Front, _ *arrival.Options, x float64) { f.Inlet = quantity.Kelvin(x) }},
		"StartUpDelay": {both, func(f *arrival.Front, _ *arrival.Options, x float64) { f.StartUpDelay = quantity.Seconds(x) }},
		"BeforeStart": {above, func(f *arrival.Front, _ *arrival.Options, x float64) {
			f.StartUpDelay, f.BeforeStart = quantity.Seconds(1), quantity.Kelvin(x)
		}},
		"InletTable": {above, func(f *arrival.Front, _ *arrival.Options, x float64) {
			f.InletTable = []arrival.Point{{Temperature: quantity.Kelvin(x)}}
		}},
		"Segments[1].Length":  {above, func(f *arrival.Front, _ *arrival.Options, x float64) { f.Segments[1].Length = quantity.Metres(x) }},
		"Segments[1].Bore":    {above, func(f *arrival.Front, _ *arrival.Options, x float64) { f.Segments[1].Bore = quantity.Metres(x) }},
		"Segments[1].Outside": {append([]float64{0.0199}, above...), func(f *arrival.Front, _ *arrival.Options, x float64) { f.Segments[1].Outside = quantity.Metres(x) }},
		"Segments[1].WallConductivity": {both, func(f *arrival.Front, _ *arrival.Options, x float64) {
			f.Segments[1].WallConductivity = quantity.WattsPerMetreKelvin(x)
		}},
		"Segments[1].WallHeatCapacity": {both, func(f *arrival.Front, _ *arrival.Options, x float64) { f.Segments[1].WallHeatCapacity = x }},
		"Segments[1].Film":             {both, func(f *arrival.Front, _ *arrival.Options, x float64) { f.Segments[1].Film = x }},
		"Segments[1].UA":               {both, func(f *arrival.Front, _ *arrival.Options, x float64) { f.Segments[1].UA = x }},
		"Segments[1].Ambient":          {above, func(f *arrival.Front, _ *arrival.Options, x float64) { f.Segments[1].Ambient = quantity.Kelvin(x) }},
		"Segments[1].Initial":          {above, func(f *arrival.Front, _ *arrival.Options, x float64) { f.Segments[1].Initial = quantity.Kelvin(x) }},
		"Segments[1].InitialProfile": {above, func(f *arrival.Front, _ *arrival.Options, x float64) {
			f.Segments[1].InitialProfile = []quantity.Temperature{quantity.Kelvin(x)}
		}},
		"Segments[1].Dispersion": {both, func(f *arrival.Front, _ *arrival.Options, x float64) { f.Segments[1].Dispersion = x }},
		"Thresholds": {above, func(_ *arrival.Front, o *arrival.Options, x float64) {
			o.Thresholds = []quantity.Temperature{quantity.Kelvin(x)}
		}},
		"Horizon": {append([]float64{1e9}, both...), func(_ *arrival.Front, o *arrival.Options, x float64) { o.Horizon = x }},
		"Curve":   {[]float64{-1, 1, 1e5}, func(_ *arrival.Front, o *arrival.Options, x float64) { o.Curve = int(x) }},
		"Cells":   {[]float64{-1, 1e5}, func(_ *arrival.Front, o *arrival.Options, x float64) { o.Cells = int(x) }},
		"number of Segments": {[]float64{0, arrival.MaxSegments + 1}, func(f *arrival.Front, _ *arrival.Options, x float64) {
			f.Segments = make([]arrival.Segment, int(x))
		}},
	} {
		for _, x := range c.bad {
			f, o := copperPath(), arrival.Options{Thresholds: celsius(40)}
			c.set(&f, &o, x)
			a, err := f.Arrive(o)
			var input *arrival.InputError
			if !errors.As(err, &input) || input.Field != field || input.Reason == "" || input.Error() == "" {
				t.Errorf("%s %v: %v, want an error of that field", field, x, err)
			}
			if len(a.Crossings) != 0 {
				t.Errorf("%s %v: an answer beside the error", field, x)
			}
		}
	}
}

func TestTableMustBeInOrder(t *testing.T) {
	f := copperPath()
	hot := quantity.Celsius(60)
	f.InletTable = []arrival.Point{{Time: quantity.Seconds(2), Temperature: hot}, {Time: quantity.Seconds(1), Temperature: hot}}
	var input *arrival.InputError
	if _, err := f.Arrive(arrival.Options{}); !errors.As(err, &input) || input.Field != "InletTable" {
		t.Errorf("got %v", err)
	}
}

func TestOtherFunctionsRefuse(t *testing.T) {
	f := copperPath()
	for name, err := range map[string]error{
		"negative time": second(arrival.CooledInitial(f.Segments[0], quantity.Celsius(60), quantity.Seconds(-1), 990, 4180)),
		"no density":    second(arrival.CooledInitial(f.Segments[0], quantity.Celsius(60), quantity.Seconds(1), 0, 4180)),
		"no heat":       second(arrival.CooledInitial(f.Segments[0], quantity.Celsius(60), quantity.Seconds(1), 990, math.NaN())),
		"no segment":    second(arrival.CooledInitial(arrival.Segment{}, quantity.Celsius(60), quantity.Seconds(1), 990, 4180)),
		"no front":      second(arrival.Front{}.Steady()),
	} {
		var input *arrival.InputError
		if !errors.As(err, &input) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for _, x := range []float64{-1, math.NaN(), math.Inf(1), math.Inf(-1)} {
		for i, k := range []float64{arrival.TaylorDispersion(x, 1, 0.03), arrival.TaylorDispersion(0.01, x, 0.03), arrival.TaylorDispersion(0.01, 1, x)} {
			if k != 0 {
				t.Errorf("dispersion %v from %v as argument %d", k, x, i)
			}
		}
	}
}

func second[T any](_ T, err error) error { return err }
