package year

import (
	"recirc/calc/control"
	"recirc/calc/quantity"
)

// None stands for no pipe.
const None = -1

// System is one arrangement: a tree of supply pipes from the heater, with what
// brings hot water near.
type System struct {
	Pipes        []Pipe
	Outlets      []Outlet
	Circulations []Circulation // each with its own pump
	Heater       Heater

	// WaterHeat is density times specific heat of the water, J/(m3.K), one for
	// all: at about the mean of outlet and surroundings.
	WaterHeat float64
}

// Role says what a pipe is for.
type Role string

// The roles. Pipes of a role form trees that are rooted at the heater; cold pipes
// at the place where its cold feed branches off.
const (
	Supply Role = "supply" // water runs away from the heater
	Return Role = "return" // to the heater
	Cold   Role = "cold"   // a cold line: draws run away from the heater's feed, a pump pushes towards it
)

// Pipe is a length of one tube. Its far end is the one away from the heater.
type Pipe struct {
	ID     string // not empty, each once; decides nothing but ties
	Role   Role
	Parent int // the pipe of the same role nearer to the heater; None if it begins there

	Length  quantity.Length
	Content quantity.VolumePerLength

	WallHeatCapacity float64 // of the wall per length, J/(m.K)
	Lag              Lag     // zero: water and wall are always at one temperature

	UA      float64 // to the surroundings, W/(m.K)
	Ambient int     // which of Month.Ambients surrounds it

	Trace *Trace // nil: not heated
}

// Trace is a self-regulating cable along a pipe. Its power falls in a straight line
//
//	P = Power (Off - T)/(Off - At),  not below 0
//
//	T  of the pipe  K
type Trace struct {
	Power float64              // W/m, at the temperature At
	At    quantity.Temperature // below Off
	Off   quantity.Temperature // from which on it gives nothing
}

// Outlet is a fixture.
type Outlet struct {
	ID   string // not empty, each once; decides ties between draws at one time
	Pipe int    // supply pipe at whose far end it draws hot water
	Cold int    // cold pipe at whose far end it draws cold water; None: cold draws are not followed

	Local *LocalHeater // nil: none
}

// LocalHeater is a small electric heater before an outlet, fully mixed.
type LocalHeater struct {
	Content quantity.Volume
	Power   quantity.Power
	Set     quantity.Temperature // kept by its thermostat
	UA      float64              // of its standby loss, W/K
	Ambient int                  // which of Month.Ambients surrounds it
	FromHot bool                 // fed from the hot line; else from the mains
}

// Heater is the central heater.
type Heater struct {
	Outlet quantity.Temperature // of the water that leaves it

	// Of a heater that starts on flow. Until it fires, and below its activation
	// flow, water passes as it came.
	StartUpDelay quantity.Duration
	Activation   quantity.Flow
}

// Circulation is a pump with the loops through which it moves water.
type Circulation struct {
	Control control.Settings
	Sensor  int // pipe at whose end the sensor of its control sits; None if its control has none. Of a supply or cold pipe its far end, of a return the one at the heater

	Power     quantity.Power // electrical, while it runs
	IntoWater float64        // part of it that heats the water, 0 to 1; it enters at the heater

	Loops []Loop

	// Demands are the outlets whose draws an on-demand pump is triggered for; none: all.
	// Who announced a draw opens the tap when the pump has stopped.
	Demands []int
}

// Loop is a way of circulation: from the heater through supply pipes to the far
// end of one, there into a return or a cold pipe and back.
type Loop struct {
	From int           // supply pipe at whose far end it turns
	Into int           // return or cold pipe whose far end it enters
	Flow quantity.Flow // while the pump runs

	Bypass *Bypass // nil: no valve
}

// Bypass is a thermostatic valve at the turn of a loop that shuts as it warms.
// The flow falls in a straight line from all at Opens to none at Shuts; when warm, it is
// taken to stay at the flow that just keeps its temperature.
type Bypass struct{ Opens, Shuts quantity.Temperature }
