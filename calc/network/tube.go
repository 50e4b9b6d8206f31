package network

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"recirc/calc/fault"
	"recirc/calc/pipe"
	"recirc/calc/quantity"
)

// agreement is how far bore, outside diameter and wall may contradict each
// other: the last printed digit of dimensions rounded to 0.1 mm.
const agreement = 1e-4 // m

// leastBore is that of a capillary, as for a bore that is given.
const leastBore = 0.001 // m

// resolveTubes finds the bore of every pipe: from the catalogue, or from the
// pipe's own dimensions. It never guesses.
func (b *builder) resolveTubes() {
	for i := range b.g.System.Pipes {
		spec := &b.g.System.Pipes[i].Tube
		switch {
		case spec.Unreadable:
		case spec.hasOwnDimensions():
			b.g.Tubes[i] = b.ownTube(int32(i), spec)
		default:
			b.g.Tubes[i] = b.catalogueTube(int32(i), spec)
		}
	}
}

func (t *TubeSpec) hasOwnDimensions() bool {
	var zero quantity.Length
	return t.Bore != zero || t.Outside != zero || t.Wall != zero
}

func (b *builder) catalogueTube(i int32, spec *TubeSpec) pipe.Tube {
	if s := b.g.System; s.UnsizedReturns && spec.Nominal == "" && b.pipe(i).Role == Return {
		return b.smallestTube(i, spec)
	}
	series := spec.Series
	if series == "" {
		series = b.g.System.Defaults.TubeSeries
		b.g.DefaultSeries = append(b.g.DefaultSeries, i)
	}
	switch {
	case spec.Nominal == "" && spec.Series == "":
		b.pipeFault(i, "tube", fault.TubeIncomplete, "Give series and nominal, or inside_diameter, or outside_diameter with wall_thickness.")
		return pipe.Tube{}
	case spec.Nominal == "":
		b.pipeFault(i, "tube/nominal", fault.TubeIncomplete, "The nominal size is missing; %s has %s.", series, strings.Join(pipe.Nominals(series), ", "))
		return pipe.Tube{}
	case series == "" && b.g.System.Defaults.SeriesUnreadable:
		return pipe.Tube{} // told by who read it
	case series == "":
		b.pipeFault(i, "tube/series", fault.TubeSeriesMissing, "The series is missing, here and in defaults.tube_series; tubes of one nominal size have different bores.")
		return pipe.Tube{}
	}
	tube, ok := pipe.Find(series, spec.Nominal)
	if !ok {
		b.pipeFault(i, "tube/nominal", fault.TubeNominalUnknown, "%s has no nominal size %q; it has %s.", series, spec.Nominal, strings.Join(pipe.Nominals(series), ", "))
	}
	return tube
}

// smallestTube begins with the narrowest tube of a series whose size is open.
func (b *builder) smallestTube(i int32, spec *TubeSpec) pipe.Tube {
	series := spec.Series
	if series == "" {
		series = b.g.System.ReturnSeries
	}
	if series == "" {
		series = b.g.System.Defaults.TubeSeries
	}
	switch {
	case series == "" && b.g.System.Defaults.SeriesUnreadable:
		return pipe.Tube{} // told by who read it
	case series == "":
		b.pipeFault(i, "tube/series", fault.TubeSeriesMissing, "The size of this return is open, but no series to choose from is given: here, in return_sizing.series or in defaults.tube_series.")
		return pipe.Tube{}
	}
	if b.g.unsized == nil {
		b.g.unsized = make(map[int32]string)
	}
	b.g.unsized[i] = series
	return slices.MinFunc(pipe.Tubes(series), func(a, b pipe.Tube) int { return cmp.Compare(a.Bore.Metres(), b.Bore.Metres()) })
}

// ownTube makes a tube from a caller's dimensions, which may be one too many
// but must agree.
func (b *builder) ownTube(i int32, spec *TubeSpec) pipe.Tube {
	var zero quantity.Length
	tube := pipe.Tube{Material: spec.Material, Bore: spec.Bore, OutsideDiameter: spec.Outside, Wall: spec.Wall, BoreBasis: pipe.Given}
	bore, outside, wall := spec.Bore.Metres(), spec.Outside.Metres(), spec.Wall.Metres()
	fail := func(field string, code fault.Code, format string, args ...any) pipe.Tube {
		b.pipeFault(i, "tube"+field, code, format, args...)
		return pipe.Tube{}
	}
	switch {
	case spec.Series != "" || spec.Nominal != "":
		return fail("", fault.TubeAmbiguous, "The tube is given by catalogue and by its own dimensions; give one of them.")
	case spec.Bore == zero && (spec.Outside == zero || spec.Wall == zero):
		return fail("", fault.TubeIncomplete, "Give inside_diameter, or outside_diameter together with wall_thickness.")
	case spec.Outside != zero && spec.Bore != zero && bore >= outside:
		return fail("/inside_diameter", fault.TubeContradicts, "The inside diameter (%.4g mm) is not smaller than the outside diameter (%.4g mm); are the two exchanged?", 1000*bore, 1000*outside)
	case spec.Outside != zero && spec.Wall != zero && 2*wall >= outside:
		return fail("/wall_thickness", fault.TubeContradicts, "Two walls of %.4g mm leave no bore in an outside diameter of %.4g mm.", 1000*wall, 1000*outside)
	case spec.Outside != zero && spec.Wall != zero && spec.Bore != zero && math.Abs(outside-2*wall-bore) > agreement:
		return fail("", fault.TubeContradicts, "Outside diameter less two walls is %.4g mm, but the inside diameter is given as %.4g mm.", 1000*(outside-2*wall), 1000*bore)
	}
	if spec.Bore == zero {
		tube.Bore, tube.BoreBasis = quantity.Metres(outside-2*wall), pipe.OutsideLessWalls
		if outside-2*wall < leastBore {
			return fail("/wall_thickness", fault.TubeContradicts, "Two walls of %.4g mm leave a bore of %.4g mm in an outside diameter of %.4g mm.", 1000*wall, 1000*(outside-2*wall), 1000*outside)
		}
	}
	return tube
}
