package year

import (
	"math"

	"recirc/calc/arrival"
	"recirc/calc/quantity"
)

// Lag says how a hot front passes a wall that takes heat. A part of the wall
// takes it at once and delays the front, the rest slowly and cools what follows.
type Lag struct {
	Ratio    float64 // of the volume at which the front comes to that of the pipe, 1 to 1 + Cp/Cw; zero: 1 + Cp/Cw, the whole wall at once
	Exchange float64 // between water and the slow part of the wall, W/(m.K); not looked at if there is none
}

// Tube is what a lag depends on.
type Tube struct {
	Bore, Outside    quantity.Length
	WallConductivity quantity.Conductivity // zero: one temperature across the wall
	WallHeatCapacity float64               // J/(m3.K)
	Film             float64               // water to wall, W/(m2.K); 0: always at one temperature
	Length           quantity.Length       // of the way that is fitted
	Flow             quantity.Flow
	WaterHeat        float64              // J/(m3.K)
	Cold, Hot        quantity.Temperature // before and behind the front
	Usable           quantity.Temperature // between the two: where it is fitted
}

// LagOf fits the lag of a kind of pipe, so that usable water comes through a length
// of it when [arrival.Front] says it does
//
//	r = R                                      if the front is usable at once: 1 - u >= e
//	r = R + (W - R)/e ln(e/(1 - u))            else
//	e = 1 - exp(-G L/(q rho c)),  u = (Tu - Tc)/(Th - Tc),  1/G = 1/(h pi d) + ln(D/d)/(4 pi k)
//
//	r  volume drawn until usable water comes, over that of the pipe    1
//	R  Lag.Ratio, from 1 to W = 1 + Cp/Cw                              1
//	G  Lag.Exchange: film and half of the wall                         W/(m.K)
//
// that is, behind the front the slow part of the wall, taken to be of one temperature,
// takes the share e of what the water is warmer. The heat that the wall takes in the end is its
// own whatever R. Where no R gives r the nearest is taken.
//
// Errors: an [*arrival.InputError]; one too if usable water does not come.
//
// Source: energy balance of a wall of one temperature; the fit is ours.
func LagOf(t Tube) (Lag, error) {
	d, D := t.Bore.Metres(), t.Outside.Metres()
	front := arrival.Front{
		Segments: []arrival.Segment{{
			Length: t.Length, Bore: t.Bore, Outside: t.Outside, WallConductivity: t.WallConductivity,
			WallHeatCapacity: t.WallHeatCapacity, Film: t.Film, Initial: t.Cold,
		}},
		Flow: t.Flow, Density: 1000, SpecificHeat: t.WaterHeat / 1000, Inlet: t.Hot,
	}
	a, err := front.Arrive(arrival.Options{Thresholds: []quantity.Temperature{t.Usable}})
	if err != nil {
		return Lag{}, err
	}
	if u := t.Usable.Kelvin(); !(u > t.Cold.Kelvin() && u < t.Hot.Kelvin()) || !a.Crossings[0].Reached {
		return Lag{}, &arrival.InputError{Field: "Usable", Value: u, Reason: "must be between cold and hot"}
	}
	whole := 1 + t.WallHeatCapacity*(D*D-d*d)/(t.WaterHeat*d*d)
	if t.Film == 0 || whole < 1+1e-9 {
		return Lag{Ratio: whole, Exchange: 1}, nil
	}
	resistance := 1 / (t.Film * math.Pi * d)
	if k := t.WallConductivity.WattsPerMetreKelvin(); k > 0 {
		resistance += math.Log(D/d) / (4 * math.Pi * k)
	}
	G := 1 / resistance
	e := 1 - math.Exp(-G*t.Length.Metres()/(t.Flow.CubicMetresPerSecond()*t.WaterHeat))
	u := (t.Usable.Kelvin() - t.Cold.Kelvin()) / (t.Hot.Kelvin() - t.Cold.Kelvin())
	r := a.Crossings[0].Ratio
	R := r
	if 1-u < e {
		if k := math.Log(e/(1-u)) / e; math.Abs(1-k) > 0.01 {
			R = (r - k*whole) / (1 - k)
		}
	}
	return Lag{Ratio: max(1, min(whole, R)), Exchange: G}, nil
}
