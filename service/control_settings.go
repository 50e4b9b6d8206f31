package service

import (
	"fmt"
	"slices"

	"recirc/calc/calendar"
	"recirc/calc/control"
	"recirc/calc/fault"
	"recirc/calc/quantity"
)

// What a control is set to where it is not given: common practice.
var (
	defaultAquastat   = control.Aquastat{Start: fahrenheit(85), Stop: fahrenheit(105)}
	defaultDemandStop = fahrenheit(110)
	defaultCycle      = control.Cycle{On: quantity.Seconds(15 * 60), Off: quantity.Seconds(15 * 60)}
	defaultLead       = quantity.Seconds(60)
	defaultLongestRun = quantity.Seconds(600)
)

func fahrenheit(f float64) quantity.Temperature { return quantity.Celsius((f - 32) / 1.8) }

// Timed reports that windows of a timer count.
func timed(k control.Kind) bool { return k == control.Timer || k == control.TimerAndAquastat }

// sensed reports that a temperature counts.
func sensed(k control.Kind) bool {
	return k == control.AquastatOnly || k == control.TimerAndAquastat || k == control.OnDemand
}

// checkControl refuses what a kind of control does not use, and asks for what it
// cannot do without.
func checkControl(c *Control, at string, faults *fault.List) {
	refuse := func(given bool, member string, used bool) {
		if given && !used {
			faults.Add(at+"/"+member, fault.ControlContradicts, "A control of type %s does not use %s; leave it out, or choose another type.", c.Kind, member)
		}
	}
	refuse(c.Windows != nil, "windows", timed(c.Kind))
	refuse(c.Aquastat != nil, "aquastat", sensed(c.Kind))
	refuse(c.Sensor != "", "sensor_node", sensed(c.Kind))
	refuse(c.Trigger != nil, "trigger", c.Kind == control.OnDemand)
	refuse(c.Cycle != nil, "cycle", c.Kind == control.DutyCycle)
	if timed(c.Kind) && c.Windows == nil {
		faults.Add(at+"/windows", fault.ControlIncomplete, "A control of type %s needs windows, in which the pump may run; a control simulation without a timer proposes some.", c.Kind)
	}
}

// runnable turns the control of an arrangement, or the usual one, into settings, and
// tells what it cannot run with.
func (n *Notes) runnable(c *Control, of ArrangementType, at string, faults *fault.List) control.Settings {
	if c == nil {
		c = &Control{Kind: control.Continuous}
		if of == OnDemandAtFixture {
			c.Kind = control.OnDemand
		}
		n.assume(Assumption{Code: "default_control", Detail: fmt.Sprintf("An arrangement of type %s without a control is taken as %s.", of, c.Kind), Value: string(c.Kind), Pointers: []string{at}, Source: "common_practice"})
		at = "" // what follows has no place of its own
	}
	s := n.settingsOf(c, at)
	places, before := windowPlaces(c.Windows), ""
	for _, f := range control.Check(s, control.Circumstances{}) {
		if !stopsControl(f.Name) {
			continue
		}
		pointer := at + controlField(f)
		if f.Field == "windows" && f.Index >= 0 {
			pointer = listPointer(at+"/windows", places[f.Index], "")
		}
		// A window of all days is two windows of the control.
		if told := pointer + " " + f.Detail; told != before {
			faults.Add(pointer, fault.ControlContradicts, "This control cannot run: %s.", f.Detail)
			before = told
		}
	}
	return s
}

// settingsOf turns a control into settings, defaults noted.
func (n *Notes) settingsOf(c *Control, at string) control.Settings {
	s := control.Settings{Kind: c.Kind}
	if timed(c.Kind) {
		s.Windows = windowsOf(c.Windows)
	}
	if sensed(c.Kind) {
		s.Aquastat = n.aquastatOf(c, at)
	}
	if c.Kind == control.OnDemand {
		s.Demand = n.demandOf(c.Trigger, at)
	}
	if c.Kind == control.DutyCycle {
		s.Cycle = n.cycleOf(c, at)
	}
	if c.LeastRun != nil {
		s.LeastRun = *c.LeastRun
	}
	if c.LeastRest != nil {
		s.LeastRest = *c.LeastRest
	}
	return s
}

