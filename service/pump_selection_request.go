package service

import (
	"recirc/calc/network"
	"recirc/calc/pump"
	"recirc/calc/quantity"
)

// PumpSelectionRequest asks which of some pumps fits a duty. What could not be
// read is marked as unreadable, so that nothing is said about it twice.
type PumpSelectionRequest struct {
	Duty  DutyRequest
	Curve *SystemCurve

	HasSystem bool
	Loop      LoopDesignRequest // the system, and how its loop is designed
	LoopGiven []string          // members of the request that only a design of the loop takes

	Candidates  []PumpCandidate
	Limits      SelectionLimits
	Conditions  PumpConditions
	Running     RunningTime
	Electricity *EnergyPrice
	Ranking     Ranking
	ShowWorking bool
	USGallon    bool
}

// DutyBasis is what a duty follows from.
type DutyBasis string

// The bases.
const (
	DutyByHeatLoss DutyBasis = "heat_loss"
	DutyByFillTime DutyBasis = "fill_time"
	DutyGiven      DutyBasis = "given"
)

// DutyRequest is a duty as it is asked for; zero amounts are not given.
type DutyRequest struct {
	Basis    DutyBasis // empty: unreadable
	Flow     quantity.Flow
	Head     quantity.Length
	Pressure quantity.Pressure
	Time     quantity.Duration
	Volume   quantity.Volume
	Fixture  string
}

// SystemCurve is points of a system curve, and the head at no flow.
type SystemCurve struct {
	Unreadable bool
	Static     *quantity.Length
	Points     []pump.Point
}

// PumpsInstalled is how many pumps there are and run.
type PumpsInstalled string

// What may be installed.
const (
	SinglePump     PumpsInstalled = "single"
	TwoInParallel  PumpsInstalled = "two_in_parallel"
	DutyAndStandby PumpsInstalled = "duty_and_standby"
)

// PumpCandidate is a pump to choose.
type PumpCandidate struct {
	Unreadable  bool
	ID          string
	Curve       []pump.Point
	Speeds      []float64
	SpeedRange  *SpeedRange
	Control     PumpControl
	Arrangement PumpsInstalled // empty: single
	Approved    *bool          // for drinking water; nil: not known
	Temperature quantity.Temperature
	Pressure    quantity.Pressure
	NPSH        []pump.Point
	Price       *Money
	Connection  string
}

// SpeedRange is the speeds between which a pump can be set.
type SpeedRange struct{ Least, Greatest float64 }

// PumpControl is what a pump is set to.
type PumpControl struct {
	Mode       pump.Mode       // empty: constant speed
	SetHead    quantity.Length // zero: not given
	SetFlow    quantity.Flow
	Adjustable bool
}

// SelectionLimits is what a pump must not do; zero amounts are not given.
type SelectionLimits struct {
	Velocity quantity.Velocity
	Bore     quantity.Length
	Excess   *float64
	Approval *bool // nil: asked for
}

// PumpConditions is what a pump stands in; zero amounts are not given.
type PumpConditions struct {
	Water    quantity.Temperature
	Pressure quantity.Pressure // over the air's
	Suction  *PumpSuction
}

// PumpSuction is what stands before a pump.
type PumpSuction struct {
	Pressure        quantity.Pressure // over the air's
	Above, HeadLoss quantity.Length
	Air             quantity.Pressure // zero: not given
}

// RunningControl is what lets a pump run.
type RunningControl string

// The controls.
const (
	RunsContinuously RunningControl = "continuous"
	RunsByTimer      RunningControl = "timer"
	RunsByAquastat   RunningControl = "aquastat"
	RunsOnDemand     RunningControl = "on_demand"
)

// RunningTime is how long a pump runs in a year; nil is not given.
type RunningTime struct {
	Hours    *float64
	Control  RunningControl
	PerDay   *quantity.Duration
	Share    *float64
	Starts   *float64
	PerStart *quantity.Duration
}

// Money is an amount in a currency.
type Money struct {
	Amount   float64
	Currency string
}

// EnergyPrice is money for energy.
type EnergyPrice struct {
	PerJoule float64
	Currency string
}

// Criterion is what accepted pumps are ranked by.
type Criterion string

// The criteria.
const (
	ByYearlyCost    Criterion = "yearly_cost"
	ByEnergy        Criterion = "energy"
	ByExcess        Criterion = "excess"
	ByPrice         Criterion = "price"
	ByLifeCycleCost Criterion = "life_cycle_cost"
)

// Ranking is how accepted pumps are ranked.
type Ranking struct {
	By    Criterion // empty: by yearly cost
	Years int       // zero: not given
	Rate  *float64
}

// system of the request.
func (r *PumpSelectionRequest) system() *network.System { return &r.Loop.System }
