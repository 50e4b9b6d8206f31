package hydraulic

import (
	"math"

	"recirc/calc/quantity"
)

// kvDensity is that of the water by which Kv is defined, kg/m3.
const kvDensity = 1000.0

// KvDrop gives the pressure that a valve takes
//
//	dp = (q/Kv)^2 rho/1000   Pa, Kv in m3/s at 1 Pa
//	dp = (Q/Kv)^2 rho/1000   bar, Q in m3/h, Kv in m3/h at 1 bar
//
// It takes the sign of the flow. A Kv of zero stands for no valve and takes
// nothing. Valid for turbulent flow of water without flashing.
//
// Source: definition of the flow coefficient, as in IEC 60534-1, from memory.
func KvDrop(q quantity.Flow, kv quantity.FlowCoefficient, f Fluid) quantity.Pressure {
	if kv.SI() == 0 {
		return quantity.Pressure{}
	}
	r := q.CubicMetresPerSecond() / kv.SI()
	return quantity.Pascals(r * math.Abs(r) * f.Density / kvDensity)
}

// KvFor gives the flow coefficient that takes a pressure at a flow, the inverse
// of [KvDrop]. Signs do not count. If there is no pressure to take, or no flow to
// take it from, no valve does it, and the result is zero, which stands for none.
func KvFor(q quantity.Flow, drop quantity.Pressure, f Fluid) quantity.FlowCoefficient {
	dp := math.Abs(drop.Pascals())
	if dp == 0 {
		return quantity.FlowCoefficient{}
	}
	return quantity.FlowCoefficientSI(math.Abs(q.CubicMetresPerSecond()) * math.Sqrt(f.Density/kvDensity/dp))
}

// SeriesKv gives the flow coefficient of valves in series
//
//	1/Kv^2 = sum 1/Kvi^2
//
// Zeros stand for no valve and do not count; nothing but them gives zero.
func SeriesKv(kv ...quantity.FlowCoefficient) quantity.FlowCoefficient {
	sum := 0.0
	for _, k := range kv {
		if k.SI() != 0 {
			sum += 1 / (k.SI() * k.SI())
		}
	}
	if sum == 0 {
		return quantity.FlowCoefficient{}
	}
	return quantity.FlowCoefficientSI(1 / math.Sqrt(sum))
}
