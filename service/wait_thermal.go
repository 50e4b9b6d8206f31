package service

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"recirc/calc/arrival"
	"recirc/calc/fault"
	"recirc/calc/heat"
	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/calc/water"
)

// ThermalWait is what the hot-front model says of one fixture.
type ThermalWait struct {
	Usable     quantity.Temperature
	Reached    bool
	Expected   quantity.Duration // the delay included; only where Reached
	High       quantity.Duration
	Steady     quantity.Temperature // at the outlet in the long run
	Ratio      float64              // delivered over stored volume; zero where nothing is stored
	Drawn      quantity.Energy      // above mains, in the water drawn before
	LeftInPipe quantity.Energy      // above the surroundings, left to die
	Curve      []arrival.Point
}

// An ordinary front costs up to a millisecond, so a request may ask for so many,
// each may pass through so many pipes, and all together through so many. Walls
// and delays beyond the ordinary can make one front cost a second; maxExchanges
// bounds what all of them may cost.
const (
	maxFronts        = 5_000
	maxFrontPipes    = 200
	maxAllFrontPipes = 200_000
	maxExchanges     = 300_000_000
	curvePoints      = 200
)

var (
	// errSpent ends a request that has used up maxExchanges.
	errSpent = errors.New("the hot fronts take too much computation")

	// errTooSlow is of a front that has used up what one may.
	errTooSlow = errors.New("hot water takes too long to come through; ask for plug_flow, or look at the wall, the flow and the start-up delay")
)

// usableByDefault is warm enough to wash in.
var usableByDefault = quantity.Celsius(40)

// thermal is what all fixtures of a request have in common.
type thermal struct {
	heating       heating
	outlet, mains quantity.Temperature
	pipes         map[int32]*thermalPipe
	laminar       []string // fixtures, some more than once in a row
	lukewarm      bool     // some water stands between 20 and 50 degC
	exchanges     int      // computed for the fronts so far
}

// thermalPipe is a pipe as the hot front sees it, but for the film, which goes
// with the flow.
type thermalPipe struct {
	model heat.Pipe
	ua    float64 // from the wall's outside to the surroundings, W/(m.K)
}

// prepareThermal checks the size of the question and fills in temperatures.
func (q *waits) prepareThermal(faults *fault.List) {
	fixtures := len(q.req.System.Fixtures)
	if fixtures > maxFronts {
		faults.Add("/method", fault.AnswerTooLarge, "The system has %d fixtures; the thermal method takes %d in one request. Send parts of the building, or ask for plug_flow.", fixtures, maxFronts)
	}
	all := 0
	for i := range q.req.System.Fixtures {
		n := q.legs[q.g.FixtureNode(i)].Pipes
		all += int(n)
		if n > maxFrontPipes {
			faults.Add(fixturePointer(i, ""), fault.AnswerTooLarge, "The dead leg has %d pipes; the thermal method follows %d. Join pipes of one tube, or ask for plug_flow.", n, maxFrontPipes)
		}
	}
	if faults.Empty() && all > maxAllFrontPipes {
		faults.Add("/method", fault.AnswerTooLarge, "The dead legs of all fixtures have %d pipes together; the thermal method follows %d in one request. Send parts of the building, or ask for plug_flow.", all, maxAllFrontPipes)
	}
	if !faults.Empty() {
		return
	}
	q.front = thermal{
		heating: newHeating(q.g), outlet: q.a.outletTemperature(&q.req.System), mains: q.a.mainsTemperature(&q.req.System),
		pipes: make(map[int32]*thermalPipe),
	}
}

// thermalWait follows the hot front to one fixture.
func (q *waits) thermalWait(i int, w *WaitTime, source int32) error {
	f, err := q.frontTo(w, source)
	if err != nil {
		return err
	}
	t := &ThermalWait{Usable: q.usable(f)}
	w.Thermal = t
	arrived := arrival.Arrival{Steady: f.Inlet}
	if len(f.Segments) > 0 {
		if arrived, err = q.follow(f, t.Usable); err != nil {
			return err
		}
		t.Curve = arrived.Curve
	}
	t.Steady = arrived.Steady
	q.conclude(w, f, arrived)
	if !t.Reached {
		q.a.warn("never_usable", fixturePointer(i, ""), fmt.Sprintf("Water of %s never arrives at fixture %q: in the long run it is %s there.", shownTemperature(t.Usable), w.Fixture, shownTemperature(t.Steady)))
	}
	q.showThermal(w, f)
	return nil
}

// follow finds the arrival of a front with what computation the request has left.
func (q *waits) follow(f arrival.Front, usable quantity.Temperature) (arrival.Arrival, error) {
	left := maxExchanges - q.front.exchanges
	if left < 1 {
		return arrival.Arrival{}, errSpent
	}
	o := arrival.Options{Thresholds: []quantity.Temperature{usable}, Exchanges: left}
	if q.req.ShowCurves {
		o.Curve = curvePoints
	}
	a, err := f.Arrive(o)
	q.front.exchanges += a.Exchanges
	if wrong := (*arrival.InputError)(nil); !errors.As(err, &wrong) || wrong.Field != "Horizon" {
		return a, err
	}
	// It was given up, which took all that it might.
	q.front.exchanges += arrival.MostExchanges
	if left < arrival.MostExchanges {
		return a, errSpent
	}
	return a, errTooSlow
}

