package picture

import (
	"errors"
	"fmt"
	"strings"

	"gonum.org/v1/plot/vg/draw"

	"recirc/calc/quantity"
)

// Arrangement is one arrangement of a comparison, as a picture shows it.
type Arrangement struct {
	Name string

	// Costs are cumulative, by year from the base date on. None if they are not
	// assessed: then the arrangement is named, and not drawn among them.
	Costs []float64

	Waits []Served // rising; none if nothing was drawn

	// Energy of a year, as it is paid for, and hot water of a year that ran to waste.
	Heater, Pump, Trace, LocalHeater quantity.Energy
	Wasted                           quantity.Volume
}

// Served is the share of draws, 0 to 1, that usable water reached within a time.
type Served struct {
	Within quantity.Duration
	Share  float64
}

// Arrangements is a comparison, the arrangements in the order of the answer.
type Arrangements struct {
	All        []Arrangement
	Currency   string
	Discounted bool // the costs are at present value
}

// mostArrangements is how many one picture shows.
const mostArrangements = 12

// arrangementStyle tells arrangements apart: beyond the eight styles the colours
// come again with other dashes.
func arrangementStyle(i int) draw.LineStyle {
	look := styles[i%len(styles)]
	if i >= len(styles) {
		look.dashes = styles[(i+3)%len(styles)].dashes
	}
	return draw.LineStyle{Color: look.color, Dashes: look.dashes, Width: usualWidth}
}

// Comparison draws what every arrangement costs over the years, how long its draws
// wait, and what it takes in energy and water a year.
func Comparison(a *Arrangements, us bool) ([]byte, error) {
	shown := a.All[:min(len(a.All), mostArrangements)]
	if err := checkAmounts(shown); err != nil {
		return nil, err
	}
	title := "Arrangements compared"
	strips := []strip{headingStrip(title)}
	add := func(s []strip, err error) error {
		strips = append(strips, s...)
		return err
	}
	if err := errors.Join(add(costStrips(shown, a)), add(waitStrips(shown)), add(barStrips(shown, us))); err != nil {
		return nil, err
	}
	if left := len(a.All) - len(shown); left > 0 {
		strips = append(strips, noteStrip(fmt.Sprintf("The first %d of %d arrangements are shown; %d are left out.", len(shown), len(a.All), left)))
	}
	return drawnStrips(title, describeArrangements(shown, a, us), strips)
}

func checkAmounts(shown []Arrangement) error {
	for i := range shown {
		r := &shown[i]
		for _, v := range append(energies(r), r.Wasted.CubicMetres()) {
			if !finite(v) || v < 0 {
				return fmt.Errorf("picture: an amount of %.60q is no number from zero on", r.Name)
			}
		}
	}
	return nil
}

// energies gives the parts of an arrangement's energy in J, in the order of energyParts.
func energies(r *Arrangement) []float64 {
	return []float64{r.Heater.Joules(), r.Pump.Joules(), r.Trace.Joules(), r.LocalHeater.Joules()}
}

// names lists arrangements.
func names(all []*Arrangement) string {
	var n []string
	for _, r := range all {
		n = append(n, shortened(r.Name))
	}
	return strings.Join(n, ", ")
}

// describeArrangements tells the picture in sentences.
func describeArrangements(shown []Arrangement, a *Arrangements, us bool) string {
	energy, water := yearlyEnergy(us), unitOf(quantity.VolumeDimension, us)
	var says []string
	for i := range shown {
		r := &shown[i]
		cost := "costs not assessed"
		if n := len(r.Costs); n > 0 {
			cost = fmt.Sprintf("%s %s after %d years", amount(r.Costs[n-1]), a.Currency, n-1)
		}
		sum := 0.0
		for _, v := range energies(r) {
			sum += v
		}
		says = append(says, fmt.Sprintf("%s: %s; %s %s and %s %s of wasted water a year.",
			r.Name, cost, amount(energy.FromSI(sum)), energy.Symbol, amount(water.FromSI(r.Wasted.CubicMetres())), water.Symbol))
	}
	if left := len(a.All) - len(shown); left > 0 {
		says = append(says, fmt.Sprintf("%d more arrangements are left out.", left))
	}
	return strings.Join(says, " ")
}

// yearlyEnergy is the unit for the energy of a year: a Btu would be too small.
func yearlyEnergy(us bool) quantity.Unit {
	unit := unitOf(quantity.EnergyDimension, us)
	if us {
		return quantity.Unit{Symbol: "million " + unit.Symbol, Factor: 1e6 * unit.Factor}
	}
	return unit
}
