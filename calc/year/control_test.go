package year

import (
	"math"
	"testing"

	"recirc/calc/calendar"
	"recirc/calc/control"
	"recirc/calc/quantity"
)

func TestTimerAndDutyCycleRunTheirHours(t *testing.T) {
	timer := control.Settings{Kind: control.Timer, Windows: []control.Window{
		// Common practice: half an hour before the household rises at 6:30.
		{Type: calendar.Weekday, From: quantity.Seconds(6 * 3600), To: quantity.Seconds(8 * 3600)},
		{Type: calendar.Weekday, From: quantity.Seconds(17 * 3600), To: quantity.Seconds(22 * 3600)},
	}}
	r := simulated(t, ring(0.4, timer), oneDay(tap(6.5, 3, 6, 0)))
	near(t, "timer's hours", r.Year.PumpTime/3600, 7, 1e-9)
	near(t, "timer's starts", r.Year.PumpStarts, 2, 0)
	if r.Waits[0].Seconds != 0 {
		t.Errorf("half an hour after the pump has started one waits %g s", r.Waits[0].Seconds)
	}
	// Common practice: 15 minutes on, 15 off.
	cycle := control.Settings{Kind: control.DutyCycle, Cycle: control.Cycle{On: quantity.Seconds(900), Off: quantity.Seconds(900)}}
	r = simulated(t, ring(0.4, cycle), oneDay())
	near(t, "duty cycle's hours", r.Year.PumpTime/3600, 12, 1e-9)
	near(t, "duty cycle's starts", r.Year.PumpStarts, 48, 0)
}

// TestAquastat: with the settings of common practice, 85 F and 105 F, the pump starts at
// the one, and the time at rest is that of the cool-down.
func TestAquastat(t *testing.T) {
	s := ring(0.4, aquastat())
	r, err := Simulate(s, oneDay(), &Observation{Pipes: []int{1}, Points: 8640})
	if err != nil {
		t.Fatal(err)
	}
	p := &s.Pipes[1]
	tau := (p.Content.CubicMetresPerMetre()*waterHeat + p.WallHeatCapacity) / p.UA
	// It is stopped by a front nearly as hot as the heater, which then cools.
	front := 35 * math.Exp(-0.4*30/(1e-4*waterHeat))
	rest := tau * math.Log(front/(29.44-20))
	pump := r.Observed.Pump
	for i := 1; i < len(pump); i++ {
		if pump[i].On && !pump[i-1].On {
			near(t, "time at rest", pump[i].At-pump[i-1].At, rest, 0.02)
		}
	}
	if len(pump) < 20 {
		t.Errorf("the pump switches %d times", len(pump))
	}
	for i, T := range r.Observed.Degrees[0] {
		if T < 29.3+273.15 {
			t.Fatalf("the sensor reads %.2f K at %g s", T, r.Observed.Times[i])
		}
	}
	// Case F02: set above the tank, the pump never stops.
	hot := aquastat()
	hot.Aquastat = control.Aquastat{Start: quantity.Celsius(80), Stop: quantity.Celsius(88)}
	r = simulated(t, ring(0.4, hot), oneDay())
	near(t, "hours of an aquastat above the tank", r.Year.PumpTime/3600, 24, 1e-9)
}

// TestOnDemand: what stood in the trunk goes into the cold line, nobody runs it off,
// and whoever wants water waits from the trigger.
func TestOnDemand(t *testing.T) {
	s := withColdLine(house(), onDemand(0), nil)
	draw := tap(7, 5, 6, 14)
	plan := oneDay(draw)
	r, err := Simulate(s, plan, &Observation{})
	if err != nil {
		t.Fatal(err)
	}
	trunk := math.Pi / 4 * 0.02 * 0.02 * 18
	whole := 1 + s.Pipes[0].WallHeatCapacity/(s.Pipes[0].Content.CubicMetresPerMetre()*waterHeat)
	seconds := trunk * whole / 1e-4
	near(t, "run time", r.Year.PumpTime, seconds, 0.01)
	near(t, "volume moved", r.Year.ReturnVolume, trunk*whole, 0.01)
	branch := math.Pi / 4 * 0.0136 * 0.0136 * (1.5 + 0.7*4)
	if r.Year.RunToWaste > 1.5*branch {
		t.Errorf("%g m3 run to waste, more than the %g m3 of the dead leg with its wall", r.Year.RunToWaste, 1.5*branch)
	}
	near(t, "wait from the trigger", r.Waits[0].Seconds, seconds+r.Year.RunToWaste/1e-4, 0.01)
	if d := r.Observed.Draws[0]; d.Opened < d.Wanted+seconds*0.99 {
		t.Errorf("the tap opens %g s after it is wanted", d.Opened-d.Wanted)
	}
	// With the pump under the tap itself nothing at all is wasted.
	at := withColdLine(house(), onDemand(0), nil)
	at.Circulations[0].Sensor = at.Outlets[14].Pipe
	at.Circulations[0].Loops[0].From = at.Outlets[14].Pipe
	if y := simulated(t, at, plan).Year; y.RunToWaste != 0 || y.HeatWasted != 0 || y.HotDrawn < 0.005*(1-1e-9) {
		t.Errorf("%g m3 run to waste at the tap with the pump", y.RunToWaste)
	}
	// Triggered two minutes before, the wait is that of the dead leg.
	s = withColdLine(house(), onDemand(120), nil)
	early := simulated(t, s, plan)
	near(t, "wait when triggered before", early.Waits[0].Seconds, early.Year.RunToWaste/1e-4, 1e-9)
	// What nobody announces runs to waste as without a pump.
	s.Circulations[0].Control.Demand.Probability = 0
	never := simulated(t, s, plan)
	none := simulated(t, house(), plan)
	near(t, "waste without a trigger", never.Year.RunToWaste, none.Year.RunToWaste, 1e-9)
	near(t, "wait without a trigger", never.Waits[0].Seconds, none.Waits[0].Seconds, 1e-9)
	// A higher probability announces the same draws and more.
	plan = months(morning(15))
	last := math.Inf(1)
	for _, p := range []float64{0, 0.3, 0.7, 1} {
		s.Circulations[0].Control.Demand.Probability = p
		waste := simulated(t, s, plan).Year.RunToWaste
		if waste > last {
			t.Errorf("with probability %g %g m3 run to waste, before %g", p, waste, last)
		}
		last = waste
	}
}

