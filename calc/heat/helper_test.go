package heat

import (
	"math"
	"os"
	"testing"

	"recirc/calc/air"
	"recirc/calc/internal/table"
	"recirc/calc/quantity"
)

func published(name string) []table.Row { return table.MustReadCited(os.DirFS("testdata"), name) }

func inch(v float64) quantity.Length { return quantity.Metres(v * 0.0254) }

func fahrenheit(f float64) quantity.Temperature { return quantity.Celsius((f - 32) / 1.8) }

// cover is one layer of constant conductivity.
func cover(thickness, k, capacity float64) []Layer {
	return []Layer{{Thickness: quantity.Metres(thickness), Conductivity: Constant(quantity.WattsPerMetreKelvin(k)), HeatCapacity: capacity}}
}

// rowPipe is the pipe of a computed row.
func rowPipe(t testing.TB, r table.Row) Pipe {
	t.Helper()
	p := Pipe{
		Tube: Tube{
			Bore: quantity.Metres(r.Number("pipe_id_m")), Outside: quantity.Metres(r.Number("pipe_od_m")),
			Conductivity: quantity.WattsPerMetreKelvin(r.Number("wall_k_W_mK")),
		},
		Surroundings: Surroundings{Kind: StillAir, Temperature: quantity.Celsius(r.Number("ambient_temperature_degC"))},
	}
	if s := r.Number("insulation_thickness_m"); s > 0 {
		p.Layers = cover(s, r.Number("insulation_k_W_mK"), 0)
	}
	p.Surroundings.Emissivity, _ = r.Optional("surface_emissivity")
	return p
}

// nominal is 3/4 in copper tube of type L in a room of 20 degC, bare or covered.
func nominal(layers []Layer) Pipe {
	copper, _ := MaterialOf("copper")
	return Pipe{
		Tube:         Tube{Bore: inch(0.785), Outside: inch(0.875), Conductivity: copper.Conductivity, HeatCapacity: copper.HeatCapacity()},
		Layers:       layers,
		Surroundings: Surroundings{Kind: StillAir, Temperature: quantity.Celsius(20), Emissivity: 0.65},
	}
}

func mustLoss(t testing.TB, p Pipe, water quantity.Temperature, flow quantity.Flow) Loss {
	t.Helper()
	l, err := p.Loss(water, flow)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// airOf puts together air of a printed conductivity, viscosity and Prandtl
// number. Only ratios count, so that the density is free.
func airOf(k, nu, prandtl, beta float64) *air.Properties {
	return &air.Properties{Density: 1, Viscosity: nu, Conductivity: k, SpecificHeat: prandtl * k / nu, Expansion: beta}
}

func near(t testing.TB, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s: %.8g, want %.8g within %.2g, off by %.2g", what, got, want, relative, got/want-1)
	}
}
