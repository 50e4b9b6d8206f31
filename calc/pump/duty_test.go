package pump

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// TestDutyLiesOnBothCurves, also for a system that is known as a function only.
func TestDutyLiesOnBothCurves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Pumps{
			Curve: falling(t), Speed: rapid.Float64Range(0.3, 1.5).Draw(t, "speed"),
			Parallel: rapid.IntRange(1, 3).Draw(t, "parallel"), Series: rapid.IntRange(1, 3).Draw(t, "series"),
		}
		shutOff, _, _ := p.Head(flow(0))
		// Not exactly at shut-off, where two level curves may touch.
		static := rapid.OneOf(rapid.Float64Range(0, 0.999), rapid.Float64Range(1.001, 1.1)).Draw(t, "static")
		s := Parabola{Static: metres(shutOff.Metres() * static)}
		s.Coefficient = math.Pow(10, rapid.Float64Range(4, 9).Draw(t, "k"))
		duties, err := p.Duties(s)
		other, errOther := p.Duties(SystemFunc(s.Head))
		if err != nil || errOther != nil {
			span, _ := p.Range()
			last, _, _ := p.Head(span.To)
			at, _ := s.Head(span.To.CubicMetresPerSecond())
			known := reasonOf(err) == AboveShutOff && s.Static.Metres() > shutOff.Metres() ||
				reasonOf(err) == BeyondCurveEnd && at < last.Metres()*(1+1e-12)
			if !known || reasonOf(errOther) != reasonOf(err) {
				t.Fatalf("%v, %v", err, errOther)
			}
			return
		}
		if len(duties) != 1 || len(other) != 1 || !duties[0].Stable {
			t.Fatalf("%+v, %+v, want one stable duty", duties, other)
		}
		q, h := duties[0].Flow, duties[0].Head.Metres()
		near(t, "by the function", other[0].Flow.CubicMetresPerSecond(), q.CubicMetresPerSecond(), 1e-11)
		given, _, err := p.Head(q)
		if err != nil {
			t.Fatal(err)
		}
		taken, _ := s.Head(q.CubicMetresPerSecond())
		// The head is small where the curve ends, so that it is compared with the shut-off head.
		if scale := shutOff.Metres(); math.Abs(given.Metres()-h) > 1e-9*scale || math.Abs(taken-h) > 1e-9*scale {
			t.Fatalf("pump %v, system %v, duty %v", given, taken, h)
		}
	})
}

func TestSteeperSystemNeverGivesMoreFlow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Pumps{Curve: falling(t)}
		s := Parabola{Coefficient: math.Pow(10, rapid.Float64Range(5, 9).Draw(t, "k"))}
		steep := Parabola{Coefficient: s.Coefficient * rapid.Float64Range(1, 3).Draw(t, "times")}
		a, errA := p.Duties(s)
		b, errB := p.Duties(steep)
		if errA != nil { // beyond the end; the steeper one may be within
			return
		}
		if errB != nil || b[0].Flow.CubicMetresPerSecond() > a[0].Flow.CubicMetresPerSecond()*(1+1e-12) {
			t.Fatalf("from %v to %v, %v", a, b, errB)
		}
	})
}

// TestSeveralDuties: a straight curve that rises meets a parabola twice,
//
//	1 + b Q = k Q^2 + Hs  at  Q = [b -+ sqrt(b^2 - 4 k (Hs - 1))]/2k
//
// unstable first, where the parabola is flatter.
func TestSeveralDuties(t *testing.T) {
	c := mustCurve(t, points([]float64{0, 1e-3}, []float64{1, 2}, nil), Monotone)
	const b, k, Hs = 1e3, 1.2e6, 1.2
	for name, s := range map[string]System{"parabola": Parabola{Static: metres(Hs), Coefficient: k}, "function": SystemFunc(Parabola{Static: metres(Hs), Coefficient: k}.Head)} {
		duties, err := Pumps{Curve: c}.Duties(s)
		if err != nil || len(duties) != 2 || duties[0].Stable || !duties[1].Stable {
			t.Errorf("%s: %+v, %v, want an unstable and a stable duty", name, duties, err)
			continue
		}
		root := math.Sqrt(b*b - 4*k*(Hs-1))
		near(t, name+" first", duties[0].Flow.CubicMetresPerSecond(), (b-root)/(2*k), 1e-12)
		near(t, name+" second", duties[1].Flow.CubicMetresPerSecond(), (b+root)/(2*k), 1e-12)
	}
}

