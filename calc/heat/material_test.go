package heat

import (
	"slices"
	"testing"

	"recirc/calc/pipe"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

// TestEveryMaterialOfTheCatalogueIsThere, and no other.
func TestEveryMaterialOfTheCatalogueIsThere(t *testing.T) {
	for _, id := range pipe.Materials() {
		m, ok := MaterialOf(string(id))
		if !ok || m.ID != string(id) {
			t.Errorf("%s: %v, %+v", id, ok, m)
			continue
		}
		if e, ok := EmissivityOf(m.Surface); !ok || e.ID != m.Surface {
			t.Errorf("%s has the surface %q", id, m.Surface)
		}
		if k := m.Conductivity.WattsPerMetreKelvin(); k < 0.1 || k > 400 {
			t.Errorf("%s conducts %g W/(m.K)", id, k)
		}
		// Between polypropylene and steel.
		if c := m.HeatCapacity(); c < 1.4e6 || c > 4e6 {
			t.Errorf("%s stores %g J/(m3.K)", id, c)
		}
	}
	for _, m := range Materials() {
		if !slices.Contains(pipe.Materials(), pipe.Material(m.ID)) {
			t.Errorf("%s is no material of the catalogue", m.ID)
		}
	}
	for _, id := range []string{"", "copper ", "lead"} {
		if _, ok := MaterialOf(id); ok {
			t.Errorf("found %q", id)
		}
		if _, ok := EmissivityOf(id); ok {
			t.Errorf("found the surface %q", id)
		}
	}
}

// TestPrintedValues: copper as printed in a pipe record (393, 8900, 390), oxidised
// copper 0.6 to 0.7 and plastic 0.85 to 0.95 in two manuals, non-metals 0.94 in ISO
// 12241 (from memory).
func TestPrintedValues(t *testing.T) {
	copper, _ := MaterialOf("copper")
	if copper.Conductivity.WattsPerMetreKelvin() != 393 || copper.Density != 8900 || copper.SpecificHeat != 390 {
		t.Errorf("copper: %+v", copper)
	}
	for id, want := range map[string][2]float64{"copper_oxidised": {0.6, 0.7}, "plastic": {0.85, 0.95}, JacketSurface: {0.94, 0.94}} {
		if e, _ := EmissivityOf(id); e.Low != want[0] || e.High != want[1] {
			t.Errorf("%s: %+v, want %v", id, e, want)
		}
	}
}

func TestTablesAreSound(t *testing.T) {
	seen := map[string]bool{}
	cites := func(id string, s source.ID, status source.Status) {
		if _, ok := source.Find(s); !ok || status != source.Verified && status != source.Memory {
			t.Errorf("%s: source %q, status %q", id, s, status)
		}
		if seen[id] {
			t.Errorf("%s comes twice", id)
		}
		seen[id] = true
	}
	for _, m := range Materials() {
		cites(m.ID, m.Source, m.Status)
	}
	clear(seen) // a surface may be called as a material
	for _, e := range Emissivities() {
		cites(e.ID, e.Source, e.Status)
		if !(e.Low > 0 && e.Low <= e.Value && e.Value <= e.High && e.High < 1) {
			t.Errorf("%s: %g, %g, %g", e.ID, e.Low, e.Value, e.High)
		}
	}
	Materials()[0].Surface, Emissivities()[0].Value = "overwritten", 2
	if Materials()[0].Surface == "overwritten" || Emissivities()[0].Value == 2 {
		t.Error("a caller can overwrite the tables")
	}
}

func TestSourcesAreRegistered(t *testing.T) {
	for _, kind := range []Kind{StillAir, MovingAir, Buried, InSlab, GivenCoefficient} {
		for _, o := range []Orientation{Horizontal, Vertical} {
			for _, flow := range []float64{0, 1e-4} {
				p := Pipe{Orientation: o, Surroundings: Surroundings{Kind: kind}}
				ids := p.Sources(quantity.CubicMetresPerSecond(flow))
				for _, id := range ids {
					if _, ok := source.Find(id); !ok {
						t.Errorf("%s is not in the registry", id)
					}
				}
				air := kind == StillAir || kind == MovingAir
				for id, want := range map[source.ID]bool{
					ConductionSource: true, InsideSource: flow > 0, GroundSource: kind == Buried || kind == InSlab,
					RadiationSource: air, CrossflowSource: kind == MovingAir, HorizontalSource: air && o == Horizontal, SlenderSource: air && o == Vertical,
				} {
					if slices.Contains(ids, id) != want {
						t.Errorf("%s, %s, flow %g cites %v", kind, o, flow, ids)
					}
				}
			}
		}
	}
	for _, id := range []source.ID{AlongSource, CoolingSource} {
		if _, ok := source.Find(id); !ok {
			t.Errorf("%s is not in the registry", id)
		}
	}
}
