package service

import (
	"fmt"

	"recirc/calc/quantity"
)

// The states of a mixing valve.
const (
	mixingControls       = "controls"
	mixingDriftsHot      = "drifts_hot"
	mixingDriftsCold     = "drifts_cold"
	mixingBelowLeastFlow = "below_least_flow"
	mixingStoreTooCold   = "store_too_cold"
)

// mixingState solves the mixing valve at the heater while nobody draws; nil
// without one
//
//	x Ts + (1 - x) Tr = Tm,  x = (Tm - Tr)/(Ts - Tr)
//
//	x   share of the return that goes through the heater
//	Ts  of the store, Tr of the return, Tm set
//
// Source: energy balance of the valve.
func (c *circuits) mixingState(total float64, back quantity.Temperature) *MixingState {
	v := c.g.System.MixingValve
	if v == nil {
		return nil
	}
	store := c.storeTemperature()
	m := &MixingState{Store: store, Set: v.OutletTemperature, Return: back, Outlet: v.OutletTemperature}
	m.AtHalf = quantity.Kelvin((store.Kelvin() + back.Kelvin()) / 2)
	switch {
	case v.ReturnTo == "heater":
		m.State, m.HeaterShare, m.Outlet = mixingDriftsHot, 1, store
		m.Detail = "The return is led to the heater only: while nobody draws, no cooler water reaches the cold port, and the supply drifts to the temperature of the store. Lead the return to the cold port too."
	case v.ReturnTo == "mixing_valve":
		m.State, m.HeaterShare, m.Outlet = mixingDriftsCold, 0, back
		m.Detail = "The return is led to the mixing valve only: while nobody draws, nothing passes the heater, and the loop cools down. Lead the return to the heater too."
	case store.Kelvin() <= v.OutletTemperature.Kelvin():
		m.State, m.HeaterShare, m.Outlet = mixingStoreTooCold, 1, store
		m.Detail = "The store is not hotter than the set temperature; the valve has nothing to mix."
	default:
		m.split(total)
	}
	if m.State == mixingControls && v.LeastFlow.CubicMetresPerSecond() > total {
		m.State = mixingBelowLeastFlow
		m.Detail = fmt.Sprintf("The loop carries %.3g L/min, less than the %.3g L/min with which the valve controls; its temperature will wander while nobody draws.", 6e4*total, 6e4*v.LeastFlow.CubicMetresPerSecond())
	}
	return m
}

func (m *MixingState) split(total float64) {
	m.State = mixingControls
	m.HeaterShare = (m.Set.Kelvin() - m.Return.Kelvin()) / (m.Store.Kelvin() - m.Return.Kelvin())
	m.HeaterShare = min(max(m.HeaterShare, 0), 1)
	m.HeaterFlow = quantity.CubicMetresPerSecond(m.HeaterShare * total)
	m.ColdPortFlow = quantity.CubicMetresPerSecond((1 - m.HeaterShare) * total)
	m.ShareKnown = true
	m.Detail = fmt.Sprintf("%.3g %% of the return passes the heater, the rest the cold port. A hand valve that splits it is right at this return temperature only.", 100*m.HeaterShare)
}

// storeTemperature is that of the heater behind a mixing valve.
func (c *circuits) storeTemperature() quantity.Temperature {
	if T := c.g.System.Heater.OutletTemperature; T != (quantity.Temperature{}) {
		return T
	}
	return defaultOutlet
}
