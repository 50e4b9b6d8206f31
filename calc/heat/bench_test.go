package heat

import (
	"testing"

	"recirc/calc/quantity"
)

func BenchmarkLoss(b *testing.B) {
	vertical, windy := nominal(cover(0.013, 0.035, 0)), nominal(cover(0.013, 0.035, 0))
	vertical.Orientation = Vertical
	windy.Surroundings.Kind, windy.Surroundings.AirSpeed = MovingAir, quantity.MetresPerSecond(1)
	for _, c := range []struct {
		name string
		pipe Pipe
	}{{"bare", nominal(nil)}, {"insulated", nominal(cover(0.013, 0.035, 0))}, {"vertical", vertical}, {"wind", windy}, {"buried", buriedNominal()}} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := c.pipe.Loss(quantity.Celsius(60), quantity.CubicMetresPerSecond(1e-4)); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkCoolDown(b *testing.B) {
	to := []quantity.Temperature{quantity.Celsius(50), quantity.Celsius(45), quantity.Celsius(40)}
	for _, c := range []struct {
		name string
		pipe Pipe
	}{{"bare", nominal(nil)}, {"insulated", nominal(cover(0.013, 0.035, 56000))}} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := c.pipe.CoolDown(quantity.Celsius(60), to, CoolDownOptions{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