// windowsOf spreads windows over the types of day.
// windowsOf spreads windows over the types of day.
func windowsOf(windows []ControlWindow) []control.Window {
	var all []control.Window
	for _, w := range windows {
		for _, t := range w.types() {
			all = append(all, control.Window{Type: t, From: w.From, To: w.To})
		}
	}
	return all
}

// windowPlaces is where the request has each of the windows that windowsOf gives.
func windowPlaces(windows []ControlWindow) []int {
	var places []int
	for i, w := range windows {
		for range w.types() {
			places = append(places, i)
		}
	}
	return places
}

// types are the types of day that the window is of.
func (w *ControlWindow) types() []calendar.DayType {
	return slices.DeleteFunc(calendar.DayTypes(), func(t calendar.DayType) bool { return w.Days != "" && w.Days != string(t) })
}

func (n *Notes) aquastatOf(c *Control, at string) control.Aquastat {
	if c.Aquastat != nil {
		return *c.Aquastat
	}
	a, value := defaultAquastat, "start 85 degF, stop 105 degF"
	if c.Kind == control.OnDemand {
		a, value = control.Aquastat{Start: defaultDemandStop, Stop: defaultDemandStop}, "stop 110 degF"
	}
	n.assume(Assumption{Code: "default_aquastat", Detail: "The temperatures of the sensor are not given; usual settings are taken.", Value: value, Pointers: pointerOrNone(at), Source: "common_practice"})
	return a
}

func (n *Notes) demandOf(t *DemandTrigger, at string) control.Demand {
	d := control.Demand{Lead: quantity.Seconds(0), Probability: 1, LongestRun: defaultLongestRun}
	if t == nil || t.Lead == nil && t.Kind != triggerAtFixture || t.LongestRun == nil {
		n.assume(Assumption{Code: "default_trigger", Detail: "A trigger that does not say is a button at the fixture, or comes a minute before the draw; the pump gives up after ten minutes.", Value: "0 s at the fixture, else 60 s; 600 s", Pointers: pointerOrNone(at), Source: "common_practice"})
	}
	if t == nil {
		return d
	}
	d.Seed = t.Seed
	switch {
	case t.Lead != nil:
		d.Lead = *t.Lead
	case t.Kind != triggerAtFixture:
		d.Lead = defaultLead
	}
	if t.Probability != nil {
		d.Probability = *t.Probability
	}
	if t.LongestRun != nil {
		d.LongestRun = *t.LongestRun
	}
	return d
}

func (n *Notes) cycleOf(c *Control, at string) control.Cycle {
	if c.Cycle != nil {
		return *c.Cycle
	}
	n.assume(Assumption{Code: "default_cycle", Detail: "The minutes of the duty cycle are not given; usual ones are taken.", Value: "15 min on, 15 min off", Pointers: pointerOrNone(at), Source: "common_practice"})
	return defaultCycle
}

func pointerOrNone(at string) []string {
	if at == "" {
		return []string{}
	}
	return []string{at}
}

// ControlFindings lists what a control may run with though it makes no sense.
func ControlFindings() []control.FindingName {
	return []control.FindingName{
		control.WindowsOverlap, control.WindowBelowRun, control.OnBelowRun, control.OffBelowRest, control.NeverRuns,
		control.StopOutOfReach, control.StartOutOfReach, control.GapTooSmall, control.TimerCoversNoDraw,
	}
}

// stopsControl tells whether a control cannot run with a finding.
func stopsControl(name control.FindingName) bool { return !slices.Contains(ControlFindings(), name) }

// controlField is where the request has what a finding is about.
func controlField(f control.Finding) string {
	switch f.Field {
	case "demand", "triggers":
		return "/trigger"
	case "days", "":
		return ""
	}
	return "/" + f.Field // an index would count windows by type of day, as they were spread
}
