package picture

import (
	"fmt"
	"sort"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"recirc/calc/quantity"
	"recirc/service"
)

// mostCurves is how many fixtures one picture shows, the longest waits first.
const mostCurves = 8

// Arrivals draws the temperature at each fixture over time, the threshold, and
// a dot where usable water arrives.
func Arrivals(a *service.WaitTimesAnswer, us bool) ([]byte, error) {
	shown := longestWaits(a.Fixtures)
	unit := unitOf(quantity.TemperatureDimension, us)
	p := newPlot("Hot water arriving", "time since the tap was opened, s", "temperature at the fixture, "+unit.Symbol)
	var says []string
	if len(shown) < len(a.Fixtures) {
		says = append(says, fmt.Sprintf("The %d longest waits of %d fixtures.", len(shown), len(a.Fixtures)))
	}
	for i, w := range shown {
		sentence, err := addArrival(p, w, styles[i%len(styles)], unit)
		if err != nil {
			return nil, err
		}
		says = append(says, sentence)
	}
	if err := addThresholds(p, shown, unit); err != nil {
		return nil, err
	}
	p.Legend.Top, p.Legend.Left = false, false
	p.Legend.Padding = 2
	p.X.Min = 0
	return render(p, height, strings.Join(says, " "))
}

// longestWaits picks what is worth showing, in the order of the answer.
func longestWaits(all []service.WaitTime) []*service.WaitTime {
	var shown []*service.WaitTime
	for i := range all {
		if t := all[i].Thermal; t != nil && len(t.Curve) > 0 {
			shown = append(shown, &all[i])
		}
	}
	sort.SliceStable(shown, func(i, j int) bool { return shown[i].PlugFlow.Seconds() > shown[j].PlugFlow.Seconds() })
	return shown[:min(len(shown), mostCurves)]
}

func addArrival(p *plot.Plot, w *service.WaitTime, s style, unit quantity.Unit) (string, error) {
	points := make(plotter.XYs, len(w.Thermal.Curve))
	for i, c := range w.Thermal.Curve {
		points[i] = plotter.XY{X: c.Time.Seconds(), Y: unit.FromSI(c.Temperature.Kelvin())}
	}
	line, err := plotter.NewLine(points)
	if err != nil {
		return "", err
	}
	line.Color, line.Dashes, line.Width = s.color, s.dashes, 2
	p.Add(line)
	if !w.Thermal.Reached {
		p.Legend.Add(shortened(w.Fixture)+": never", line)
		return fmt.Sprintf("%s: usable water never arrives.", w.Fixture), nil
	}
	at := w.Thermal.Expected.Seconds()
	dot, err := plotter.NewScatter(plotter.XYs{{X: at, Y: unit.FromSI(w.Thermal.Usable.Kelvin())}})
	if err != nil {
		return "", err
	}
	dot.GlyphStyle = draw.GlyphStyle{Color: s.color, Radius: 4, Shape: draw.CircleGlyph{}}
	p.Add(dot)
	p.Legend.Add(fmt.Sprintf("%s: %.0f s", shortened(w.Fixture), at), line)
	return fmt.Sprintf("%s: usable water after %.0f s; plug flow %.0f s, high %.0f s.", w.Fixture, at, w.PlugFlow.Seconds(), w.Thermal.High.Seconds()), nil
}

// addThresholds draws each usable temperature once, across the picture.
func addThresholds(p *plot.Plot, shown []*service.WaitTime, unit quantity.Unit) error {
	drawn := map[float64]bool{}
	for _, w := range shown {
		y := unit.FromSI(w.Thermal.Usable.Kelvin())
		if drawn[y] {
			continue
		}
		drawn[y] = true
		line, err := plotter.NewLine(plotter.XYs{{X: 0, Y: y}, {X: p.X.Max, Y: y}})
		if err != nil {
			return err
		}
		line.Color, line.Width, line.Dashes = ink, 1, []vg.Length{1, 2}
		p.Add(line)
		p.Legend.Add(fmt.Sprintf("usable: %.4g %s", y, unit.Symbol), line)
	}
	return nil
}

func unitOf(d *quantity.Dimension, us bool) quantity.Unit {
	if us {
		return d.US
	}
	return d.SI
}
