package service_test

import (
	"math"
	"slices"
	"testing"

	"recirc/calc/fault"
	"recirc/calc/pump"
	"recirc/calc/quantity"
	"recirc/service"
)

// given asks for pumps for 10 L/min at 2 m, in a system without static head.
func given(candidates ...service.PumpCandidate) service.PumpSelectionRequest {
	return service.PumpSelectionRequest{
		Duty:       service.DutyRequest{Basis: service.DutyGiven, Flow: litresPerMinute(10), Head: quantity.Metres(2)},
		Candidates: candidates,
	}
}

// dutyAt10 is a pump of 20 L/min at most whose curve passes 10 L/min at a head.
func dutyAt10(id string, head float64) service.PumpCandidate {
	return parabolic(id, quantity.Metres(head*4/3), litresPerMinute(20), 40)
}

// powered gives every point the same power.
func powered(c service.PumpCandidate, watts float64) service.PumpCandidate {
	c.Curve = slices.Clone(c.Curve)
	for i := range c.Curve {
		c.Curve[i].Power = quantity.PowerWatts(watts)
	}
	return c
}

func priced(c service.PumpCandidate, amount float64) service.PumpCandidate {
	c.Price = &service.Money{Amount: amount, Currency: "EUR"}
	return c
}

func rejections(r *service.RankedPump) []service.RejectionCode {
	var all []service.RejectionCode
	for _, j := range r.Rejections {
		all = append(all, j.Code)
	}
	return all
}

// atPerHour is 0.25 a kilowatt-hour.
func atPerHour() *service.EnergyPrice {
	return &service.EnergyPrice{PerJoule: 0.25 / 3.6e6, Currency: "EUR"}
}

