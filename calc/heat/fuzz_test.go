package heat

import (
	"errors"
	"math"
	"reflect"
	"testing"

	"recirc/calc/internal/solve"
	"recirc/calc/quantity"
	"recirc/calc/water"
)

// finite looks into every number of an answer.
func finite(t *testing.T, what string, v reflect.Value) {
	t.Helper()
	switch v.Kind() {
	case reflect.Float64:
		if x := v.Float(); math.IsNaN(x) || math.IsInf(x, 0) {
			t.Errorf("%s is %v", what, x)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			finite(t, what+"."+v.Type().Field(i).Name, v.Field(i))
		}
	}
}

// accepted reports that there is an answer. A search that fails is no excuse: what
// has none must be refused before it.
func accepted(t *testing.T, err error) bool {
	t.Helper()
	var search *solve.Error
	if errors.As(err, &search) {
		t.Error(err)
	}
	return err == nil
}

// FuzzPipe: whatever the numbers, an answer is finite or an error.
func FuzzPipe(f *testing.F) {
	add := func(bore, wall, thickness, k, perKelvin, ambient, radiant, emissivity, depth, h, water, flow float64) {
		for kind := range byte(6) {
			f.Add(bore, wall, thickness, k, perKelvin, ambient, radiant, emissivity, depth, h, water, flow, kind)
			f.Add(bore, wall, thickness, k, perKelvin, ambient, radiant, emissivity, depth, h, water, flow, 132+kind) // vertical
		}
	}
	add(0.02, 0.001, 0.013, 0.035, 1e-4, 293.15, 0, 0.9, 0.8, 10, 333.15, 1e-4)
	add(0.02, 0.001, 0.013, 0.035, 0, 293.15, 280, 0.9, 0.8, 10, 293.15, 0)
	add(0.02, 0, 0, 1, 0, 333.15, 0, 0, 0.8, 10, 275, 5e-5)
	add(1e-5, 19, 20, 1e-4, 0, 373, 0, 1, 1e4, 1e-3, 383.15, 100)
	add(0.02, 0.001, 0.05, 0.03, -1e-3, 300, 0, 0.9, 0.8, 10, 310, 1e-4)
	for _, x := range []float64{0, 1e-320, 1e-9, 1e9, 1e308, -1, math.NaN(), math.Inf(1), math.Inf(-1)} {
		add(x, x, x, x, x, x, x, x, x, x, x, x)
		add(0.02, 0.001, x, 0.035, 0, 293.15, 0, 0.9, 0.8, 10, 333.15, x)
		add(0.02, x, 0.013, 0.035, x, 293.15, x, 0.9, x, x, 333.15, 1e-4)
		add(x, 0.001, 0.013, x, 0, 293.15, 0, x, 0.8, 10, 333.15, 1e-4)
		add(0.02, 0.001, 0.013, 0.035, 0, x, 0, 0.9, 0.8, 10, 333.15, 1e-4)
		add(0.02, 0.001, 0.013, 0.035, 0, 293.15, 0, 0.9, 0.8, 10, x, 0)
	}
	kinds := []Kind{StillAir, MovingAir, Buried, InSlab, GivenCoefficient, "unheard"}
	f.Fuzz(func(t *testing.T, bore, wall, thickness, k, perKelvin, ambient, radiant, emissivity, depth, h, Tw, flow float64, kind byte) {
		m, K := quantity.Metres, quantity.Kelvin
		p := Pipe{
			Tube: Tube{Bore: m(bore), Outside: m(bore + 2*wall), Conductivity: quantity.WattsPerMetreKelvin(k), HeatCapacity: depth * 1e6, Roughness: m(thickness / 1e3)},
			Layers: []Layer{
				{Thickness: m(thickness), Conductivity: Conductivity{K: quantity.WattsPerMetreKelvin(k), Reference: K(ambient), PerKelvin: perKelvin}, HeatCapacity: h * 1e4},
				{Thickness: m(thickness), Conductivity: Constant(quantity.WattsPerMetreKelvin(k))},
			},
			Surroundings: Surroundings{
				Kind: kinds[int(kind)%len(kinds)], Temperature: K(ambient), Radiant: K(radiant), Emissivity: emissivity,
				AirSpeed: quantity.MetresPerSecond(depth), Depth: m(depth), GroundConductivity: quantity.WattsPerMetreKelvin(k),
				Coefficient: quantity.WattsPerSquareMetreKelvin(h),
			},
			Height: m(depth), FittingsAllowance: emissivity,
		}
		if kind >= 128 {
			p.Orientation = Vertical
		}
		loss, err := p.Loss(K(Tw), quantity.CubicMetresPerSecond(flow))
		if accepted(t, err) {
			finite(t, "Loss", reflect.ValueOf(loss))
			if loss.UA < 0 {
				t.Errorf("UA %v", loss.UA)
			}
		}
		cooled, err := p.CoolDown(K(Tw), []quantity.Temperature{K(ambient), K(radiant), K((Tw + ambient) / 2)}, CoolDownOptions{})
		if accepted(t, err) {
			for _, c := range cooled {
				finite(t, "Cooled", reflect.ValueOf(c))
				if c.After.Seconds() < 0 {
					t.Errorf("%+v", c)
				}
			}
		}
		if capacity, err := p.Capacity(K(Tw), nil); accepted(t, err) {
			finite(t, "Capacity", reflect.ValueOf(capacity))
		}
	})
}

