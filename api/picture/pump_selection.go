package picture

import (
	"fmt"
	"strconv"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"recirc/calc/pump"
	"recirc/calc/quantity"
	"recirc/service"
)

// How a pump is drawn: solid with a dot where it is accepted, dashed with a cross
// where not, its rank beside the mark.
var rejectedDashes = []vg.Length{5, 4}

const selectionHeight = 8 * vg.Inch

// selection is a picture of pumps and their system being drawn.
type selection struct {
	heads, powers           *plot.Plot // powers nil: of no pump shown is any known
	flow, head              quantity.Unit
	highest, greatest, last float64 // of heads, powers and flows shown
}

// PumpSelection draws pump curves, the system curve and where they meet, with the
// power of the pumps below.
func PumpSelection(a *service.PumpSelectionAnswer, us bool) ([]byte, error) {
	s := selection{flow: unitOf(quantity.FlowDimension, us), head: unitOf(quantity.LengthDimension, us)}
	title := "Where each pump meets the system"
	if len(a.Drawn) < len(a.Pumps) {
		title = fmt.Sprintf("Where the first %d of %d pumps meet the system", len(a.Drawn), len(a.Pumps))
	}
	x := "flow, " + s.flow.Symbol
	s.heads = newPlot(title, x, "head, "+s.head.Symbol)
	if powered(a.Drawn) {
		s.powers = newPlot("", x, "electrical power, W")
	}
	if err := s.addSystem(a); err != nil {
		return nil, err
	}
	for i := range a.Drawn {
		if err := s.addPump(&a.Drawn[i], styles[i%len(styles)]); err != nil {
			return nil, err
		}
	}
	s.frame()
	return s.render(s.describe(a))
}

func powered(all []service.DrawnPump) bool {
	for i := range all {
		if r := all[i].Pump; r.At != nil && r.At.Electrical != (quantity.Power{}) {
			return true
		}
	}
	return false
}

// addPump draws one pump in both panels.
func (s *selection) addPump(d *service.DrawnPump, look style) error {
	heads, powers := s.points(d.Points)
	if heads == nil {
		return nil // nowhere known, but for rounding
	}
	mark, name := draw.GlyphDrawer(draw.CircleGlyph{}), ", accepted"
	line := draw.LineStyle{Color: look.color, Width: usualWidth}
	if !d.Pump.Accepted {
		line.Dashes, mark, name = rejectedDashes, boldCross{}, ", rejected"
	}
	drawn, err := addCurve(s.heads, heads, line)
	if err != nil {
		return err
	}
	thumbnails := []plot.Thumbnailer{drawn}
	for _, p := range heads {
		s.highest, s.last = max(s.highest, p.Y), max(s.last, p.X)
	}
	if at := d.Pump.At; at != nil {
		x := s.flow.FromSI(at.Flow.CubicMetresPerSecond())
		glyph := draw.GlyphStyle{Color: look.color, Radius: 5, Shape: mark}
		dot, err := addMark(s.heads, plotter.XY{X: x, Y: s.head.FromSI(at.Head.Metres())}, glyph, strconv.Itoa(d.Rank))
		if err != nil {
			return err
		}
		thumbnails = append(thumbnails, dot)
		if W := at.Electrical.Watts(); W > 0 {
			if _, err := addMark(s.powers, plotter.XY{X: x, Y: W}, glyph, strconv.Itoa(d.Rank)); err != nil {
				return err
			}
		}
	}
	s.heads.Legend.Add(fmt.Sprintf("%d  %s%s", d.Rank, shortened(d.Pump.ID), name), thumbnails...)
	if s.powers == nil || powers == nil {
		return nil
	}
	for _, p := range powers {
		s.greatest = max(s.greatest, p.Y)
	}
	_, err = addCurve(s.powers, powers, line)
	return err
}

// points gives heads and powers by flow in the units shown; powers nil if there
// are none.
func (s *selection) points(all []pump.Point) (heads, powers plotter.XYs) {
	for _, p := range all {
		x := s.flow.FromSI(p.Flow.CubicMetresPerSecond())
		heads = append(heads, plotter.XY{X: x, Y: s.head.FromSI(p.Head.Metres())})
		if W := p.Power.Watts(); W > 0 {
			powers = append(powers, plotter.XY{X: x, Y: W})
		}
	}
	return heads, powers
}

