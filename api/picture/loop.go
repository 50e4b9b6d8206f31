package picture

import (
	"fmt"
	"slices"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"recirc/calc/quantity"
	"recirc/service"
)

// mostCircuits is how many circuits one picture shows.
const mostCircuits = 12

// loop is a picture of a loop being drawn.
type loop struct {
	p                   *plot.Plot
	length, temperature quantity.Unit
	says                []string
}

// Loop draws the temperature along circuits, out to their connection and back, and
// the targets. They may be a choice of so many that the loop has; critical names the
// one that is said to be it, if any.
func Loop(circuits []service.Circuit, of int, critical string, us bool) ([]byte, error) {
	l := loop{length: unitOf(quantity.LengthDimension, us), temperature: unitOf(quantity.TemperatureDimension, us)}
	shown := worthShowing(circuits, critical)
	title := "Temperature along each circuit"
	if len(shown) < of {
		title = fmt.Sprintf("Temperature along %d of %d circuits", len(shown), of)
		l.says = append(l.says, "Shown are the coldest circuits, the critical one, and the first of the others.")
	}
	l.p = newPlot(title, "distance from the heater, "+l.length.Symbol, "temperature of the water, "+l.temperature.Symbol)
	for i, c := range shown {
		if err := l.addCircuit(c, styles[i%len(styles)].color, turns[i%len(turns)], c.Connection == critical); err != nil {
			return nil, err
		}
	}
	if err := l.addTargets(shown); err != nil {
		return nil, err
	}
	if len(shown) > 0 {
		l.p.X.Min = 0
		l.explainLines()
	}
	return renderBeside(l.p, height, strings.Join(l.says, " "))
}

// worthShowing picks circuits: the cold ones, the coldest first, then the
// critical one, then the others as they come.
func worthShowing(all []service.Circuit, critical string) []*service.Circuit {
	shown := make([]*service.Circuit, len(all))
	for i := range all {
		shown[i] = &all[i]
	}
	rank := func(c *service.Circuit) float64 {
		switch {
		case c.Cold:
			return c.Water[c.Turn].Kelvin()
		case c.Connection == critical:
			return 1e6 // hotter than any water
		}
		return 2e6
	}
	slices.SortStableFunc(shown, func(a, b *service.Circuit) int {
		switch ra, rb := rank(a), rank(b); {
		case ra < rb:
			return -1
		case ra > rb:
			return 1
		}
		return 0
	})
	return shown[:min(len(shown), mostCircuits)]
}

// explainLines tells in the legend how supply and return are drawn.
func (l *loop) explainLines() {
	for _, way := range []struct {
		name   string
		dashes []vg.Length
	}{{"supply", nil}, {"return", backDashes}} {
		l.p.Legend.Add(way.name, &plotter.Line{LineStyle: draw.LineStyle{Color: ink, Width: usualWidth, Dashes: way.dashes}})
	}
}

// addTargets draws each target once, across the picture, with its figure.
func (l *loop) addTargets(shown []*service.Circuit) error {
	drawn := map[float64]bool{}
	for _, c := range shown {
		y := l.temperature.FromSI(c.Target.Kelvin())
		if c.Target == (quantity.Temperature{}) || drawn[y] {
			continue
		}
		drawn[y] = true
		line, err := plotter.NewLine(plotter.XYs{{X: 0, Y: y}, {X: l.p.X.Max, Y: y}})
		if err != nil {
			return err
		}
		line.Color, line.Width, line.Dashes = ink, 1, []vg.Length{1, 2}
		label, err := plotter.NewLabels(plotter.XYLabels{XYs: plotter.XYs{{X: 0, Y: y}}, Labels: []string{fmt.Sprintf("target %.4g %s", y, l.temperature.Symbol)}})
		if err != nil {
			return err
		}
		label.TextStyle[0], label.Offset = l.p.Legend.TextStyle, vg.Point{X: 4, Y: 3}
		l.p.Add(line, label)
	}
	return nil
}
