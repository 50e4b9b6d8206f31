package control

import (
	"slices"

	"recirc/calc/calendar"
)

// faults tells for what the settings cannot run, nil if they can.
func (s Settings) faults() []Finding {
	var f gathered
	f.seconds("least_run", -1, "the least run", s.LeastRun.Seconds(), longestTime)
	f.seconds("least_rest", -1, "the least rest", s.LeastRest.Seconds(), longestTime)
	switch s.Kind {
	case Continuous:
	case Timer:
		f.windows(s.Windows)
	case AquastatOnly:
		f.aquastat(s.Aquastat, false)
	case TimerAndAquastat:
		f.windows(s.Windows)
		f.aquastat(s.Aquastat, false)
	case OnDemand:
		f.aquastat(s.Aquastat, true)
		f.demand(s.Demand, s.LeastRun.Seconds())
	case DutyCycle:
		f.cycle(s.Cycle)
	default:
		f.add(KindUnknown, "kind", -1, "there is no control %.40q", s.Kind)
	}
	return f.list
}

// MaxDays is the greatest number of days before the first comes again.
const MaxDays = 366

func daysFaults(days []calendar.DayType) []Finding {
	var f gathered
	if n := len(days); n == 0 || n > MaxDays {
		f.add(DaysMissing, "days", -1, "a simulation has 1 to %d days, not %d", MaxDays, n)
		return f.list
	}
	for i, d := range days {
		f.dayType("days", i, d)
	}
	return f.list
}

// gathered are findings as they are found.
type gathered struct{ list []Finding }

func (f *gathered) add(name FindingName, field string, index int, format string, args ...any) {
	f.list = append(f.list, finding(name, field, index, format, args...))
}

// seconds looks at a time, and reports that it is sound.
func (f *gathered) seconds(field string, index int, what string, s, most float64) bool {
	if s >= 0 && s <= most { // NaN is not
		return true
	}
	f.add(OutOfRange, field, index, "%s is %.6g s, not from 0 to %g s", what, s, most)
	return false
}

func (f *gathered) dayType(field string, index int, t calendar.DayType) {
	if !slices.Contains(calendar.DayTypes(), t) {
		f.add(DayTypeUnknown, field, index, "there is no day type %.40q", t)
	}
}

func (f *gathered) windows(windows []Window) {
	switch n := len(windows); {
	case n == 0:
		f.add(WindowsMissing, "windows", -1, "a timer without windows never lets the pump run")
	case n > MaxWindows:
		f.add(TooManyWindows, "windows", -1, "a timer has at most %d windows, not %d", MaxWindows, n)
		return
	}
	for i, w := range windows {
		f.dayType("windows", i, w.Type)
		from, to := w.From.Seconds(), w.To.Seconds()
		sound := f.seconds("windows", i, "the beginning", from, calendar.SecondsOfDay)
		sound = f.seconds("windows", i, "the end", to, calendar.SecondsOfDay) && sound
		switch {
		case !sound:
		case from == calendar.SecondsOfDay:
			f.add(OutOfRange, "windows", i, "the beginning is 24 h, which is 0 h of the next day")
		case from == to:
			f.add(WindowEmpty, "windows", i, "the window ends as it begins; a whole day is from 0 to 24 h")
		}
	}
}

func (f *gathered) aquastat(a Aquastat, mayBeEqual bool) {
	start, stop := a.Start.Kelvin(), a.Stop.Kelvin()
	sound := f.temperature("the start", start)
	sound = f.temperature("the stop", stop) && sound
	if sound && (stop < start || stop == start && !mayBeEqual) {
		f.add(StopBelowStart, "aquastat", -1, "it stops at %.4g degC, which is not above its start at %.4g degC", a.Stop.Celsius(), a.Start.Celsius())
	}
}

func (f *gathered) temperature(what string, T float64) bool {
	if T >= coldest && T <= hottest {
		return true
	}
	f.add(OutOfRange, "aquastat", -1, "%s is %.6g K, not from %g to %g K", what, T, coldest, hottest)
	return false
}

func (f *gathered) demand(d Demand, leastRun float64) {
	f.seconds("demand", -1, "the lead", d.Lead.Seconds(), longestTime)
	if !(d.Probability >= 0 && d.Probability <= 1) {
		f.add(OutOfRange, "demand", -1, "the probability is %.6g, not from 0 to 1", d.Probability)
	}
	longest := d.LongestRun.Seconds()
	if !f.seconds("demand", -1, "the longest run", longest, longestTime) {
		return
	}
	if longest == 0 || longest < leastRun {
		f.add(LongestRunShort, "demand", -1, "the longest run of %.6g s is zero or below the least run", longest)
	}
}

func (f *gathered) cycle(c Cycle) {
	on, off := c.On.Seconds(), c.Off.Seconds()
	sound := f.seconds("cycle", -1, "on", on, longestTime)
	sound = f.seconds("cycle", -1, "off", off, longestTime) && sound
	switch {
	case !sound:
	case on+off == 0:
		f.add(CycleEmpty, "cycle", -1, "on and off are both zero")
	case on+off < shortestCycle && on > 0 && off > 0:
		f.add(CycleTooShort, "cycle", -1, "a cycle of %.6g s is below %g s", on+off, shortestCycle)
	}
}
