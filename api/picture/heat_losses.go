package picture

import (
	"fmt"
	"image/color"
	"sort"
	"strings"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"recirc/calc/quantity"
	"recirc/service"
)

// mostBars is how many pipes one picture shows, the largest losses first.
const mostBars = 24

const barWidth = vg.Length(11)

// HeatLosses draws the loss of each pipe as a bar and, where another insulation
// was asked about, the loss with that below it in outline.
func HeatLosses(a *service.HeatLossesAnswer, us bool) ([]byte, error) {
	shown := largestLosses(a.Pipes)
	unit := unitOf(quantity.HeatFlowDimension, us)
	title := "Heat loss by pipe"
	if len(shown) < len(a.Pipes) {
		title = fmt.Sprintf("Heat loss by pipe, the %d largest of %d", len(shown), len(a.Pipes))
	}
	p := newPlot(title, "heat loss, "+unit.Symbol, "")
	names := make([]string, len(shown))
	present, other := make(plotter.Values, len(shown)), make(plotter.Values, len(shown))
	says := []string{fmt.Sprintf("Together %.4g %s.", unit.FromSI(a.Totals.All.Watts()), unit.Symbol)}
	for i, loss := range shown {
		at := len(shown) - 1 - i // the largest on top
		names[at], present[at] = shortened(loss.Pipe), unit.FromSI(loss.Total.Watts())
		says = append(says, fmt.Sprintf("%s: %.4g %s.", loss.Pipe, present[at], unit.Symbol))
		if loss.With != nil {
			other[at] = unit.FromSI(loss.With.Total.Watts())
		}
	}
	bars, err := bar(present, styles[0].color)
	if err != nil {
		return nil, err
	}
	p.Add(bars)
	p.Legend.Add("as it is", bars)
	if a.Totals.Compared {
		outline, err := bar(other, color.RGBA{R: 0xff, G: 0xff, B: 0xff, A: 0xff})
		if err != nil {
			return nil, err
		}
		bars.Offset, outline.Offset = barWidth/2, -barWidth/2
		p.Add(outline)
		p.Legend.Add("with the other insulation", outline)
	}
	p.NominalY(names...)
	p.X.Max *= 1.05
	p.Legend.Top = false
	p.Legend.Padding = 2
	return render(p, vg.Length(110+40*len(shown)), strings.Join(says, " "))
}

func bar(values plotter.Values, fill color.Color) (*plotter.BarChart, error) {
	b, err := plotter.NewBarChart(values, barWidth)
	if err != nil {
		return nil, err
	}
	b.Horizontal, b.Color = true, fill
	b.LineStyle.Color, b.LineStyle.Width = ink, 1
	return b, nil
}

func largestLosses(all []service.PipeHeatLoss) []*service.PipeHeatLoss {
	shown := make([]*service.PipeHeatLoss, len(all))
	for i := range all {
		shown[i] = &all[i]
	}
	sort.SliceStable(shown, func(i, j int) bool { return shown[i].Total.Watts() > shown[j].Total.Watts() })
	return shown[:min(len(shown), mostBars)]
}
