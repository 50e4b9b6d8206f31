package arrival

import "recirc/calc/quantity"

// Segment is a stretch of one tube on the way to a fixture.
type Segment struct {
	Length, Bore, Outside quantity.Length

	// WallConductivity 0 stands for a wall of one temperature. Film is then from
	// the water to the wall as a whole, half the wall's resistance included.
	WallConductivity quantity.Conductivity
	WallHeatCapacity float64 // density times specific heat, J/(m3.K); 0 if the wall takes no heat
	Film             float64 // water to inner wall, W/(m2.K); 0 if water and wall are always at one temperature

	UA      float64              // outer wall surface to ambient, W/(m.K)
	Ambient quantity.Temperature // not looked at if UA is 0

	// Initial is the temperature of water and wall at t = 0. InitialProfile
	// overrides it: equally spaced from end to end in the direction of flow,
	// both ends included, straight lines between.
	Initial        quantity.Temperature
	InitialProfile []quantity.Temperature

	Dispersion float64 // axial, m2/s; 0 if none, see [TaylorDispersion]
}

// Front is a path of segments from the hot source to a fixture that opens at
// t = 0, in the direction of flow.
type Front struct {
	Segments []Segment
	Flow     quantity.Flow

	// Density (kg/m3) and SpecificHeat (J/(kg.K)) of the water hold for the whole
	// path and time: take them at the mean of inlet and initial temperature.
	Density, SpecificHeat float64

	Inlet        quantity.Temperature
	StartUpDelay quantity.Duration    // of the heater; 0 if none
	BeforeStart  quantity.Temperature // what enters until then; not looked at without a delay

	// InletTable overrides the three above: straight lines between its points,
	// constant before the first and after the last. Two points of one time are a
	// jump.
	InletTable []Point
}

// Options says what is wanted of [Front.Arrive].
type Options struct {
	Thresholds []quantity.Temperature

	// Horizon is where to stop, in pipe volumes; what is reached later is not
	// reached. 0 goes on until the thresholds are reached or nothing moves any
	// more, and for a curve until the outlet has come 99 % of the way.
	Horizon float64
	Curve   int // points wanted, equally spaced in time from 0 on; 0 or at least 2
	Cells   int // of the whole path; 0 takes 120 to 400, as many as the path needs

	// Exchanges is the most that may be computed, for a caller with many paths and
	// a budget; 0, and anything above, is [MostExchanges].
	Exchanges int
}

// Crossing is when the outlet first reaches a threshold; 0 if it starts there.
// A later dip is not looked at.
type Crossing struct {
	Threshold quantity.Temperature
	Reached   bool // if not, the rest is zero
	Time      quantity.Duration
	Volume    quantity.Volume // drawn until then
	Ratio     float64         // of that volume to the pipe volume

	MeanOutlet quantity.Temperature // of the water drawn until then
}

// Point is a temperature at a time.
type Point struct {
	Time        quantity.Duration
	Temperature quantity.Temperature
}

// Arrival is what [Front.Arrive] finds.
type Arrival struct {
	Crossings  []Crossing           // one for each threshold, in the order asked
	Steady     quantity.Temperature // at the outlet in the long run, see [Front.Steady]
	Curve      []Point              // at the outlet; after the jump where it jumps
	Residual   float64              // of the energy balance over the simulated time, as a share of the heat that came in or was there
	PipeVolume quantity.Volume
	PlugTime   quantity.Duration // in which the flow replaces the pipe volume
	Cells      int               // of the grid
	Exchanges  int               // computed, in cells and segments times steps
}

func (o Options) exchanges() int {
	if o.Exchanges == 0 {
		return MostExchanges
	}
	return min(o.Exchanges, MostExchanges)
}

// Arrive finds when hot water reaches the outlet of a path, where water and
// wall exchange heat and the wall loses heat:
//
//	Cw (dT/dt + u dT/dx) = Cw K d2T/dx2 - h pi d (T - Ti)
//	Cp dTp/dt            = conduction in the radius
//	                       from h pi d (T - Ti) inside to U (To - Ta) outside
//
//	T, Tp, Ti, To  water, wall, its inner and outer surface    K
//	Ta             surroundings                                K
//	Cw, Cp         heat capacity of water and wall per length  J/(m.K)
//	u              mean velocity q/(pi d2/4)                   m/s
//	d              bore                                        m        d > 0
//	h              film coefficient                            W/(m2.K) h >= 0
//	U              outer surface to surroundings               W/(m.K)  U >= 0
//	K              axial dispersion of the water               m2/s     K >= 0
//
// Valid for steady flow of one phase with constant properties. Not included:
// conduction along the wall, heat stored in insulation, buoyancy, the velocity
// profile of laminar flow (see [LaminarShare]), and mixing in fittings.
//
// Slugs of water one cell long move one cell a step, which smears nothing, and
// between two moves exchange heat with the wall by the exact exponential of
// that exchange. A jump of temperature, as between the water that stood in the
// pipe and the hot water behind it, arrives at its exact time. Where h is 0
// (equilibrium) the front is a step, later than plug flow by 1 + Cp/Cw.
//
// Up to 100 transfer units h pi d L/(q rho c) the default grid is off by 0.3 %
// of the time at most, up to 500 by 1.5 %; Options.Cells helps. A wall that
// resists more than 0.3 of what the film does is resolved in its radius, which
// is off by 0.5 % of the temperature difference at most; any other has one
// temperature, which is within 0.2 %. Dispersion ends at the outlet, which makes
// a front earlier by K/(u L) of the plug time than in a longer pipe.
//
// An argument outside its range, NaN or infinite gives an [*InputError]; so
// does more than [MaxSegments], and a horizon, delay or table that asks for more
// than about a second of computation.
//
// Source: Anzelius 1926 and Schumann 1929 for water and wall, with Taylor 1954
// for the dispersion; from memory.
func (f Front) Arrive(o Options) (Arrival, error) {
	if err := f.check(); err != nil {
		return Arrival{}, err
	}
	if err := o.check(); err != nil {
		return Arrival{}, err
	}
	g, err := newGrid(f, o.Cells)
	if err != nil {
		return Arrival{}, err
	}
	r := newRun(f, o, g)
	if err := r.simulate(); err != nil {
		return Arrival{}, err
	}
	return r.answer(f)
}