// FuzzSmall does the same with the small formulas.
func FuzzSmall(f *testing.F) {
	for _, x := range []float64{0, 1e-320, 1e-9, 0.02, 1, 60, 300, 1e9, 1e308, -1, math.NaN(), math.Inf(1), math.Inf(-1)} {
		f.Add(x, x, x, x)
		f.Add(0.02, x, 300.0, 330.0)
		f.Add(0.02, 1.0, x, 330.0)
		f.Add(x, 0.4, 290.0, 290.0)
	}
	f.Fuzz(func(t *testing.T, a, b, c, d float64) {
		m, k, h, K := quantity.Metres, quantity.WattsPerMetreKelvin, quantity.WattsPerSquareMetreKelvin, quantity.Kelvin
		check := func(what string, v any, err error) {
			t.Helper()
			if accepted(t, err) {
				finite(t, what, reflect.ValueOf(v))
			}
		}
		r, err := WallResistance(m(a), m(b), k(c))
		check("WallResistance", r, err)
		r, err = FilmResistance(m(a), h(b))
		check("FilmResistance", r, err)
		radius, err := CriticalRadius(k(a), h(b))
		check("CriticalRadius", radius, err)
		cover := Cover{Inner: m(a), Conductivity: k(b)}
		value, err := cover.RValue(m(c))
		check("RValue", value, err)
		thickness, err := cover.Thickness(quantity.SquareMetreKelvinPerWatt(c))
		check("Thickness", thickness, err)
		radiation, err := RadiationCoefficient(b, K(c), K(d))
		check("RadiationCoefficient", radiation, err)
		for _, o := range []Orientation{Horizontal, Vertical} {
			film, err := NaturalConvection(Still{Diameter: m(a), Orientation: o, Height: m(b)}, K(c), K(d))
			check("NaturalConvection", film, err)
		}
		for _, kind := range []Kind{Buried, InSlab} {
			s, err := ShapeFactor(kind, m(a), m(b))
			check("ShapeFactor", s, err)
		}
		inside, err := InsideFilm(Tube{Bore: m(a), Roughness: m(b)}, quantity.CubicMetresPerSecond(c), water.Properties{Density: d, SpecificHeat: d, Viscosity: b, Conductivity: b})
		check("InsideFilm", inside, err)
		along, err := TemperatureAlong(Run{UA: a, Length: m(b), Ambient: K(c)}, K(d), b)
		check("TemperatureAlong", along, err)
		stream, err := RequiredStream([]Run{{UA: a, Length: m(b), Ambient: K(c)}, {UA: b, Length: m(a), Ambient: K(300)}}, K(d), K((c+d)/2))
		check("RequiredStream", stream, err)
		stream, err = Stream(quantity.CubicMetresPerSecond(a), water.Properties{Density: b, SpecificHeat: c})
		check("Stream", stream, err)
		flow, err := FlowOf(a, water.Properties{Density: b, SpecificHeat: c})
		check("FlowOf", flow, err)
		cooled, err := CoolDownConstant(Lump{UA: a, Capacity: b, Ambient: K(c)}, K(d), K((c+d)/2))
		check("CoolDownConstant", cooled, err)
	})
}
