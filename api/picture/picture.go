// Package picture draws answers as SVG: colours that colour-blind people tell
// apart, line styles that survive greyscale, axes with units, and a title and a
// description for screen readers.
package picture

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"image/color"
	"strconv"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgsvg"
)

const width, height, margin = 9 * vg.Inch, 5.5 * vg.Inch, vg.Length(12)

// style is how one series looks: colour and dashes both tell it apart.
type style struct {
	color  color.RGBA
	dashes []vg.Length
}

// styles are eight colours that the usual kinds of colour blindness tell apart
// (Okabe and Ito, 2008, from memory), each with dashes of its own.
var styles = []style{
	{color.RGBA{R: 0x00, G: 0x72, B: 0xb2, A: 0xff}, nil},
	{color.RGBA{R: 0xd5, G: 0x5e, B: 0x00, A: 0xff}, []vg.Length{8, 3}},
	{color.RGBA{R: 0x00, G: 0x9e, B: 0x73, A: 0xff}, []vg.Length{2, 2}},
	{color.RGBA{R: 0xcc, G: 0x79, B: 0xa7, A: 0xff}, []vg.Length{10, 3, 2, 3}},
	{color.RGBA{R: 0xe6, G: 0x9f, B: 0x00, A: 0xff}, []vg.Length{5, 5}},
	{color.RGBA{R: 0x56, G: 0xb4, B: 0xe9, A: 0xff}, []vg.Length{12, 2}},
	{color.RGBA{R: 0x60, G: 0x60, B: 0x60, A: 0xff}, []vg.Length{3, 1, 1, 1}},
	{color.RGBA{R: 0x00, G: 0x00, B: 0x00, A: 0xff}, []vg.Length{1, 3}},
}

var (
	ink  = color.RGBA{R: 0x22, G: 0x22, B: 0x22, A: 0xff}
	grey = color.RGBA{R: 0xd0, G: 0xd0, B: 0xd0, A: 0xff}
)

// newPlot makes an empty plot in a sans font, with a grid.
func newPlot(title, x, y string) *plot.Plot {
	p := plot.New()
	p.Title.Text, p.X.Label.Text, p.Y.Label.Text = title, x, y
	for _, s := range []*text.Style{&p.Title.TextStyle, &p.X.Label.TextStyle, &p.Y.Label.TextStyle, &p.X.Tick.Label, &p.Y.Tick.Label, &p.Legend.TextStyle} {
		s.Font = font.Font{Typeface: "Liberation", Variant: "Sans", Size: 11}
		s.Color = ink
	}
	p.Title.TextStyle.Font.Size = 14
	p.Title.Padding = 8
	p.X.Tick.Marker, p.Y.Tick.Marker = ticks{}, ticks{}
	grid := plotter.NewGrid()
	grid.Horizontal.Color, grid.Vertical.Color = grey, grey
	p.Add(grid)
	return p
}

// ticks are the usual ones, their numbers without needless zeros.
type ticks struct{}

func (ticks) Ticks(low, high float64) []plot.Tick {
	marks := plot.DefaultTicks{}.Ticks(low, high)
	for i := range marks {
		if marks[i].Label != "" {
			marks[i].Label = strconv.FormatFloat(marks[i].Value, 'g', 6, 64)
		}
	}
	return marks
}

// render writes the plot as SVG with a title and a description.
func render(p *plot.Plot, high vg.Length, description string) ([]byte, error) {
	return drawn(p.Title.Text, high, description, func(c draw.Canvas) { p.Draw(c) })
}

// renderBeside writes the plot with its legend to the right of it, where no line
// can cross it.
func renderBeside(p *plot.Plot, high vg.Length, description string) ([]byte, error) {
	legend := p.Legend
	p.Legend = plot.NewLegend()
	legend.Top, legend.Left, legend.Padding = true, true, 4
	return drawn(p.Title.Text, high, description, func(c draw.Canvas) {
		wide := legend.Rectangle(c).Size().X + 2*margin
		right := draw.Crop(c, c.Size().X-wide+margin, 0, 0, -3*margin) // below the title
		p.Draw(draw.Crop(c, 0, -wide, 0, 0))
		legend.Draw(right)
	})
}

// drawn writes what paint paints within margins as SVG.
func drawn(title string, high vg.Length, description string, paint func(draw.Canvas)) ([]byte, error) {
	canvas := vgsvg.New(width, high)
	paint(draw.Crop(draw.New(canvas), margin, -margin, margin, -margin))
	var drawn bytes.Buffer
	if _, err := canvas.WriteTo(&drawn); err != nil {
		return nil, err
	}
	return described(bytes.Map(inXML, drawn.Bytes()), title, description), nil
}

// inXML puts the replacement character where a caller's name holds one that XML
// 1.0, section 2.2, cannot; the plotting library escapes only markup.
func inXML(r rune) rune {
	switch {
	case r == '\t', r == '\n', r == '\r', r >= ' ' && r != 0xfffe && r != 0xffff:
		return r
	}
	return '\uFFFD'
}

// described puts title and description behind the opening svg tag and names the
// fonts a reader's machine may have in place of ours.
func described(svg []byte, title, description string) []byte {
	open := bytes.Index(svg, []byte("<svg"))
	end := open + bytes.IndexByte(svg[open:], '>') + 1
	var out bytes.Buffer
	out.WriteString(xml.Header)
	out.Write(bytes.Replace(svg[open:end], []byte("<svg"), []byte(`<svg role="img"`), 1))
	fmt.Fprintf(&out, "\n<title>%s</title>\n<desc>%s</desc>\n<rect width=\"100%%\" height=\"100%%\" fill=\"#ffffff\"/>\n", escaped(title), escaped(description))
	out.Write(bytes.ReplaceAll(svg[end:], []byte("Liberation Sans"), []byte("Liberation Sans, Arial, Helvetica, sans-serif")))
	return out.Bytes()
}

func escaped(s string) string {
	var b bytes.Buffer
	if err := xml.EscapeText(&b, []byte(s)); err != nil {
		return ""
	}
	return b.String()
}

// shortened keeps a caller's name from filling the picture.
func shortened(name string) string { return shortenedTo(name, 28) }

func shortenedTo(name string, most int) string {
	if runes := []rune(name); len(runes) > most {
		return string(runes[:most-1]) + "…"
	}
	return name
}
