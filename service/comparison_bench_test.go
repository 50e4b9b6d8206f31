package service_test

import (
	"fmt"
	"math"
	"testing"

	"recirc/calc/network"
	"recirc/calc/quantity"
	"recirc/service"
)

// largerHouse has 15 fixtures on three branches of a circulated main. It is invented.
func largerHouse() network.System {
	h := inventedHouse()
	types := []string{"lavatory_faucet", "shower", "kitchen_faucet", "bathtub", "lavatory_faucet"}
	for i := range 12 {
		tee := []string{"tee-kitchen", "tee-bath"}[i%2]
		node := fmt.Sprintf("point-%d", i)
		h.Pipes = append(h.Pipes, network.Pipe{ID: node, From: tee, To: node, Role: network.Supply, Length: quantity.Metres(2 + float64(i)/2), Tube: network.TubeSpec{Series: "pex_sdr9", Nominal: "1/2"}})
		h.Fixtures = append(h.Fixtures, network.Fixture{ID: node, Node: node, Type: types[i%len(types)], HotFlow: gallonsPerMinute(1 + float64(i%3)/2)})
	}
	return h
}

// apartments has n units on risers of ten, each riser with its return. It is invented.
func apartments(n int) (network.System, service.DrawPlan) {
	s := network.System{
		Heater:   network.Heater{Node: "heater", Type: network.Storage, OutletTemperature: quantity.Celsius(60)},
		Defaults: network.Defaults{Insulation: foam(20), TubeSeries: "copper_en1057", Surroundings: &network.Surroundings{Type: "still_air", Temperature: quantity.Celsius(20)}},
	}
	var plan service.DrawPlan
	last := "heater"
	for i := range n {
		riser, floor := i/10, i%10
		base, node := fmt.Sprintf("base-%d", riser), fmt.Sprintf("riser-%d-%d", riser, floor)
		if floor == 0 {
			s.Pipes = append(s.Pipes, supply("main-"+base, last, base, 8, copper("42x1.5")))
			last = base
		}
		from := base
		if floor > 0 {
			from = fmt.Sprintf("riser-%d-%d", riser, floor-1)
		}
		s.Pipes = append(s.Pipes, supply(node, from, node, 3, copper("28x1.5")))
		if floor == 9 || i == n-1 {
			s.Pipes = append(s.Pipes, back("return-"+node, node, "heater", 30, copper("15x1")))
		}
		for k, flow := range []float64{4, 8, 6} {
			at := fmt.Sprintf("unit-%d-%d", i, k)
			s.Pipes = append(s.Pipes, supply(at, node, at, 4, copper("15x1")))
			s.Fixtures = append(s.Fixtures, network.Fixture{ID: at, Node: at, Type: "other", HotFlow: litresPerMinute(flow)})
			for d := range 8 {
				hour := math.Mod(6+float64(7*d+3*k)*0.37+float64(i)*0.011, 23.5)
				plan.Events = append(plan.Events, service.DrawEvent{Fixture: at, At: quantity.Seconds(3600 * hour), Volume: quantity.CubicMetres(0.003 * float64(1+k))})
			}
		}
	}
	return s, plan
}

// BenchmarkRetrofitComparison compares six arrangements over a year.
func BenchmarkRetrofitComparison(b *testing.B) {
	b.Run("house-15", func(b *testing.B) {
		req := &service.RetrofitComparisonRequest{System: largerHouse(), Arrangements: sixWays(), Draws: inventedDraws()}
		for i := range 12 {
			req.Draws.Events = append(req.Draws.Events, service.DrawEvent{Fixture: fmt.Sprintf("point-%d", i), At: quantity.Seconds(3600 * (7 + float64(i))), Volume: quantity.CubicMetres(0.004)})
		}
		req.Conditions.Climate = &service.Climate{Mean: quantity.Celsius(11), Swing: quantity.KelvinDifference(22)} // no two months alike
		b.ReportAllocs()
		for b.Loop() {
			compare(b, req)
		}
	})
	b.Run("units-200", func(b *testing.B) {
		s, plan := apartments(200)
		req := &service.RetrofitComparisonRequest{System: s, Draws: plan, Arrangements: []service.Arrangement{{ID: "return", Type: service.DedicatedReturn, Pump: pumpOf(20, 100)}}}
		req.Conditions.Climate = &service.Climate{Mean: quantity.Celsius(11), Swing: quantity.KelvinDifference(22)}
		b.ReportAllocs()
		for b.Loop() {
			compare(b, req)
		}
	})
}
