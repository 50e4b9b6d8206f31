package service

import (
	"recirc/calc/network"
	"recirc/calc/quantity"
)

// RetrofitComparisonRequest asks for arrangements side by side over a year. What is
// nil or empty was not given.
type RetrofitComparisonRequest struct {
	System       network.System
	Arrangements []Arrangement
	Baseline     string
	Draws        DrawPlan
	Conditions   YearConditions
	HeaterEnergy *HeaterEnergy
	Prices       Prices
	Emissions    EmissionFactors
	LifeCycle    *LifeCycle
	Ranking      ComparisonRanking
	Within       []quantity.Duration
	Ranges       []InputRange
	ShowWorking  bool
	USGallon     bool
	Unreadable   bool // some of it could not be read: only the system is looked at
}

// HeaterEnergy is what the heater turns into heat.
type HeaterEnergy struct {
	Carrier    string
	Efficiency float64
	Standby    quantity.HeatFlow
	Penalty    *ReturnPenalty
}

// ReturnPenalty is how the efficiency falls with warm water that comes in.
type ReturnPenalty struct {
	From  quantity.Temperature
	Share float64 // lost for each kelvin
}

// Carriers lists what a heater may take in, electricity first.
func Carriers() []string {
	return []string{electricity, "natural_gas", "liquefied_petroleum_gas", "fuel_oil", "district_heat", "other"}
}

const electricity = "electricity"

// Prices are those of today.
type Prices struct {
	Electricity, Heater *EnergyPrice
	Water, Sewer        *WaterPrice
	Escalation          Escalation
}

// Escalation is how prices rise in a year; nil: not given.
type Escalation struct{ Electricity, Heater, Water, Maintenance *float64 }

// WaterPrice is a price of water.
type WaterPrice struct {
	PerCubicMetre float64
	Currency      string
}

// EmissionFactors are those given.
type EmissionFactors struct{ Electricity, Heater *quantity.EmissionFactor }

// LifeCycle is the study of costs over years.
type LifeCycle struct {
	Years     int
	Rate      float64
	Nominal   bool
	Inflation *float64
}

// ComparisonCriterion is what arrangements are ranked by.
type ComparisonCriterion string

// The criteria; empty counts as the first.
const (
	ByNetPresentCost ComparisonCriterion = "net_present_cost"
	ByCostOfYear     ComparisonCriterion = "yearly_cost"
	ByWater          ComparisonCriterion = "water"
	ByEnergyTaken    ComparisonCriterion = "energy"
	ByEmissions      ComparisonCriterion = "emissions"
	ByWaits          ComparisonCriterion = "waits"
	ByWeights        ComparisonCriterion = "weights"
)

// ComparisonCriteria lists the criteria.
func ComparisonCriteria() []ComparisonCriterion {
	return []ComparisonCriterion{ByNetPresentCost, ByCostOfYear, ByWater, ByEnergyTaken, ByEmissions, ByWaits, ByWeights}
}

// ComparisonRanking is the criterion, with weights where it is ByWeights.
type ComparisonRanking struct {
	By      ComparisonCriterion
	Weights map[ComparisonCriterion]float64 // nil: not given
}

// RangedInput is an input that may be varied.
type RangedInput string

// The inputs.
const (
	ElectricityPriceInput RangedInput = "electricity_price"
	HeaterPriceInput      RangedInput = "heater_energy_price"
	WaterPriceInput       RangedInput = "water_price"
	InstallCostInput      RangedInput = "install_cost"
	DiscountRateInput     RangedInput = "discount_rate"
	PipeHeatLossInput     RangedInput = "pipe_heat_loss"
	DrawVolumeInput       RangedInput = "draw_volume"
)

// RangedInputs lists the inputs.
func RangedInputs() []RangedInput {
	return []RangedInput{ElectricityPriceInput, HeaterPriceInput, WaterPriceInput, InstallCostInput, DiscountRateInput, PipeHeatLossInput, DrawVolumeInput}
}

// InputRange multiplies an input by Low and by High.
type InputRange struct {
	Input     RangedInput
	Low, High float64
}
