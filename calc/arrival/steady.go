package arrival

import (
	"math"

	"recirc/calc/quantity"
)

// Steady gives the temperature at the outlet in the long run, segment by
// segment
//
//	T2 = Ta + (T1 - Ta) exp(-U L/(q rho c))
//	1/U = 1/(h pi d) + ln(D/d)/(2 pi k) + 1/Uo
//
//	T1, T2  water at inlet and outlet          K
//	Ta      surroundings                       K
//	L       length                             m          L > 0
//	h       film coefficient                   W/(m2.K)   left out if 0
//	d, D    bore and outside diameter          m          D >= d > 0
//	k       conductivity of the wall           W/(m.K)    left out if 0
//	Uo      outer wall surface to surroundings W/(m.K)    Uo >= 0
//	q, rho, c  flow, density, specific heat    m3/s, kg/m3, J/(kg.K)
//
// T1 is the inlet temperature, the last one of a table. Errors as
// [Front.Arrive].
//
// Source: energy balance of a flow that loses heat, textbook; from memory.
func (f Front) Steady() (quantity.Temperature, error) {
	if err := f.check(); err != nil {
		return quantity.Temperature{}, err
	}
	t := f.steady()
	if math.IsNaN(t) || math.IsInf(t, 0) {
		return quantity.Temperature{}, &InputError{"Front", t, "gives no finite temperature"}
	}
	return quantity.Kelvin(t), nil
}

func (f Front) steady() float64 {
	t := f.finalInlet()
	for _, s := range f.Segments {
		t = f.steadyAfter(s, t)
	}
	return t
}

// steadyAfter is the temperature behind a segment, in K.
func (f Front) steadyAfter(s Segment, in float64) float64 {
	if s.UA == 0 {
		return in
	}
	units := lossPerKelvin(s) * s.Length.Metres() / (f.Flow.CubicMetresPerSecond() * f.Density * f.SpecificHeat)
	return s.Ambient.Kelvin() + (in-s.Ambient.Kelvin())*math.Exp(-units)
}

// canReach reports that the outlet may come up to a temperature. It cannot
// where nothing is as hot, nor above steady where nothing starts above steady:
// then nothing gets there either.
func (f Front) canReach(threshold float64) bool {
	if threshold > f.hottest() {
		return false
	}
	if threshold <= f.steady() || f.hottestInlet() > f.finalInlet() {
		return true
	}
	in := f.finalInlet()
	for _, s := range f.Segments {
		out := f.steadyAfter(s, in)
		if _, high := s.initialRange(); high > math.Min(in, out) {
			return true
		}
		in = out
	}
	return false
}

func (f Front) finalInlet() float64 {
	if n := len(f.InletTable); n > 0 {
		return f.InletTable[n-1].Temperature.Kelvin()
	}
	return f.Inlet.Kelvin()
}

func (f Front) hottestInlet() float64 {
	hot := f.finalInlet()
	for _, p := range f.InletTable {
		hot = math.Max(hot, p.Temperature.Kelvin())
	}
	if len(f.InletTable) == 0 && f.StartUpDelay.Seconds() > 0 {
		hot = math.Max(hot, f.BeforeStart.Kelvin())
	}
	return hot
}

// hottest and coldest of all that takes part, in K.
func (f Front) hottest() float64 { return math.Max(f.hottestInlet(), f.hottestInitial()) }

func (f Front) hottestInitial() float64 {
	hot := 0.0
	for _, s := range f.Segments {
		_, high := s.initialRange()
		hot = math.Max(hot, high)
		if s.UA > 0 {
			hot = math.Max(hot, s.Ambient.Kelvin())
		}
	}
	return hot
}

func (f Front) coldest() float64 {
	cold := f.finalInlet()
	for _, p := range f.InletTable {
		cold = math.Min(cold, p.Temperature.Kelvin())
	}
	if len(f.InletTable) == 0 && f.StartUpDelay.Seconds() > 0 {
		cold = math.Min(cold, f.BeforeStart.Kelvin())
	}
	for _, s := range f.Segments {
		low, _ := s.initialRange()
		cold = math.Min(cold, low)
		if s.UA > 0 {
			cold = math.Min(cold, s.Ambient.Kelvin())
		}
	}
	return cold
}
