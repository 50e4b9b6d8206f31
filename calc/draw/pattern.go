package draw

import (
	_ "embed"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"recirc/calc/internal/table"
	"recirc/calc/quantity"
	"recirc/calc/source"
)

//go:embed data/patterns.csv
var patternsCSV string

//go:embed data/draws.csv
var drawsCSV string

// Basis is what the times of a pattern count from.
type Basis string

// The bases.
const (
	Clock   Basis = "clock"   // midnight
	Elapsed Basis = "elapsed" // the start of a test, at no stated time of day
)

// Pattern is the draws of a day as a document prints them.
type Pattern struct {
	ID, Title string
	Printed   string // the name in print
	Basis     Basis
	Draws     []Draw

	// One of the two is printed, the other is zero.
	TotalVolume quantity.Volume
	TotalEnergy quantity.Energy

	// Of the test, zero where none is printed.
	Delivery, Inlet, Ambient quantity.Temperature

	Source source.ID
	Status source.Status
	Note   string
}

// Draw is one draw of a pattern. It has a volume or an energy, the other is zero.
type Draw struct {
	At           quantity.Duration // by the pattern's basis
	Volume       quantity.Volume   // of hot water
	Energy       quantity.Energy   // of the hot water above cold
	Flow         quantity.Flow     // in an EU load profile the least at which the energy counts
	FirstCluster bool              // of the first cluster of draws of a US test

	// Of an EU load profile: the temperature from which the energy counts, and the
	// one to be reached, which is zero where none is asked for.
	CountsFrom, Peak quantity.Temperature

	Use       Use           // "" where none is printed
	UseStatus source.Status // "" without a use
	Source    source.ID
	Status    source.Status
}

// UseSource is where the kinds of use are from.
const UseSource source.ID = "en_16147"

var patterns = readPatterns()

// Patterns lists the published patterns. The list is the caller's own.
func Patterns() []Pattern {
	all := slices.Clone(patterns)
	for i := range all {
		all[i].Draws = slices.Clone(all[i].Draws)
	}
	return all
}

// PatternOf finds a pattern by its id, and false if there is none.
func PatternOf(id string) (Pattern, bool) {
	for _, p := range patterns {
		if p.ID == id {
			p.Draws = slices.Clone(p.Draws)
			return p, true
		}
	}
	return Pattern{}, false
}

// Hottest gives the highest temperature that a draw of the pattern asks for, and
// false if none does. Water that is less hot gives the energy and not the use.
func (p Pattern) Hottest() (quantity.Temperature, bool) {
	hottest := 0.0
	for _, d := range p.Draws {
		hottest = max(hottest, d.CountsFrom.Kelvin(), d.Peak.Kelvin())
	}
	return quantity.Kelvin(hottest), hottest > 0
}

func readPatterns() []Pattern {
	draws := map[string][]Draw{}
	for _, r := range table.MustRead(drawsCSV) {
		id := r.Text("pattern")
		draws[id] = append(draws[id], readDraw(r))
	}
	var all []Pattern
	for _, r := range table.MustRead(patternsCSV) {
		p := Pattern{
			ID: r.Text("id"), Title: r.Text("title"), Printed: r.Text("printed"), Basis: Basis(r.Text("basis")),
			Draws:    draws[r.Text("id")],
			Delivery: kelvin(r, "delivery_degf", "degF"), Inlet: kelvin(r, "inlet_degf", "degF"), Ambient: kelvin(r, "ambient_degf", "degF"),
			Source: source.ID(r.Text("source")), Status: source.Status(r.Text("status")), Note: r.Text("note"),
		}
		switch unit := r.Text("unit"); unit {
		case "gal":
			p.TotalVolume = quantity.CubicMetres(si(r, "total", quantity.VolumeDimension, unit))
		default:
			p.TotalEnergy = quantity.Joules(si(r, "total", quantity.EnergyDimension, unit))
		}
		if len(p.Draws) != int(r.Number("draws")) {
			panic(fmt.Sprintf("draw: %s has %d draws, printed %s", p.ID, len(p.Draws), r.Text("draws")))
		}
		all = append(all, p)
	}
	return all
}

func readDraw(r table.Row) Draw {
	d := Draw{
		At: timeOfDay(r.Text("time")), FirstCluster: r.Text("first_cluster") == "yes",
		Volume:     quantity.CubicMetres(si(r, "volume_gal", quantity.VolumeDimension, "gal")),
		Energy:     quantity.Joules(si(r, "energy_kwh", quantity.EnergyDimension, "kWh")),
		CountsFrom: kelvin(r, "from_degc", "degC"), Peak: kelvin(r, "peak_degc", "degC"),
		Use: Use(r.Text("use")), UseStatus: source.Status(r.Text("use_status")),
		Source: source.ID(r.Text("source")), Status: source.Status(r.Text("status")),
	}
	column, unit := "flow_gal_min", "gal/min"
	if r.Text(column) == "" {
		column, unit = "flow_l_min", "L/min"
	}
	d.Flow = quantity.CubicMetresPerSecond(si(r, column, quantity.FlowDimension, unit))
	return d
}

// si gives a cell in SI, 0 if it is empty.
func si(r table.Row, column string, of *quantity.Dimension, symbol string) float64 {
	value, given := r.Optional(column)
	if !given {
		return 0
	}
	return of.MustUnit(symbol).ToSI(value)
}

func kelvin(r table.Row, column, symbol string) quantity.Temperature {
	return quantity.Kelvin(si(r, column, quantity.TemperatureDimension, symbol))
}

// timeOfDay reads hours and minutes.
func timeOfDay(text string) quantity.Duration {
	h, m, _ := strings.Cut(text, ":")
	hours, err1 := strconv.Atoi(h)
	minutes, err2 := strconv.Atoi(m)
	seconds := float64(hours*3600 + minutes*60)
	if err1 != nil || err2 != nil || math.Abs(seconds-43200) > 43200 {
		panic(fmt.Sprintf("draw: %q is no time of day", text))
	}
	return quantity.Seconds(seconds)
}
