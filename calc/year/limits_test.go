package year

import (
	"math"
	"testing"

	"recirc/calc/control"
	"recirc/calc/quantity"
)

// single is one pipe and a tap at its end.
func single(p Pipe) System {
	return System{
		WaterHeat: waterHeat, Heater: Heater{Outlet: quantity.Celsius(55)}, Pipes: []Pipe{p},
		Outlets: []Outlet{{ID: "tap", Pipe: 0, Cold: None}},
	}
}

// ring is a supply of 15 m whose end returns through 15 m, with a tap at the connection.
func ring(ua float64, c control.Settings) System {
	supply, back := tubing{0.02, ua}, tubing{0.0136, ua}
	s := single(supply.pipe("supply", Supply, None, 15))
	s.Pipes = append(s.Pipes, back.pipe("return", Return, None, 15))
	s.Circulations = []Circulation{{
		Control: c, Sensor: 1, Power: quantity.PowerWatts(75),
		Loops: []Loop{{From: 0, Into: 1, Flow: quantity.CubicMetresPerSecond(1e-4)}},
	}}
	return s
}

func TestInsulatedLoopLosesNothingAndWaitsNothing(t *testing.T) {
	r := simulated(t, ring(0, continuous()), oneDay(tap(7, 10, 6, 0), tap(7.01, 5, 6, 0), tap(20, 1, 6, 0)))
	if lost := r.Year.Lost.Sum(); math.Abs(lost) > 1e-6 {
		t.Errorf("an insulated loop loses %g J", lost)
	}
	for _, w := range r.Waits {
		if w.Seconds != 0 || !w.Served {
			t.Errorf("somebody waits %g s at the connection", w.Seconds)
		}
	}
	if r.Year.RunToWaste != 0 {
		t.Errorf("%g m3 run to waste", r.Year.RunToWaste)
	}
	near(t, "heat from the heater", r.Year.HeaterHeat, r.Year.HeatDrawn, 1e-9)
	near(t, "heat drawn", r.Year.HeatDrawn, 0.016*45*waterHeat, 1e-9)
}

func TestNoDrawsWasteNothing(t *testing.T) {
	for name, s := range arrangements() {
		r := simulated(t, s, oneDay())
		y := &r.Year
		if y.RunToWaste != 0 || y.HotDrawn != 0 || y.HeatWasted != 0 || y.Draws != 0 || len(r.Waits) != 0 {
			t.Errorf("%s: without a draw %g m3 run to waste", name, y.RunToWaste)
		}
		if name == "none" && (y.HeaterHeat != 0 || y.Lost.Sum() != 0) {
			t.Errorf("a system at rest takes %g J", y.HeaterHeat)
		}
	}
}

// TestAquastatThatNeverStarts: a sensor that is never so cold leaves the pump at rest.
func TestAquastatThatNeverStarts(t *testing.T) {
	plan := months(morning(15))
	cold := aquastat()
	cold.Aquastat.Start = quantity.Celsius(1)
	none, never := simulated(t, house(), plan), simulated(t, withReturn(house(), cold), plan)
	if never.Year.PumpTime != 0 || never.Year.PumpStarts != 0 {
		t.Errorf("the pump runs %g s", never.Year.PumpTime)
	}
	same(t, none, never, 1e-12)
}

// same compares two results of the same draws.
func same(t *testing.T, a, b *Result, relative float64) {
	t.Helper()
	for i, p := range a.Year.sums() {
		if q := *b.Year.sums()[i]; math.Abs(*p-q) > relative*(math.Abs(*p)+1e-3*relative) && math.Abs(*p-q) > 1e-6 {
			t.Errorf("sum %d: %.12g and %.12g", i, *p, q)
		}
	}
	if len(a.Waits) != len(b.Waits) {
		t.Fatalf("%d and %d waits", len(a.Waits), len(b.Waits))
	}
	for i := range a.Waits {
		if math.Abs(a.Waits[i].Seconds-b.Waits[i].Seconds) > relative*100 {
			t.Errorf("wait %d: %g and %g", i, a.Waits[i].Seconds, b.Waits[i].Seconds)
			return
		}
	}
}

// TestPurge: a wall that takes no heat leaves plug flow: what stood in the pipe runs to
// waste, V = pi/4 d2 L, and takes V/q.
func TestPurge(t *testing.T) {
	p := tubing{0.02, 0.5}.pipe("p", Supply, None, 20)
	p.WallHeatCapacity = 0
	V := math.Pi / 4 * 0.02 * 0.02 * 20
	for _, litres := range []float64{0.2, 1, 5, 50} {
		r := simulated(t, single(p), oneDay(tap(7, litres, 6, 0)))
		near(t, "volume run to waste", r.Year.RunToWaste, V, 1e-9)
		near(t, "wait", r.Waits[0].Seconds, V/1e-4, 1e-9)
		near(t, "volume drawn hot", r.Year.HotDrawn, litres/1000, 1e-9)
	}
	// With a wall at one temperature with the water it is 1 + Cp/Cw of that.
	p = tubing{0.02, 0.5}.pipe("p", Supply, None, 20)
	whole := 1 + p.WallHeatCapacity/(p.Content.CubicMetresPerMetre()*waterHeat)
	r := simulated(t, single(p), oneDay(tap(7, 5, 6, 0)))
	near(t, "volume run to waste before a wall", r.Year.RunToWaste, V*whole, 1e-9)
}

