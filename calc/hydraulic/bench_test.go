package hydraulic

import (
	"testing"

	"recirc/calc/quantity"
)

func BenchmarkAt(b *testing.B) {
	f := waterAt(b, 55)
	tube := Pipe{Length: feet(100), Bore: inches(0.785), Roughness: quantity.Millimetres(0.0015), SumK: 5, Kv: quantity.FlowCoefficientSI(1e-6)}
	hazen := tube
	hazen.HazenWilliamsC = 150
	for _, c := range []struct {
		name     string
		pipe     Pipe
		reynolds float64
	}{{"laminar", tube, 1000}, {"transition", tube, 3000}, {"turbulent", tube, 2e4}, {"hazen_williams", hazen, 2e4}} {
		b.Run(c.name, func(b *testing.B) {
			curve := c.pipe.Curve(f)
			q := c.reynolds / curve.reynolds
			var sum float64
			for b.Loop() {
				drop, slope := curve.At(q)
				sum += drop + slope
				q += 1e-15
			}
			if sum == 0 {
				b.Fatal("no loss")
			}
		})
	}
}

func BenchmarkLoss(b *testing.B) {
	f := waterAt(b, 55)
	tube := Pipe{Length: feet(100), Bore: inches(0.785), Roughness: quantity.Millimetres(0.0015), SumK: 5, Kv: quantity.FlowCoefficientSI(1e-6)}
	q := gpm(b, 3)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := tube.Loss(q, f); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCurve(b *testing.B) {
	f := waterAt(b, 55)
	tube := Pipe{Length: feet(100), Bore: inches(0.785), Roughness: quantity.Millimetres(0.0015), SumK: 5}
	for b.Loop() {
		if c := tube.Curve(f); c.dynamic == 0 {
			b.Fatal("no curve")
		}
	}
}
