// Package control has the controls of a circulation pump as small state
// machines over time: continuous, timer, aquastat, timer and aquastat, on demand
// and duty cycle. It says what is wrong with a setting, and proposes better ones.
//
// Nothing here reads a clock. Time counts in seconds from midnight of the first
// day of a simulation.
package control

import (
	"recirc/calc/calendar"
	"recirc/calc/quantity"
)

// Kind is a kind of control.
type Kind string

// The kinds.
const (
	Continuous       Kind = "continuous"
	Timer            Kind = "timer"
	AquastatOnly     Kind = "aquastat"
	TimerAndAquastat Kind = "timer_and_aquastat"
	OnDemand         Kind = "on_demand"
	DutyCycle        Kind = "duty_cycle"
)

// Kinds lists the kinds of control.
func Kinds() []Kind {
	return []Kind{Continuous, Timer, AquastatOnly, TimerAndAquastat, OnDemand, DutyCycle}
}

func (k Kind) timed() bool    { return k == Timer || k == TimerAndAquastat }
func (k Kind) aquastat() bool { return k == AquastatOnly || k == TimerAndAquastat }

// Settings are what is set on a control. What its kind does not use is ignored.
type Settings struct {
	Kind     Kind
	Windows  []Window // of a timer
	Aquastat Aquastat // of an aquastat, and of the sensor that ends an on-demand run
	Demand   Demand   // of an on-demand pump
	Cycle    Cycle    // of a duty cycle

	LeastRun  quantity.Duration // once started the pump runs at least so long
	LeastRest quantity.Duration // once stopped it rests at least so long
}

// Window is a time of day in which a timer lets the pump run: on every day of its
// type, from and including From, up to and without To. If To is not after From the
// window ends on the day after.
type Window struct {
	Type     calendar.DayType
	From, To quantity.Duration // since midnight; To may be 24 h
}

// end is the end in s since midnight of the day that the window begins on.
func (w Window) end() float64 {
	if w.To.Seconds() <= w.From.Seconds() {
		return w.To.Seconds() + calendar.SecondsOfDay
	}
	return w.To.Seconds()
}

// Aquastat is a switch by temperature: it calls for the pump when its sensor reads
// Start or less, until it reads Stop or more; between the two it stays as it
// was, and at first it does not call. An on-demand pump is started only if its
// sensor reads Start or less, and stopped at Stop; there the two may be equal.
type Aquastat struct{ Start, Stop quantity.Temperature }

// Demand is how an on-demand pump is triggered.
type Demand struct {
	Lead        quantity.Duration // from the trigger to the draw
	Probability float64           // that a draw is announced by a trigger at all
	LongestRun  quantity.Duration // after which it stops though its sensor is still cold
	Seed        uint64            // of the chance which draws are announced
}

// Cycle is a duty cycle. It begins with running, at midnight of the first day.
type Cycle struct{ On, Off quantity.Duration }

// Bounds of settings.
const (
	MaxWindows    = 200
	coldest       = 233.15 // -40 degC, in K
	hottest       = 423.15 // 150 degC
	longestTime   = calendar.SecondsOfDay
	shortestCycle = 60.0 // s; a pump that starts more often than once a minute is none
)