// TestEachRejection makes a pump that fits unfit, in one way at a time.
func TestEachRejection(t *testing.T) {
	no, ratio := false, 0.2
	risingOnly := func(c *service.PumpCandidate) {
		c.Curve = []pump.Point{{Flow: litresPerMinute(4), Head: quantity.Metres(0.1)}, {Flow: litresPerMinute(16), Head: quantity.Metres(9)}}
	}
	cases := []struct {
		name   string
		change func(*service.PumpSelectionRequest, *service.PumpCandidate)
		want   []service.RejectionCode
	}{
		{"nothing", func(*service.PumpSelectionRequest, *service.PumpCandidate) {}, nil},
		{"a weaker pump", func(_ *service.PumpSelectionRequest, c *service.PumpCandidate) { *c = dutyAt10("a", 1.9) }, []service.RejectionCode{service.ShortOfDuty}},
		{"a duty above the system curve", func(r *service.PumpSelectionRequest, c *service.PumpCandidate) {
			r.Curve = &service.SystemCurve{Points: []pump.Point{{Flow: litresPerMinute(10), Head: quantity.Metres(1)}}}
			*c = dutyAt10("a", 1.9)
		}, []service.RejectionCode{service.ShortOfDuty}},
		{"a static head above the shut-off head", func(r *service.PumpSelectionRequest, _ *service.PumpCandidate) {
			static := quantity.Metres(3)
			r.Curve = &service.SystemCurve{Static: &static, Points: []pump.Point{{Flow: litresPerMinute(10), Head: quantity.Metres(4)}}}
		}, []service.RejectionCode{service.AboveShutOff}},
		{"a curve that begins too late", func(_ *service.PumpSelectionRequest, c *service.PumpCandidate) { c.Curve = c.Curve[30:] }, []service.RejectionCode{service.BeforeCurve}},
		{"a curve that ends too early", func(_ *service.PumpSelectionRequest, c *service.PumpCandidate) { c.Curve = c.Curve[:12] }, []service.RejectionCode{service.BeyondCurve}},
		{"a curve that only rises", func(_ *service.PumpSelectionRequest, c *service.PumpCandidate) { risingOnly(c) }, []service.RejectionCode{service.UnstableOnly, service.ShortOfDuty}},
		{"too much flow", func(r *service.PumpSelectionRequest, c *service.PumpCandidate) {
			*c = dutyAt10("a", 6)
			r.Limits.Excess = &ratio
		}, []service.RejectionCode{service.ExcessFlow}},
		{"too fast", func(r *service.PumpSelectionRequest, _ *service.PumpCandidate) {
			r.Limits.Bore, r.Limits.Velocity = quantity.Millimetres(13), quantity.MetresPerSecond(1.2) // 10 L/min are 1.26 m/s
		}, []service.RejectionCode{service.VelocityLimit}},
		{"suction too low", func(r *service.PumpSelectionRequest, c *service.PumpCandidate) {
			r.Conditions.Suction = &service.PumpSuction{Pressure: quantity.Pascals(-6e4)} // 41 kPa absolute at 60 degC: 2.1 m
			c.NPSH = []pump.Point{{Head: quantity.Metres(2.5)}, {Flow: litresPerMinute(20), Head: quantity.Metres(3)}}
		}, []service.RejectionCode{service.NPSHShort}},
		{"not approved", func(_ *service.PumpSelectionRequest, c *service.PumpCandidate) { c.Approved = &no }, []service.RejectionCode{service.NotApproved}},
		{"not known to be approved", func(_ *service.PumpSelectionRequest, c *service.PumpCandidate) { c.Approved = nil }, []service.RejectionCode{service.NotApproved}},
		{"not approved, which nobody asks for", func(r *service.PumpSelectionRequest, c *service.PumpCandidate) {
			c.Approved, r.Limits.Approval = nil, &no
		}, nil},
		{"too hot", func(r *service.PumpSelectionRequest, c *service.PumpCandidate) {
			r.Conditions.Water, c.Temperature = quantity.Celsius(70), quantity.Celsius(65)
		}, []service.RejectionCode{service.TemperatureRating}},
		{"just not too hot", func(r *service.PumpSelectionRequest, c *service.PumpCandidate) {
			r.Conditions.Water, c.Temperature = quantity.Celsius(65), quantity.Celsius(65)
		}, nil},
		{"too high a pressure", func(r *service.PumpSelectionRequest, c *service.PumpCandidate) {
			r.Conditions.Pressure, c.Pressure = quantity.Pascals(7e5), quantity.Pascals(6e5)
		}, []service.RejectionCode{service.PressureRating}},
		{"two of them", func(r *service.PumpSelectionRequest, c *service.PumpCandidate) {
			*c = dutyAt10("a", 1)
			c.Approved = &no
		}, []service.RejectionCode{service.ShortOfDuty, service.NotApproved}},
		{"a control whose line is met before the curve begins", func(_ *service.PumpSelectionRequest, c *service.PumpCandidate) {
			c.Curve = c.Curve[30:]
			c.Control = service.PumpControl{Mode: pump.ConstantPressure, SetHead: quantity.Metres(1e-5)}
		}, []service.RejectionCode{service.BeforeCurve}},
	}
	for _, row := range cases {
		t.Run(row.name, func(t *testing.T) {
			req := given(dutyAt10("a", 2.2))
			row.change(&req, &req.Candidates[0])
			a := selectPumps(t, req)
			r := &a.Pumps[0]
			if got := rejections(r); !slices.Equal(got, row.want) || r.Accepted != (row.want == nil) {
				t.Errorf("accepted %v, %+v; want %v", r.Accepted, r.Rejections, row.want)
			}
			if (a.Miss == nil) != r.Accepted || a.Miss != nil && (a.Miss.ID != "a" || len(a.Miss.Changes) != len(row.want)) {
				t.Errorf("the nearest miss is %+v", a.Miss)
			}
			for _, j := range r.Rejections { // what is judged is on the wrong side of its limit
				least := j.Code == service.ShortOfDuty || j.Code == service.NPSHShort
				if j.Dimension != nil && j.Code != service.BeyondCurve && j.Code != service.AboveShutOff && j.Code != service.BeforeCurve && (j.Value < j.Limit) != least {
					t.Errorf("%s: value %g, limit %g", j.Code, j.Value, j.Limit)
				}
			}
		})
	}
}

