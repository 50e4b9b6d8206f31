package control

import (
	"math"

	"recirc/calc/calendar"
	"recirc/calc/quantity"
)

// Circumstances are what settings are checked against. What is zero is not known
// and not checked.
type Circumstances struct {
	Warmest, Coldest quantity.Temperature           // that the sensor can come to read
	LeastRise        quantity.TemperatureDifference // below which a tankless heater does not fire
	Draws            DrawTimes
}

// DrawTimes are the times of the draws since midnight, on days of each type.
type DrawTimes = calendar.ByDayType[[]quantity.Duration]

// Check tells everything that is wrong with a setting: for what it cannot run, and
// if it can, what makes no sense. Nil if nothing is wrong.
//
// A timer is looked at on one type of day after the other, as if every day were
// of that type.
func Check(s Settings, c Circumstances) []Finding {
	if faults := s.faults(); len(faults) > 0 {
		return faults
	}
	var f gathered
	k := s.Kind
	if k.timed() {
		f.overlaps(s.Windows)
		for _, t := range calendar.DayTypes() {
			f.day(t, s, c.Draws.On(t))
		}
	}
	if k.aquastat() || k == OnDemand {
		f.reach(s.Aquastat, c, k)
	}
	if k.aquastat() {
		// Below the least rise the heater does not fire for water that the loop brings back.
		if gap := s.Aquastat.Stop.Kelvin() - s.Aquastat.Start.Kelvin(); gap < c.LeastRise.Kelvin()-rounding {
			f.add(GapTooSmall, "aquastat", -1, "start and stop are %.6g K apart, a tankless heater needs a rise of %.6g K", gap, c.LeastRise.Kelvin())
		}
	}
	if k == DutyCycle {
		f.onAndOff(s)
	}
	return f.list
}

func (f *gathered) reach(a Aquastat, c Circumstances, k Kind) {
	if w := c.Warmest.Kelvin(); w > 0 && a.Stop.Kelvin() >= w {
		until := "does not stop"
		if k == OnDemand {
			until = "always runs its longest"
		}
		f.add(StopOutOfReach, "aquastat", -1, "it stops at %.4g degC and its sensor never reads more than %.4g degC, so the pump %s", a.Stop.Celsius(), c.Warmest.Celsius(), until)
	}
	if low := c.Coldest.Kelvin(); low > 0 && a.Start.Kelvin() < low {
		f.add(StartOutOfReach, "aquastat", -1, "it starts at %.4g degC and its sensor never reads less than %.4g degC, so the pump does not start", a.Start.Celsius(), c.Coldest.Celsius())
	}
}

// overlaps looks for windows of one day type that meet on a day.
func (f *gathered) overlaps(windows []Window) {
	for i, w := range windows {
		for _, v := range windows[:i] {
			if w.Type == v.Type && (meet(w, v, 0) || meet(w, v, calendar.SecondsOfDay) || meet(w, v, -calendar.SecondsOfDay)) {
				f.add(WindowsOverlap, "windows", i, "the window overlaps one before it")
				break
			}
		}
	}
}

// meet tells whether two windows overlap if the second is some days later.
func meet(w, v Window, later float64) bool {
	return w.From.Seconds() < v.end()+later && v.From.Seconds()+later < w.end()
}

// day looks at the windows of one day type.
func (f *gathered) day(t calendar.DayType, s Settings, draws []quantity.Duration) {
	on := newSchedule(s.Windows, []calendar.DayType{t})
	if !on.always {
		for _, i := range on.open {
			if i.to-i.from < s.LeastRun.Seconds()-rounding {
				f.add(WindowBelowRun, "windows", -1, "a window of %.6g s on a %s is below the least run, so the pump does not run in it", i.to-i.from, t)
			}
		}
	}
	if len(draws) > 0 && on.covered(draws) == 0 {
		f.add(TimerCoversNoDraw, "windows", -1, "no window of a %s has a draw in it", t)
	}
}

// covered counts the times at which a schedule is open.
func (s schedule) covered(times []quantity.Duration) int {
	n := 0
	for _, t := range times {
		if s := t.Seconds(); math.IsNaN(s) || math.IsInf(s, 0) {
			continue
		}
		if _, open := s.at(t.Seconds()); open {
			n++
		}
	}
	return n
}

func (f *gathered) onAndOff(s Settings) {
	on, off := s.Cycle.On.Seconds(), s.Cycle.Off.Seconds()
	switch {
	case on == 0:
		f.add(NeverRuns, "cycle", -1, "a cycle without running time never runs the pump")
	case off > 0 && on < s.LeastRun.Seconds()-rounding:
		f.add(OnBelowRun, "cycle", -1, "it is on for %.6g s, below the least run, so the pump does not run", on)
	}
	if on > 0 && off > 0 && off < s.LeastRest.Seconds()-rounding {
		f.add(OffBelowRest, "cycle", -1, "it is off for %.6g s, below the least rest, so the pump starts late", off)
	}
}

// Coverage gives the part of the draws of a day type that come while a timer lets
// the pump run, and false if there are no draws. Windows are as settings take them.
func Coverage(windows []Window, t calendar.DayType, draws []quantity.Duration) (share float64, ok bool) {
	if len(draws) == 0 {
		return 0, false
	}
	return float64(newSchedule(windows, []calendar.DayType{t}).covered(draws)) / float64(len(draws)), true
}

// RunTime gives how long a day a timer lets the pump run on days of a type. Windows
// are as settings take them.
func RunTime(windows []Window, t calendar.DayType) quantity.Duration {
	return quantity.Seconds(newSchedule(windows, []calendar.DayType{t}).openShare() * calendar.SecondsOfDay)
}