// conclude draws wait, volume, ratio and energies from an arrival.
func (q *waits) conclude(w *WaitTime, f arrival.Front, arrived arrival.Arrival) {
	t := w.Thermal
	crossing := arrival.Crossing{Reached: f.Inlet.Kelvin() >= t.Usable.Kelvin(), Time: w.StartUpDelay}
	if len(f.Segments) > 0 {
		crossing = arrived.Crossings[0]
	}
	t.Reached = crossing.Reached
	if !t.Reached {
		w.Class = arrival.Class(quantity.Seconds(math.Inf(1))).Name
		return
	}
	t.Expected = crossing.Time
	_, highest, _ := arrival.MeasuredRatio(w.HotFlow)
	run := w.PlugFlow.Seconds() - w.StartUpDelay.Seconds()
	t.High = quantity.Seconds(max(highest*run+w.StartUpDelay.Seconds(), t.Expected.Seconds()))
	w.VolumeDrawn = arrival.DrawnVolume(w.HotFlow, t.Expected)
	w.Class = arrival.Class(t.Expected).Name
	if stored := w.StoredVolume.CubicMetres(); stored > 0 {
		t.Ratio = max(0, w.VolumeDrawn.CubicMetres()-w.HotFlow.CubicMetresPerSecond()*w.StartUpDelay.Seconds()) / stored
	}
	t.Drawn = drawnEnergy(crossing, f, q.front.mains)
	t.LeftInPipe = f.LeftInPipe()
}

// drawnEnergy is the heat above mains in the water that ran before.
func drawnEnergy(c arrival.Crossing, f arrival.Front, mains quantity.Temperature) quantity.Energy {
	return quantity.Joules(f.Density * f.SpecificHeat * c.Volume.CubicMetres() * (c.MeanOutlet.Kelvin() - mains.Kelvin()))
}

// usable is the threshold of a fixture.
func (q *waits) usable(f arrival.Front) quantity.Temperature {
	switch {
	case q.req.Usable != quantity.Temperature{}:
		return q.req.Usable
	case q.req.Rise != quantity.TemperatureDifference{}:
		first := f.Inlet
		if n := len(f.Segments); n > 0 {
			first = f.Segments[n-1].Initial
		}
		return quantity.Kelvin(first.Kelvin() + q.req.Rise.Kelvin())
	}
	return usableByDefault
}

// inlet is the temperature of a hot source. A circulated supply is taken as hot
// as what leaves the heater.
func (q *waits) inlet(w *WaitTime, source int32) quantity.Temperature {
	if kept := q.g.MaintainedAt(source); w.HotSource.Kind == network.HotTraced && kept != (quantity.Temperature{}) {
		return kept
	}
	return q.front.outlet
}

// frontTo builds the hot front of the path just found.
func (q *waits) frontTo(w *WaitTime, source int32) (arrival.Front, error) {
	f := arrival.Front{Flow: w.HotFlow, Inlet: q.inlet(w, source), StartUpDelay: w.StartUpDelay, BeforeStart: q.front.mains}
	coldest := f.Inlet.Kelvin()
	for _, p := range q.path {
		t, err := q.thermalPipe(p)
		if err != nil {
			return f, err
		}
		s := arrival.Segment{
			Length: q.req.System.Pipes[p].Length, Bore: t.model.Tube.Bore, Outside: t.model.Tube.Outside,
			WallConductivity: t.model.Tube.Conductivity, WallHeatCapacity: t.model.Tube.HeatCapacity,
			UA: t.ua, Ambient: t.model.Surroundings.Temperature,
		}
		s.Initial = s.Ambient
		f.Segments = append(f.Segments, s)
		coldest = min(coldest, s.Ambient.Kelvin())
	}
	w0, err := water.At(quantity.Kelvin((f.Inlet.Kelvin() + coldest) / 2))
	if err != nil {
		return f, err
	}
	f.Density, f.SpecificHeat = w0.Density, w0.SpecificHeat
	for i := range f.Segments {
		if err := q.finishSegment(&f.Segments[i], w, w0); err != nil {
			return f, err
		}
	}
	return f, nil
}

// finishSegment adds the film, the mixing and the start.
func (q *waits) finishSegment(s *arrival.Segment, w *WaitTime, at water.Properties) error {
	film, err := heat.InsideFilm(heat.Tube{Bore: s.Bore, Outside: s.Outside}, w.HotFlow, at)
	if err != nil {
		return err
	}
	s.Film = film.Coefficient.WattsPerSquareMetreKelvin()
	if film.Regime == heat.Turbulent {
		radius := s.Bore.Metres() / 2
		s.Dispersion = arrival.TaylorDispersion(radius, w.HotFlow.CubicMetresPerSecond()/(math.Pi*radius*radius), film.Friction)
	} else {
		q.front.laminar = append(q.front.laminar, w.Fixture)
	}
	switch start := q.req.Start; start.State {
	case "given":
		s.Initial = start.Temperature
	case "left_over":
		from := start.Temperature
		if from == (quantity.Temperature{}) {
			from = q.front.outlet
		}
		s.Initial, err = arrival.CooledInitial(*s, from, start.Idle, at.Density, at.SpecificHeat)
	}
	if c := s.Initial.Celsius(); c >= 20 && c <= 50 {
		q.front.lukewarm = true
	}
	return err
}

