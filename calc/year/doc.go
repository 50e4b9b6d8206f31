// Package year simulates days of draws from one arrangement of hot-water pipes,
// draw by draw and event by event, and weights days by month and type to a year.
//
// Pipes hold profiles of temperature as slugs. Slugs advance as plugs, delayed by
// the wall that takes heat; between events they cool exponentially to their
// surroundings; draws and pumps purge them. An event is a tap that opens or shuts,
// a pump that starts or stops, a sensor that reaches what its control waits
// for, a valve that opens or closes, a heater that fires. Between events flows are constant and
// pipes are moved in one step, however long, so nothing runs on a clock.
//
// It knows no building: a [System] is numbers. In a [Result] energies are in J,
// volumes in m3, times in s. Heat counts above the mains temperature of the month.
//
//	Simulate(System, Plan, *Observation) (*Result, error)       a year of representative days
//	Follow(System, Plan, month, []calendar.DayType, *Observation)  1 to 7 days as they follow each other
//	LagOf(Tube) (Lag, error)                                    what delays the front in a kind of pipe
//
// Left out: buoyancy and flow backwards through a tap or a shut pump; water of
// a loop that a draw takes from the return; changes of a pump's flow while
// somebody draws; expansion; standby loss of the central heater; heat that insulation stores; mixing
// with cold water at the tap. A draw that was usable once counts as usable to
// its end, though cooler water may follow.
package year
