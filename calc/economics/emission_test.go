package economics_test

import (
	"testing"

	"recirc/calc/economics"
	"recirc/calc/source"
)

// TestEmissionFactorsOfThePrint: figures that were worked out beside the prints, in
// the units of a bill. Source: the notes of the collected prints (economics.csv),
// by exact conversion.
func TestEmissionFactorsOfThePrint(t *testing.T) {
	const kWh, therm = 3.6e6, 1e5 * 1055.05585262 // a therm of 100,000 Btu there
	for _, c := range []struct {
		id              string
		per, want, half float64
	}{
		{"natural_gas_co2", therm, 5.306, 0.0005},
		{"natural_gas_co2", kWh, 0.1810, 0.00005},
		{"electricity_us_2022_eia", kWh, 0.390, 0.0005},
		{"electricity_us_2018_egrid", kWh, 0.4295, 0.0001}, // 0.42955, cut off there
		{"electricity_us_2022_egrid", kWh, 0.3733, 0.00005},
	} {
		f, ok := economics.FindEmissionFactor(c.id)
		if got := f.KilogramsPerJoule * c.per; !ok || got < c.want-c.half || got > c.want+c.half {
			t.Errorf("%s: %v, %.6g kg, want %g", c.id, ok, got, c.want)
		}
	}
}

// TestGasInCarbonDioxideEquivalent: with 28 and 265 as potentials over a hundred
// years natural gas totals 53.11 kg/mmBtu. Source: note of the collected prints, computed.
func TestGasInCarbonDioxideEquivalent(t *testing.T) {
	sum := 0.0
	for id, potential := range map[string]float64{"natural_gas_co2": 1, "natural_gas_ch4": 28, "natural_gas_n2o": 265} {
		f, _ := economics.FindEmissionFactor(id)
		sum += potential * f.KilogramsPerJoule * 1055.05585262e6
	}
	if sum < 53.105 || sum > 53.115 {
		t.Errorf("%.6g kg/mmBtu", sum)
	}
}

// TestHeatContentsAgree: the default of the rule lies among those delivered. A
// cubic foot of gas holds some 1.09 MJ, a gallon of fuel oil some 146 MJ.
func TestHeatContentsAgree(t *testing.T) {
	value := func(id string) float64 {
		h, ok := economics.FindHeatContent(id)
		if !ok {
			t.Fatal(id)
		}
		return h.JoulesPerCubicMetre
	}
	if d := value("natural_gas_default"); d < value("natural_gas_2013") || d > value("natural_gas_2023") {
		t.Errorf("default %g", d)
	}
	near(t, "gas", value("natural_gas_2023"), 1038*1055.05585262/0.028316846592, 1e-12)      // Btu and cubic foot by definition
	near(t, "oil", value("fuel_oil_2_default"), 138_000*1055.05585262/0.003785411784, 1e-12) // Btu and US gallon by definition
	if r := value("fuel_oil_2_default") / value("lpg_default"); r < 1.49 || r > 1.51 {       // 0.138/0.092
		t.Errorf("oil over gas %g", r)
	}
}

// TestTables: ids once, sources registered, carriers and statuses of the lists, and
// copies handed out.
func TestTables(t *testing.T) {
	seen := map[string]bool{}
	check := func(id, title, published string, carrier economics.Carrier, value float64, from source.ID, status source.Status) {
		if seen[id] || title == "" || published == "" || !(value > 0) {
			t.Errorf("%s: twice, or without title or value", id)
		}
		seen[id] = true
		switch carrier {
		case economics.Electricity, economics.NaturalGas, economics.FuelOil, economics.LiquefiedPetroleumGas:
		default:
			t.Errorf("%s: carrier %q", id, carrier)
		}
		if _, ok := source.Find(from); !ok {
			t.Errorf("%s: source %q is not registered", id, from)
		}
		if status != source.Verified && status != source.Memory {
			t.Errorf("%s: status %q", id, status)
		}
	}
	for _, f := range economics.EmissionFactors() {
		check(f.ID, f.Title, f.Published, f.Carrier, f.KilogramsPerJoule, f.Source, f.Status)
		if f.Gas != "CO2" && f.Gas != "CH4" && f.Gas != "N2O" {
			t.Errorf("%s: gas %q", f.ID, f.Gas)
		}
		if got, ok := economics.FindEmissionFactor(f.ID); !ok || got != f {
			t.Errorf("%s is not found", f.ID)
		}
	}
	for _, h := range economics.HeatContents() {
		check(h.ID, h.Title, h.Published, h.Carrier, h.JoulesPerCubicMetre, h.Source, h.Status)
		if got, ok := economics.FindHeatContent(h.ID); !ok || got != h {
			t.Errorf("%s is not found", h.ID)
		}
	}
	for _, id := range []source.ID{economics.PresentValueSource, economics.HandbookSource} {
		if _, ok := source.Find(id); !ok {
			t.Errorf("%s is not registered", id)
		}
	}
	if _, ok := economics.FindEmissionFactor("coal"); ok {
		t.Error("coal is found")
	}
	if _, ok := economics.FindHeatContent("coal"); ok {
		t.Error("coal is found")
	}
	economics.EmissionFactors()[0].Title, economics.HeatContents()[0].Title = "overwritten", "overwritten"
	if economics.EmissionFactors()[0].Title == "overwritten" || economics.HeatContents()[0].Title == "overwritten" {
		t.Error("a caller can overwrite the table")
	}
}
