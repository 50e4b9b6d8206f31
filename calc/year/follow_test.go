package year

import (
	"math"
	"reflect"
	"testing"

	"recirc/calc/calendar"
)

// TestFollowWeek: seven days add up, and weekends have their own draws.
func TestFollowWeek(t *testing.T) {
	p := months(morning(15))
	p.Months[2].Days[1].Draws = morning(15)[:10]
	r, err := Follow(withReturn(house(), morningTimer()), p, 2, calendar.Week(), &Observation{Pipes: []int{trunkEnd, 18}, Points: 700})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Days) != 7 || r.Days[5].Type != calendar.Weekend || len(r.Waits) != 5*40+2*10 {
		t.Errorf("%d days, %d waits", len(r.Days), len(r.Waits))
	}
	sum := 0.0
	for _, d := range r.Days {
		sum += d.HeaterHeat
		if !(d.Residual < 1e-6) || d.Weight != 1 {
			t.Errorf("a day of weight %g misses %g", d.Weight, d.Residual)
		}
	}
	near(t, "heat of the week", r.Year.HeaterHeat, sum, 1e-12)
	o := r.Observed
	if len(o.Times) != 700 || len(o.Degrees) != 2 || len(o.Degrees[1]) != 700 || o.Times[0] != 0 || o.Times[699] > 7*86400 {
		t.Errorf("%d readings of %d pipes", len(o.Times), len(o.Degrees))
	}
	if len(o.Draws) != len(r.Waits) {
		t.Errorf("%d draws are seen, %d waited for", len(o.Draws), len(r.Waits))
	}
	// The timer runs the pump between its hours only.
	running := false
	for _, s := range o.Pump {
		if h := math.Mod(s.At, 86400) / 3600; s.On && (h < 6 || h > 23) {
			t.Errorf("the pump starts at %g h", h)
		}
		if s.On == running {
			t.Errorf("the pump switches to what it does at %g s", s.At)
		}
		running = s.On
	}
}

// TestLookingOnChangesNothing, and the same input gives the same result.
func TestLookingOnChangesNothing(t *testing.T) {
	p := months(morning(15))
	for name, s := range arrangements() {
		a := simulated(t, s, p)
		b, err := Simulate(s, p, &Observation{Month: 3, Day: 1, Pipes: []int{0, trunkEnd}, Points: 500})
		if err != nil {
			t.Fatal(err)
		}
		if b.Observed == nil || len(b.Observed.Draws) != 40 {
			t.Errorf("%s: nothing is seen", name)
		}
		b.Observed = nil
		if !reflect.DeepEqual(a, b) {
			t.Errorf("%s: looking on changes the result", name)
		}
	}
}

// TestWeights: days of weight 0 count nothing, and weights scale sums.
func TestWeights(t *testing.T) {
	p := oneDay(tap(7, 5, 6, 3), tap(8, 5, 6, 9))
	one := simulated(t, house(), p)
	p.Months[0].Days[0].Weight = 30
	many := simulated(t, house(), p)
	for i, v := range one.Year.sums() {
		near(t, "a sum of 30 days", *many.Year.sums()[i], 30**v, 1e-12)
	}
	p.Months[0].Days[0].Weight = 0
	none := simulated(t, house(), p)
	if none.Year.HeaterHeat != 0 || len(none.Days) != 1 || none.Days[0].HeaterHeat == 0 {
		t.Errorf("a day of no weight counts: %+v", none.Year)
	}
	if _, ok := none.Waits.Quantile(0.5); ok {
		t.Error("waits of no weight have a median")
	}
}

// TestQuantiles by hand.
func TestQuantiles(t *testing.T) {
	w := Waits{
		{Outlet: 1, Seconds: 5, Weight: 1, Served: true}, {Outlet: 0, Seconds: 1, Weight: 2, Served: true},
		{Outlet: 1, Seconds: 3, Weight: 6, Served: false}, {Outlet: 0, Seconds: 9, Weight: 1, Served: true},
	}
	for share, want := range map[float64]float64{0: 1, 0.2: 1, 0.21: 5, 0.3: 5, 0.4: 9, 0.5: 3, 1: 3} {
		if got, ok := w.Quantile(share); !ok || got != want {
			t.Errorf("quantile %g is %g, want %g", share, got, want)
		}
	}
	for s, want := range map[float64]float64{0: 0, 1: 0.2, 5: 0.3, 100: 0.4} {
		if got, ok := w.Within(s); !ok || math.Abs(got-want) > 1e-12 {
			t.Errorf("%g are served within %g s, want %g", got, s, want)
		}
	}
	if got, _ := w.At(0).Within(1); math.Abs(got-2.0/3) > 1e-12 {
		t.Errorf("at an outlet %g are served", got)
	}
	if _, ok := Waits(nil).Quantile(0.5); ok {
		t.Error("no waits have a median")
	}
	if _, ok := Waits(nil).Within(5); ok {
		t.Error("no waits have a share")
	}
}

// TestQueue: who finds the tap taken draws afterwards, and waits from when it is free.
func TestQueue(t *testing.T) {
	p := oneDay(tap(7, 60, 6, 0), tap(7.001, 3, 6, 0))
	r, err := Simulate(house(), p, &Observation{})
	if err != nil {
		t.Fatal(err)
	}
	d := r.Observed.Draws
	if len(d) != 2 || d[1].Opened < d[0].Shut-1e-9 || r.Waits[1].Seconds != 0 {
		t.Errorf("%+v", d)
	}
	near(t, "volume of both", r.Year.HotDrawn, 0.063, 1e-9)
}

// TestOverMidnight: a draw that runs over midnight is whole in every day.
func TestOverMidnight(t *testing.T) {
	p := oneDay(tap(23.99, 60, 6, 0))
	r := simulated(t, house(), p)
	near(t, "volume", r.Year.HotDrawn, 0.06, 1e-6)
	near(t, "draws", r.Year.Draws, 1, 0)
	if len(r.Waits) != 1 || r.Days[0].WarmUp == 0 {
		t.Errorf("%d waits after %d days", len(r.Waits), r.Days[0].WarmUp)
	}
}

// TestAsItComes: a dishwasher draws its volume whatever the temperature, and waits for nothing.
func TestAsItComes(t *testing.T) {
	e := tap(7, 4, 6, 14)
	e.AsItComes = true
	r := simulated(t, house(), oneDay(e))
	near(t, "volume", r.Year.HotDrawn, 0.004, 1e-9)
	if len(r.Waits) != 0 || r.Year.RunToWaste != 0 || r.Year.Draws != 1 {
		t.Errorf("%+v", r.Year)
	}
}

// TestTogether: taps that run at once share the trunk, and the second has less to wait.
func TestTogether(t *testing.T) {
	alone := simulated(t, house(), oneDay(tap(7, 40, 6, 14)))
	both := simulated(t, house(), oneDay(tap(7, 40, 6, 14), tap(7, 40, 6, 13)))
	if w := both.Waits[0].Seconds; !(w < 0.7*alone.Waits[0].Seconds) {
		t.Errorf("with another tap open one waits %g s, %g alone", w, alone.Waits[0].Seconds)
	}
	near(t, "volume", both.Year.HotDrawn, 0.08, 1e-9)
}
