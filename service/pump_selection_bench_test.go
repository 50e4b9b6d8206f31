package service_test

import (
	"fmt"
	"testing"

	"recirc/calc/fault"
	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/service"
)

// catalogue is invented: so many pumps of 20 points with power, priced and approved.
func catalogue(n int) []service.PumpCandidate {
	var all []service.PumpCandidate
	for i := range n {
		c := parabolic(fmt.Sprintf("pump-%d", i), quantity.Metres(1.5+0.01*float64(i)), litresPerMinute(15+0.05*float64(i)), 19)
		all = append(all, priced(powered(c, 10+0.1*float64(i)), 100+float64(i%97)))
	}
	return all
}

// BenchmarkPumpSelection500 judges 500 candidates of 20 points against one system:
// the parabola through a duty, and a designed loop of 12 risers, whose own design is
// in the time.
func BenchmarkPumpSelection500(b *testing.B) {
	rate := 0.03
	candidates := catalogue(500)
	run := func(b *testing.B, with func(*service.PumpSelectionRequest, network.System), s func() network.System) {
		b.ReportAllocs()
		for b.Loop() {
			req := given(candidates...)
			req.Electricity = atPerHour()
			req.Ranking = service.Ranking{By: service.ByLifeCycleCost, Years: 12, Rate: &rate}
			req.Limits.Bore = quantity.Millimetres(20)
			with(&req, s())
			var faults fault.List
			if a := service.PumpSelection(&req, &faults); a == nil || len(a.Pumps) != 500 || !a.Pumps[0].Accepted {
				b.Fatal(faults.Err())
			}
		}
	}
	b.Run("parabola", func(b *testing.B) {
		run(b, func(*service.PumpSelectionRequest, network.System) {}, ring)
	})
	b.Run("loop", func(b *testing.B) {
		run(b, func(req *service.PumpSelectionRequest, s network.System) {
			req.Duty = service.DutyRequest{Basis: service.DutyByHeatLoss}
			req.HasSystem, req.Loop = true, service.LoopDesignRequest{System: s, Target: drop(3)}
		}, func() network.System { return comb(12, false) })
	})
}
