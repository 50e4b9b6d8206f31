package picture

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"recirc/calc/quantity"
)

// ControlRun is what one control did over some days, times from the first midnight.
type ControlRun struct {
	Days    int      // 1 to 7
	DayName []string // such as the day types, one a day; none if they need no names

	Running []Span              // when the pump was on
	Draws   []quantity.Duration // when hot water was drawn
	Nodes   []NodeCurve         // the first six are drawn
	Levels  []Level             // set temperatures, drawn across
}

// Span is a stretch of time.
type Span struct{ From, To quantity.Duration }

// NodeCurve is the temperature at a node over time.
type NodeCurve struct {
	Name         string
	Times        []quantity.Duration // rising
	Temperatures []quantity.Temperature
}

// Level is a temperature with a name, such as that at which an aquastat stops.
type Level struct {
	Name string
	At   quantity.Temperature
}

// mostDays and mostNodes are what one picture shows.
const mostDays, mostNodes = 7, 6

// moments is how many parts of the time a picture tells apart.
const moments = 1500

// ControlDays draws temperatures over time and, below them, when the pump ran and
// when water was drawn.
func ControlDays(r *ControlRun, us bool) ([]byte, error) {
	if r.Days < 1 || r.Days > mostDays || !sound(r) {
		return nil, errors.New("picture: no such days, or times that are none")
	}
	unit := unitOf(quantity.TemperatureDimension, us)
	title := "Pump and temperatures over a day"
	if r.Days > 1 {
		title = fmt.Sprintf("Pump and temperatures over %d days", r.Days)
	}
	warm := newPlot(title, "", "temperature, "+unit.Symbol)
	labels, says, err := addNodes(warm, r, unit)
	if err != nil {
		return nil, err
	}
	labels, err = addLevels(warm, r, unit, labels)
	if err != nil {
		return nil, err
	}
	below := pumpAndDraws(r)
	for _, p := range []*plot.Plot{warm, below} {
		p.X.Min, p.X.Max, p.X.Tick.Marker = 0, float64(24*r.Days), hours(r.Days)
	}
	nameDays(warm, r)
	parts := []strip{{height, func(c draw.Canvas) { drawDays(warm, below, c, labels) }}}
	if len(r.Nodes) > mostNodes {
		parts = append(parts, noteStrip(fmt.Sprintf("%d of %d nodes are shown.", mostNodes, len(r.Nodes))))
	}
	return drawnStrips(title, strings.Join(append(running(r), says...), " "), parts)
}

