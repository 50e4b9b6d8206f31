package service_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"recirc/calc/fault"
	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/service"
)

// tower has so many fixtures on risers of twenty, each riser with its return, in tubes
// of several kinds. It is invented.
func tower(fixtures int) network.System {
	s := network.System{
		Heater:   network.Heater{Node: "heater", Type: network.Storage, OutletTemperature: quantity.Celsius(60)},
		Defaults: network.Defaults{Insulation: foam(20), TubeSeries: "copper_type_l", Surroundings: &network.Surroundings{Type: "still_air", Temperature: quantity.Celsius(18)}},
	}
	types := []string{"lavatory_faucet", "shower", "kitchen_faucet", "public_lavatory_faucet"}
	last := "heater"
	for i := range fixtures {
		riser, floor := i/20, i%20
		node, tap := fmt.Sprintf("riser-%d-%d", riser, floor), fmt.Sprintf("tap-%d", i)
		from := fmt.Sprintf("riser-%d-%d", riser, floor-1)
		if floor == 0 {
			base := fmt.Sprintf("base-%d", riser)
			s.Pipes = append(s.Pipes, supply("main-"+base, last, base, 6, network.TubeSpec{Nominal: "2"}))
			last, from = base, base
		}
		s.Pipes = append(s.Pipes, supply(node, from, node, 3, network.TubeSpec{Nominal: "1"}), supply(tap, node, tap, 1+float64(i%17), network.TubeSpec{Series: "pex_sdr9", Nominal: "1/2"}))
		if floor == 19 || i == fixtures-1 {
			s.Pipes = append(s.Pipes, back("return-"+node, node, "heater", 60, network.TubeSpec{Nominal: "1/2"}))
		}
		s.Fixtures = append(s.Fixtures, network.Fixture{ID: tap, Node: tap, Type: types[i%len(types)], HotFlow: litresPerMinute(6)})
	}
	return s
}

// BenchmarkDesignCheck checks a building by every rule, wanted within 100 ms for 5,000
// fixtures, and prints how the time grows with the size.
func BenchmarkDesignCheck(b *testing.B) {
	var before, size float64
	for _, n := range []int{1250, 2500, 5000} {
		b.Run(fmt.Sprint("fixtures-", n), func(b *testing.B) {
			s := tower(n)
			b.ReportAllocs()
			start := time.Now()
			for b.Loop() {
				var faults fault.List
				if service.CheckDesign(&service.DesignCheckRequest{System: s}, &faults) == nil {
					b.Fatal(faults.Faults())
				}
			}
			took := time.Since(start).Seconds() / float64(b.N)
			if before > 0 {
				b.ReportMetric(math.Log(took/before)/math.Log(float64(n)/size), "exponent")
			}
			before, size = took, float64(n)
		})
	}
}
