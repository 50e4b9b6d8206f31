package picture

import (
	"image/color"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"recirc/calc/quantity"
)

// part is how one part of a bar looks: its colour and its hatching tell it apart.
type part struct {
	name  string
	color color.RGBA
	hatch hatching
}

type hatching int

const (
	plain hatching = iota
	slanted
	upright
	level
)

var energyParts = []part{
	{"heater", styles[0].color, plain}, {"pump", styles[1].color, slanted},
	{"trace heating", styles[4].color, upright}, {"local heater", color.RGBA{R: 0xf4, G: 0xf4, B: 0xf4, A: 0xff}, level},
}

var waterParts = []part{{"water run to waste", styles[5].color, plain}}

// bars are stacked bars across, one a row, the first on top.
type bars struct {
	rows  [][]float64 // by row, then by part
	parts []part
}

// barStrips draws energy and water a year side by side, one row an arrangement.
func barStrips(shown []Arrangement, us bool) ([]strip, error) {
	if len(shown) == 0 {
		return nil, nil
	}
	energy, water := yearlyEnergy(us), unitOf(quantity.VolumeDimension, us)
	e, w := bars{parts: energyParts}, bars{parts: waterParts}
	rows := make([]string, len(shown))
	for i := range shown {
		r := &shown[i]
		rows[len(shown)-1-i] = shortened(r.Name)
		var used []float64
		for _, v := range energies(r) {
			used = append(used, energy.FromSI(v))
		}
		e.rows, w.rows = append(e.rows, used), append(w.rows, []float64{water.FromSI(r.Wasted.CubicMetres())})
	}
	left, right := e.plot("Energy a year", energy.Symbol), w.plot("Water run to waste a year", water.Symbol)
	left.NominalY(rows...)
	right.NominalY(make([]string, len(rows))...)
	e.frame(left)
	w.frame(right)
	high := vg.Length(78 + 22*len(shown))
	return []strip{{high, func(c draw.Canvas) {
		const share = 0.62 // of the width for energy, which has the names
		left.Draw(draw.Crop(c, 0, -(1-share)*c.Size().X-margin, 0, 0))
		right.Draw(draw.Crop(c, share*c.Size().X, 0, 0, 0))
	}}, e.key()}, nil
}

func (b bars) plot(title, unit string) *plot.Plot {
	p := newPlot(title, unit+" a year", "")
	p.X.Tick.Marker = amountTicks{}
	p.Add(b)
	return p
}

// frame leaves room for the figures behind the bars.
func (b bars) frame(p *plot.Plot) {
	_, most, _, _ := b.DataRange()
	p.X.Min, p.X.Max = 0, 1.3*most
	if most == 0 {
		p.X.Max = 1
	}
	p.Y.Min, p.Y.Max = -0.5, float64(len(b.rows))-0.5
}

// DataRange implements plot.DataRanger.
func (b bars) DataRange() (xmin, xmax, ymin, ymax float64) {
	for _, row := range b.rows {
		xmax = max(xmax, total(row))
	}
	return 0, xmax, -0.5, float64(len(b.rows)) - 0.5
}

func total(row []float64) float64 {
	sum := 0.0
	for _, v := range row {
		sum += v
	}
	return sum
}

// Plot implements plot.Plotter.
func (b bars) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	words := textStyle()
	words.YAlign = text.YCenter
	for i, row := range b.rows {
		middle := float64(len(b.rows) - 1 - i)
		from := 0.0
		for j, v := range row {
			if v > 0 {
				b.parts[j].fill(c, vg.Rectangle{Min: vg.Point{X: x(from), Y: y(middle - 0.32)}, Max: vg.Point{X: x(from + v), Y: y(middle + 0.32)}})
			}
			from += v
		}
		at := vg.Point{X: x(from) + 4, Y: y(middle) + lift}
		box := words.Rectangle(amount(from)).Add(at)
		c.FillPolygon(color.White, []vg.Point{box.Min, {X: box.Max.X, Y: box.Min.Y}, box.Max, {X: box.Min.X, Y: box.Max.Y}}) // over the grid
		c.FillText(words, at, amount(from))
	}
}

// fill paints a rectangle with the colour, the hatching and a rim.
func (p part) fill(c draw.Canvas, r vg.Rectangle) {
	corners := []vg.Point{r.Min, {X: r.Max.X, Y: r.Min.Y}, r.Max, {X: r.Min.X, Y: r.Max.Y}, r.Min}
	c.FillPolygon(p.color, corners)
	const pitch = vg.Length(5)
	line := draw.LineStyle{Color: ink, Width: 0.6}
	high := r.Max.Y - r.Min.Y
	switch p.hatch {
	case slanted:
		for at := r.Min.X - high; at < r.Max.X; at += pitch {
			from, to := max(at, r.Min.X), min(at+high, r.Max.X)
			c.StrokeLine2(line, from, r.Min.Y+from-at, to, r.Min.Y+to-at)
		}
	case upright:
		for at := r.Min.X + pitch/2; at < r.Max.X; at += pitch {
			c.StrokeLine2(line, at, r.Min.Y, at, r.Max.Y)
		}
	case level:
		for at := r.Min.Y + pitch/2; at < r.Max.Y; at += pitch {
			c.StrokeLine2(line, r.Min.X, at, r.Max.X, at)
		}
	}
	c.StrokeLines(draw.LineStyle{Color: ink, Width: 0.6}, corners)
}

// key tells the parts that some bar has, in one line.
func (b bars) key() strip {
	words := textStyle()
	words.YAlign = text.YCenter
	return strip{20, func(c draw.Canvas) {
		at, middle := c.Min.X, c.Center().Y
		for j, p := range b.parts {
			some := false
			for _, row := range b.rows {
				some = some || row[j] > 0
			}
			if !some {
				continue
			}
			p.fill(c, vg.Rectangle{Min: vg.Point{X: at, Y: middle - 6}, Max: vg.Point{X: at + swatch, Y: middle + 6}})
			c.FillText(words, vg.Point{X: at + swatch + 5, Y: middle + lift}, p.name)
			at += swatch + 25 + words.Width(p.name)
		}
	}}
}
