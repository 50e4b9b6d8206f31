package pump

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestHeldHeadByClosedForm: for H = a - c Q^2 the laws give r^2 a - c Q^2 at any
// speed, so that a head h is held at r = sqrt((h + c Q^2)/a).
func TestHeldHeadByClosedForm(t *testing.T) {
	const a, c, last, h, Qset = 4.0, 1e7, 6e-4, 2.5, 4e-4
	p := Pumps{Curve: exactly(t, a, c, last)}
	for _, x := range []struct {
		control Control
		held    func(q float64) float64
	}{
		{Control{Mode: ConstantPressure, Head: metres(h)}, func(float64) float64 { return h }},
		{Control{Mode: ProportionalPressure, Head: metres(h), Flow: flow(Qset)}, func(q float64) float64 { return h/2 + h/2*q/Qset }},
		{Control{Mode: ProportionalPressure, Head: metres(h), Flow: flow(Qset), AtZero: new(float64)}, func(q float64) float64 { return h * q / Qset }},
	} {
		r, err := Regulate(p, x.control)
		if err != nil {
			t.Fatal(err)
		}
		for i := range 61 {
			q := last * float64(i) / 60
			s, err := r.At(flow(q))
			if err != nil {
				t.Fatalf("%s at %v: %v", x.control.Mode, q, err)
			}
			want, speed := x.held(q), math.Sqrt((x.held(q)+c*q*q)/a)
			if full := a - c*q*q; full <= want {
				want, speed = full, 1
			}
			if math.Abs(s.Head.Metres()-want) > 1e-12*a || math.Abs(s.Speed-speed) > 1e-9 || s.Held != (speed < 1) {
				t.Errorf("%s at %v: %+v, want %v at %v", x.control.Mode, q, s, want, speed)
			}
		}
	}
}

// TestHeldDuty: a held head h against k Q^2 flows sqrt(h/k).
func TestHeldDuty(t *testing.T) {
	const a, c, h, k = 4.0, 1e7, 2.0, 5e7
	p := Pumps{Curve: exactly(t, a, c, 6e-4), Parallel: 2}
	r, err := Regulate(p, Control{Mode: ConstantPressure, Head: metres(h)})
	if err != nil {
		t.Fatal(err)
	}
	duties, err := r.Duties(Parabola{Coefficient: k})
	if err != nil || len(duties) != 1 || !duties[0].Stable {
		t.Fatalf("%+v, %v", duties, err)
	}
	q := math.Sqrt(h / k)
	near(t, "flow", duties[0].Flow.CubicMetresPerSecond(), q, 1e-12)
	near(t, "head", duties[0].Head.Metres(), h, 1e-12)
	near(t, "speed", duties[0].Speed, math.Sqrt((h+c*q*q/4)/a), 1e-9)
}

// TestRegulated: whatever the curve and the setting, the head is the lower one of
// full speed and the line held, and pumps at the speed told give it and the power.
func TestRegulated(t *testing.T) {
	held, ran := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		p := Pumps{Curve: falling(t), Speed: rapid.Float64Range(0.5, 1.2).Draw(t, "speed"), Parallel: rapid.IntRange(1, 2).Draw(t, "parallel")}
		full, _ := p.Range()
		shutOff, _, _ := p.Head(flow(0))
		c := Control{
			Mode: rapid.SampledFrom([]Mode{ConstantPressure, ProportionalPressure, ConstantSpeed}).Draw(t, "mode"),
			Head: metres(shutOff.Metres() * rapid.Float64Range(0.05, 1.2).Draw(t, "head")),
			Flow: flow(full.To.CubicMetresPerSecond() * rapid.Float64Range(0.1, 1).Draw(t, "flow")),
		}
		r, err := Regulate(p, c)
		if err != nil {
			t.Fatal(err)
		}
		span := r.Range()
		if span.From.CubicMetresPerSecond() != 0 || span.To.CubicMetresPerSecond() > full.To.CubicMetresPerSecond()*(1+1e-12) {
			t.Fatalf("range %v", span)
		}
		q := span.To.CubicMetresPerSecond() * rapid.OneOf(rapid.Float64Range(0, 1), rapid.SampledFrom([]float64{0, 1})).Draw(t, "part")
		s, err := r.At(flow(q))
		if err != nil {
			t.Fatal(err)
		}
		base, rise := math.Inf(1), 0.0
		if c.Mode != ConstantSpeed {
			base, rise, _ = c.held("")
		}
		most, _, err := p.Head(flow(q))
		if err != nil {
			t.Fatal(err)
		}
		if want := min(base+rise*q, most.Metres()); math.Abs(s.Head.Metres()-want) > 1e-11*shutOff.Metres() {
			t.Fatalf("%+v, want %v", s, want)
		}
		ran++
		if s.Held {
			held++
		}
		if s.Speed < slowest {
			return
		}
		p.Speed = s.Speed
		got, _, err := p.Head(flow(q))
		power, errPower := r.Power(flow(q))
		want, errWant := p.Power(flow(q))
		if errors.Join(err, errPower, errWant) != nil || math.Abs(got.Metres()-s.Head.Metres()) > 1e-8*shutOff.Metres() || power != want {
			t.Fatalf("%+v; at this speed %v, %v, power %v and %v, %v, %v", s, got, err, power, want, errPower, errWant)
		}
	})
	if held == 0 || held == ran {
		t.Errorf("the control held %d of %d; the test has seen one side only", held, ran)
	}
}