// TestBestSpeedIsTheLowestThatServes: of the speeds of a pump the one is taken that
// gives the duty with the least over it, whatever their order. By the laws a pump
// that gives 4 times the head needs half the speed.
func TestBestSpeedIsTheLowestThatServes(t *testing.T) {
	strong := parabolic("a", quantity.Metres(4*2*4/3.0), litresPerMinute(40), 80) // at half the speed that of dutyAt10(2)
	for _, speeds := range [][]float64{{1, 0.8, 0.6, 0.5, 0.4}, {0.4, 0.5, 0.6, 0.8, 1}, {0.8, 0.4, 0.5, 1, 0.6}} {
		strong.Speeds = speeds
		r := selectPumps(t, given(strong)).Pumps[0]
		if !r.Accepted || r.At.Speed != 0.5 || !near(r.At.Flow.CubicMetresPerSecond(), 10.0/6e4, 1e-6) {
			t.Errorf("of %v: %g, %+v", speeds, r.At.Speed, r.Rejections)
		}
	}
	strong.Speeds = []float64{0.2, 0.45, 0.3} // none does: the nearest
	if r := selectPumps(t, given(strong)).Pumps[0]; r.Accepted || r.At.Speed != 0.45 || !near(r.Reach.Speed, 0.5, 1e-6) {
		t.Errorf("%+v, %+v", r.At, r.Reach)
	}
	strong.Speeds, strong.SpeedRange = nil, &service.SpeedRange{Least: 0.2, Greatest: 1}
	for _, at := range []struct{ least, greatest, want float64 }{{0.2, 1, 0.5}, {0.7, 1, 0.7}, {0.2, 0.4, 0.4}} {
		strong.SpeedRange = &service.SpeedRange{Least: at.least, Greatest: at.greatest}
		if r := selectPumps(t, given(strong)).Pumps[0]; !near(r.At.Speed, at.want, 1e-6) || r.Accepted != (at.want >= 0.5) {
			t.Errorf("from %g to %g: %g, accepted %v", at.least, at.greatest, r.At.Speed, r.Accepted)
		}
	}
}

// TestHeldHeads: a control holds its head at the duty point, or is set so that the
// pump gives just the duty; its power is that of the lower speed.
func TestHeldHeads(t *testing.T) {
	strong := powered(dutyAt10("a", 5), 30)
	strong.Control = service.PumpControl{Mode: pump.ConstantPressure, SetHead: quantity.Metres(3)}
	r := selectPumps(t, given(strong)).Pumps[0]
	if q := 10 * math.Sqrt(1.5); !near(r.At.Head.Metres(), 3, 1e-9) || !near(6e4*r.At.Flow.CubicMetresPerSecond(), q, 1e-9) || r.At.Speed >= 1 {
		t.Errorf("holding 3 m: %+v", r.At)
	}
	if !near(r.At.Electrical.Watts(), 30*math.Pow(r.At.Speed, 3), 1e-9) || r.Reach.SetHead != quantity.Metres(2) || r.Reach.Kv != (quantity.FlowCoefficient{}) {
		t.Errorf("%v at %g, %+v", r.At.Electrical, r.At.Speed, r.Reach)
	}
	for _, mode := range []pump.Mode{pump.ConstantPressure, pump.ProportionalPressure} {
		strong.Control = service.PumpControl{Mode: mode, Adjustable: true}
		r := selectPumps(t, given(strong)).Pumps[0]
		if !r.Accepted || *r.Excess != 0 || !near(r.At.Head.Metres(), 2, 1e-9) {
			t.Errorf("%s, adjustable: %+v", mode, r.At)
		}
		// At 10 of 20 L/min the line is at three quarters of its set head.
		if want := map[pump.Mode]float64{pump.ConstantPressure: 2, pump.ProportionalPressure: 2 / 0.75}[mode]; !near(r.At.SetHead.Metres(), want, 1e-9) {
			t.Errorf("%s is set to %g m, want %g", mode, r.At.SetHead.Metres(), want)
		}
	}
}

