package picture

import (
	"fmt"
	"image/color"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"recirc/calc/quantity"
	"recirc/service"
)

// How a circuit is drawn: thick where it is cold, dashed on the way back.
const usualWidth, coldWidth = vg.Length(1.5), vg.Length(4)

var backDashes = []vg.Length{6, 3}

// turns are the markers at connections. They are fewer than the colours by one,
// so that no two circuits shown share both.
var turns = []draw.GlyphDrawer{draw.CircleGlyph{}, draw.SquareGlyph{}, draw.PyramidGlyph{}, draw.RingGlyph{}, draw.BoxGlyph{}, draw.TriangleGlyph{}, draw.PlusGlyph{}}

// addCircuit draws one circuit and names it in the legend and in words.
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
