package service

import (
	"recirc/calc/pump"
	"recirc/calc/quantity"
)

// PumpSelectionAnswer is candidates in rank order.
type PumpSelectionAnswer struct {
	Basis       DutyBasis
	Duty        PumpDuty
	Volume      quantity.Volume // filled on demand; zero: none
	Time        quantity.Duration
	Statement   string
	Circulation *Circulation // of the loop that was designed
	Curve       SystemCurveFound
	Tightest    *TightestPipe
	Hours       float64
	Currency    string
	Pumps       []RankedPump
	Miss        *NearestMiss
	Drawn       []DrawnPump // for the picture, and the system
	DrawnSystem []pump.Point
	Notes
	Working []Step
}

// CurveOrigin is what a system curve follows from.
type CurveOrigin string

// The origins.
const (
	CurveOfPoints CurveOrigin = "points"
	CurveOfDuty   CurveOrigin = "duty"
	CurveOfLoop   CurveOrigin = "loop"
	CurveOfWay    CurveOrigin = "way"
)

// SystemCurveFound is the head that a system takes.
type SystemCurveFound struct {
	Origin    CurveOrigin
	Statement string
	Points    []pump.Point
}

// TightestPipe is where the water is fastest.
type TightestPipe struct {
	Pipe     string // empty: only its bore is known
	Bore     quantity.Length
	Velocity quantity.Velocity // at the duty
}

// RankedPump is one candidate at the setting that suits best. What is nil or zero
// is not known.
type RankedPump struct {
	ID, Connection string
	Accepted       bool
	At             *PumpDutyPoint
	Others         []pump.Duty
	Excess         *float64 // of flow
	ExcessHead     *float64
	Velocity       quantity.Velocity
	Energy         *quantity.Energy // a year
	Cost           *float64         // a year
	Price          *float64         // of all pumps
	LifeCycle      *float64
	NPSH           *NPSH
	Reach          ReachDuty
	Rejections     []PumpRejection
	NotAssessed    []NotAssessedCheck

	index    int // in the request
	setting  *pumpSetting
	nearness float64 // to the duty; 0 is there
}

// PumpDutyPoint is where a pump and the system meet.
type PumpDutyPoint struct {
	pump.Duty
	SetHead    quantity.Length // zero: no control holds a head
	Hydraulic  quantity.Power
	Electrical quantity.Power // zero: not known
	Efficiency float64        // zero: not known
	LargestOn  quantity.Flow  // of the last point of the curve
}

// NPSH is the net positive suction head at the duty point.
type NPSH struct{ Available, Required, Margin quantity.Length }

// ReachDuty is what would bring a pump to the flow of the duty; zero: not that.
type ReachDuty struct {
	Kv      quantity.FlowCoefficient
	Wasted  quantity.Power
	Speed   float64
	SetHead quantity.Length
}

// RejectionCode is a kind of reason against a pump.
type RejectionCode string

// The reasons.
const (
	ShortOfDuty       RejectionCode = "short_of_duty"
	AboveShutOff      RejectionCode = "above_shut_off"
	BeforeCurve       RejectionCode = "before_curve"
	BeyondCurve       RejectionCode = "beyond_curve"
	UnstableOnly      RejectionCode = "unstable_only"
	ExcessFlow        RejectionCode = "excess_flow"
	VelocityLimit     RejectionCode = "velocity_limit"
	NPSHShort         RejectionCode = "npsh_short"
	NotApproved       RejectionCode = "not_approved_for_drinking_water"
	TemperatureRating RejectionCode = "temperature_rating"
	PressureRating    RejectionCode = "pressure_rating"
)

// PumpRejection is one reason against a pump.
type PumpRejection struct {
	Code         RejectionCode
	Detail       string
	Dimension    *quantity.Dimension // of the two; nil: there are none
	Value, Limit float64             // SI
}

// Check is what may not be judged for want of something.
type Check string

// The checks.
const (
	CheckVelocity    Check = "velocity"
	CheckEfficiency  Check = "efficiency"
	CheckNPSH        Check = "npsh"
	CheckTemperature Check = "temperature_rating"
	CheckPressure    Check = "pressure_rating"
)

// NotAssessedCheck is a check that was not made, and why.
type NotAssessedCheck struct {
	Check  Check
	Reason string
}

// NearestMiss is the candidate that comes nearest where none fits.
type NearestMiss struct {
	ID      string
	Changes []string
}

// DrawnPump is the curve of one pump at its setting, for the picture.
type DrawnPump struct {
	Pump   *RankedPump
	Rank   int
	Points []pump.Point
}
