package picture

import (
	"math"
	"strconv"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

const costsHigh, waitsHigh = 4.2 * vg.Inch, 3.6 * vg.Inch

// costStrips draws cumulative costs over the years, with the name and the last
// figure beside the end of each line.
func costStrips(shown []Arrangement, a *Arrangements) ([]strip, error) {
	label := "cumulative cost, " + a.Currency
	if a.Discounted {
		label = "cumulative cost at present value, " + a.Currency
	}
	p := newPlot("Cost over the years", "years after the base date", label)
	p.Y.Tick.Marker = amountTicks{}
	var labels []endLabel
	var without []*Arrangement
	for i := range shown {
		r := &shown[i]
		if len(r.Costs) == 0 {
			without = append(without, r)
			continue
		}
		points := make(plotter.XYs, len(r.Costs))
		for year, cost := range r.Costs {
			points[year] = plotter.XY{X: float64(year), Y: cost}
		}
		look := arrangementStyle(i)
		if _, err := addCurve(p, points, look); err != nil {
			return nil, err
		}
		last := points[len(points)-1]
		labels = append(labels, endLabel{shortened(r.Name) + "  " + amount(last.Y), last.X, last.Y, look})
	}
	var strips []strip
	if len(labels) > 0 {
		strips = append(strips, strip{costsHigh, func(c draw.Canvas) { drawEndLabels(p, draw.Crop(c, 0, -labelsWide(labels), 0, 0), labels) }})
	}
	if len(without) > 0 {
		strips = append(strips, noteStrip("Costs not assessed: "+names(without)+"."))
	}
	return strips, nil
}

// amountTicks are the usual ones without powers of ten.
type amountTicks struct{}

// Ticks implements plot.Ticker.
func (amountTicks) Ticks(low, high float64) []plot.Tick {
	marks := plot.DefaultTicks{}.Ticks(low, high)
	for i := range marks {
		if marks[i].Label != "" {
			marks[i].Label = strconv.FormatFloat(marks[i].Value, 'g', 12, 64)
		}
	}
	return marks
}

// amount writes a number for reading: whole from a thousand on.
func amount(v float64) string {
	if math.Abs(v) >= 1000 {
		return strconv.FormatFloat(v, 'f', 0, 64)
	}
	return strconv.FormatFloat(v, 'g', 3, 64)
}
