package heat

import (
	"math"

	"recirc/calc/internal/solve"
	"recirc/calc/quantity"
	"recirc/calc/source"
	"recirc/calc/water"
)

// AlongSource is where the temperature along a pipe is from.
const AlongSource source.ID = "flow_with_loss"

// Run is a length of pipe with one loss coefficient and one ambient temperature.
type Run struct {
	UA      float64 // W/(m.K), as [Loss.UA]
	Length  quantity.Length
	Ambient quantity.Temperature // as [Loss.Ambient]
}

// Along is what becomes of water that flows through a run.
type Along struct {
	Outlet, Mean  quantity.Temperature // mean over the length
	Loss          float64              // W; below zero if the water is warmed
	TransferUnits float64              // UA L/W
}

// Stream gives the heat that a flow carries per kelvin, in W/K
//
//	W = q rho cp
//
//	q        flow                                         m3/s             0 <= q <= 100
//	rho, cp  of the water at the place where q is given   kg/m3, J/(kg.K)
//
// In gal/min, degF and Btu/h, with cold water, it is what the trade rounds to 500.
//
// Errors: a [*RangeError].
//
// Source: definition of specific heat.
func Stream(q quantity.Flow, w water.Properties) (float64, error) {
	c := quantity.Checks{Operation: "heat.Stream"}
	c.Between("q", q.CubicMetresPerSecond(), 0, greatestFlow, "m3/s")
	c.Between("rho cp", w.VolumetricHeat(), 1, greatestHeat, "J/(m3.K)")
	if c.Err != nil {
		return 0, c.Err
	}
	return q.CubicMetresPerSecond() * w.VolumetricHeat(), nil
}

// FlowOf gives the flow that carries W, the inverse of [Stream].
//
// Errors: a [*RangeError].
func FlowOf(stream float64, w water.Properties) (quantity.Flow, error) {
	c := quantity.Checks{Operation: "heat.FlowOf"}
	c.Between("W", stream, 0, greatestStream, "W/K")
	c.Between("rho cp", w.VolumetricHeat(), 1, greatestHeat, "J/(m3.K)")
	if c.Err != nil {
		return quantity.Flow{}, c.Err
	}
	return quantity.CubicMetresPerSecond(stream / w.VolumetricHeat()), nil
}

// TemperatureAlong gives the temperature of water that flows through a run
//
//	Tout  = Ta + (Tin - Ta) exp(-N),  N = UA L/W
//	Tmean = Ta + (Tin - Ta) [1 - exp(-N)]/N
//	loss  = W (Tin - Tout) = UA L (Tmean - Ta)
//
//	UA   loss per metre and kelvin, held fixed   W/(m.K)  UA >= 0
//	L    length                                  m        L >= 0
//	W    mass flow times specific heat           W/K      W > 0
//	Tin  at the inlet, Ta ambient                K
//
// Valid for steady flow. UA falls as the water cools, by about 1 % for 3 K in a
// bare pipe: take it at the mean temperature, or split a long run.
//
// Errors: a [*RangeError].
//
// Source: energy balance of a slice of the pipe, textbook heat transfer.
func TemperatureAlong(r Run, inlet quantity.Temperature, stream float64) (Along, error) {
	c := quantity.Checks{Operation: "heat.TemperatureAlong"}
	r.check(&c)
	c.Between("Tin", inlet.Kelvin(), coldest, hottest, "K")
	c.Between("W", stream, leastStream, greatestStream, "W/K")
	if c.Err != nil {
		return Along{}, c.Err
	}
	return r.along(inlet.Kelvin(), stream), nil
}

// 1e-6 W/K is a drop of water an hour.
const leastStream, greatestStream = 1e-6, 1e9

func (r *Run) along(Tin, stream float64) Along {
	Ta, N := r.Ambient.Kelvin(), r.conductance()/stream
	spent := -math.Expm1(-N) // of the difference
	share := 1.0             // of the difference, as the mean along the run
	if N > 0 {
		share = spent / N
	}
	return Along{
		Outlet: quantity.Kelvin(Ta + (Tin-Ta)*(1-spent)), Mean: quantity.Kelvin(Ta + (Tin-Ta)*share),
		Loss: stream * (Tin - Ta) * spent, TransferUnits: N,
	}
}

// conductance is UA L, in W/K.
func (r *Run) conductance() float64 { return r.UA * r.Length.Metres() }

func (r *Run) check(c *quantity.Checks) {
	c.Between("UA", r.UA, 0, greatestOne, "W/(m.K)")
	c.Between("L", r.Length.Metres(), 0, greatestLength, "m")
	c.Between("Ta", r.Ambient.Kelvin(), coldest, hottest, "K")
}

// RequiredStream gives the stream W with which water that enters a chain of
// runs leaves it at a wanted temperature
//
//	Tout(W) = Tout wanted,  by [TemperatureAlong] from run to run
//
//	Tin, Tout  with every ambient < Tout < Tin   K
//
// The estimate without cooling on the way, sum UA L (Tin - Ta)/(Tin - Tout), is 4
// to 15 % higher. Runs that lose nothing, or next to it, need no stream: 0.
//
// Errors: a [*RangeError], also if the wanted temperature is not below the inlet
// or not above every ambient, where no flow or every flow would do.
//
// Source: energy balance, textbook heat transfer.
func RequiredStream(runs []Run, inlet, outlet quantity.Temperature) (float64, error) {
	c := quantity.Checks{Operation: "heat.RequiredStream"}
	Tin, Tout := inlet.Kelvin(), outlet.Kelvin()
	c.Between("Tin", Tin, coldest, hottest, "K")
	warmest := float64(coldest)
	for i := range runs {
		runs[i].check(&c)
		warmest = max(warmest, runs[i].Ambient.Kelvin())
	}
	// A thousandth of a kelvin from either end the stream is beyond any pipe.
	c.Between("Tout", Tout, warmest+1e-3, Tin-1e-3, "K")
	if c.Err != nil {
		return 0, c.Err
	}
	var least, most float64 // had the water the outlet's, or the inlet's temperature throughout
	for i := range runs {
		r := &runs[i]
		least += r.conductance() * (Tout - r.Ambient.Kelvin()) / (Tin - Tout)
		most += r.conductance() * (Tin - r.Ambient.Kelvin()) / (Tin - Tout)
	}
	if most < leastStream {
		return 0, nil
	}
	stream, err := solve.Root(func(stream float64) float64 {
		T := Tin
		for i := range runs {
			T = runs[i].along(T, stream).Outlet.Kelvin()
		}
		return T - Tout
	}, least*(1-1e-9), most*(1+1e-9), 1e-13, 200)
	return stream, err
}