// TestRangeOfAHeldHead: a head held below that at the end of the curve is known up to
// the flow that scales from the end: Qend sqrt(h/Hend). H = 4 - 1e7 Q^2 ends at
// 5e-4 m3/s with 1.5 m; 0.375 m are held up to half that flow.
func TestRangeOfAHeldHead(t *testing.T) {
	p := Pumps{Curve: exactly(t, 4, 1e7, 5e-4)}
	r, err := Regulate(p, Control{Mode: ConstantPressure, Head: metres(0.375)})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "end", r.Range().To.CubicMetresPerSecond(), 2.5e-4, 1e-12)
	s, err := r.At(r.Range().To)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "speed there", s.Speed, 0.5, 1e-9)
	if _, err := r.At(flow(2.6e-4)); reasonOf(err) != BeyondCurveEnd {
		t.Errorf("beyond: %v", err)
	}
	// A curve that begins at 2e-4 m3/s and 3.6 m scales down to where 0.9 m are held
	// at half the speed.
	late := mustCurve(t, points([]float64{2e-4, 3e-4, 4e-4, 5e-4}, []float64{3.6, 3.1, 2.4, 1.5}, nil), LeastSquares)
	r, err = Regulate(Pumps{Curve: late}, Control{Mode: ConstantPressure, Head: metres(0.9)})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "start", r.Range().From.CubicMetresPerSecond(), 1e-4, 1e-12)
	if s, err := r.At(r.Range().From); err != nil || math.Abs(s.Speed-0.5) > 1e-9 {
		t.Errorf("at the start: %+v, %v", s, err)
	}
}

func TestOff(t *testing.T) {
	r, err := Regulate(Pumps{Curve: circulator(t)}, Control{Mode: Off})
	if err != nil {
		t.Fatal(err)
	}
	s, err := r.At(flow(3))
	power, errPower := r.Power(flow(3))
	_, errDuties := r.Duties(Parabola{})
	if err != nil || errPower != nil || s != (State{}) || power.Watts() != 0 || reasonOf(errDuties) != PumpOff {
		t.Errorf("%+v, %v, %v, %v, %v", s, err, power, errPower, errDuties)
	}
	if r.Range() != (Span{To: flow(greatestFlow)}) {
		t.Errorf("range %v", r.Range())
	}
	if _, err := r.At(flow(math.NaN())); !isRange(err) {
		t.Errorf("no number: %v", err)
	}
}

func TestRegulateRefuses(t *testing.T) {
	p := Pumps{Curve: circulator(t)}
	two := 2.0
	for _, c := range []Control{
		{Mode: ConstantPressure}, {Mode: ConstantPressure, Head: metres(math.NaN())}, {Mode: ConstantPressure, Head: metres(-1)},
		{Mode: ProportionalPressure, Head: metres(1)}, {Mode: ProportionalPressure, Head: metres(1), Flow: flow(math.Inf(1))},
		{Mode: ProportionalPressure, Head: metres(1), Flow: flow(1e-4), AtZero: &two},
	} {
		if r, err := Regulate(p, c); !isRange(err) || r != nil {
			t.Errorf("%+v: %v, want a RangeError", c, err)
		}
	}
	var unknown *UnknownModeError
	if _, err := Regulate(p, Control{Mode: "auto"}); !errors.As(err, &unknown) {
		t.Errorf("a mode not listed: %v", err)
	}
}
