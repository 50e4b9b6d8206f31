package arrival_test

import (
	"testing"

	"recirc/calc/arrival"
)

// BenchmarkArrive: three tubes in series, one threshold, no curve. Wanted is
// under 1 ms.
func BenchmarkArrive(b *testing.B) {
	dispersed := copperPath()
	for i := range dispersed.Segments {
		dispersed.Segments[i].Dispersion = 0.003
	}
	for name, f := range map[string]arrival.Front{"copper": copperPath(), "plastic": plasticPath(), "dispersed": dispersed} {
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			o := arrival.Options{Thresholds: celsius(40)}
			for b.Loop() {
				mustArrive(b, f, o)
			}
		})
	}
}
