package picture

import (
	"fmt"
	"image/color"
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

// How a circuit is drawn: thick where it is cold, dashed on the way back.
const usualWidth, coldWidth = vg.Length(1.5), vg.Length(4)

var backDashes = []vg.Length{6, 3}

// turns are the markers at connections. They are fewer than the colours by one,
// so that no two circuits shown share both.
var turns = []draw.GlyphDrawer{draw.CircleGlyph{}, draw.SquareGlyph{}, draw.PyramidGlyph{}, draw.RingGlyph{}, draw.BoxGlyph{}, draw.TriangleGlyph{}, draw.PlusGlyph{}}

// loop is a picture of a loop being drawn.
type loop struct {
	p                   *plot.Plot
	length, temperature quantity.Unit
	says                []string
}

// Loop draws the temperature along each circuit, out to its connection and back,
// and the targets. critical names the circuit that is said to be it, if any.
func Loop(circuits []service.Circuit, critical string, us bool) ([]byte, error) {
	l := loop{length: unitOf(quantity.LengthDimension, us), temperature: unitOf(quantity.TemperatureDimension, us)}
	shown := worthShowing(circuits, critical)
	title := "Temperature along each circuit"
	if len(shown) < len(circuits) {
		title = fmt.Sprintf("Temperature along %d of %d circuits", len(shown), len(circuits))
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

func (l *loop) addCircuit(c *service.Circuit, of color.Color, turn draw.GlyphDrawer, critical bool) error {
	points := make(plotter.XYs, len(c.Distance))
	for i, d := range c.Distance {
		points[i] = plotter.XY{X: l.length.FromSI(d.Metres()), Y: l.temperature.FromSI(c.Water[i].Kelvin())}
	}
	out, err := l.addLine(points[:c.Turn+1], of, c.Cold)
	if err != nil {
		return err
	}
	back, err := l.addLine(points[c.Turn:], of, c.Cold)
	if err != nil {
		return err
	}
	back.Dashes = backDashes
	marks, err := l.addMarks(points[c.Turn], of, turn, c.Cold)
	if err != nil {
		return err
	}
	name := shortened(c.Connection)
	if critical {
		name += ", critical"
	}
	if c.Cold {
		name += ", cold"
	}
	l.p.Legend.Add(name, append([]plot.Thumbnailer{out}, marks...)...)
	l.say(c, points, critical)
	return nil
}

func (l *loop) addLine(points plotter.XYs, of color.Color, cold bool) (*plotter.Line, error) {
	line, err := plotter.NewLine(points)
	if err != nil {
		return nil, err
	}
	line.Color, line.Width = of, usualWidth
	if cold {
		line.Width = coldWidth
	}
	l.p.Add(line)
	return line, nil
}

// addMarks marks a connection, and crosses it out where it is cold.
func (l *loop) addMarks(at plotter.XY, of color.Color, turn draw.GlyphDrawer, cold bool) ([]plot.Thumbnailer, error) {
	looks := []draw.GlyphStyle{{Color: of, Radius: 4.5, Shape: turn}}
	if cold {
		looks = append(looks, draw.GlyphStyle{Color: ink, Radius: 7, Shape: boldCross{}})
	}
	var marks []plot.Thumbnailer
	for _, look := range looks {
		mark, err := plotter.NewScatter(plotter.XYs{at})
		if err != nil {
			return nil, err
		}
		mark.GlyphStyle = look
		l.p.Add(mark)
		marks = append(marks, mark)
	}
	return marks, nil
}

// boldCross is the cross on a cold connection; the usual one is as thin as a
// hair.
type boldCross struct{}

// DrawGlyph implements draw.GlyphDrawer.
func (boldCross) DrawGlyph(c *draw.Canvas, sty draw.GlyphStyle, at vg.Point) {
	r := sty.Radius
	c.SetLineStyle(draw.LineStyle{Color: sty.Color, Width: 2})
	for _, side := range []vg.Length{-r, r} {
		var p vg.Path
		p.Move(vg.Point{X: at.X - r, Y: at.Y - side})
		p.Line(vg.Point{X: at.X + r, Y: at.Y + side})
		c.Stroke(p)
	}
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

// say tells a circuit in a sentence, its target included.
func (l *loop) say(c *service.Circuit, points plotter.XYs, critical bool) {
	turn, end, t := points[c.Turn], points[len(points)-1], l.temperature.Symbol
	s := fmt.Sprintf("%s: %.4g %s at the connection after %.4g %s, %.4g %s back at the heater after %.4g %s",
		c.Connection, turn.Y, t, turn.X, l.length.Symbol, end.Y, t, end.X, l.length.Symbol)
	if c.Target != (quantity.Temperature{}) {
		s += fmt.Sprintf("; target %.4g %s", l.temperature.FromSI(c.Target.Kelvin()), t)
	}
	if critical {
		s += "; critical"
	}
	if c.Cold {
		s += "; cold"
	}
	l.says = append(l.says, s+".")
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
