package draw

import (
	"math"

	"recirc/calc/calendar"
	"recirc/calc/quantity"
	"recirc/calc/water"
)

// RangeError is an argument outside the range of a formula.
type RangeError = quantity.RangeError

// Conditions are what a pattern is drawn under.
type Conditions struct {
	Hot, Cold quantity.Temperature // needed where draws are energies

	// Shift moves all draws later; what passes midnight comes at the day's
	// beginning. A pattern by elapsed time begins then.
	Shift quantity.Duration
}

// Events gives the draws of a pattern as volumes, sorted by time, all at fixture
// 0. A printed volume is taken as it is, whatever the temperatures; an energy by
// [VolumeOf].
//
// Errors: a [*RangeError].
func (p Pattern) Events(c Conditions) ([]Event, error) {
	shift := c.Shift.Seconds()
	if err := quantity.Between("draw.Events", "shift", shift, 0, calendar.SecondsOfDay, "s"); err != nil {
		return nil, err
	}
	events := make([]Event, len(p.Draws))
	for i, d := range p.Draws {
		volume := d.Volume
		if d.Energy.Joules() > 0 {
			var err error
			if volume, err = VolumeOf(d.Energy, c.Hot, c.Cold); err != nil {
				return nil, err
			}
		}
		at := math.Mod(d.At.Seconds()+shift, calendar.SecondsOfDay)
		events[i] = Event{At: quantity.Seconds(at), Volume: volume, Flow: d.Flow, Use: d.Use}
	}
	inTime(events)
	return events, nil
}

// VolumeOf gives the volume of hot water that carries an energy above cold
//
//	V = Q/[rho(Th) (h(Th) - h(Tc))],  h(Th) - h(Tc) = integral of cp from Tc to Th
//
//	Q       energy                              J    0 to 1e15
//	Th, Tc  of the hot and of the cold water    K    273.15 to 383.15, Th - Tc >= 1 K
//
// The volume is that of the hot water as it is drawn: at 60 degC it is 1.7 %
// more than when it was cold. The integral is within 1e-5 of the properties'.
//
// Errors: a [*RangeError].
//
// Source: definition of specific heat; properties by IAPWS SR6-08.
func VolumeOf(energy quantity.Energy, hot, cold quantity.Temperature) (quantity.Volume, error) {
	const operation = "draw.VolumeOf"
	Q, Th, Tc := energy.Joules(), hot.Kelvin(), cold.Kelvin()
	if err := quantity.Between(operation, "Q", Q, 0, 1e15, "J"); err != nil {
		return quantity.Volume{}, err
	}
	if err := quantity.Between(operation, "Tc", Tc, water.Coldest, water.Hottest-1, "K"); err != nil {
		return quantity.Volume{}, err
	}
	if err := quantity.Between(operation, "Th", Th, Tc+1, water.Hottest, "K"); err != nil {
		return quantity.Volume{}, err
	}
	w, err := water.At(hot)
	if err != nil {
		return quantity.Volume{}, err
	}
	h, err := enthalpyRise(Tc, Th)
	if err != nil {
		return quantity.Volume{}, err
	}
	return quantity.CubicMetres(Q / (w.Density * h)), nil
}

// enthalpyRise integrates the specific heat by Simpson's rule, in J/kg. One step
// over the whole range would be 3e-4 off, because cp bends near 0 degC.
func enthalpyRise(Tc, Th float64) (float64, error) {
	const steps = 8 // even
	sum := 0.0
	for i := range steps + 1 {
		w, err := water.At(quantity.Kelvin(Tc + (Th-Tc)*float64(i)/steps))
		if err != nil {
			return 0, err
		}
		switch {
		case i == 0 || i == steps:
			sum += w.SpecificHeat
		case i%2 == 1:
			sum += 4 * w.SpecificHeat
		default:
			sum += 2 * w.SpecificHeat
		}
	}
	return sum * (Th - Tc) / (3 * steps), nil
}