// TestThrottleBringsTheDuty puts the valve that is advised into the system: its loss
// at 1 bar for Kv, by its definition, and the pump's head agree at the duty.
func TestThrottleBringsTheDuty(t *testing.T) {
	a := selectPumps(t, given(dutyAt10("a", 5)))
	r := a.Pumps[0]
	kv := quantity.FlowCoefficientDimension.SI.FromSI(r.Reach.Kv.SI()) // m3/h at 1 bar
	bar := math.Pow(0.6/kv, 2) * 983.19 / 1000                         // 10 L/min of water at 60 degC, 983.19 kg/m3 (IAPWS)
	if metres := bar * 1e5 / (983.19 * 9.80665); !near(2+metres, 5, 1e-4) {
		t.Errorf("system and valve of Kv %g take %.4f m, the pump gives 5", kv, 2+metres)
	}
	if want := bar * 1e5 * 10 / 6e4; !near(r.Reach.Wasted.Watts(), want, 1e-3) {
		t.Errorf("the valve wastes %g W, want %g", r.Reach.Wasted.Watts(), want)
	}
}

// TestTwoPumps: two in parallel give twice the flow of one at the same head; of a
// duty and a stand-by pump one runs. Two are paid for either way.
func TestTwoPumps(t *testing.T) {
	half := parabolic("pair", quantity.Metres(2*4/3.0), litresPerMinute(10), 40) // 5 L/min at 2 m
	half = priced(powered(half, 10), 100)
	half.Arrangement = service.TwoInParallel
	spare := priced(powered(dutyAt10("spare", 2), 10), 100)
	spare.Arrangement = service.DutyAndStandby
	single := priced(powered(dutyAt10("single", 2), 10), 100)
	for _, r := range selectPumps(t, given(half, spare, single)).Pumps {
		watts, price := map[string]float64{"pair": 20, "spare": 10, "single": 10}[r.ID], map[string]float64{"pair": 200, "spare": 200, "single": 100}[r.ID]
		if !near(6e4*r.At.Flow.CubicMetresPerSecond(), 10, 1e-6) || r.At.Electrical.Watts() != watts || *r.Price != price {
			t.Errorf("%s: %+v for %v", r.ID, r.At, *r.Price)
		}
	}
}

// TestLifeCycleCost takes the factor of the computed reference, LCC-0033: 15 years at
// 6 % are 9.712248988 yearly amounts. 50 W run 4000 h: 200 kWh, 50 EUR a year.
func TestLifeCycleCost(t *testing.T) {
	hours, rate := 4000.0, 0.06
	req := given(priced(powered(dutyAt10("a", 2), 50), 300))
	req.Electricity, req.Running.Hours = atPerHour(), &hours
	req.Ranking = service.Ranking{By: service.ByLifeCycleCost, Years: 15, Rate: &rate}
	r := selectPumps(t, req).Pumps[0]
	if !near(r.Energy.Joules(), 200*3.6e6, 1e-12) || !near(*r.Cost, 50, 1e-12) || !near(*r.LifeCycle, 300+50*9.712248988, 1e-9) {
		t.Errorf("%g kWh, %g a year, %g in all", r.Energy.Joules()/3.6e6, *r.Cost, *r.LifeCycle)
	}
}

// TestRunningTimes: hours by what lets a pump run.
func TestRunningTimes(t *testing.T) {
	ratio := func(x float64) *float64 { return &x }
	span := func(s float64) *quantity.Duration { d := quantity.Seconds(s); return &d }
	for _, row := range []struct {
		running service.RunningTime
		hours   float64
	}{
		{service.RunningTime{}, 8760},
		{service.RunningTime{Hours: ratio(0)}, 0},
		{service.RunningTime{Control: service.RunsContinuously}, 8760},
		{service.RunningTime{Control: service.RunsByTimer, PerDay: span(18 * 3600)}, 6570},
		{service.RunningTime{Control: service.RunsByAquastat, Share: ratio(0.25)}, 2190},
		{service.RunningTime{Control: service.RunsByAquastat, Share: ratio(0.25), PerDay: span(12 * 3600)}, 1095},
		{service.RunningTime{Control: service.RunsOnDemand, Starts: ratio(12), PerStart: span(60)}, 73},
	} {
		req := given(dutyAt10("a", 2.2))
		req.Running = row.running
		a := selectPumps(t, req)
		if !near(a.Hours, row.hours, 1e-12) || hasAssumption(a.Assumptions, "default_hours") != (row.running == service.RunningTime{}) {
			t.Errorf("%+v: %g h, want %g", row.running, a.Hours, row.hours)
		}
	}
}

