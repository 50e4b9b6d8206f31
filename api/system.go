package api

import (
	"recirc/api/body"
	"recirc/calc/fault"
	"recirc/calc/fixture"
	"recirc/calc/network"
	"recirc/calc/pipe"
	"recirc/calc/quantity"
)

// systemDocument is the system being read, and how large it may be.
type systemDocument struct {
	network.System
	most int // pipes, and fixtures
}

// Ranges of physical amounts: wider than any building, narrow enough to catch a
// wrong unit.
var (
	lengthRange       = body.Above(0, 10_000, "above 0 to 10 km")
	diameterRange     = body.Within(0.001, 2, "1 mm to 2 m")
	wallRange         = body.Within(0.0001, 0.1, "0.1 mm to 100 mm")
	thicknessRange    = body.Within(0, 1, "0 to 1 m")
	depthRange        = body.Above(0, 100, "above 0 to 100 m")
	waterRange        = body.Within(273.15, 383.15, "0 to 110 degC")
	airRange          = body.Within(213.15, 383.15, "-60 to 110 degC")
	flowRange         = body.Above(0, 0.1, "above 0 to 0.1 m3/s")
	delayRange        = body.Within(0, 3600, "0 to 3600 s")
	speedRange        = body.Above(0, 50, "above 0 to 50 m/s")
	conductivityRange = body.Above(0, 5, "above 0 to 5 W/(m.K)")
	traceRange        = body.Above(0, 200, "above 0 to 200 W/m")
	mainsRange        = body.Within(273.15, 333.15, "0 to 60 degC")
	meanRange         = body.Within(213.15, 473.15, "-60 to 200 degC")
	riseRange         = body.Above(0, 80, "above 0 to 80 K")
	idleRange         = body.Above(0, 365*86400, "above 0 to 365 d")
	rValueRange       = body.Above(0, 100, "above 0 to 100 m2.K/W")
	coefficientRange  = body.Above(0, 1000, "above 0 to 1000 W/(m2.K)")
	kvRange           = body.Above(0, kvUnit.ToSI(10_000), "above 0 to 10,000 m3/h")
	valveKvRange      = body.Within(0, kvUnit.ToSI(10_000), "0 to 10,000 m3/h") // 0 is a closed valve
	kvUnit            = quantity.FlowCoefficientDimension.SI
	headRange         = body.Above(0, 100, "above 0 to 100 m")
)

var systemObject = body.NewObject("System",
	body.Required("heater", func(r *body.Reader, s *systemDocument) { readHeater(r, &s.Heater) }),
	body.Optional("mixing_valve", func(r *body.Reader, s *systemDocument) {
		s.MixingValve = new(network.MixingValve)
		mixingValveObject.Read(r, s.MixingValve)
	}),
	body.Required("pipes", readPipes),
	body.Optional("fixtures", readFixtures),
	body.Optional("defaults", func(r *body.Reader, s *systemDocument) { defaultsObject.Read(r, &s.Defaults) }),
	body.Optional("mains_temperature", func(r *body.Reader, s *systemDocument) { s.MainsTemperature = temperature(r, mainsRange) }),
)

func readPipes(r *body.Reader, s *systemDocument) {
	n, start := 0, r.Offset()
	r.List(1, 0, func(i int) {
		if n = i + 1; n > s.most {
			r.Skip()
			return
		}
		s.Pipes = body.Room(r, start, s.Pipes, s.most)[:n]
		p := &s.Pipes[i]
		p.Tube.Unreadable = true // until it is read
		pipeObject.Read(r, p)
		p.Unreadable = p.From == "" || p.To == "" || p.Role == ""
	})
	if n == 0 || n > s.most { // not all is read; what hangs on the rest is no second fault
		s.Pipes = append(s.Pipes, network.Pipe{Unreadable: true, Tube: network.TubeSpec{Unreadable: true}})
	}
	if n > s.most {
		r.Fault(fault.TooManyPipes, "The system has %d pipes; this service takes %d.", n, s.most)
	}
}

