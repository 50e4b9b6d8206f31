package heat

import (
	"errors"
	"math"
	"strings"
	"testing"

	"recirc/calc/quantity"
)

// TestRefuses: each argument out of range is named in a typed error.
func TestRefuses(t *testing.T) {
	m := quantity.Metres
	for symbol, breaks := range map[string]func(*Pipe){
		"Bore":                        func(p *Pipe) { p.Tube.Bore = m(0) },
		"Outside":                     func(p *Pipe) { p.Tube.Outside = m(0.01) },
		"wall conductivity":           func(p *Pipe) { p.Tube.Conductivity = quantity.Conductivity{} },
		"wall heat capacity":          func(p *Pipe) { p.Tube.HeatCapacity = -1 },
		"Roughness":                   func(p *Pipe) { p.Tube.Roughness = m(0.01) },
		"number of layers":            func(p *Pipe) { p.Layers = make([]Layer, MaxLayers+1) },
		"Thickness":                   func(p *Pipe) { p.Layers[0].Thickness = m(-0.001) },
		"conductivity at the coldest": func(p *Pipe) { p.Layers[0].Conductivity.K = quantity.WattsPerMetreKelvin(0) },
		"conductivity at the warmest": func(p *Pipe) {
			p.Layers[0].Conductivity.PerKelvin, p.Layers[0].Conductivity.Reference = -0.0009, quantity.Celsius(20)
		},
		"PerKelvin":                       func(p *Pipe) { p.Layers[0].Conductivity.PerKelvin = math.Inf(1) },
		"layer heat capacity":             func(p *Pipe) { p.Layers[0].HeatCapacity = math.NaN() },
		"Height":                          func(p *Pipe) { p.Height = m(-1) },
		"FittingsAllowance":               func(p *Pipe) { p.FittingsAllowance = -0.1 },
		"surroundings temperature":        func(p *Pipe) { p.Surroundings.Temperature = quantity.Temperature{} },
		"Radiant":                         func(p *Pipe) { p.Surroundings.Radiant = quantity.Kelvin(math.NaN()) },
		"Emissivity":                      func(p *Pipe) { p.Surroundings.Emissivity = 1.01 },
		"coldest film temperature":        func(p *Pipe) { p.Surroundings.Temperature = quantity.Kelvin(150) },
		"AirSpeed":                        func(p *Pipe) { p.Surroundings.Kind, p.Surroundings.AirSpeed = MovingAir, quantity.MetresPerSecond(-1) },
		"GroundConductivity":              func(p *Pipe) { p.Surroundings.Kind = Buried },
		"Coefficient":                     func(p *Pipe) { p.Surroundings.Kind = GivenCoefficient },
		"no orientation \"slanting\"":     func(p *Pipe) { p.Orientation = "slanting" },
		"no kind of surroundings \"air\"": func(p *Pipe) { p.Surroundings.Kind = "air" },
		"Depth": func(p *Pipe) {
			p.Surroundings.Kind, p.Surroundings.GroundConductivity, p.Surroundings.Depth = InSlab, quantity.WattsPerMetreKelvin(1), m(0.02)
		},
	} {
		p := nominal(cover(0.013, 0.035, 0))
		if l := mustLoss(t, p, quantity.Celsius(60), quantity.Flow{}); !(l.UA > 0) {
			t.Fatal("the pipe itself is refused")
		}
		breaks(&p)
		l, err := p.Loss(quantity.Celsius(60), quantity.Flow{})
		var outside *RangeError
		var unknown *UnknownError
		if !errors.As(err, &outside) && !errors.As(err, &unknown) || l != (Loss{}) || !strings.Contains(err.Error(), "heat.Pipe.Loss: ") || !strings.Contains(err.Error(), symbol) {
			t.Errorf("%s: %+v, %v", symbol, l.PerMetre, err)
		}
		if _, err := p.CoolDown(quantity.Celsius(60), []quantity.Temperature{quantity.Celsius(40)}, CoolDownOptions{}); err == nil || !strings.Contains(err.Error(), symbol) {
			t.Errorf("%s: cooling: %v", symbol, err)
		}
	}
}

// TestWaterRange: standing water may be hotter than the water formulas go, as
// long as the air formulas reach its film; flowing water may not.
func TestWaterRange(t *testing.T) {
	p := nominal(nil)
	if l := mustLoss(t, p, quantity.Celsius(180), quantity.Flow{}); l.Regime != Standing {
		t.Errorf("%+v", l)
	}
	share := 1.5
	for name, err := range map[string]error{
		"flowing at 180 degC":  second(p.Loss(quantity.Celsius(180), quantity.CubicMetresPerSecond(1e-4))),
		"standing at 400 degC": second(p.Loss(quantity.Celsius(400), quantity.Flow{})),
		"flow below zero":      second(p.Loss(quantity.Celsius(60), quantity.CubicMetresPerSecond(-1e-4))),
		"cooling from ice":     second(p.CoolDown(quantity.Celsius(-1), nil, CoolDownOptions{})),
		"cooling to no number": second(p.CoolDown(quantity.Celsius(60), []quantity.Temperature{quantity.Kelvin(math.NaN())}, CoolDownOptions{})),
		"cooling to infinity":  second(p.CoolDown(quantity.Celsius(60), []quantity.Temperature{quantity.Kelvin(math.Inf(-1))}, CoolDownOptions{})),
		"a share above one":    second(p.CoolDown(quantity.Celsius(60), nil, CoolDownOptions{InsulationShare: &share})),
		"capacity of steam":    second(p.Capacity(quantity.Celsius(120), nil)),
	} {
		var outside *RangeError
		if !errors.As(err, &outside) {
			t.Errorf("%s: %v, want a RangeError", name, err)
		}
	}
}

func second[T any](_ T, err error) error { return err }
