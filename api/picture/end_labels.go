package picture

import (
	"cmp"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// endLabel names a line beside its end.
type endLabel struct {
	text string
	x, y float64 // the end, in the plot's data
	look draw.LineStyle
}

// Of a label: how far its swatch is from the plot, how long it is, and how far
// labels are apart.
const leader, swatch, labelPitch = vg.Length(16), vg.Length(26), vg.Length(14)

// lift brings the middle of small letters to the height asked for; that of a line
// of text is lower.
const lift = vg.Length(1.5)

// labelsWide is the room that labels take to the right of a plot.
func labelsWide(labels []endLabel) vg.Length {
	words, wide := textStyle(), vg.Length(0)
	for _, l := range labels {
		wide = max(wide, leader+swatch+8+words.Width(l.text))
	}
	return wide
}

// drawEndLabels draws a plot in an area with labels to the right of it, each beside
// the end of its line with a piece of it, moved apart where they would touch.
func drawEndLabels(p *plot.Plot, area draw.Canvas, labels []endLabel) {
	p.Draw(area)
	words := textStyle()
	words.YAlign = text.YCenter
	data := p.DataCanvas(area)
	x, y := p.Transforms(&data)
	ends := make([]vg.Length, len(labels))
	for i, l := range labels {
		ends[i] = y(l.y)
	}
	for i, at := range apart(ends, data.Min.Y, data.Max.Y) {
		l := labels[i]
		start := data.Max.X + leader
		thin := l.look
		thin.Width, thin.Dashes = 0.5, nil
		area.StrokeLines(thin, []vg.Point{{X: x(l.x), Y: ends[i]}, {X: start, Y: at}})
		area.StrokeLines(l.look, []vg.Point{{X: start, Y: at}, {X: start + swatch, Y: at}})
		area.FillText(words, vg.Point{X: start + swatch + 4, Y: at + lift}, l.text)
	}
}

// apart moves heights apart by labelPitch, in their order, from low to high as long
// as there is room.
func apart(heights []vg.Length, low, high vg.Length) []vg.Length {
	order := make([]int, len(heights))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(heights[b], heights[a]) }) // the highest first
	moved := slices.Clone(heights)
	limit := high
	for _, i := range order {
		moved[i] = min(moved[i], limit)
		limit = moved[i] - labelPitch
	}
	limit = low
	for _, i := range slices.Backward(order) {
		moved[i] = max(moved[i], limit)
		limit = moved[i] + labelPitch
	}
	return moved
}

// textStyle is that of legends, notes and labels.
func textStyle() text.Style { return newPlot("", "", "").Legend.TextStyle }
