package year

import (
	"math"
	"os"
	"strconv"
	"testing"

	"recirc/calc/internal/table"
	"recirc/calc/quantity"
)

// TestColdStart compares the wait of a first draw with the times of a hot front that
// were computed apart from this code, and which calc/arrival meets within 0.4 %. Ours are within 7 %,
// in the mean 1.2 %: the price of a wall that is one part at once and one part slow.
func TestColdStart(t *testing.T) {
	rows := table.MustReadCited(os.DirFS("../arrival/testdata"), "hot_front.csv")
	checked, off := 0, 0.0
	for _, r := range rows {
		film, err := strconv.ParseFloat(r.Text("segment_h_water_wall_W_m2K"), 64)
		if err != nil && r.Text("segment_h_water_wall_W_m2K") != "infinite" {
			continue // several segments
		}
		ua, err := strconv.ParseFloat(r.Text("segment_U_wall_to_ambient_W_mK"), 64)
		if err != nil || ua == 0 || r.Text("segment_initial_temperature_degC") != r.Text("ambient_temperature_degC") {
			continue
		}
		d, D := r.Number("segment_id_m"), r.Number("segment_od_m")
		heat := r.Number("water_density_kg_m3") * r.Number("water_cp_J_kgK")
		wall := r.Number("segment_wall_density_kg_m3") * r.Number("segment_wall_cp_J_kgK")
		k, _ := r.Optional("wall_k_W_mK")
		cold := quantity.Celsius(r.Number("ambient_temperature_degC"))
		for _, th := range []struct {
			column  string
			celsius float64
		}{{"35C", 35}, {"40C", 40}, {"43p3C", 43.3}, {"45C", 45}} {
			want, reached := r.Optional("time_to_" + th.column + "_s")
			if !reached {
				continue
			}
			lag, err := LagOf(Tube{
				Bore: quantity.Metres(d), Outside: quantity.Metres(D), WallConductivity: quantity.WattsPerMetreKelvin(k), WallHeatCapacity: wall, Film: film,
				Length: quantity.Metres(r.Number("segment_length_m")), Flow: quantity.CubicMetresPerSecond(r.Number("flow_m3_s")),
				WaterHeat: heat, Cold: cold, Hot: quantity.Celsius(r.Number("inlet_temperature_degC")), Usable: quantity.Celsius(th.celsius),
			})
			if err != nil {
				t.Fatal(err)
			}
			s := System{WaterHeat: heat, Heater: Heater{Outlet: quantity.Celsius(r.Number("inlet_temperature_degC"))}}
			s.Pipes = []Pipe{{
				ID: "p", Role: Supply, Parent: None, Length: quantity.Metres(r.Number("segment_length_m")),
				Content:          quantity.CubicMetresPerMetre(math.Pi / 4 * d * d),
				WallHeatCapacity: math.Pi / 4 * (D*D - d*d) * wall, UA: ua, Lag: lag,
			}}
			s.Outlets = []Outlet{{ID: "o", Pipe: 0, Cold: None}}
			q := r.Number("flow_m3_s")
			draw := tap(7, 1, 1, 0)
			draw.Flow = quantity.CubicMetresPerSecond(q)
			draw.Usable = quantity.Celsius(th.celsius)
			plan := oneDay(draw)
			plan.Months[0].Ambients[0] = cold
			plan.Months[0].Mains = cold
			got := simulated(t, s, plan).Waits[0].Seconds
			near(t, r.Text("case_id")+" to "+th.column, got, want, 0.07)
			off += math.Abs(got/want - 1)
			checked++
		}
	}
	if checked < 100 || off/float64(checked) > 0.012 {
		t.Errorf("%d waits are off by %.2f %% in the mean", checked, 100*off/float64(checked))
	}
}
