package service

import "recirc/calc/quantity"

// RetrofitComparisonAnswer is the arrangements side by side, in the order of the
// request.
type RetrofitComparisonAnswer struct {
	Baseline     string
	Currency     string // empty without any money
	Arrangements []ComparedArrangement
	Ranking      RankingResult
	Sensitivity  []WinnerRange
	Ranges       []RangedResult
	Notes
	Working []Step
}

// ComparedArrangement is one arrangement over a year. What is nil is not known.
type ComparedArrangement struct {
	ID       string
	Type     ArrangementType
	Rank     int
	Reason   string
	Waits    WaitDistribution
	Farthest *FixtureWaits
	Water    WaterBalance
	Heat     HeatBalance
	Useful   quantity.Energy
	Returned quantity.Temperature // mean at the heater; zero where nothing comes back
	Energy   EnergyTaken
	Pump     *PumpYear
	Cost     YearlyCost
	Emitted  *quantity.Mass
	Life     *LifeCycleResult
	Savings  Savings
	Missing  []NotAssessed
	Findings []ControlFinding
	Balance  float64

	WaitCurve []ServedWithin // for the picture
}

// FixtureWaits is the waits at one fixture.
type FixtureWaits struct {
	Fixture       string
	Draws         float64
	Median, Tenth *quantity.Duration
}

// EnergyTaken is the energy taken in over a year.
type EnergyTaken struct {
	Heater             *quantity.Energy
	Efficiency         float64 // over the year; zero without heater energy
	Pump, Trace, Local quantity.Energy
	Electricity, Total *quantity.Energy
}

// PumpYear is the running of all pumps together.
type PumpYear struct{ Hours, Starts float64 }

// YearlyCost is in the first year; nil: not known.
type YearlyCost struct {
	Electricity, Heater, Water, Sewer, Maintenance, Total *float64
}

// LifeCycleResult is the costs over the years of the study.
type LifeCycleResult struct {
	Install, NetPresent, Annual float64
	Cumulative                  []float64 // at the start and at the end of each year
}

// Savings are against the baseline; negative where it takes more.
type Savings struct {
	Water              quantity.Volume
	Lost               quantity.Energy
	Energy             *quantity.Energy
	Emitted            *quantity.Mass
	Cost, NetPresent   *float64
	Ratio              *float64
	Simple, Discounted *Payback
}

// Payback is when extra investment has come back.
type Payback struct {
	State string // PaidBackAfter, never or immediate
	Years float64
}

// The states of a payback.
const (
	PaidBackAfter = "after"
	neverPaidBack = "never"
	paidAtOnce    = "immediate"
)

// PaybackStates lists the states.
func PaybackStates() []string { return []string{PaidBackAfter, neverPaidBack, paidAtOnce} }

// NotAssessed is something that was not given.
type NotAssessed string

// What may not be given.
const (
	NoHeaterEnergy         NotAssessed = "heater_energy"
	NoElectricityPrice     NotAssessed = "electricity_price"
	NoHeaterPrice          NotAssessed = "heater_energy_price"
	NoWaterPrice           NotAssessed = "water_price"
	NoSewerPrice           NotAssessed = "sewer_price"
	NoInstallCost          NotAssessed = "install_cost"
	NoLifeCycle            NotAssessed = "life_cycle"
	NoElectricityEmissions NotAssessed = "electricity_emissions"
	NoHeaterEmissions      NotAssessed = "heater_energy_emissions"
)

// NotAssessedItems lists what may not be given.
func NotAssessedItems() []NotAssessed {
	return []NotAssessed{NoHeaterEnergy, NoElectricityPrice, NoHeaterPrice, NoWaterPrice, NoSewerPrice, NoInstallCost, NoLifeCycle, NoElectricityEmissions, NoHeaterEmissions}
}

// RankingResult is the order by the criterion.
type RankingResult struct {
	By            ComparisonCriterion
	Order         []string
	CouldNotWeigh []NotAssessed
}

// WinnerRange is the range of an input, as a ratio to its value, in which the first
// stays the first.
type WinnerRange struct {
	Input        RangedInput
	From, To     *float64 // nil: no end
	Below, Above string
}

// RangedResult is what changes with one input.
type RangedResult struct {
	Input     RangedInput
	Low, High RangedOutcome
}

// RangedOutcome is the results with one value of an input.
type RangedOutcome struct {
	Ratio        float64
	First        string
	Arrangements []RangedArrangement
}

// RangedArrangement is one arrangement with one value of an input.
type RangedArrangement struct {
	ID         string
	RunToWaste quantity.Volume
	Lost       quantity.Energy
	Energy     *quantity.Energy
	Cost       *float64
	NetPresent *float64
}