// TestCoolDown: standing water cools by T = Ta + (T0 - Ta) exp(-U t/(Cw + Cp)).
func TestCoolDown(t *testing.T) {
	for name, p := range map[string]Pipe{"copper": threeQuarter.pipe("p", Supply, None, 10), "plastic": plastic("p", None, 8)} {
		s := single(p)
		plan := oneDay(tap(6, 100, 12, 0))
		o := &Observation{Pipes: []int{0}, Points: 1440}
		r, err := Simulate(s, plan, o)
		if err != nil {
			t.Fatal(err)
		}
		tau := (p.Content.CubicMetresPerMetre()*waterHeat + p.WallHeatCapacity) / p.UA
		T, at := r.Observed.Degrees[0], r.Observed.Times
		first := 6*60 + 30 // water and wall are at one temperature by then
		for k := first; k < first+300; k += 20 {
			want := 293.15 + (T[first]-293.15)*math.Exp(-(at[k]-at[first])/tau)
			if math.Abs(T[k]-want) > 1e-3 {
				t.Errorf("%s: %.5g K after %g s, want %.5g", name, T[k], at[k]-at[first], want)
			}
		}
	}
}

// TestSteadyLoop compares a loop at rest with T = Ta + (Tin - Ta) exp(-UA/(q rho c)),
// pipe by pipe.
func TestSteadyLoop(t *testing.T) {
	s := ring(0.4, continuous())
	r := simulated(t, s, oneDay())
	heat := 1e-4 * waterHeat // W/K
	mid := 20 + 35*math.Exp(-0.4*15/heat)
	back := 20 + (mid-20)*math.Exp(-0.4*15/heat)
	near(t, "supply loss", r.Year.Lost.Supply, heat*(55-mid)*86400, 1e-4)
	near(t, "return loss", r.Year.Lost.Return, heat*(mid-back)*86400, 1e-4)
	near(t, "return temperature", r.Year.ReturnKelvin/r.Year.ReturnVolume, back+273.15, 1e-6)
	near(t, "return volume", r.Year.ReturnVolume, 8.64, 1e-9)
	near(t, "pump energy", r.Year.PumpEnergy, 75*86400, 1e-9)
	near(t, "losses by pipe", r.PipeLoss[0]+r.PipeLoss[1], r.Year.Lost.Sum(), 1e-12)
	// A slow wall changes nothing in the long run but what water and wall differ by, U/G.
	slow := s
	slow.Pipes = append([]Pipe{}, s.Pipes...)
	for i := range slow.Pipes {
		slow.Pipes[i].Lag = Lag{Ratio: 1, Exchange: 14}
	}
	near(t, "loss with a slow wall", simulated(t, slow, oneDay()).Year.Lost.Sum(), r.Year.Lost.Sum(), 0.03)
}

func TestTrace(t *testing.T) {
	p := insulated.pipe("p", Supply, None, 10)
	p.Trace = &Trace{Power: 12, At: quantity.Celsius(40), Off: quantity.Celsius(60)}
	r, err := Simulate(single(p), oneDay(), &Observation{Pipes: []int{0}, Points: 24})
	if err != nil {
		t.Fatal(err)
	}
	// Steady: U (T - Ta) = P (Off - T)/(Off - At).
	U, G := 0.22, 12.0/20
	T := (U*20 + G*60) / (U + G)
	near(t, "held temperature", r.Observed.Degrees[0][12], T+273.15, 1e-4)
	near(t, "cable energy", r.Year.TraceHeat, U*(T-20)*10*86400, 0.002)
	// The cable gives nothing to water hotter than Off, and the slope below it.
	hot := single(p)
	hot.Heater.Outlet = quantity.Celsius(70)
	w := simulated(t, hot, oneDay(tap(7, 20, 6, 0)))
	if !(w.Year.TraceHeat > 0 && w.Year.TraceHeat < r.Year.TraceHeat) || !(w.Year.Residual < 1e-9) {
		t.Errorf("with a draw of hotter water the cable gives %g J of %g", w.Year.TraceHeat, r.Year.TraceHeat)
	}
}

