package arrival

import (
	"math"

	"recirc/calc/quantity"
)

// MaxPoints is the longest curve that [Front.Arrive] gives.
const MaxPoints = 10000

// answer turns what was simulated into the answer.
func (r *run) answer(f Front) (Arrival, error) {
	a := Arrival{
		Crossings: make([]Crossing, len(r.options.Thresholds)),
		Steady:    quantity.Kelvin(f.steady()), PipeVolume: f.volume(), PlugTime: PlugFlow(f.volume(), f.Flow),
		Residual: r.residual(), Cells: len(r.grid.water), Exchanges: r.exchanges,
	}
	for i, t := range r.options.Thresholds {
		a.Crossings[i] = Crossing{Threshold: t}
		if !f.canReach(t.Kelvin()) {
			continue
		}
		if at, ok := r.trace.reach(t.Kelvin() - r.grid.base); ok && (r.horizon == 0 || at <= r.horizon) {
			v := DrawnVolume(f.Flow, quantity.Seconds(at))
			a.Crossings[i] = Crossing{
				Threshold: t, Reached: true, Time: quantity.Seconds(at), Volume: v, Ratio: at / a.PlugTime.Seconds(),
				MeanOutlet: quantity.Kelvin(r.trace.mean(at) + r.grid.base),
			}
		}
	}
	a.Curve = r.curve()
	if !a.finite() {
		return Arrival{}, &InputError{"Front", a.PlugTime.Seconds(), "gives no finite result"}
	}
	return a, nil
}

// residual is what the energy balance lacks, as a share of the heat that came in
// or was there.
func (r *run) residual() float64 {
	lacking := math.Abs(r.in - r.out - r.lost - (r.grid.heat() - r.stored))
	if lacking == 0 {
		return 0
	}
	return lacking / math.Max(math.Abs(r.in), math.Abs(r.stored))
}

// curve draws the outlet temperature.
func (r *run) curve() []Point {
	n := r.options.Curve
	if n == 0 {
		return nil
	}
	end := r.horizon
	if last := len(r.trace.time) - 1; end == 0 && last >= 0 {
		end = r.trace.time[last]
	}
	points := make([]Point, n)
	for i := range points {
		t := end * float64(i) / float64(n-1)
		points[i] = Point{quantity.Seconds(t), quantity.Kelvin(r.trace.at(t) + r.grid.base)}
	}
	return points
}

func (a *Arrival) finite() bool {
	sum := a.Steady.Kelvin() + a.Residual + a.PipeVolume.CubicMetres() + a.PlugTime.Seconds()
	for _, c := range a.Crossings {
		sum += c.Time.Seconds() + c.Volume.CubicMetres() + c.Ratio + c.MeanOutlet.Kelvin()
	}
	for _, p := range a.Curve {
		sum += p.Time.Seconds() + p.Temperature.Kelvin()
	}
	return !math.IsNaN(sum) && !math.IsInf(sum, 0)
}
