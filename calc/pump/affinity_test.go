package pump

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"recirc/calc/quantity"
)

// TestAffinity: at r times the speed a pump gives r times the flow, r^2 times the head
// and takes r^3 times the power, whatever its curve.
func TestAffinity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := falling(t)
		r := rapid.Float64Range(0.05, 3).Draw(t, "r")
		q := c.Range().To.CubicMetresPerSecond() * rapid.Float64Range(0, 1).Draw(t, "part")
		h, slope, err := c.Head(flow(q))
		p, errP := c.Power(flow(q))
		fast := Pumps{Curve: c, Speed: r}
		H, S, errH := fast.Head(flow(r * q))
		P, errPower := fast.Power(flow(r * q))
		for _, err := range []error{err, errP, errH, errPower} {
			if err != nil {
				t.Fatal(err)
			}
		}
		if math.Abs(H.Metres()-r*r*h.Metres()) > 1e-12*r*r*(1+h.Metres()) || math.Abs(S-r*slope) > 1e-8*r*(1+math.Abs(slope)) {
			t.Fatalf("head %v with slope %v became %v with %v at %v", h, slope, H, S, r)
		}
		near(t, "power", P.Watts(), r*r*r*p.Watts(), 1e-9)
	})
}

// TestParallelAndSeries: at one head n pumps side by side give n times the flow, at one
// flow n in a row n times the head; either take n times the power.
func TestParallelAndSeries(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, n := falling(t), rapid.IntRange(1, 4).Draw(t, "n")
		q := c.Range().To.CubicMetresPerSecond() * rapid.Float64Range(0, 1).Draw(t, "part")
		h, _, _ := c.Head(flow(q))
		p, _ := c.Power(flow(q))
		side, row := Pumps{Curve: c, Parallel: n}, Pumps{Curve: c, Series: n}
		a, _, errA := side.Head(flow(float64(n) * q))
		b, _, errB := row.Head(flow(q))
		pa, _ := side.Power(flow(float64(n) * q))
		pb, _ := row.Power(flow(q))
		if errA != nil || errB != nil || math.Abs(a.Metres()-h.Metres()) > 1e-11*(1+h.Metres()) || math.Abs(b.Metres()-float64(n)*h.Metres()) > 1e-11*(1+h.Metres()) {
			t.Fatalf("one %v, parallel %v %v, series %v %v", h, a, errA, b, errB)
		}
		near(t, "power in parallel", pa.Watts(), float64(n)*p.Watts(), 1e-9)
		near(t, "power in series", pb.Watts(), float64(n)*p.Watts(), 1e-9)
	})
}

// TestSlopeIsThatOfTheHead, by a difference.
func TestSlopeIsThatOfTheHead(t *testing.T) {
	p := Pumps{Curve: circulator(t), Speed: 0.8, Parallel: 2, Series: 3}
	span, _ := p.Range()
	for i := 1; i < 50; i++ {
		q, h := span.To.CubicMetresPerSecond()*float64(i)/50.5, 1e-9
		_, slope, _ := p.Head(flow(q))
		up, _, _ := p.Head(flow(q + h))
		down, _, _ := p.Head(flow(q - h))
		if got := (up.Metres() - down.Metres()) / (2 * h); math.Abs(got-slope) > 1e-4*math.Abs(slope)+1 {
			t.Errorf("at %v: %v, by difference %v", q, slope, got)
		}
	}
}

// TestSpeedForMeetsTheDuty: with the speed found the pumps give the duty.
func TestSpeedForMeetsTheDuty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Pumps{Curve: falling(t), Parallel: rapid.IntRange(1, 2).Draw(t, "parallel"), Series: rapid.IntRange(1, 2).Draw(t, "series")}
		span, _ := p.Range()
		x := span.To.CubicMetresPerSecond() * rapid.Float64Range(0, 0.999).Draw(t, "part")
		h, _, _ := p.Head(flow(x))
		r := rapid.Float64Range(0.1, 2).Draw(t, "r")
		got, err := p.SpeedFor(flow(x*r), metres(h.Metres()*r*r), 0.05, 3)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "speed", got, r, 1e-9)
	})
}