func TestLocalHeater(t *testing.T) {
	s := withLocal(single(half.pipe("p", Supply, None, 20)).fifteen())
	local := s.Outlets[14].Local
	r := simulated(t, s, oneDay())
	// Standby: UA (Set - Ta).
	near(t, "standby", r.Year.LocalHeat, 0.6*40*86400, 1e-9)
	near(t, "standby loss", r.Year.Lost.Local, 0.6*40*86400, 1e-9)
	// A draw comes at once, takes nothing from the heater, and is made good from the mains.
	r = simulated(t, s, oneDay(tap(7, 2, 3, 14)))
	if r.Waits[0].Seconds != 0 || r.Year.HeaterHeat != 0 || r.Year.RunToWaste != 0 {
		t.Errorf("at a local heater one waits %g s", r.Waits[0].Seconds)
	}
	near(t, "electricity", r.Year.LocalHeat, r.Year.HeatDrawn+r.Year.Lost.Local, 1e-6)
	// Without power the store runs cold as one that is fully mixed: T = Tc + (Ts - Tc) exp(-V/Vs).
	l := &local2
	*l = localOf(local)
	l.power, l.lose = 0, 0
	l.run(100, 1e-4, 283.15)
	near(t, "mixed store", l.T-283.15, 50*math.Exp(-1), 1e-9)
	// With power and neither flow nor loss it rises by P t/(V rho c).
	*l = localOf(local)
	l.T, l.lose = 293.15, 0
	l.run(60, 0, 0)
	near(t, "heating up", l.T-293.15, 2000*60/(0.01*waterHeat), 1e-9)
	l.run(1e5, 0, 0)
	near(t, "set temperature", l.T, 333.15, 1e-12)
	near(t, "energy to the set temperature", l.given, 0.01*40, 1e-9)
}

var local2 local

func localOf(h *LocalHeater) local {
	v := h.Content.CubicMetres()
	return local{content: v, power: h.Power.Watts() / waterHeat, lose: h.UA / (waterHeat * v), set: h.Set.Kelvin(), T: h.Set.Kelvin(), ta: 293.15}
}

// fifteen gives a system of one pipe 15 taps at its end.
func (s System) fifteen() System {
	for i := len(s.Outlets); i < 15; i++ {
		s.Outlets = append(s.Outlets, Outlet{ID: "more-" + string(rune('a'+i)), Pipe: 0, Cold: None})
	}
	return s
}

// TestHotFedLocalHeater: a small store on the hot line takes the wait away and
// lets hot water follow.
func TestHotFedLocalHeater(t *testing.T) {
	s := single(half.pipe("p", Supply, None, 20))
	draw := tap(7, 30, 6, 0)
	without := simulated(t, s, oneDay(draw))
	s.Outlets[0].Local = &LocalHeater{Content: quantity.CubicMetres(0.01), Power: quantity.PowerWatts(1500), Set: quantity.Celsius(55), UA: 0.5, FromHot: true}
	with := simulated(t, s, oneDay(draw))
	if without.Waits[0].Seconds < 10 || with.Waits[0].Seconds != 0 {
		t.Errorf("waits %g s without, %g s with a store", without.Waits[0].Seconds, with.Waits[0].Seconds)
	}
	if !(with.Year.HeaterHeat > 0.7*without.Year.HeaterHeat) || !(with.Year.Residual < 1e-9) {
		t.Errorf("the heater gives %g J, %g without the store; residual %g", with.Year.HeaterHeat, without.Year.HeaterHeat, with.Year.Residual)
	}
}

func TestTankless(t *testing.T) {
	p := tubing{0.0136, 0.5}.pipe("p", Supply, None, 10)
	s := single(p)
	plan := oneDay(tap(7, 10, 6, 0))
	before := simulated(t, s, plan).Waits[0].Seconds
	s.Heater.StartUpDelay = quantity.Seconds(8)
	near(t, "wait with a start-up delay", simulated(t, s, plan).Waits[0].Seconds, before+8, 1e-9)
	s.Heater.Activation = quantity.CubicMetresPerSecond(1.2e-4)
	r := simulated(t, s, plan)
	if r.Waits[0].Served || r.Year.Unserved != 1 || r.Year.HeaterHeat != 0 {
		t.Errorf("below its activation flow a heater serves: %+v", r.Waits[0])
	}
	near(t, "time until it is given up", r.Waits[0].Seconds, 600, 1e-9)
	near(t, "water run off", r.Year.RunToWaste, 600*1e-4, 1e-9)
	// A pump below the activation flow circulates what cools.
	c := ring(0.4, continuous())
	c.Heater.Activation = quantity.CubicMetresPerSecond(2e-4)
	if r := simulated(t, c, oneDay()); math.Abs(r.Year.HeaterHeat) > 1 || !(r.Year.Residual < 1e-6) {
		t.Errorf("unheated circulation takes %g J", r.Year.HeaterHeat)
	}
}
