package heat

import (
	"testing"

	"recirc/calc/air"
	"recirc/calc/internal/table"
	"recirc/calc/quantity"
)

// rowLoss solves a computed row with our own air and water, or with the row's air.
func rowLoss(t *testing.T, r table.Row, rowAir bool) Loss {
	t.Helper()
	p := rowPipe(t, r)
	if e, ok := r.Optional("roughness_m"); ok {
		p.Tube.Roughness = quantity.Metres(e)
	}
	if z, ok := r.Optional("axis_depth_m"); ok {
		p.Surroundings.Kind, p.Surroundings.Depth = Buried, quantity.Metres(z)
		p.Surroundings.GroundConductivity = quantity.WattsPerMetreKelvin(r.Number("soil_k_W_mK"))
	}
	flow, _ := r.Optional("flow_m3_s")
	var fixed *air.Properties
	if rowAir && p.Surroundings.Kind == StillAir {
		fixed = airOf(r.Number("air_k_W_mK"), r.Number("air_nu_m2_s"), r.Number("air_prandtl"), r.Number("air_beta_1_K"))
	}
	l, err := p.loss(quantity.Celsius(r.Number("water_temperature_degC")), quantity.CubicMetresPerSecond(flow), fixed)
	if err != nil {
		t.Fatalf("%s: %v", r.Text("case_id"), err)
	}
	return l
}

// TestComputedLossWithOwnProperties: 1 % is asked; 1.3e-5 is what the film of a
// laminar flow leaves, whose water the rows take at 0.3 MPa.
func TestComputedLossWithOwnProperties(t *testing.T) {
	kinds := map[string]int{}
	for _, r := range published("steady_loss.csv") {
		l := rowLoss(t, r, false)
		near(t, r.Text("case_id")+" loss", l.PerMetre.WattsPerMetre(), r.Number("heat_loss_W_m"), 2e-5)
		near(t, r.Text("case_id")+" UA", l.UA, r.Number("U_linear_W_mK"), 2e-5)
		if want, ok := r.Optional("surface_temperature_degC"); ok {
			near(t, r.Text("case_id")+" surface", l.Surface.Celsius(), want, 2e-5)
		}
		kinds[r.Text("kind")]++
	}
	for _, kind := range []string{"bare", "insulated", "bare_full_chain", "insulated_full_chain", "full_chain_laminar", "buried"} {
		if kinds[kind] == 0 {
			t.Errorf("no row of the kind %s", kind)
		}
	}
}

// TestComputedLossWithTheRowsAir leaves nothing but the equations and the search.
func TestComputedLossWithTheRowsAir(t *testing.T) {
	for _, r := range published("steady_loss.csv") {
		l := rowLoss(t, r, true)
		tolerance := 3e-7
		if r.Text("flow_m3_s") != "" {
			tolerance = 2e-5 // the water is our own
		}
		near(t, r.Text("case_id")+" loss", l.PerMetre.WattsPerMetre(), r.Number("heat_loss_W_m"), tolerance)
	}
}

// TestComputedResistances compares the terms, which might else cancel.
func TestComputedResistances(t *testing.T) {
	for _, r := range published("steady_loss.csv") {
		l := rowLoss(t, r, false)
		for _, c := range []struct {
			column    string
			got       float64
			tolerance float64
		}{
			{"R_internal_mK_W", l.InsideFilm, 1e-3}, // water at 0.1 instead of 0.3 MPa
			{"R_wall_mK_W", l.Wall, 1e-9},
			{"R_insulation_mK_W", l.Insulation, 1e-9},
			{"R_external_mK_W", l.Outside, 1e-5},
			{"R_soil_mK_W", l.Outside, 1e-9},
			{"h_convection_W_m2K", l.Convection, 2e-5},
			{"h_radiation_W_m2K", l.Radiation, 2e-6},
			{"rayleigh", l.Rayleigh, 2e-4},
			{"water_reynolds", l.InsideReynolds, 5e-4},
		} {
			if want, ok := r.Optional(c.column); ok {
				near(t, r.Text("case_id")+" "+c.column, c.got, want, c.tolerance)
			}
		}
	}
}

// TestColebrook takes Reynolds number and roughness of the computed rows.
func TestColebrook(t *testing.T) {
	n := 0
	for _, r := range published("steady_loss.csv") {
		want, ok := r.Optional("water_friction_factor")
		if !ok || r.Text("kind") == "full_chain_laminar" {
			continue
		}
		n++
		nu, f := gnielinski(r.Number("water_reynolds"), r.Number("water_prandtl"), r.Number("roughness_m")/r.Number("pipe_id_m"))
		near(t, r.Text("case_id")+" friction", f, want, 1e-9)
		near(t, r.Text("case_id")+" Nusselt", nu, r.Number("nusselt_internal"), 1e-9)
	}
	if n < 20 {
		t.Errorf("only %d rows", n)
	}
}
