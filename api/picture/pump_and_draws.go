package picture

import (
	"cmp"
	"fmt"
	"image/color"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Where the pump's band and the draws stand in their plot.
const pumpRow, drawRow = 0.0, 1.0

var pumpFill = color.RGBA{R: 0x80, G: 0x80, B: 0x80, A: 0xff}

// pumpAndDraws shows when the pump ran, as a band, and the draws, as strokes.
func pumpAndDraws(r *ControlRun) *plot.Plot {
	label := "time of day, h"
	if r.Days > 1 {
		label = "time since the first midnight, h"
	}
	p := newPlot("", label, "")
	p.Y.Min, p.Y.Max = pumpRow-0.5, drawRow+0.5
	p.Y.Tick.Marker = plot.ConstantTicks{{Value: pumpRow, Label: "pump on"}, {Value: drawRow, Label: "draws"}}
	p.Y.Tick.Length = 0
	if r.Days > 1 {
		p.Add(dayLines(r.Days))
	}
	p.Add(band(spans(r)), strokes(times(r)))
	return p
}

// spans gives when the pump ran in hours within the picture, joined where no
// reader could tell the gap.
func spans(r *ControlRun) [][2]float64 {
	end := float64(24 * r.Days)
	var all [][2]float64
	for _, s := range r.Running {
		if from, to := max(inHours(s.From), 0), min(inHours(s.To), end); from < to {
			all = append(all, [2]float64{from, to})
		}
	}
	slices.SortFunc(all, func(a, b [2]float64) int { return cmp.Compare(a[0], b[0]) })
	var joined [][2]float64
	for _, s := range all {
		if n := len(joined); n > 0 && s[0]-joined[n-1][1] < end/(4*moments) {
			joined[n-1][1] = max(joined[n-1][1], s[1])
			continue
		}
		joined = append(joined, s)
	}
	return joined
}

// times gives when water was drawn in hours within the picture, each moment once.
func times(r *ControlRun) []float64 {
	end := float64(24 * r.Days)
	seen := map[int]bool{}
	var all []float64
	for _, d := range r.Draws {
		at := inHours(d)
		if moment := int(at / end * moments); at >= 0 && at <= end && !seen[moment] {
			seen[moment] = true
			all = append(all, at)
		}
	}
	slices.Sort(all)
	return all
}

// band fills when the pump ran.
type band [][2]float64

// Plot implements plot.Plotter.
func (b band) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	low, high := y(pumpRow-0.35), y(pumpRow+0.35)
	for _, s := range b {
		from, to := x(s[0]), x(s[1])
		c.FillPolygon(pumpFill, []vg.Point{{X: from, Y: low}, {X: to, Y: low}, {X: to, Y: high}, {X: from, Y: high}})
	}
}

// strokes mark draws.
type strokes []float64

// Plot implements plot.Plotter.
func (s strokes) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	low, high := y(drawRow-0.35), y(drawRow+0.35)
	for _, at := range s {
		c.StrokeLine2(draw.LineStyle{Color: ink, Width: 1}, x(at), low, x(at), high)
	}
}

// running tells in words how long the pump ran and how often water was drawn.
func running(r *ControlRun) []string {
	sum, starts := 0.0, 0
	for _, s := range r.Running {
		if s.To.Seconds() > s.From.Seconds() {
			sum += inHours(s.To) - inHours(s.From)
			starts++
		}
	}
	return []string{fmt.Sprintf("The pump runs %.4g h in %d stretches. Hot water is drawn %d times.", sum, starts, len(r.Draws))}
}
