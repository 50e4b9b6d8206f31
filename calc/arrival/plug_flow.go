// Package arrival tells when hot water reaches a fixture that somebody opens.
package arrival

import "recirc/calc/quantity"

// PlugFlow gives the time in which a flow pushes out the water that stands in
// a dead leg, as if it moved like a plug
//
//	t = V / q
//
//	V  stored volume   m3    V >= 0
//	q  flow            m3/s  q > 0
//
// It is the shortest wait possible: the tube takes no heat, nothing mixes and
// nothing leaks. A flow that is not positive gives +Inf, or NaN with V = 0;
// callers check it before.
//
// Source: displacement of a volume, textbook kinematics.
func PlugFlow(v quantity.Volume, q quantity.Flow) quantity.Duration {
	return quantity.Seconds(v.CubicMetres() / q.CubicMetresPerSecond())
}

// DrawnVolume gives the water that runs in a time
//
//	V = q t
//
//	q  flow   m3/s  q > 0
//	t  time   s     t >= 0
//
// Source: definition of volume flow.
func DrawnVolume(q quantity.Flow, t quantity.Duration) quantity.Volume {
	return quantity.CubicMetres(q.CubicMetresPerSecond() * t.Seconds())
}
