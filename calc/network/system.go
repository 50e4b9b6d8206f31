// Package network holds the graph of a hot-water system: its heater, supply
// tree, returns and fixtures, with every check that makes it a system, and the
// paths and hot sources that follow from it.
package network

import (
	"recirc/calc/pipe"
	"recirc/calc/quantity"
)

// System is a plumbing system as its designer describes it. A zero quantity
// means not given wherever zero is no valid value.
type System struct {
	Heater      Heater
	MixingValve *MixingValve
	Pipes       []Pipe
	Fixtures    []Fixture
	Defaults    Defaults

	MainsTemperature quantity.Temperature

	// UnsizedReturns lets return pipes leave the size of their tube open, to be
	// chosen from its series, from ReturnSeries, or from the default.
	UnsizedReturns bool
	ReturnSeries   string
}

// Defaults are used for every pipe that does not say otherwise.
type Defaults struct {
	TubeSeries       string
	SeriesUnreadable bool // it is there but wrong
	Insulation       *Insulation
	Surroundings     *Surroundings

	SurfaceEmissivity *float64 // nil: not given; 0 is a statement
	FittingsAllowance *float64
}

// Heater is the root of the supply and the end of every return.
type Heater struct {
	Node              string
	Type              HeaterType
	OutletTemperature quantity.Temperature
	StartUpDelay      *quantity.Duration // nil: not given; 0 s is a statement
	ActivationFlow    quantity.Flow
	Kv                quantity.FlowCoefficient // zero: no loss, unless RatedLoss is given
	RatedLoss         *RatedLoss
}

// HeaterType is how the water is heated.
type HeaterType string

// The heater types.
const (
	Storage        HeaterType = "storage"
	Tankless       HeaterType = "tankless"
	HeatPump       HeaterType = "heat_pump"
	Indirect       HeaterType = "indirect"
	PlateExchanger HeaterType = "plate_exchanger"
)

// OnFlow reports that the heater starts only when water flows.
func (t HeaterType) OnFlow() bool { return t == Tankless || t == PlateExchanger }

// RatedLoss is what a heater loses at one flow; one of pressure and head.
type RatedLoss struct {
	Flow     quantity.Flow
	Pressure quantity.Pressure
	Head     quantity.Length // of cold water
}

// MixingValve is a thermostatic mixing valve between heater and supply.
type MixingValve struct {
	OutletTemperature quantity.Temperature
	Kv                quantity.FlowCoefficient
	ReturnTo          string // heater, mixing_valve or both; empty if not given
	LeastFlow         quantity.Flow
}

// Role says which way a pipe carries water.
type Role string

// The roles.
const (
	Supply Role = "supply" // away from the heater
	Return Role = "return" // circulated water back to the heater
)

// Pipe is a run of one tube between two nodes.
type Pipe struct {
	ID, From, To string
	Role         Role
	Length       quantity.Length // developed length
	Tube         TubeSpec
	Fittings     []Fitting
	Valves       []Valve
	Insulation   *Insulation
	Surroundings *Surroundings
	HeatTrace    *HeatTrace

	Vertical          bool
	SurfaceEmissivity *float64 // ratio of the outermost surface; nil: not given
	FittingsAllowance *float64 // ratio added to the loss of the plain pipe

	// Unreadable marks a pipe whose ends or role could not be read, so that
	// what hangs on them is not reported as a second fault.
	Unreadable bool
}

// TubeSpec is a tube as given: by catalogue, or by its own dimensions.
type TubeSpec struct {
	Series, Nominal     string
	Bore, Outside, Wall quantity.Length
	Material            pipe.Material
	Unreadable          bool
}

// Fitting is a number of fittings of one type.
type Fitting struct {
	Type  string
	Count int
}

// Valve is a valve on a pipe.
type Valve struct {
	Type           string
	Kv, SmallestKv *quantity.FlowCoefficient // nil: not given; 0 is closed
	SetTemperature quantity.Temperature
	Band           quantity.TemperatureDifference // over which a thermostatic valve closes
}

// Insulation is the layers around a tube, from the inside out.
type Insulation struct{ Layers []InsulationLayer }

// InsulationLayer has one of conductivity, two points of it, and R-value.
type InsulationLayer struct {
	Thickness    quantity.Length
	Conductivity quantity.Conductivity
	Points       []ConductivityPoint
	RValue       quantity.ThermalResistance // referred to the outside of the layer
}

// ConductivityPoint is the conductivity at one mean temperature of a layer.
type ConductivityPoint struct {
	MeanTemperature quantity.Temperature
	Conductivity    quantity.Conductivity
}

// Thickness of all layers together.
func (i *Insulation) Thickness() quantity.Length {
	sum := 0.0
	if i != nil {
		for _, l := range i.Layers {
			sum += l.Thickness.Metres()
		}
	}
	return quantity.Metres(sum)
}

// Bare reports that there is no layer of any thickness.
func (i *Insulation) Bare() bool { return i.Thickness() == quantity.Length{} }

// Surroundings is what is around a pipe.
type Surroundings struct {
	Type               string // still_air, moving_air, buried, in_slab or given_coefficient
	Temperature        quantity.Temperature
	RadiantTemperature quantity.Temperature
	AirSpeed           quantity.Velocity
	Depth              quantity.Length
	GroundConductivity quantity.Conductivity
	SurfaceCoefficient quantity.SurfaceCoefficient
}

// HeatTrace is a cable that holds a pipe at a temperature.
type HeatTrace struct {
	MaintainedTemperature quantity.Temperature
	PowerPerLength        quantity.LinearHeatLoss
}

// Fixture is where hot water is drawn.
type Fixture struct {
	ID, Node, Type string
	HotFlow        quantity.Flow
	HotFlowBasis   string // rated or measured; empty if not given

	Unreadable     bool // node could not be read
	FlowUnreadable bool // hot flow is there but wrong
}

// InsulationOf is the insulation of a pipe, its own or the default; nil if none.
func (s *System) InsulationOf(pipe int32) *Insulation {
	return own(s.Pipes[pipe].Insulation, s.Defaults.Insulation)
}

// SurroundingsOf is what is around a pipe, its own or the default; nil if
// neither is given.
func (s *System) SurroundingsOf(pipe int32) *Surroundings {
	return own(s.Pipes[pipe].Surroundings, s.Defaults.Surroundings)
}

// EmissivityOf is the emissivity of a pipe, its own or the default; nil if
// neither is given.
func (s *System) EmissivityOf(pipe int32) *float64 {
	return own(s.Pipes[pipe].SurfaceEmissivity, s.Defaults.SurfaceEmissivity)
}

// AllowanceOf is the allowance for fittings of a pipe, its own or the default,
// 0 if neither is given.
func (s *System) AllowanceOf(pipe int32) float64 {
	if a := own(s.Pipes[pipe].FittingsAllowance, s.Defaults.FittingsAllowance); a != nil {
		return *a
	}
	return 0
}

// own is what a pipe says itself, or else the default.
func own[T any](itself, byDefault *T) *T {
	if itself != nil {
		return itself
	}
	return byDefault
}
