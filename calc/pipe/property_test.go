package pipe_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/pipe"
	"recirc/calc/quantity"
)

// From a capillary to a main, and from a nipple to a district.
func drawBore(t *rapid.T, label string) quantity.Length {
	return quantity.Metres(rapid.Float64Range(0.001, 2).Draw(t, label))
}

func drawLength(t *rapid.T, label string) quantity.Length {
	return quantity.Metres(rapid.Float64Range(0.001, 1e5).Draw(t, label))
}

func stored(bore, length quantity.Length) float64 {
	return pipe.StoredVolume(bore, length).CubicMetres()
}

func TestStoredVolumeRisesWithLength(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bore, length := drawBore(t, "bore"), drawLength(t, "length")
		longer := quantity.Metres(length.Metres() * rapid.Float64Range(1.000001, 10).Draw(t, "factor"))
		if stored(bore, longer) <= stored(bore, length) {
			t.Fatalf("%g m hold no more than %g m", longer.Metres(), length.Metres())
		}
	})
}

func TestStoredVolumeRisesWithTheSquareOfTheBore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bore, length := drawBore(t, "bore"), drawLength(t, "length")
		factor := rapid.Float64Range(1.000001, 10).Draw(t, "factor")
		wider := quantity.Metres(bore.Metres() * factor)
		ratio := stored(wider, length) / stored(bore, length)
		if ratio <= 1 || !within(ratio, factor*factor, 1e-12*factor*factor) {
			t.Fatalf("%g times the bore holds %g times as much", factor, ratio)
		}
	})
}

func TestSplittingALengthChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bore, a, b := drawBore(t, "bore"), drawLength(t, "a"), drawLength(t, "b")
		whole := stored(bore, quantity.Metres(a.Metres()+b.Metres()))
		if parts := stored(bore, a) + stored(bore, b); !within(parts, whole, 1e-12*whole) {
			t.Fatalf("parts hold %g m3, the whole %g", parts, whole)
		}
	})
}

func TestDevelopedLengthInvertsStoredVolume(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		bore, length := drawBore(t, "bore"), drawLength(t, "length")
		back := pipe.DevelopedLengthHolding(pipe.StoredVolume(bore, length), bore)
		if !within(back.Metres(), length.Metres(), 1e-12*length.Metres()) {
			t.Fatalf("%g m came back as %g", length.Metres(), back.Metres())
		}
	})
}

func TestStoredVolumeIsVolumePerLengthTimesLength(t *testing.T) {
	tubes := allTubes()
	rapid.Check(t, func(t *rapid.T) {
		tube, length := rapid.SampledFrom(tubes).Draw(t, "tube"), drawLength(t, "length")
		want := tube.VolumePerLength().CubicMetresPerMetre() * length.Metres()
		if got := stored(tube.Bore, length); !within(got, want, 1e-12*want) {
			t.Fatalf("%s %s: %g m3, want %g", tube.Series, tube.Nominal, got, want)
		}
	})
}

func TestVolumesAtTheirLimits(t *testing.T) {
	zero, metre := quantity.Length{}, quantity.Metres(1)
	if got := (pipe.Tube{}).VolumePerLength().CubicMetresPerMetre(); got != 0 {
		t.Errorf("no bore: %g m3/m", got)
	}
	if a, b := stored(zero, metre), stored(metre, zero); a != 0 || b != 0 {
		t.Errorf("no bore %g m3, no length %g m3", a, b)
	}
	if got := pipe.DevelopedLengthHolding(quantity.CubicMetres(1), zero).Metres(); !math.IsInf(got, 1) {
		t.Errorf("1 m3 in no bore: %g m", got)
	}
	if got := pipe.DevelopedLengthHolding(quantity.Volume{}, zero).Metres(); !math.IsNaN(got) {
		t.Errorf("nothing in no bore: %g m", got)
	}
}