func TestSpeedForRefuses(t *testing.T) {
	c := circulator(t)
	late := mustCurve(t, points([]float64{1e-4, 2e-4}, []float64{2, 1}, nil), Monotone)
	none := mustCurve(t, points([]float64{0, 1e-4, 2e-4}, []float64{0, 1, 0.5}, nil), Monotone)
	for _, x := range []struct {
		name        string
		curve       *Curve
		q, h        float64
		least, most float64
		want        Reason
	}{
		{"too much", c, 2e-4, 3, 0.3, 1, SpeedTooHigh},
		{"too little", c, 1e-4, 0.3, 0.8, 1, SpeedTooLow},
		{"nothing at all", c, 0, 0, 0.3, 1, SpeedTooLow},
		{"right of the curve", c, 5e-4, 0.01, 0.3, 1, BeyondCurveEnd},
		{"left of the curve", late, 1e-5, 3, 0.3, 1, BelowCurveStart},
		{"no flow, but the curve begins later", late, 0, 3, 0.3, 1, BelowCurveStart},
		{"no head at no flow", none, 0, 1, 0.3, 1, AboveShutOff},
	} {
		r, err := Pumps{Curve: x.curve}.SpeedFor(flow(x.q), metres(x.h), x.least, x.most)
		if reasonOf(err) != x.want || r != 0 {
			t.Errorf("%s: %v, %v, want %s", x.name, r, err, x.want)
		}
	}
	// What would be needed is told: twice the head at no flow takes sqrt(2).
	_, err := Pumps{Curve: c}.SpeedFor(flow(0), metres(3), 0.3, 1)
	if e, ok := err.(*Error); !ok || math.Abs(e.Value-math.Sqrt2) > 1e-14 || e.High != 1 {
		t.Errorf("%+v, want the speed of 1.414", err)
	}
	for _, bad := range []float64{-1, math.NaN(), math.Inf(1)} {
		if _, err := (Pumps{Curve: c}).SpeedFor(flow(bad), metres(1), 0.3, 1); !isRange(err) {
			t.Errorf("flow %v: %v", bad, err)
		}
		if _, err := (Pumps{Curve: c}).SpeedFor(flow(1e-4), metres(bad), 0.3, 1); !isRange(err) {
			t.Errorf("head %v: %v", bad, err)
		}
		if _, err := (Pumps{Curve: c}).SpeedFor(flow(1e-4), metres(1), bad, 1); !isRange(err) {
			t.Errorf("least %v: %v", bad, err)
		}
		if _, err := (Pumps{Curve: c, Speed: bad}).Duties(Parabola{}); !isRange(err) {
			t.Errorf("speed %v: %v", bad, err)
		}
	}
	for _, p := range []Pumps{{Curve: c, Parallel: -1}, {Curve: c, Series: 101}, {Curve: c, Speed: 11}} {
		_, _, errHead := p.Head(flow(0))
		_, errPower := p.Power(flow(0))
		_, errRange := p.Range()
		_, errRegulate := Regulate(p, Control{Mode: ConstantSpeed})
		for _, err := range []error{errHead, errPower, errRange, errRegulate} {
			if !isRange(err) {
				t.Errorf("%+v: %v, want a RangeError", p, err)
			}
		}
	}
}

// TestThrottleBringsTheDuty: with the valve in the system the duty is the wanted flow.
func TestThrottleBringsTheDuty(t *testing.T) {
	const rho = 983.2
	rapid.Check(t, func(t *rapid.T) {
		p := Pumps{Curve: falling(t)}
		s := Parabola{Coefficient: math.Pow(10, rapid.Float64Range(5, 8).Draw(t, "k"))}
		duties, err := p.Duties(s)
		if err != nil {
			return
		}
		q := duties[0].Flow.CubicMetresPerSecond() * rapid.Float64Range(0.05, 0.99).Draw(t, "part")
		v, err := p.ThrottleTo(flow(q), s, rho)
		if err != nil || !(v.Kv.SI() > 0) {
			t.Fatalf("%+v, %v", v, err)
		}
		// dp = (Q/Kv)^2 rho/1000, as head
		s.Coefficient += rho / 1000 / (rho * quantity.StandardGravity) / v.Kv.SI() / v.Kv.SI()
		again, err := p.Duties(s)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "flow", again[0].Flow.CubicMetresPerSecond(), q, 1e-9)
		near(t, "waste", v.Wasted.Watts(), rho*quantity.StandardGravity*q*v.Head.Metres(), 1e-12)
	})
	p := Pumps{Curve: circulator(t)}
	s := Parabola{Coefficient: 30450000} // PUMP-0001, duty at 2.1028e-4 m3/s
	if v, err := p.ThrottleTo(flow(0.0002102812725), s, rho); err != nil || v != (Throttle{}) {
		t.Errorf("at the duty: %+v, %v, want no valve", v, err)
	}
	for q, want := range map[float64]Reason{2.2e-4: HeadShort, 7e-4: BeyondCurveEnd} {
		if v, err := p.ThrottleTo(flow(q), s, rho); reasonOf(err) != want {
			t.Errorf("%v: %+v, %v, want %s", q, v, err, want)
		}
	}
}
