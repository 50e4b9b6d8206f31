package rule

import (
	_ "embed"
	"fmt"
	"math"
	"slices"

	"recirc/calc/heat"
	"recirc/calc/internal/table"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

//go:embed data/insulation.csv
var insulationCSV string

// InsulationRule is a published minimum for the insulation of hot-water pipe.
type InsulationRule struct {
	ID, Document, Edition, Clause string
	Source                        source.ID
	Status                        source.Status

	rows []insulationRow
}

// insulationRow is the minimum for a range of water temperature and size.
type insulationRow struct {
	waterFrom, waterTo float64 // K; NaN where the rule does not ask
	kLow, kHigh        float64 // W/(m.K) that the thickness is printed for
	size               string
	from, to           float64
	thickness          float64 // m
	thicknessIsBore    bool
	rValue             float64 // m2.K/W; 0 where the rule is about thickness
}

// InsulatedPipe is what such a rule needs to know.
type InsulatedPipe struct {
	Water         quantity.Temperature
	NominalInches float64 // 0 where the tube has none; picks a row, is no bore
	Bore, Outside quantity.Length
	Thickness     quantity.Length       // all layers together; zero: bare
	Conductivity  quantity.Conductivity // of one layer of equal resistance; zero: bare
}

// InsulationVerdict is one rule against one pipe.
type InsulationVerdict struct {
	Rule    *InsulationRule
	Minimum quantity.Length // zero where none was found
	Status  Status
	Reason  string

	NothingAsked bool // the rule asks nothing of a pipe of this size
}

var insulationRules = readInsulationRules()

// InsulationRules lists the rules.
func InsulationRules() []*InsulationRule { return insulationRules }

// Judge compares a pipe with the published minimum. A row printed for a range
// of conductivity is converted to the pipe's own by equal resistance of the
// layer
//
//	T = r ((1 + t/r)^(K/k) - 1)
//
//	T  minimum at the pipe's conductivity      m
//	r  outside radius of the tube              m
//	t  minimum as printed                      m
//	K  conductivity of the pipe's insulation   W/(m.K)
//	k  conductivity that t is printed for      W/(m.K)
//
// with k the upper end of the printed range; inside the range T = t.
//
// Source: ANSI/ASHRAE/IES 90.1-2016, Table 6.8.3-1, footnote a, its form and
// the upper end from memory (a state code with the same equation names the
// lower end, which asks for more); the German act names a method that leads to
// the same resistance of the layer.
func (r *InsulationRule) Judge(p InsulatedPipe) InsulationVerdict {
	v := InsulationVerdict{Rule: r, Status: NotAssessed}
	row, reason := r.row(p)
	switch {
	case reason != "":
		v.Reason, v.NothingAsked = reason, reason == nothingAsked
		return v
	case p.Outside == quantity.Length{}:
		v.Reason = "The outside diameter of the tube is not given."
		return v
	}
	minimum, reason := row.minimum(p)
	if reason != "" && p.Thickness != (quantity.Length{}) {
		v.Reason = reason
		return v
	}
	v.Minimum, v.Status = quantity.Metres(minimum), Met
	if p.Thickness.Metres() < minimum*(1-tolerance) {
		v.Status = NotMet
	}
	return v
}

const nothingAsked = "The rule asks nothing of a pipe of this size."

// bySize reports that some row goes by the nominal size.
func (r *InsulationRule) bySize() bool {
	return slices.ContainsFunc(r.rows, func(row insulationRow) bool { return row.size == "nominal_in" })
}

func findInsulation(id string) (*InsulationRule, bool) {
	i := slices.IndexFunc(insulationRules, func(r *InsulationRule) bool { return r.ID == id })
	if i < 0 {
		return nil, false
	}
	return insulationRules[i], true
}

// row finds the row for a pipe, or the reason why there is none.
func (r *InsulationRule) row(p InsulatedPipe) (*insulationRow, string) {
	asked := false
	for i := range r.rows {
		row := &r.rows[i]
		if !math.IsNaN(row.waterFrom) && (p.Water.Kelvin() < row.waterFrom*(1-tolerance) || p.Water.Kelvin() > row.waterTo*(1+tolerance)) {
			continue
		}
		asked = true
		if row.size == "nominal_in" && p.NominalInches == 0 {
			return nil, "The table goes by nominal size in inches, which this tube does not have."
		}
		if row.fits(p) {
			return row, ""
		}
	}
	if asked {
		return nil, nothingAsked
	}
	return nil, "The rule as read says nothing about water of this temperature."
}

func (r *insulationRow) fits(p InsulatedPipe) bool {
	if r.size == "nominal_in" {
		return p.NominalInches >= r.from && p.NominalInches < r.to
	}
	bore := 1000 * p.Bore.Metres()
	return bore > r.from*(1+tolerance) && bore <= r.to*(1+tolerance)
}

// minimum is the least thickness in m at the pipe's conductivity.
func (r *insulationRow) minimum(p InsulatedPipe) (float64, string) {
	radius, k := p.Outside.Metres()/2, p.Conductivity.WattsPerMetreKelvin()
	if r.rValue > 0 {
		if k == 0 {
			k = 0.04 // for a bare pipe: any insulation will do to say how much is missing
		}
		cover := heat.Cover{Inner: p.Outside, Conductivity: quantity.WattsPerMetreKelvin(k)}
		thickness, err := cover.Thickness(quantity.SquareMetreKelvinPerWatt(r.rValue))
		if err != nil {
			return 0, fmt.Sprintf("At a conductivity of %.3g W/(m.K) no reasonable thickness meets the minimum.", k)
		}
		return thickness.Metres(), ""
	}
	t := r.thickness
	if r.thicknessIsBore {
		t = p.Bore.Metres()
	}
	if k == 0 || k >= r.kLow*(1-tolerance) && k <= r.kHigh*(1+tolerance) {
		return t, ""
	}
	minimum := radius * (math.Pow(1+t/radius, k/r.kHigh) - 1)
	if !(minimum < 10) {
		return 0, fmt.Sprintf("At a conductivity of %.3g W/(m.K) no reasonable thickness meets the minimum.", k)
	}
	return minimum, ""
}

// EqualConductivity is the conductivity of one layer that insulates a tube as
// several layers do together
//
//	k = ln(r_n/r_0) / sum( ln(r_i/r_(i-1)) / k_i )
//
// Source: series resistances of a cylinder, textbook heat conduction.
func EqualConductivity(outside quantity.Length, thickness []quantity.Length, k []quantity.Conductivity) quantity.Conductivity {
	r0 := outside.Metres() / 2
	r, resistance := r0, 0.0
	for i, t := range thickness {
		if t.Metres() > 0 {
			resistance += math.Log((r+t.Metres())/r) / k[i].WattsPerMetreKelvin()
			r += t.Metres()
		}
	}
	if resistance == 0 {
		return quantity.Conductivity{}
	}
	return quantity.WattsPerMetreKelvin(math.Log(r/r0) / resistance)
}

func readInsulationRules() []*InsulationRule {
	var all []*InsulationRule
	byID := map[string]*InsulationRule{}
	for _, r := range table.MustRead(insulationCSV) {
		id := r.Text("rule")
		rule := byID[id]
		if rule == nil {
			rule = &InsulationRule{
				ID: id, Document: r.Text("document"), Edition: r.Text("edition"), Clause: r.Text("clause"),
				Source: source.ID(r.Text("source")), Status: source.Status(r.Text("status")),
			}
			byID[id] = rule
			all = append(all, rule)
		}
		rule.rows = append(rule.rows, readInsulationRow(r))
	}
	return all
}

func readInsulationRow(r table.Row) insulationRow {
	degF := func(column string) float64 {
		return inUnit(r, column, "degF", quantity.TemperatureDimension, math.NaN())
	}
	k := func(column string) float64 {
		return inUnit(r, column, r.Text("k_unit"), quantity.ConductivityDimension, 0)
	}
	row := insulationRow{
		waterFrom: degF("water_from_degF"), waterTo: degF("water_to_degF"), kLow: k("k_low"), kHigh: k("k_high"),
		size: r.Text("size"), from: r.Number("from"), to: math.Inf(1),
		thickness:       inUnit(r, "thickness", r.Text("thickness_unit"), quantity.LengthDimension, 0),
		thicknessIsBore: r.Text("thickness_is_bore") == "yes",
		rValue:          inUnit(r, "r_value", "h.ft2.degF/Btu", quantity.ThermalResistanceDimension, 0),
	}
	if to, ok := r.Optional("to"); ok {
		row.to = to
	}
	return row
}

// inUnit gives a cell in SI, or missing if it is empty.
func inUnit(r table.Row, column, symbol string, d *quantity.Dimension, missing float64) float64 {
	value, ok := r.Optional(column)
	if !ok {
		return missing
	}
	u, known := d.Unit(symbol)
	if !known {
		panic(fmt.Sprintf("rule: insulation.csv: unit %q is not of %s", symbol, d.Name))
	}
	return u.ToSI(value)
}
