package control

import "fmt"

// FindingName names what is wrong with a setting.
type FindingName string

// What no control can be set to.
const (
	KindUnknown     FindingName = "kind_unknown"
	OutOfRange      FindingName = "out_of_range"
	WindowsMissing  FindingName = "windows_missing"
	TooManyWindows  FindingName = "too_many_windows"
	WindowEmpty     FindingName = "window_empty"
	DayTypeUnknown  FindingName = "day_type_unknown"
	DaysMissing     FindingName = "days_missing"
	StopBelowStart  FindingName = "stop_below_start"
	CycleEmpty      FindingName = "cycle_empty"
	CycleTooShort   FindingName = "cycle_too_short"
	LongestRunShort FindingName = "longest_run_below_least_run"
)

// What a control can be set to, and makes no sense.
const (
	WindowsOverlap    FindingName = "windows_overlap"
	WindowBelowRun    FindingName = "window_below_least_run"
	OnBelowRun        FindingName = "on_below_least_run"
	OffBelowRest      FindingName = "off_below_least_rest"
	NeverRuns         FindingName = "never_runs"
	StopOutOfReach    FindingName = "stop_out_of_reach"
	StartOutOfReach   FindingName = "start_out_of_reach"
	GapTooSmall       FindingName = "gap_too_small_for_tankless"
	TimerCoversNoDraw FindingName = "timer_covers_no_draw"
)

// Finding is one thing that is wrong with a setting.
type Finding struct {
	Name   FindingName
	Field  string // of the settings: windows, aquastat, demand, cycle, least_run, least_rest; days, triggers
	Index  int    // in a list; -1 if there is none
	Detail string // a sentence that says what was found
}

func finding(name FindingName, field string, index int, format string, args ...any) Finding {
	return Finding{Name: name, Field: field, Index: index, Detail: fmt.Sprintf(format, args...)}
}

// SettingsError is everything for which a setting cannot run.
type SettingsError struct{ Findings []Finding }

func (e *SettingsError) Error() string {
	first := e.Findings[0]
	return fmt.Sprintf("control: %d findings, the first on %s: %s (%s)", len(e.Findings), first.Field, first.Detail, first.Name)
}
