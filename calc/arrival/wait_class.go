package arrival

import (
	"math"

	"recirc/calc/quantity"
	"recirc/calc/source"
)

// WaitClass is a published delivery-time class.
type WaitClass struct {
	Name  string
	Above quantity.Duration // longer than this; 0 s belongs to the first class
	UpTo  quantity.Duration // not longer than this; +Inf in the last class
}

// WaitClassSource is where the classes are published.
const WaitClassSource source.ID = "aspe_dwh_performance"

// WaitClasses lists the delivery-time classes 0-10 s, 11-30 s and over 30 s.
// The print leaves the span between 10 and 11 s open; here a class ends at its
// upper bound, so 10.4 s is marginal.
//
// Source: Domestic Water Heating Design Manual, 2nd ed., performance criteria.
func WaitClasses() [3]WaitClass {
	return [3]WaitClass{
		{Name: "acceptable", UpTo: quantity.Seconds(10)},
		{Name: "marginal", Above: quantity.Seconds(10), UpTo: quantity.Seconds(30)},
		{Name: "unacceptable", Above: quantity.Seconds(30), UpTo: quantity.Seconds(math.Inf(1))},
	}
}

// Class gives the class of a wait.
func Class(wait quantity.Duration) WaitClass {
	classes := WaitClasses()
	for _, c := range classes {
		if wait.Seconds() <= c.UpTo.Seconds() {
			return c
		}
	}
	return classes[len(classes)-1]
}