// TestEveryCriterion ranks four pumps that fit by each criterion.
func TestEveryCriterion(t *testing.T) {
	rate := 0.03
	var all []service.PumpCandidate
	for _, p := range []struct {
		id                 string
		head, watts, price float64
	}{{"frugal", 3, 5, 400}, {"close", 2.1, 20, 300}, {"cheap", 4, 40, 80}, {"unknown", 5, 0, 0}} {
		c := dutyAt10(p.id, p.head)
		if p.watts > 0 {
			c = priced(powered(c, p.watts), p.price)
		}
		all = append(all, c)
	}
	for by, want := range map[service.Criterion][]string{
		"":                      {"frugal", "close", "cheap", "unknown"},
		service.ByYearlyCost:    {"frugal", "close", "cheap", "unknown"},
		service.ByEnergy:        {"frugal", "close", "cheap", "unknown"},
		service.ByExcess:        {"close", "frugal", "cheap", "unknown"},
		service.ByPrice:         {"cheap", "close", "frugal", "unknown"},
		service.ByLifeCycleCost: {"frugal", "close", "cheap", "unknown"}, // 493, 674, 827 over 10 years
	} {
		req := given(all...)
		req.Electricity = atPerHour()
		req.Ranking = service.Ranking{By: by, Years: 10, Rate: &rate}
		a := selectPumps(t, req)
		var got []string
		for _, r := range a.Pumps {
			got = append(got, r.ID)
		}
		if !slices.Equal(got, want) || warns(a.Notes, "criterion_unknown") != (by != service.ByExcess) {
			t.Errorf("by %s: %v, want %v; %v", by, got, want, warningCodes(a.Notes))
		}
	}
}

// TestEqualsAreRankedByExcess, and equals of that by id.
func TestEqualsAreRankedByExcess(t *testing.T) {
	req := given(priced(dutyAt10("c", 4), 90), priced(dutyAt10("b", 3), 90), priced(dutyAt10("d", 3), 90), priced(dutyAt10("a", 5), 90))
	req.Ranking.By = service.ByPrice
	var got []string
	for _, r := range selectPumps(t, req).Pumps {
		got = append(got, r.ID)
	}
	if want := []string{"b", "d", "c", "a"}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}

// TestSpeedWithFewerFaultsIsShown: where no speed serves, the one with less against
// it is told, though another is nearer in flow.
func TestSpeedWithFewerFaultsIsShown(t *testing.T) {
	c := dutyAt10("a", 2.5)
	c.Speeds = []float64{1, 0.7}
	req := given(c)
	none := 0.0
	req.Limits.Excess, req.Limits.Bore, req.Limits.Velocity = &none, quantity.Millimetres(13), quantity.MetresPerSecond(1.26)
	r := selectPumps(t, req).Pumps[0]
	if got := rejections(&r); r.At.Speed != 0.7 || !slices.Equal(got, []service.RejectionCode{service.ShortOfDuty}) {
		t.Errorf("at %g: %v", r.At.Speed, got)
	}
}

// TestCurveThatRisesFirst: a pump whose curve rises meets a lifted system twice. It
// comes to the stable point; the warning tells both.
func TestCurveThatRisesFirst(t *testing.T) {
	humped := dutyAt10("humped", 2)
	humped.Curve = []pump.Point{{Head: quantity.Metres(2)}, {Flow: litresPerMinute(5), Head: quantity.Metres(3)}, {Flow: litresPerMinute(12), Head: quantity.Metres(1)}}
	static := quantity.Metres(2.3)
	req := given(humped)
	req.Duty.Flow = litresPerMinute(6)
	req.Curve = &service.SystemCurve{Static: &static, Points: []pump.Point{{Flow: litresPerMinute(10), Head: quantity.Metres(2.5)}}}
	a := selectPumps(t, req)
	r := a.Pumps[0]
	if !r.At.Stable || len(r.Others) != 1 || r.Others[0].Stable || r.Others[0].Flow.CubicMetresPerSecond() > r.At.Flow.CubicMetresPerSecond() {
		t.Errorf("%+v, others %+v", r.At, r.Others)
	}
	if !warns(a.Notes, "curve_not_falling") {
		t.Error("no warning")
	}
}