// TestOnDemandThatServesAPart: only the draws of its outlets trigger the pump.
func TestOnDemandThatServesAPart(t *testing.T) {
	s := withColdLine(house(), onDemand(0), nil)
	s.Circulations[0].Demands = []int{14}
	r := simulated(t, s, oneDay(tap(7, 5, 6, 0), tap(12, 5, 6, 14)))
	near(t, "starts", r.Year.PumpStarts, 1, 0)
}

// TestLukewarm: a cold draw after the pump has run finds what it has pushed into the
// cold line, at most so much and so hot.
func TestLukewarm(t *testing.T) {
	cold := func(hour float64) Event {
		e := tap(hour, 10, 6, 14)
		e.Cold = true
		return e
	}
	s := withColdLine(house(), onDemand(0), nil)
	plan := oneDay(tap(7, 2, 6, 14), cold(7.1))
	plan.LukewarmAbove = quantity.Celsius(25)
	r := simulated(t, s, plan)
	c := r.Year.Cold
	near(t, "cold water drawn", c.Drawn, 0.010, 1e-9)
	if c.Volume > r.Year.ReturnVolume || c.Highest > 43.4+273.15 {
		t.Errorf("lukewarm: %+v of %g m3 moved", c, r.Year.ReturnVolume)
	}
	// Without a pump the line has the room's temperature and is not lukewarm.
	s.Circulations = nil
	if c := simulated(t, s, plan).Year.Cold; c.Volume != 0 || math.Abs(c.Highest-293.15) > 1e-6 {
		t.Errorf("without a pump: %+v", c)
	}
	// A pump at the heater that runs on, without a valve, fills the line with hot water.
	s = withColdLine(house(), continuous(), nil)
	plan = oneDay(cold(7))
	plan.LukewarmAbove = quantity.Celsius(25)
	r = simulated(t, s, plan)
	near(t, "lukewarm water of a running pump", r.Year.Cold.Volume, 0.010, 1e-9)
	near(t, "draws that found it", r.Year.Cold.Draws, 1, 0)
	if !(r.Year.Cold.Highest > 323) || !(r.Year.Residual < 1e-9) {
		t.Errorf("highest %g K, residual %g", r.Year.Cold.Highest, r.Year.Residual)
	}
}

// TestBypass: the valve comes to rest at the flow that keeps its temperature, and
// lets less water through than an open way.
func TestBypass(t *testing.T) {
	b := &Bypass{Opens: quantity.Celsius(35), Shuts: quantity.Celsius(46)}
	s := withColdLine(house(), continuous(), b)
	r, err := Simulate(s, oneDay(), &Observation{Pipes: []int{trunkEnd}, Points: 48})
	if err != nil {
		t.Fatal(err)
	}
	// Both equations by hand, in turn: the flow that the valve lets through, and what it cools to.
	q := 5e-6
	T := 0.0
	for range 2000 {
		T = 20 + 35*math.Exp(-0.65*18/(q*waterHeat))
		q += 0.02 * (1e-4*(46-T)/11 - q)
	}
	near(t, "flow by the valve", r.Year.ReturnVolume/86400, q, 1e-6)
	near(t, "temperature by the flow", r.Observed.Degrees[0][40]-273.15, T, 0.001)
	if open := simulated(t, withColdLine(house(), continuous(), nil), oneDay()); open.Year.ReturnVolume < 3*r.Year.ReturnVolume {
		t.Errorf("the valve lets %g m3 through, an open way %g", r.Year.ReturnVolume, open.Year.ReturnVolume)
	}
	// A loop that stays too cold keeps it open; without losses it shuts.
	cold := withColdLine(house(), continuous(), b)
	cold.Heater.Outlet = quantity.Celsius(34)
	near(t, "open valve", simulated(t, cold, oneDay()).Year.ReturnVolume, 8.64, 1e-6)
	tight := withColdLine(house(), continuous(), b)
	for i := range tight.Pipes {
		tight.Pipes[i].UA = 0
	}
	if v := simulated(t, tight, oneDay()).Year.ReturnVolume; v > 0.1 {
		t.Errorf("a warm valve lets %g m3 through", v)
	}
}

// TestTwoCirculations: several pumps on parts of one system.
func TestTwoCirculations(t *testing.T) {
	s := withReturn(house(), continuous())
	s.Pipes = append(s.Pipes, half.pipe("return-2", Return, None, 6))
	second := s.Circulations[0]
	second.Sensor = len(s.Pipes) - 1
	second.Control = morningTimer()
	second.Loops = []Loop{{From: 0, Into: len(s.Pipes) - 1, Flow: quantity.CubicMetresPerSecond(3e-5)}}
	s.Circulations = append(s.Circulations, second)
	r := simulated(t, s, months(morning(15)))
	if !(r.Year.Residual < 1e-6) || !(r.Year.PumpTime > 8760*3600) {
		t.Errorf("residual %g, pumps run %g h", r.Year.Residual, r.Year.PumpTime/3600)
	}
}
