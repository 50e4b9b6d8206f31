package arrival

import (
	"recirc/calc/quantity"
	"recirc/calc/source"
)

// Where the hot front and its allowances are published.
const (
	HotFrontSource      source.ID = "schumann_1929"
	DispersionSource    source.ID = "taylor_1954"
	MeasuredRatioSource source.ID = "california_delivery_tests"

	// ProgrammeRatio of collected to stored volume is what a programme allows
	// (0.6 gal to 0.5 gal): a policy, not a measurement.
	ProgrammeRatio                 = 1.2
	ProgrammeRatioSource source.ID = "watersense_new_home_3_3"
)

// MeasuredRatio gives the range of delivered volume over pipe volume that a
// laboratory measured for cold starts, and its source
//
//	low 1.2, high 1.6  from 1 to 2 gal/min
//	low 1.0, high 1.2  from 4 gal/min on
//
// Between 2 and 4 gal/min both run in straight lines. Below 1 gal/min nothing
// was measured: there, and for a flow that is no number, the highest range is
// given, which may be too low for small flows in thick plastic. The figures are
// from memory and of low confidence; use them as a sanity range.
//
// Source: laboratory tests in bare and insulated 1/2 in and 3/4 in tube, as
// summarised in trade articles; from memory.
func MeasuredRatio(flow quantity.Flow) (low, high float64, id source.ID) {
	const upTo, from = 2.0, 4.0
	unit := quantity.FlowDimension.MustUnit("gal/min")
	share := 0.0
	switch gpm := unit.FromSI(flow.CubicMetresPerSecond()); {
	case gpm >= from:
		share = 1
	case gpm > upTo:
		share = (gpm - upTo) / (from - upTo)
	}
	return 1.2 - 0.2*share, 1.6 - 0.4*share, MeasuredRatioSource
}