// TestWhatIsNotAssessed is told, with its reason.
func TestWhatIsNotAssessed(t *testing.T) {
	checks := func(r service.RankedPump) (all []service.Check) {
		for _, n := range r.NotAssessed {
			if n.Reason == "" {
				t.Errorf("%s has no reason", n.Check)
			}
			all = append(all, n.Check)
		}
		slices.Sort(all)
		return all
	}
	got := checks(selectPumps(t, given(dutyAt10("a", 2.2))).Pumps[0])
	if want := []service.Check{service.CheckEfficiency, service.CheckNPSH, service.CheckPressure, service.CheckTemperature, service.CheckVelocity}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
	full := powered(dutyAt10("a", 2.2), 20)
	full.Temperature, full.Pressure = quantity.Celsius(95), quantity.Pascals(1e6)
	full.NPSH = []pump.Point{{Head: quantity.Metres(0.5)}, {Flow: litresPerMinute(20), Head: quantity.Metres(1)}}
	req := given(full)
	req.Limits.Bore = quantity.Millimetres(20)
	req.Conditions = service.PumpConditions{Pressure: quantity.Pascals(6e5), Suction: &service.PumpSuction{Pressure: quantity.Pascals(2e5)}}
	if got := checks(selectPumps(t, req).Pumps[0]); got != nil {
		t.Errorf("with everything given: %v", got)
	}
	req.Candidates[0] = powered(full, 0.1) // less than the water takes up
	if got := checks(selectPumps(t, req).Pumps[0]); !slices.Equal(got, []service.Check{service.CheckEfficiency}) {
		t.Errorf("with too little power: %v", got)
	}
}

// TestNetPositiveSuctionHead: water of 60 degC boils at 19.946 kPa and weighs
// 983.2 kg/m3 (steam tables). With 1 bar over the air's 101.325 kPa, 2 m higher and
// 0.5 m lost: (201.325 - 19.946)/(0.9832 g) + 1.5 = 20.31 m.
func TestNetPositiveSuctionHead(t *testing.T) {
	c := dutyAt10("a", 2)
	c.NPSH = []pump.Point{{Head: quantity.Metres(1)}, {Flow: litresPerMinute(20), Head: quantity.Metres(2)}}
	req := given(c)
	req.Conditions.Suction = &service.PumpSuction{Pressure: quantity.Pascals(1e5), Above: quantity.Metres(2), HeadLoss: quantity.Metres(0.5)}
	a := selectPumps(t, req)
	n := a.Pumps[0].NPSH
	if n == nil || !near(n.Available.Metres(), 20.31, 1e-3) || !near(n.Required.Metres(), 1.5, 1e-6) || !near(n.Margin.Metres(), n.Available.Metres()-1.5, 1e-9) {
		t.Errorf("%+v", n)
	}
	if !hasAssumption(a.Assumptions, "default_air_pressure") {
		t.Error("the air is not said to be assumed")
	}
}

// TestSelectionFaultsAllAtOnce: faults of every part come together.
func TestSelectionFaultsAllAtOnce(t *testing.T) {
	bad := dutyAt10("a", 2)
	bad.Curve = slices.Clone(bad.Curve)
	bad.Curve[3].Flow = bad.Curve[2].Flow
	bad.Price = &service.Money{Amount: 1, Currency: "USD"}
	req := given(bad, dutyAt10("a", 3))
	req.Duty.Flow = quantity.Flow{}
	req.Electricity = atPerHour()
	req.Ranking.Years = 5
	req.Running.Control = service.RunsByTimer
	var faults fault.List
	if a := service.PumpSelection(&req, &faults); a != nil {
		t.Fatal("answered")
	}
	var got []string
	for _, f := range faults.Faults() {
		got = append(got, f.Pointer+" "+string(f.Code))
	}
	want := []string{"/candidates/0/curve/3 curve_flow_repeated", "/candidates/1/id duplicate_id", "/candidates/0/price/currency currency_mixed",
		"/ranking ranking_incomplete", "/duty duty_incomplete", "/running running_incomplete"}
	slices.Sort(got)
	slices.Sort(want)
	if !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}
