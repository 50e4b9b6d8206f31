package arrival_test

import (
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"recirc/calc/arrival"
	"recirc/calc/internal/table"
	"recirc/calc/quantity"
)

func reference(name string) []table.Row { return table.MustReadCited(os.DirFS("testdata"), name) }

// list gives the numbers of a cell that has one for each segment. An infinite
// film is 0 in a Segment.
func list(t testing.TB, r table.Row, column string) []float64 {
	t.Helper()
	var all []float64
	for _, text := range strings.Split(r.Text(column), ";") {
		if text == "infinite" || text == "" {
			all = append(all, 0)
			continue
		}
		value, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, value)
	}
	return all
}

// frontOf makes the front of a reference row.
func frontOf(t testing.TB, r table.Row) arrival.Front {
	t.Helper()
	f := arrival.Front{
		Flow:    quantity.CubicMetresPerSecond(r.Number("flow_m3_s")),
		Density: r.Number("water_density_kg_m3"), SpecificHeat: r.Number("water_cp_J_kgK"),
		Inlet: quantity.Celsius(r.Number("inlet_temperature_degC")),
	}
	lengths := list(t, r, "segment_length_m")
	column := func(name string) []float64 {
		all := list(t, r, name)
		for len(all) < len(lengths) {
			all = append(all, all[0]) // one value for the whole path
		}
		return all
	}
	bore, outside, film, ua := column("segment_id_m"), column("segment_od_m"), column("segment_h_water_wall_W_m2K"), column("segment_U_wall_to_ambient_W_mK")
	density, heat, conductivity := column("segment_wall_density_kg_m3"), column("segment_wall_cp_J_kgK"), column("wall_k_W_mK")
	initial, dispersion := column("segment_initial_temperature_degC"), column("dispersion_coefficient_m2_s")
	for i, length := range lengths {
		f.Segments = append(f.Segments, arrival.Segment{
			Length: quantity.Metres(length), Bore: quantity.Metres(bore[i]), Outside: quantity.Metres(outside[i]),
			WallConductivity: quantity.WattsPerMetreKelvin(conductivity[i]), WallHeatCapacity: density[i] * heat[i],
			Film: film[i], UA: ua[i], Ambient: quantity.Celsius(r.Number("ambient_temperature_degC")),
			Initial: quantity.Celsius(initial[i]), Dispersion: dispersion[i],
		})
	}
	return f
}

func mustArrive(t interface {
	Helper()
	Fatalf(string, ...any)
}, f arrival.Front, o arrival.Options) arrival.Arrival {
	t.Helper()
	a, err := f.Arrive(o)
	if err != nil {
		t.Fatalf("%v for %+v", err, f)
	}
	return a
}

func celsius(degrees ...float64) []quantity.Temperature {
	all := make([]quantity.Temperature, len(degrees))
	for i, d := range degrees {
		all[i] = quantity.Celsius(d)
	}
	return all
}

// near reports that a value is off by no more than a tolerance; NaN is not.
func near(got, want, tolerance float64) bool { return math.Abs(got-want) <= tolerance }

// copperPath is three sizes of copper in series, 37 s of plug flow. Invented,
// with figures like those of the reference rows.
func copperPath() arrival.Front {
	segment := func(length, bore, outside, film float64) arrival.Segment {
		return arrival.Segment{
			Length: quantity.Metres(length), Bore: quantity.Millimetres(bore), Outside: quantity.Millimetres(outside),
			WallConductivity: quantity.WattsPerMetreKelvin(390), WallHeatCapacity: 8940 * 385, Film: film,
			UA: 0.3, Ambient: quantity.Celsius(20), Initial: quantity.Celsius(20),
		}
	}
	return arrival.Front{
		Segments: []arrival.Segment{segment(9, 26, 28, 2192), segment(6.76, 20, 22, 3596), segment(4, 13, 15, 8049)},
		Flow:     quantity.CubicMetresPerSecond(2e-4), Density: 993, SpecificHeat: 4178, Inlet: quantity.Celsius(60),
	}
}

// plasticPath is the same path in a plastic with a thick wall.
func plasticPath() arrival.Front {
	f := copperPath()
	for i, outside := range []float64{36, 28, 18.6} {
		f.Segments[i].Outside = quantity.Millimetres(outside)
		f.Segments[i].WallConductivity = quantity.WattsPerMetreKelvin(0.4)
		f.Segments[i].WallHeatCapacity = 940 * 2300
	}
	return f
}