func readFixtures(r *body.Reader, s *systemDocument) {
	n, start, before := 0, r.Offset(), r.FaultCount()
	r.List(0, 0, func(i int) {
		if n = i + 1; n > s.most {
			r.Skip()
			return
		}
		s.Fixtures = body.Room(r, start, s.Fixtures, s.most)[:n]
		f := &s.Fixtures[i]
		fixtureObject.Read(r, f)
		f.Unreadable = f.Node == ""
	})
	if n > s.most || n == 0 && r.FaultCount() > before {
		s.Fixtures = append(s.Fixtures, network.Fixture{Unreadable: true})
	}
	if n > s.most {
		r.Fault(fault.TooManyFixtures, "The system has %d fixtures; this service takes %d.", n, s.most)
	}
}

var defaultsObject = body.NewObject("SystemDefaults",
	body.Optional("tube_series", func(r *body.Reader, d *network.Defaults) {
		var ok bool
		d.TubeSeries, ok = r.OneOf(seriesIDs, pipe.NearSeries)
		d.SeriesUnreadable = !ok
	}),
	body.Optional("insulation", func(r *body.Reader, d *network.Defaults) { d.Insulation = readInsulation(r) }),
	body.Optional("surroundings", func(r *body.Reader, d *network.Defaults) { d.Surroundings = readSurroundings(r) }),
	body.Optional("surface_emissivity", func(r *body.Reader, d *network.Defaults) { d.SurfaceEmissivity = ratio(r, 1) }),
	body.Optional("fittings_allowance", func(r *body.Reader, d *network.Defaults) { d.FittingsAllowance = ratio(r, 2) }),
)

var fixtureObject = body.NewObject("Fixture",
	body.Required("id", func(r *body.Reader, f *network.Fixture) { f.ID = identifier(r) }),
	body.Required("node", func(r *body.Reader, f *network.Fixture) { f.Node = identifier(r) }),
	body.Required("type", func(r *body.Reader, f *network.Fixture) { f.Type = oneOf(r, fixtureTypes) }),
	body.Optional("hot_flow", func(r *body.Reader, f *network.Fixture) {
		f.HotFlow = flow(r)
		f.FlowUnreadable = f.HotFlow == quantity.Flow{}
	}),
	body.Optional("hot_flow_basis", func(r *body.Reader, f *network.Fixture) { f.HotFlowBasis = oneOf(r, flowBases) }),
)

var (
	flowBases    = []string{"rated", "measured"}
	fixtureTypes = fixtureTypeIDs()
)

func fixtureTypeIDs() []string {
	var ids []string
	for _, t := range fixture.Types() {
		ids = append(ids, t.ID)
	}
	return ids
}

func identifier(r *body.Reader) string {
	s, _ := r.Text(1, 128)
	return s
}

func oneOf(r *body.Reader, list []string) string {
	s, _ := r.OneOf(list, nil)
	return s
}

func length(r *body.Reader, within body.Range) quantity.Length {
	m, _ := r.Amount(quantity.LengthDimension, within)
	return quantity.Metres(m)
}

func temperature(r *body.Reader, within body.Range) quantity.Temperature {
	k, _ := r.Amount(quantity.TemperatureDimension, within)
	return quantity.Kelvin(k)
}

// ratio reads a bare number from 0 to most; nil if it is wrong.
func ratio(r *body.Reader, most float64) *float64 {
	x, ok := r.Number(0, most)
	if !ok {
		return nil
	}
	return &x
}

func velocity(r *body.Reader) quantity.Velocity {
	v, _ := r.Amount(quantity.VelocityDimension, speedRange)
	return quantity.MetresPerSecond(v)
}

func flow(r *body.Reader) quantity.Flow {
	q, _ := r.Amount(quantity.FlowDimension, flowRange)
	return quantity.CubicMetresPerSecond(q)
}

// difference reads a difference of temperatures; zero if it is wrong.
func difference(r *body.Reader) quantity.TemperatureDifference {
	k, _ := r.Amount(quantity.TemperatureDifferenceDimension, riseRange)
	return quantity.KelvinDifference(k)
}
