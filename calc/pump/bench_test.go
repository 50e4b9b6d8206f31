package pump

import "testing"

// catalogue is invented: 500 pumps of 20 points each.
func catalogue() [][]Point {
	all := make([][]Point, 500)
	for k := range all {
		last, head := 5e-4+2e-6*float64(k), 1.5+0.01*float64(k)
		var f, h, p []float64
		for i := range 20 {
			x := float64(i) / 19
			f, h, p = append(f, last*x), append(h, head*(1-0.95*x*x)), append(p, 20+10*x)
		}
		all[k] = points(f, h, p)
	}
	return all
}

// BenchmarkCandidates is a selection: every candidate's curve from its points, its
// duty with one system curve, and its power there.
func BenchmarkCandidates(b *testing.B) {
	candidates, parabola := catalogue(), Parabola{Coefficient: 2e7}
	for _, c := range []struct {
		name   string
		system System
	}{{"parabola", parabola}, {"function", SystemFunc(parabola.Head)}} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				for _, candidate := range candidates {
					curve, err := NewCurve(candidate, Monotone)
					if err != nil {
						b.Fatal(err)
					}
					p := Pumps{Curve: curve}
					duties, err := p.Duties(c.system)
					if err != nil {
						b.Fatal(err)
					}
					if _, err := p.Power(duties[0].Flow); err != nil {
						b.Fatal(err)
					}
				}
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*len(candidates)), "us/candidate")
		})
	}
}

func BenchmarkRegulated(b *testing.B) {
	b.ReportAllocs()
	p := Pumps{Curve: circulator(b)}
	for b.Loop() {
		r, err := Regulate(p, Control{Mode: ProportionalPressure, Head: metres(1), Flow: flow(3e-4)})
		if err != nil {
			b.Fatal(err)
		}
		if _, err := r.Duties(Parabola{Coefficient: 2e7}); err != nil {
			b.Fatal(err)
		}
	}
}
