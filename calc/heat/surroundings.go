package heat

import "recirc/calc/quantity"

// Kind is what surrounds a pipe.
type Kind string

// The kinds.
const (
	// StillAir: natural convection and radiation.
	StillAir Kind = "still_air"
	// MovingAir: air blows across the pipe at AirSpeed; and radiation. The greater
	// of forced and natural convection counts, not their sum.
	MovingAir Kind = "moving_air"
	// Buried in ground that reaches far to all sides, below a surface of Temperature.
	Buried Kind = "buried"
	// InSlab: embedded midway between the two faces of a slab, both at Temperature.
	// A slab with one insulated face is closer to Buried.
	InSlab Kind = "in_slab"
	// GivenCoefficient: Coefficient stands for convection and radiation together.
	GivenCoefficient Kind = "given_coefficient"
)

// Surroundings of a pipe. What a kind does not name is not read.
type Surroundings struct {
	Kind        Kind
	Temperature quantity.Temperature // of the air, of the ground's surface or of the slab's faces

	// Of air: what the pipe radiates to, zero: as Temperature; and the emissivity
	// of the outermost surface, 0 to 1.
	Radiant    quantity.Temperature
	Emissivity float64

	AirSpeed quantity.Velocity

	// Of ground and slab: from the surface (the nearer face) to the axis.
	Depth              quantity.Length
	GroundConductivity quantity.Conductivity

	Coefficient quantity.SurfaceCoefficient
}
