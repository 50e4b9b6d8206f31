package pipe_test

import (
	"testing"

	"recirc/calc/pipe"
	"recirc/calc/quantity"
)

// Worked example 4: 3/4 in type M copper, 3.43 fl oz/ft in the table, limits of
// 0.5 and 0.6 gal. Source: building-science problem set, read; the lengths are
// its volumes over its table value. The catalogue's bore gives the same within
// the rounding of 3.43.
func TestLongestDeadLegOfTypeM(t *testing.T) {
	tube := mustFind(t, "copper_type_m", "3/4")
	for _, c := range []struct{ gallons, ounces, feet float64 }{
		{0.5, 64, 18.66},
		{0.6, 76.8, 22.39},
	} {
		limit := quantity.VolumeDimension.MustUnit("gal").ToSI(c.gallons)
		if got := quantity.VolumeDimension.MustUnit("fl_oz").FromSI(limit); !within(got, c.ounces, 1e-9) {
			t.Errorf("%g gal is %g fl oz, printed %g", c.gallons, got, c.ounces)
		}
		if got := c.ounces / 3.43; !within(got, c.feet, 0.005) {
			t.Errorf("%g fl oz over 3.43 fl oz/ft: %g ft, want %g", c.ounces, got, c.feet)
		}
		length := pipe.DevelopedLengthHolding(quantity.CubicMetres(limit), tube.Bore)
		if got := quantity.LengthDimension.MustUnit("ft").FromSI(length.Metres()); !within(got, c.feet, 0.003*c.feet) {
			t.Errorf("%g gal in type M 3/4: %g ft, want %g within 0.3 percent", c.gallons, got, c.feet)
		}
	}
}

// The same problem set states the bore as 0.824 in, which is Schedule 40 pipe
// (3.55 fl oz/ft) and not the tube of its own table (0.811 in).
func TestTypeMIsNotScheduleForty(t *testing.T) {
	for _, c := range []struct {
		series           string
		inches, ounces   float64
		relativeRounding float64
	}{
		{"copper_type_m", 0.811, 3.43, 0.0015},
		{"steel_schedule_40", 0.824, 3.55, 0.003}, // metric table, rounded outside diameter
	} {
		tube := mustFind(t, c.series, "3/4")
		if got := quantity.DiameterDimension.MustUnit("in").FromSI(tube.Bore.Metres()); !within(got, c.inches, c.relativeRounding*c.inches) {
			t.Errorf("%s 3/4: bore %g in, printed %g", c.series, got, c.inches)
		}
		got := quantity.VolumePerLengthDimension.MustUnit("fl_oz/ft").FromSI(tube.VolumePerLength().CubicMetresPerMetre())
		if !within(got, c.ounces, c.relativeRounding*c.ounces) {
			t.Errorf("%s 3/4: %g fl oz/ft, printed %g", c.series, got, c.ounces)
		}
	}
}

// Worked example 11: a trade page says that 10 m of 15 mm tube hold 2 L, read;
// 15x1 holds 1.33 L, and 2 L belong to 18x1.
func TestTenMetresToTheBath(t *testing.T) {
	for nominal, litres := range map[string]float64{"15x1": 1.33, "18x1": 2.01} {
		v := pipe.StoredVolume(mustFind(t, "copper_en1057", nominal).Bore, quantity.Metres(10))
		if got := quantity.VolumeDimension.MustUnit("L").FromSI(v.CubicMetres()); !within(got, litres, 0.005) {
			t.Errorf("10 m of %s hold %g L, want %g", nominal, got, litres)
		}
	}
}
