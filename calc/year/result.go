package year

import "recirc/calc/calendar"

// Result is a year of a system, or the days of [Follow].
type Result struct {
	Year  Totals // of the days by their weights
	Days  []DayResult
	Waits Waits // of every draw that somebody waits for, in the order of time

	PipeLoss []float64 // by pipe, weighted, J

	Observed *Observed // nil if not asked for
	Work     int       // slugs moved
}

// DayResult is one day, not weighted.
type DayResult struct {
	Month  int // of the plan
	Day    int // of the month
	Type   calendar.DayType
	Weight float64
	WarmUp int  // days, or sequences of days, simulated before it
	Steady bool // the last of them ended as it began; see Simulate
	Totals
}

// Totals are sums over some time. Residual is measured against no less than a millikelvin
// of all pipes and a millionth of the heat that circulates, below which all is rounding.
type Totals struct {
	Draws    float64 // of hot water
	Unserved float64 // of these, that were given up

	HotDrawn   float64 // m3 drawn as useful
	RunToWaste float64 // m3 run off before usable water came, or until it was given up

	HeatDrawn  float64 // J above mains, in HotDrawn
	HeatWasted float64 // J above mains, in RunToWaste
	HeatCold   float64 // J above mains, in cold draws from cold pipes

	Lost       Loss // J lost to the surroundings
	LostSeason Loss // of these, in months of the heating season

	HeaterHeat float64 // J that the central heater gives to the water
	HeaterFlow float64 // m3 through it

	ReturnVolume float64 // m3 brought back to the heater by pumps
	ReturnHeat   float64 // J above mains that they bring back
	ReturnKelvin float64 // m3 K; over ReturnVolume it is their mean temperature

	TraceHeat float64 // J, electrical
	LocalHeat float64 // J, electrical, of local heaters

	PumpEnergy float64 // J, electrical
	PumpHeat   float64 // J of it that heats the water
	PumpTime   float64 // s that pumps ran, added up over pumps
	PumpStarts float64

	Cold Lukewarm

	StoredChange float64 // J, at the end more than at the beginning
	Residual     float64 // by which heat in misses heat drawn, lost and stored, as a share of the greater of in and out; of a year the greatest of its days
}

// Loss is the heat that is lost, by where; below zero where water is warmed.
type Loss struct {
	Supply, Return, Cold float64
	Local                float64 // standby of local heaters
}

// Sum adds up.
func (l Loss) Sum() float64 { return l.Supply + l.Return + l.Cold + l.Local }

// Lukewarm is the cold water that came warmer than Plan.LukewarmAbove.
type Lukewarm struct {
	Drawn   float64 // m3 of all cold draws from cold pipes
	Draws   float64 // cold draws of which some came lukewarm
	Volume  float64 // m3 of it
	Kelvin  float64 // m3 K; over Volume it is its mean temperature
	Highest float64 // K, of what came; 0 if nothing did
}

// Wait is one draw that somebody waited for.
type Wait struct {
	Outlet  int
	Day     int     // of Result.Days
	At      float64 // s since midnight, as planned
	Seconds float64 // from then until usable water ran; if given up, until then
	Weight  float64 // of its day
	Served  bool
}

// Waits is a list of waits.
type Waits []Wait

// Observed is what was seen.
type Observed struct {
	Pump    []Switch
	Times   []float64   // s since the first midnight
	Degrees [][]float64 // by pipe asked for and time, K
	Draws   []Drawn
}

// Switch is a pump that starts or stops.
type Switch struct {
	Circulation int
	At          float64 // s since the first midnight
	On          bool
}

// Drawn is one draw as it ran.
type Drawn struct {
	Outlet     int
	Wanted     float64 // s since the first midnight
	Opened     float64 // s, later than wanted if a pump was waited for
	Shut       float64
	Wait       float64 // s from Wanted; 0 for what nobody waits for
	RunToWaste float64 // m3
	Cold       bool
	AsItComes  bool
	Served     bool
	Kelvin     float64 // mean temperature of what was drawn, K
}
