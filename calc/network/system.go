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
}

// Defaults are used for every pipe that does not say otherwise.
type Defaults struct {
	TubeSeries   string
	Insulation   *Insulation
	Surroundings *Surroundings
}

// Heater is the root of the supply and the end of every return.
type Heater struct {
	Node              string
	Type              HeaterType
	OutletTemperature quantity.Temperature
	StartUpDelay      *quantity.Duration // nil: not given; 0 s is a statement
	ActivationFlow    quantity.Flow
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

// MixingValve is a thermostatic mixing valve between heater and supply.
type MixingValve struct {
	OutletTemperature quantity.Temperature
	Kv                quantity.FlowCoefficient
	ReturnTo          string // heater, mixing_valve or both
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
	Kv, SmallestKv quantity.FlowCoefficient
	SetTemperature quantity.Temperature
}

// Insulation is a layer around a tube; a thickness of zero is a bare pipe.
type Insulation struct {
	Thickness    quantity.Length
	Conductivity quantity.Conductivity
}

// Bare reports that there is no layer.
func (i *Insulation) Bare() bool { return i == nil || i.Thickness == quantity.Length{} }

// Surroundings is what is around a pipe.
type Surroundings struct {
	Type               string // still_air, moving_air, buried or in_slab
	Temperature        quantity.Temperature
	RadiantTemperature quantity.Temperature
	AirSpeed           quantity.Velocity
	Depth              quantity.Length
	GroundConductivity quantity.Conductivity
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
