package picture

import (
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg/draw"
)

// waitStrips draws the share of draws served within a time.
func waitStrips(shown []Arrangement) ([]strip, error) {
	p := newPlot("Waits", "wait for usable water, s", "draws served within it, %")
	longest := 0.0
	for i := range shown {
		if n := len(shown[i].Waits); n > 0 {
			longest = max(longest, shown[i].Waits[n-1].Within.Seconds())
		}
	}
	end := 1.04 * longest
	if longest == 0 {
		end = 1 // nobody waits at all
	}
	var labels []endLabel
	var without []*Arrangement
	for i := range shown {
		r := &shown[i]
		if len(r.Waits) == 0 {
			without = append(without, r)
			continue
		}
		look := arrangementStyle(i)
		points := thinned(steps(r.Waits, end), end/moments)
		if _, err := addCurve(p, points, look); err != nil {
			return nil, err
		}
		labels = append(labels, endLabel{shortened(r.Name), end, points[len(points)-1].Y, look})
	}
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, end, 0, 103
	var strips []strip
	if len(labels) > 0 {
		strips = append(strips, strip{waitsHigh, func(c draw.Canvas) { drawEndLabels(p, draw.Crop(c, 0, -labelsWide(labels), 0, 0), labels) }})
	}
	if len(without) > 0 && len(labels) > 0 {
		strips = append(strips, noteStrip("No waits known: "+names(without)+"."))
	}
	return strips, nil
}

// steps rises at each wait and runs level to the end, in percent.
func steps(waits []Served, end float64) plotter.XYs {
	points := plotter.XYs{{X: 0, Y: 0}}
	for _, w := range waits {
		at, before := w.Within.Seconds(), points[len(points)-1].Y
		points = append(points, plotter.XY{X: at, Y: before}, plotter.XY{X: at, Y: 100 * w.Share})
	}
	return append(points, plotter.XY{X: end, Y: points[len(points)-1].Y})
}