func addCurve(p *plot.Plot, points plotter.XYs, look draw.LineStyle) (*plotter.Line, error) {
	line, err := plotter.NewLine(points)
	if err != nil {
		return nil, err
	}
	line.LineStyle = look
	p.Add(line)
	return line, nil
}

// addMark marks a point, with a text beside it.
func addMark(p *plot.Plot, at plotter.XY, look draw.GlyphStyle, text string) (*plotter.Scatter, error) {
	mark, err := plotter.NewScatter(plotter.XYs{at})
	if err != nil {
		return nil, err
	}
	mark.GlyphStyle = look
	label, err := plotter.NewLabels(plotter.XYLabels{XYs: plotter.XYs{at}, Labels: []string{text}})
	if err != nil {
		return nil, err
	}
	label.TextStyle[0], label.Offset = p.Legend.TextStyle, vg.Point{X: 9, Y: -4} // between a curve that falls and one that rises
	p.Add(mark, label)
	return mark, nil
}

// addSystem draws the system curve, thick, and the duty in a box.
func (s *selection) addSystem(a *service.PumpSelectionAnswer) error {
	points, _ := s.points(a.DrawnSystem)
	line, err := addCurve(s.heads, points, draw.LineStyle{Color: ink, Width: 2.5})
	if err != nil {
		return err
	}
	s.heads.Legend.Add("system", line)
	duty := plotter.XY{X: s.flow.FromSI(a.Duty.Flow.CubicMetresPerSecond()), Y: s.head.FromSI(a.Duty.Head.Metres())}
	s.highest, s.last = max(s.highest, duty.Y), max(s.last, duty.X)
	box, err := addMark(s.heads, duty, draw.GlyphStyle{Color: ink, Radius: 8, Shape: draw.SquareGlyph{}}, "")
	if err != nil {
		return err
	}
	s.heads.Legend.Add("duty", box)
	return nil
}

// frame shows all of the pumps, and of the system what is beside them.
func (s *selection) frame() {
	s.heads.X.Min, s.heads.X.Max = 0, 1.03*s.last
	s.heads.Y.Min, s.heads.Y.Max = 0, 1.08*s.highest
	if s.powers != nil {
		s.powers.X.Min, s.powers.X.Max = 0, 1.03*s.last
		s.powers.Y.Min, s.powers.Y.Max = 0, 1.1*s.greatest
	}
}

// describe tells the picture in sentences.
func (s *selection) describe(a *service.PumpSelectionAnswer) string {
	says := []string{fmt.Sprintf("The duty is %.4g %s at %.4g %s.", s.flow.FromSI(a.Duty.Flow.CubicMetresPerSecond()), s.flow.Symbol, s.head.FromSI(a.Duty.Head.Metres()), s.head.Symbol)}
	for i := range a.Drawn {
		d := &a.Drawn[i]
		verdict := "accepted"
		if !d.Pump.Accepted {
			verdict = "rejected"
		}
		meets := "does not meet the system on its curve"
		if at := d.Pump.At; at != nil {
			meets = fmt.Sprintf("meets the system at %.4g %s and %.4g %s", s.flow.FromSI(at.Flow.CubicMetresPerSecond()), s.flow.Symbol, s.head.FromSI(at.Head.Metres()), s.head.Symbol)
			if W := at.Electrical.Watts(); W > 0 {
				meets += fmt.Sprintf(" with %.4g W", W)
			}
		}
		says = append(says, fmt.Sprintf("%d, %s, %s, %s.", d.Rank, d.Pump.ID, verdict, meets))
	}
	return strings.Join(says, " ")
}

// render writes the panels one above the other, their axes in line, and the legend
// beside them.
func (s *selection) render(description string) ([]byte, error) {
	if s.powers == nil {
		return renderBeside(s.heads, height, description)
	}
	legend := s.heads.Legend
	s.heads.Legend = plot.NewLegend()
	legend.Top, legend.Left, legend.Padding = true, true, 4
	return drawn(s.heads.Title.Text, selectionHeight, description, func(c draw.Canvas) {
		wide := legend.Rectangle(c).Size().X + 2*margin
		panels := plot.Align([][]*plot.Plot{{s.heads}, {s.powers}}, draw.Tiles{Rows: 2, Cols: 1, PadY: margin}, draw.Crop(c, 0, -wide, 0, 0))
		s.heads.Draw(panels[0][0])
		s.powers.Draw(panels[1][0])
		legend.Draw(draw.Crop(c, c.Size().X-wide+margin, 0, 0, -3*margin))
	})
}