// sound reports that the times of a run are numbers.
func sound(r *ControlRun) bool {
	for _, s := range r.Running {
		if !finite(s.From.Seconds()) || !finite(s.To.Seconds()) {
			return false
		}
	}
	for _, d := range r.Draws {
		if !finite(d.Seconds()) {
			return false
		}
	}
	for _, n := range r.Nodes {
		if len(n.Times) != len(n.Temperatures) {
			return false
		}
	}
	return true
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

func inHours(d quantity.Duration) float64 { return d.Seconds() / 3600 }

// addNodes draws the temperatures, and tells each in words.
func addNodes(p *plot.Plot, r *ControlRun, unit quantity.Unit) (labels []endLabel, says []string, err error) {
	wide := usualWidth
	if r.Days > 2 {
		wide = 0.8 // days stand close
	}
	for i, n := range r.Nodes[:min(len(r.Nodes), mostNodes)] {
		points := make(plotter.XYs, 0, len(n.Times))
		low, high := math.Inf(1), math.Inf(-1)
		for j, t := range n.Times {
			if inHours(t) > float64(24*r.Days) {
				break
			}
			y := unit.FromSI(n.Temperatures[j].Kelvin())
			points = append(points, plotter.XY{X: inHours(t), Y: y})
			low, high = min(low, y), max(high, y)
		}
		if len(points) == 0 {
			continue
		}
		points = thinned(points, float64(24*r.Days)/moments)
		look := draw.LineStyle{Color: styles[i].color, Width: wide, Dashes: styles[i].dashes}
		if _, err := addCurve(p, points, look); err != nil {
			return nil, nil, err
		}
		last := points[len(points)-1]
		labels = append(labels, endLabel{shortened(n.Name), last.X, last.Y, look})
		says = append(says, fmt.Sprintf("%s: from %.4g to %.4g %s.", n.Name, low, high, unit.Symbol))
	}
	return labels, says, nil
}

// thinned keeps of each stretch of time the first, the lowest, the highest and the
// last point, so that no peak is lost.
func thinned(points plotter.XYs, stretch float64) plotter.XYs {
	var kept plotter.XYs
	for start := 0; start < len(points); {
		end, low, high := start, start, start
		for ; end < len(points) && (points[end].X < points[start].X+stretch || end == start); end++ {
			if points[end].Y < points[low].Y {
				low = end
			}
			if points[end].Y > points[high].Y {
				high = end
			}
		}
		before := -1
		for _, i := range []int{start, min(low, high), max(low, high), end - 1} {
			if i > before {
				kept = append(kept, points[i])
				before = i
			}
		}
		start = end
	}
	return kept
}

// addLevels draws set temperatures across the picture.
func addLevels(p *plot.Plot, r *ControlRun, unit quantity.Unit, labels []endLabel) ([]endLabel, error) {
	look := draw.LineStyle{Color: ink, Width: 1, Dashes: []vg.Length{1, 2}}
	for _, l := range r.Levels {
		end := plotter.XY{X: float64(24 * r.Days), Y: unit.FromSI(l.At.Kelvin())}
		if _, err := addCurve(p, plotter.XYs{{X: 0, Y: end.Y}, end}, look); err != nil {
			return nil, err
		}
		labels = append(labels, endLabel{fmt.Sprintf("%s: %.4g %s", shortened(l.Name), end.Y, unit.Symbol), end.X, end.Y, look})
	}
	return labels, nil
}

// drawDays draws the temperatures above and what happened below, their times in line.
func drawDays(warm, below *plot.Plot, c draw.Canvas, labels []endLabel) {
	const low = 1.3 * vg.Inch
	wide := labelsWide(labels)
	upper, lower := draw.Crop(c, 0, -wide, low, 0), draw.Crop(c, 0, -wide, 0, low-c.Size().Y)
	u, l := warm.DataCanvas(upper), below.DataCanvas(lower)
	left, right := max(u.Min.X, l.Min.X), min(u.Max.X, l.Max.X)
	drawEndLabels(warm, draw.Crop(upper, left-u.Min.X, right-u.Max.X, 0, 0), labels)
	below.Draw(draw.Crop(lower, left-l.Min.X, right-l.Max.X, 0, 0))
}

// nameDays writes the names of days over them, and parts the days by lines.
func nameDays(p *plot.Plot, r *ControlRun) {
	if r.Days > 1 {
		p.Add(dayLines(r.Days))
	}
	for i, name := range r.DayName[:min(len(r.DayName), r.Days)] {
		p.Add(dayName{name, 24*float64(i) + 12})
	}
	if len(r.DayName) > 0 {
		p.Y.Max += (p.Y.Max - p.Y.Min) / 12 // room for the names
	}
}

// dayLines parts days.
type dayLines int

// Plot implements plot.Plotter.
func (d dayLines) Plot(c draw.Canvas, p *plot.Plot) {
	x, _ := p.Transforms(&c)
	for day := 1; day < int(d); day++ {
		at := x(float64(24 * day))
		c.StrokeLine2(draw.LineStyle{Color: ink, Width: 0.75}, at, c.Min.Y, at, c.Max.Y)
	}
}

// dayName is the name of a day, in the middle of it.
type dayName struct {
	name string
	hour float64
}

// Plot implements plot.Plotter.
func (d dayName) Plot(c draw.Canvas, p *plot.Plot) {
	x, _ := p.Transforms(&c)
	words := textStyle()
	words.XAlign, words.YAlign = text.XCenter, text.YTop
	if p.X.Max > 4*24 {
		words.Font.Size = 9
	}
	name := shortened(d.name)
	for most := 27; most > 1 && words.Width(name) > x(24)-x(0)-4; most-- {
		name = shortenedTo(d.name, most)
	}
	c.FillText(words, vg.Point{X: x(d.hour), Y: c.Max.Y - 3}, name)
}

// hours are ticks at times of day for one day, at days and quarters of days for more.
type hours int

// Ticks implements plot.Ticker.
func (h hours) Ticks(low, high float64) []plot.Tick {
	named, step := 24.0, 6.0
	switch {
	case h == 1:
		named, step = 2, 1
	case h <= 3:
		named, step = 6, 2
	}
	var all []plot.Tick
	for at := 0.0; at <= high; at += step {
		t := plot.Tick{Value: at}
		if math.Mod(at, named) == 0 {
			t.Label = strconv.FormatFloat(at, 'f', -1, 64)
		}
		all = append(all, t)
	}
	return all
}