// thermalPipe is a pipe, its loss found once for all fixtures behind it.
func (q *waits) thermalPipe(p int32) (*thermalPipe, error) {
	if t := q.front.pipes[p]; t != nil {
		return t, nil
	}
	model := q.front.heating.pipe(p, q.req.System.InsulationOf(p))
	loss, err := model.Loss(q.front.outlet, quantity.Flow{})
	if err != nil {
		return nil, err
	}
	q.a.use(model.Sources(q.flows[0].flow)...)
	t := &thermalPipe{model: model, ua: (1 + model.FittingsAllowance) / (loss.Insulation + loss.Outside)}
	q.front.pipes[p] = t
	return t, nil
}

// noteThermal says what the model assumed and where it is weak.
func (q *waits) noteThermal() {
	q.front.heating.note(&q.a.Notes)
	q.a.use(water.Source)
	q.a.use(arrival.HotFrontSource, arrival.DispersionSource, arrival.MeasuredRatioSource, "anzelius_1926")
	if q.req.Usable == (quantity.Temperature{}) && q.req.Rise == (quantity.TemperatureDifference{}) {
		q.a.assume(Assumption{Code: "default_usable_temperature", Detail: "No usable temperature is given; water of 40 degC is warm enough to wash in.", Value: "40 degC", Pointers: []string{""}, Source: "common_practice"})
	}
	if q.req.Start.State == "" {
		q.a.assume(Assumption{Code: "default_start", Detail: "No start is given; each pipe starts at the temperature of its surroundings, as after a night.", Value: "surroundings", Pointers: []string{""}, Source: "common_practice"})
	}
	if q.front.lukewarm {
		q.a.cautionStagnation()
	}
	if at := slices.Compact(q.front.laminar); len(at) > 0 {
		q.a.warn("laminar_flow", systemPointer, fmt.Sprintf("The flow is laminar or close to it in some pipe on the way to %d fixture(s), the first %q: the water in the middle runs ahead, which the model leaves out; the true wait lies between plug flow and high.", len(at), at[0]))
	}
}

func (q *waits) showThermal(w *WaitTime, f arrival.Front) {
	if !q.work.wanted {
		return
	}
	subject, t := "fixture "+w.Fixture, w.Thermal
	for i, p := range q.path {
		s := &f.Segments[i]
		pipe := "pipe " + q.req.System.Pipes[p].ID
		q.work.add(Step{pipe, "h_i", "inside film", s.Film, quantity.SurfaceCoefficientDimension, "h_i = Nu k/d", heat.InsideSource})
		q.work.add(Step{pipe, "U'", "wall to surroundings, by length", s.UA, quantity.LinearTransmittanceDimension, "U' = (1 + f)/(R_ins + R_o)", heat.ConductionSource})
		q.work.add(Step{pipe, "T_0", "temperature at the start", s.Initial.Kelvin(), quantity.TemperatureDimension, "start", "common_practice"})
	}
	q.work.add(Step{subject, "T_in", "temperature of the hot source", f.Inlet.Kelvin(), quantity.TemperatureDimension, "given", "common_practice"})
	q.work.add(Step{subject, "T_u", "usable temperature", t.Usable.Kelvin(), quantity.TemperatureDimension, "threshold", "common_practice"})
	q.work.add(Step{subject, "T_inf", "outlet temperature in the long run", t.Steady.Kelvin(), quantity.TemperatureDimension, "T = T_a + (T_in - T_a) exp(-U L/(m c))", heat.ConductionSource})
	if !t.Reached {
		return
	}
	_, highest, from := arrival.MeasuredRatio(w.HotFlow)
	q.work.add(Step{subject, "t_e", "expected wait", t.Expected.Seconds(), quantity.DurationDimension, "hot front: C_w (dT/dt + u dT/dx) = h_i pi d (T_p - T)", arrival.HotFrontSource})
	q.work.add(Step{subject, "t_h", "high wait", t.High.Seconds(), quantity.DurationDimension, fmt.Sprintf("t_h = max(t_e, %.4g V_d/q + t_s)", highest), from})
	q.work.add(Step{subject, "V_e", "volume drawn", w.VolumeDrawn.CubicMetres(), quantity.VolumeDimension, "V_e = q t_e", "plug_flow"})
	q.work.add(Step{subject, "E_d", "energy in the water drawn", t.Drawn.Joules(), quantity.EnergyDimension, "E_d = rho c V_e (T_mean - T_mains)", heat.ConductionSource})
	q.work.add(Step{subject, "E_p", "energy left in the pipe", t.LeftInPipe.Joules(), quantity.EnergyDimension, "E_p = sum (C_w + C_p) L (T_mean - T_a)", heat.ConductionSource})
}
