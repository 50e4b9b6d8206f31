package service

import "recirc/calc/quantity"

// WaitDistribution is the waits of draws at which somebody waits.
type WaitDistribution struct {
	Draws, NotServed float64
	Median, Tenth    *quantity.Duration // 50th and 90th percentile; nil where that draw is not served
	Longest          *quantity.Duration // of those served
	Within           []ServedWithin
}

// ServedWithin is the share of draws served within a wait.
type ServedWithin struct {
	Wait  quantity.Duration
	Share float64
}

// WaterBalance is the water drawn.
type WaterBalance struct {
	HotDrawn, RunToWaste quantity.Volume
	Lukewarm             *LukewarmCold
}

// LukewarmCold is cold water that comes warm.
type LukewarmCold struct {
	Volume  quantity.Volume
	Mean    quantity.Temperature // zero where nothing came
	Highest quantity.Temperature // in the cold line
}

// HeatBalance is heat above mains.
type HeatBalance struct {
	Heater, Pump, Trace, Local                      quantity.Energy
	Drawn, RunToWaste                               quantity.Energy
	LostSupply, LostReturn, LostColdLine, LostLocal quantity.Energy
	Stored                                          quantity.Energy
}

// Lost is all that the surroundings take.
func (h *HeatBalance) Lost() quantity.Energy {
	return quantity.Joules(h.LostSupply.Joules() + h.LostReturn.Joules() + h.LostColdLine.Joules() + h.LostLocal.Joules())
}
