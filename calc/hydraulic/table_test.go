package hydraulic

import (
	"math"
	"regexp"
	"slices"
	"testing"

	"recirc/calc/pipe"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

// sound holds what every row of a table needs: an id of its own, a registered
// source and a status.
type sound struct {
	t    *testing.T
	seen map[string]bool
}

func (s *sound) row(id string, cites source.ID, status source.Status) {
	s.t.Helper()
	if s.seen == nil {
		s.seen = map[string]bool{}
	}
	if !regexp.MustCompile(`^[a-z][a-z0-9]*(_[a-z0-9]+)*$`).MatchString(id) || s.seen[id] {
		s.t.Errorf("%q is not snake_case, or comes twice", id)
	}
	s.seen[id] = true
	from, ok := source.Find(cites)
	if !ok || status != source.Verified && status != source.Memory {
		s.t.Errorf("%s: source %q, status %q", id, cites, status)
	}
	if from.Kind == "practice" && status == source.Verified {
		s.t.Errorf("%s: verified in a practice", id)
	}
}

func inCatalogue(t *testing.T, id string, materials []string) {
	t.Helper()
	for _, m := range materials {
		if !slices.Contains(pipe.Materials(), pipe.Material(m)) {
			t.Errorf("%s: %q is no material of the catalogue", id, m)
		}
	}
}

func TestFormulasCiteRegisteredSources(t *testing.T) {
	for _, id := range []source.ID{ColebrookSource, LaminarSource, DarcySource, HazenWilliamsSource, ValveSource} {
		if _, ok := source.Find(id); !ok {
			t.Errorf("%s is not registered", id)
		}
	}
}

// TestEveryMaterialHasARoughness, and the printed ones are as printed: drawn tubing
// 0.0015 mm, galvanised iron 0.152 mm, plastic smooth.
func TestEveryMaterialHasARoughness(t *testing.T) {
	s, printed := sound{t: t}, map[string]bool{}
	for _, r := range published("coefficients.csv") {
		if r.Text("kind") == "absolute roughness" {
			printed[r.Text("roughness_mm")] = true
		}
	}
	for _, r := range Roughnesses() {
		s.row(r.ID, r.Source, r.Status)
		inCatalogue(t, r.ID, []string{r.ID})
		if !(r.Low.Metres() >= 0 && r.Low.Metres() <= r.Value.Metres() && r.Value.Metres() <= r.High.Metres() && r.High.Metres() < 1e-3) {
			t.Errorf("%+v", r)
		}
	}
	for _, m := range pipe.Materials() {
		r, ok := RoughnessOf(string(m))
		if !ok || r.ID != string(m) {
			t.Errorf("%s: %v", m, ok)
		}
	}
	for id, mm := range map[string]string{"copper": "0.0015", "steel_stainless": "0.0015", "steel_galvanised": "0.152", "pex": "0", "cpvc": "0"} {
		want := map[string]float64{"0": 0, "0.0015": 0.0015e-3, "0.152": 0.152e-3}[mm]
		if r, _ := RoughnessOf(id); !printed[mm] || math.Abs(r.Value.Metres()-want) > 1e-15 {
			t.Errorf("%s: %g m, printed %s mm", id, r.Value.Metres(), mm)
		}
	}
	if r, ok := RoughnessOf("lead"); ok || r != (Roughness{}) {
		t.Errorf("lead: %+v", r)
	}
}

func TestCoefficientsCAsPrinted(t *testing.T) {
	s, all, i := sound{t: t}, CoefficientsC(), 0
	for _, r := range published("coefficients.csv") {
		if r.Text("kind") != "Hazen-Williams C" {
			continue
		}
		c := all[i]
		i++
		s.row(c.ID, c.Source, c.Status)
		inCatalogue(t, c.ID, c.Materials())
		if c.Description != r.Text("material") || c.Low != r.Number("hazen_williams_c_low") || c.High != r.Number("hazen_williams_c_high") || string(c.Status) != r.Text("status") {
			t.Errorf("%+v, printed %s", c, r.Text("material"))
		}
	}
	if i != len(all) {
		t.Errorf("%d printed, %d in the table", i, len(all))
	}
	low, high := math.Inf(1), 0.0
	for _, c := range all {
		if slices.Contains(c.Materials(), "copper") {
			low, high = min(low, c.Low), max(high, c.High)
		}
	}
	if low != 130 || high != 150 {
		t.Errorf("copper from %g to %g, want 130 to 150", low, high)
	}
}

func TestVelocityLimitsAsPrinted(t *testing.T) {
	s, all, rows := sound{t: t}, VelocityLimits(), published("velocity_limits.csv")
	if len(rows) != len(all) {
		t.Fatalf("%d printed, %d in the table", len(rows), len(all))
	}
	for i, r := range rows {
		l := all[i]
		s.row(l.ID, l.Source, l.Status)
		inCatalogue(t, l.ID, l.Materials())
		least, _ := r.Optional("velocity_min_m_per_s")
		greatest := l.Greatest.MetresPerSecond()
		if math.Abs(greatest-r.Number("velocity_max_m_per_s")) > 0.0005 || math.Abs(greatest/0.3048-r.Number("velocity_max_ft_per_s")) > 0.005 ||
			l.Least.MetresPerSecond() != least || string(l.Status) != r.Text("status") || l.Nominal != r.Text("nominal_size_in") {
			t.Errorf("%+v, printed %s, %s", l, r.Text("material"), r.Text("service"))
		}
		for column, got := range map[string]quantity.Temperature{"temperature_low_c": l.Above, "temperature_high_c": l.UpTo} {
			want, ok := r.Optional(column)
			if ok != (got != quantity.Temperature{}) || ok && math.Abs(got.Celsius()-want) > 0.5 {
				t.Errorf("%s: %s is %g degC, printed %q", l.ID, column, got.Celsius(), r.Text(column))
			}
		}
	}
}

func TestShortRulesAsPrinted(t *testing.T) {
	s, all, rows := sound{t: t}, ShortRules(), published("short_rules.csv")
	topics := map[string]string{"flow from heat loss": FlowFromHeatLoss, "pump head": PumpHead, "riser allowance": RiserAllowance}
	if len(rows) != len(all) {
		t.Fatalf("%d printed, %d in the table", len(rows), len(all))
	}
	for i, r := range rows {
		rule := all[i]
		s.row(rule.ID, rule.Source, rule.Status)
		value, ok := r.Optional("value_low")
		if rule.Value != value || rule.Topic != topics[r.Text("topic")] || string(rule.Status) != r.Text("status") || rule.Title == "" || ok != (rule.Unit != "") {
			t.Errorf("%+v, printed %s", rule, r.Text("rule"))
		}
		if got, ok := ShortRuleOf(rule.ID); !ok || got != rule {
			t.Errorf("%s: found %+v", rule.ID, got)
		}
	}
	if _, ok := ShortRuleOf("gpm"); ok {
		t.Error("found a rule that is not there")
	}
}

// TestSizingRules: what the printed documents ask of a return pipe, by hand.
func TestSizingRules(t *testing.T) {
	const none = 0.0
	ft, warm, warmer := 0.3048, 55.0, 65.0
	psi, _ := quantity.PressureDimension.Unit("psi")
	threePsi, fourFeet := 3*psi.Factor/30.48, 0.04*9806.65
	for _, c := range []struct {
		id, material    string
		water           float64
		greatest, least float64
		friction, bore  float64
		known           bool
	}{
		{"copper_handbook", "copper", warm, 5 * ft, none, none, none, true},
		{"copper_handbook", "copper", 60, 5 * ft, none, none, none, true},
		{"copper_handbook", "copper", warmer, 3 * ft, none, none, none, true},
		{"copper_handbook_lower", "copper", 60, 5 * ft, none, none, none, true},
		{"copper_handbook_lower", "copper", 60.01, 2 * ft, none, none, none, true},
		{"copper_handbook", "pex", warm, none, none, none, none, false},
		{"return_branch_rule", "ppr", warmer, 5 * ft, none, threePsi, none, true},
		{"friction_first_estimate", "copper", warm, none, none, fourFeet, none, true},
		{"nf_dtu_60_11", "multilayer", warm, 0.54, 0.20, none, 0.012, true},
		{"din_1988_300", "steel_stainless", warm, 1, none, none, 0.010, true},
		{"w_553", "copper", warm, 0.5, 0.2, none, 0.010, true},
		{"pex_recirculation", "pex", warmer, 3 * ft, none, none, none, true},
		{"pex_recirculation_lower", "pex", warm, 2 * ft, none, none, none, true},
		{"pex_recirculation", "copper", warm, none, none, none, none, false},
		{"as_nzs_3500_4", "copper", warmer, 1.2, none, none, none, true},
	} {
		r, ok := SizingRuleOf(c.id)
		if !ok {
			t.Errorf("no rule %s", c.id)
			continue
		}
		greatest, least, friction, bore, known := r.Limits(c.material, quantity.Celsius(c.water))
		for _, v := range [][2]float64{{greatest.MetresPerSecond(), c.greatest}, {least.MetresPerSecond(), c.least}, {friction, c.friction}, {bore.Metres(), c.bore}} {
			if math.Abs(v[0]-v[1]) > 1e-12*v[1] {
				t.Errorf("%s, %s at %g degC: %g, want %g", c.id, c.material, c.water, v[0], v[1])
			}
		}
		if known != c.known {
			t.Errorf("%s, %s at %g degC: known %v", c.id, c.material, c.water, known)
		}
	}
	s := sound{t: t}
	for _, r := range SizingRules() {
		s.row(r.ID, r.Source, r.Status)
		for _, l := range r.Velocities() {
			if l.Status == source.Memory && r.Status == source.Verified {
				t.Errorf("%s is verified, its limit %s is from memory", r.ID, l.ID)
			}
		}
	}
	if _, ok := SizingRuleOf("copper"); ok {
		t.Error("found a rule that is not there")
	}
}

// TestTablesGiveCopies: no caller can change a table for another.
func TestTablesGiveCopies(t *testing.T) {
	Roughnesses()[0].ID = "x"
	CoefficientsC()[0].Materials()[0] = "x"
	VelocityLimits()[1].Materials()[0] = "x"
	SizingRules()[0].Velocities()[0].ID = "x"
	ShortRules()[0].ID = "x"
	if Roughnesses()[0].ID == "x" || CoefficientsC()[0].Materials()[0] == "x" || VelocityLimits()[1].Materials()[0] == "x" ||
		SizingRules()[0].Velocities()[0].ID == "x" || ShortRules()[0].ID == "x" {
		t.Error("a caller can overwrite a table")
	}
}
