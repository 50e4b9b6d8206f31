package service

import (
	"recirc/calc/hydraulic"
	"recirc/calc/quantity"
)

// openKv is the flow coefficient of every balancing valve as given; zero: no loss.
func (c *circuits) openKv() []quantity.FlowCoefficient {
	open := make([]quantity.FlowCoefficient, len(c.valves))
	for i, v := range c.valves {
		if v.valve != nil && v.valve.Kv != nil {
			open[i] = *v.valve.Kv
		}
	}
	return open
}

// heaterKv is the flow coefficient of the heater, from its Kv or from the loss
// that is quoted at one flow; zero: no loss.
func (c *circuits) heaterKv() quantity.FlowCoefficient {
	h := &c.g.System.Heater
	if h.RatedLoss == nil {
		return h.Kv
	}
	cold := hydraulic.Fluid{Density: coldDensity}
	dp := h.RatedLoss.Pressure
	if dp == (quantity.Pressure{}) {
		dp = hydraulic.HeadPressure(h.RatedLoss.Head, coldDensity)
	}
	return hydraulic.KvFor(h.RatedLoss.Flow, dp, cold)
}

// coldDensity is that of the water by which losses are quoted, kg/m3.
const coldDensity = 1000.0

// commonDrop is what the whole flow loses in heater and mixing valve, Pa.
func (c *circuits) commonDrop(total float64, m *MixingState) float64 {
	heater, valve := c.commonDrops(total, m)
	return heater + valve
}

func (c *circuits) commonDrops(total float64, m *MixingState) (heater, valve float64) {
	share := 1.0
	if m != nil {
		share = m.HeaterShare
		valve = hydraulic.KvDrop(quantity.CubicMetresPerSecond(total), c.g.System.MixingValve.Kv, c.fluid()).Pascals()
	}
	heater = hydraulic.KvDrop(quantity.CubicMetresPerSecond(share*total), c.heaterKv(), c.fluid()).Pascals()
	return heater, valve
}