// TestDutiesAlternate: between the unstable and the stable duty of any curve the pump
// is above the system, elsewhere below; a fine scan finds no change of sign more.
func TestDutiesAlternate(t *testing.T) {
	several := 0
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 8).Draw(t, "points")
		f, h := make([]float64, n), make([]float64, n)
		for i := range n {
			f[i], h[i] = float64(i)*1e-4, rapid.Float64Range(0.5, 3).Draw(t, "head")
		}
		p := Pumps{Curve: mustCurve(t, points(f, h, nil), rapid.SampledFrom([]Interpolation{Monotone, Linear}).Draw(t, "by"))}
		s := Parabola{Static: metres(rapid.Float64Range(0, 2.5).Draw(t, "static")), Coefficient: rapid.Float64Range(1e5, 1e7).Draw(t, "k")}
		over := func(x float64) float64 {
			given, _, err := p.Head(flow(x))
			if err != nil {
				t.Fatal(err)
			}
			taken, _ := s.Head(x)
			return given.Metres() - taken
		}
		duties, err := p.Duties(s)
		if err != nil && reasonOf(err) != AboveShutOff && reasonOf(err) != BeyondCurveEnd {
			t.Fatal(err)
		}
		if len(duties) > 1 {
			several++
		}
		const cells = 4000
		last, changes := over(0), 0
		for i := 1; i <= cells; i++ {
			y := over(f[n-1] * float64(i) / cells)
			if y > 0 != (last > 0) && y != 0 {
				changes++
			}
			last = y
		}
		if changes > len(duties) {
			t.Fatalf("%d changes of sign, %d duties %+v", changes, len(duties), duties)
		}
		for i, d := range duties {
			x, step := d.Flow.CubicMetresPerSecond(), 1e-7*f[n-1]
			if x < step || x > f[n-1]-step || i+1 < len(duties) && duties[i+1].Flow.CubicMetresPerSecond()-x < 2*step ||
				i > 0 && x-duties[i-1].Flow.CubicMetresPerSecond() < 2*step {
				continue
			}
			// At a corner of straight lines one side may be stable and the other not.
			if down := over(x-step) > 0 && over(x+step) < 0; d.Stable != down && !corner(f, x, step) {
				t.Fatalf("duty %d of %+v: stable %v", i, duties, d.Stable)
			}
		}
	})
	if several == 0 {
		t.Error("no curve had several duties; the test has seen nothing")
	}
}

func corner(f []float64, x, step float64) bool {
	for _, q := range f {
		if math.Abs(x-q) < 2*step {
			return true
		}
	}
	return false
}

func TestNoDuty(t *testing.T) {
	late := mustCurve(t, points([]float64{1e-4, 2e-4}, []float64{2, 1}, nil), Monotone)
	rising := mustCurve(t, points([]float64{0, 3e-4}, []float64{1, 3}, nil), Monotone)
	gap := SystemFunc(func(q float64) (float64, float64) {
		if q > 1.2e-4 && q < 1.9e-4 {
			return math.NaN(), 1
		}
		return 1e4 * q, 1e4
	})
	for _, c := range []struct {
		name  string
		pumps Pumps
		s     System
		want  Reason
	}{
		{"static head too high", Pumps{Curve: circulator(t)}, Parabola{Static: metres(1.6)}, AboveShutOff},
		{"hardly any resistance", Pumps{Curve: circulator(t)}, Parabola{Coefficient: 1e4}, BeyondCurveEnd},
		{"left of the first point", Pumps{Curve: late}, Parabola{Coefficient: 1e9}, BelowCurveStart},
		{"no number", Pumps{Curve: late}, SystemFunc(func(float64) (float64, float64) { return math.NaN(), 1 }), SystemUnsound},
		{"no number between", Pumps{Curve: late}, gap, SystemUnsound},
		{"no number on the rise", Pumps{Curve: rising}, gap, SystemUnsound},
	} {
		if d, err := c.pumps.Duties(c.s); reasonOf(err) != c.want || d != nil || !strings.Contains(err.Error(), string(c.want)) {
			t.Errorf("%s: %v, %v, want %s", c.name, d, err, c.want)
		}
	}
	for _, s := range []Parabola{{Coefficient: -1}, {Coefficient: math.NaN()}, {Coefficient: math.Inf(1)}, {Static: metres(-1)}, {Static: metres(math.NaN())}} {
		if _, err := (Pumps{Curve: late}).Duties(s); !isRange(err) {
			t.Errorf("%+v: %v, want a RangeError", s, err)
		}
	}
}

// TestFitParabola: points of a parabola give it back; with scatter no parabola
// nearby is closer; a slope down or a static head below zero is not believed.
func TestFitParabola(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		Hs, k := rapid.Float64Range(0, 3).Draw(t, "Hs"), rapid.Float64Range(1e5, 1e8).Draw(t, "k")
		n := rapid.IntRange(2, 9).Draw(t, "points")
		scatter := rapid.SampledFrom([]float64{0, 0.3, 3}).Draw(t, "scatter")
		f, h := make([]float64, n), make([]float64, n)
		for i := range n {
			f[i] = 1e-4 * float64(n-i)
			h[i] = max(0, Hs+k*f[i]*f[i]+scatter*rapid.Float64Range(-1, 1).Draw(t, "off"))
		}
		got, err := FitParabola(points(f, h, nil))
		if err != nil {
			t.Fatal(err)
		}
		if scatter == 0 {
			near(t, "k", got.Coefficient, k, 1e-9)
			if math.Abs(got.Static.Metres()-Hs) > 1e-9*(1+h[0]) {
				t.Fatalf("Hs %v, want %v", got.Static, Hs)
			}
		}
		squares := func(Hs, k float64) (sum float64) {
			for i := range f {
				d := Hs + k*f[i]*f[i] - h[i]
				sum += d * d
			}
			return sum
		}
		least := squares(got.Static.Metres(), got.Coefficient)
		for _, dHs := range []float64{-1e-3, 0, 1e-3} {
			for _, dk := range []float64{-1e-3, 0, 1e-3} {
				other, k := got.Static.Metres()+dHs, got.Coefficient+dk/f[0]/f[0]
				if other >= 0 && k >= 0 && squares(other, k) < least*(1-1e-9)-1e-15 {
					t.Fatalf("Hs %v and k %v are closer than %+v", other, k, got)
				}
			}
		}
	})
	for _, bad := range [][]Point{nil, points([]float64{1e-4}, []float64{1}, nil), points([]float64{1e-4, 1e-4}, []float64{1, 2}, nil), points([]float64{0, math.NaN()}, []float64{1, 2}, nil)} {
		if p, err := FitParabola(bad); err == nil {
			t.Errorf("%v: %+v", bad, p)
		}
	}
}
