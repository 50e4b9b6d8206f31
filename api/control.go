package api

import (
	"math"
	"regexp"
	"strconv"

	"recirc/api/body"
	"recirc/calc/calendar"
	"recirc/calc/control"
	"recirc/calc/fault"
	"recirc/calc/quantity"
	"recirc/service"
)

var controlObject = body.NewObject("Control",
	body.Required("type", func(r *body.Reader, c *service.Control) { c.Kind = control.Kind(oneOf(r, controlTypes)) }),
	body.Optional("windows", func(r *body.Reader, c *service.Control) {
		c.Windows = []service.ControlWindow{}
		r.List(1, control.MaxWindows, func(int) {
			var w service.ControlWindow
			controlWindowObject.Read(r, &w)
			c.Windows = append(c.Windows, w)
		})
	}),
	body.Optional("aquastat", func(r *body.Reader, c *service.Control) {
		c.Aquastat = new(control.Aquastat)
		aquastatObject.Read(r, c.Aquastat)
	}),
	body.Optional("sensor_node", func(r *body.Reader, c *service.Control) { c.Sensor = identifier(r) }),
	body.Optional("trigger", func(r *body.Reader, c *service.Control) {
		c.Trigger = new(service.DemandTrigger)
		demandTriggerObject.Read(r, c.Trigger)
	}),
	body.Optional("cycle", func(r *body.Reader, c *service.Control) {
		c.Cycle = new(control.Cycle)
		controlCycleObject.Read(r, c.Cycle)
	}),
	body.Optional("least_run", func(r *body.Reader, c *service.Control) { c.LeastRun = span(r, hourRange) }),
	body.Optional("least_rest", func(r *body.Reader, c *service.Control) { c.LeastRest = span(r, hourRange) }),
)

var controlWindowObject = body.NewObject("ControlWindow",
	body.Optional("days", func(r *body.Reader, w *service.ControlWindow) { w.Days = oneOf(r, dayTypes) }),
	body.Required("from", func(r *body.Reader, w *service.ControlWindow) { w.From = clockTime(r) }),
	body.Required("to", func(r *body.Reader, w *service.ControlWindow) { w.To = clockTime(r) }),
)

var aquastatObject = body.NewObject("Aquastat",
	body.Required("start", func(r *body.Reader, a *control.Aquastat) { a.Start = temperature(r, waterRange) }),
	body.Required("stop", func(r *body.Reader, a *control.Aquastat) { a.Stop = temperature(r, waterRange) }),
)

var demandTriggerObject = body.NewObject("DemandTrigger",
	body.Required("kind", func(r *body.Reader, d *service.DemandTrigger) { d.Kind = oneOf(r, triggerKinds) }),
	body.Optional("lead_time", func(r *body.Reader, d *service.DemandTrigger) { d.Lead = span(r, hourRange) }),
	body.Optional("probability", func(r *body.Reader, d *service.DemandTrigger) { d.Probability = ratio(r, 1) }),
	body.Optional("longest_run", func(r *body.Reader, d *service.DemandTrigger) { d.LongestRun = span(r, longestRunRange) }),
	body.Optional("seed", func(r *body.Reader, d *service.DemandTrigger) {
		n, _ := r.Count(0, math.MaxInt32)
		d.Seed = uint64(n)
	}),
)

var controlCycleObject = body.NewObject("ControlCycle",
	body.Required("on", func(r *body.Reader, c *control.Cycle) { c.On = duration(r, cycleRange) }),
	body.Required("off", func(r *body.Reader, c *control.Cycle) { c.Off = duration(r, cycleRange) }),
)

var (
	hourRange       = body.Within(0, 3600, "0 to 1 h")
	longestRunRange = body.Within(1, 3600, "1 s to 1 h")
	cycleRange      = body.Above(0, calendar.SecondsOfDay, "above 0 to 24 h")

	controlTypes = textsOf(control.Kinds())
	dayTypes     = textsOf(calendar.DayTypes())
	triggerKinds = service.TriggerKinds()
)

func textsOf[S ~string](list []S) []string {
	all := make([]string, len(list))
	for i, s := range list {
		all[i] = string(s)
	}
	return all
}

// span reads a duration that may be left out.
func span(r *body.Reader, within body.Range) *quantity.Duration {
	d := duration(r, within)
	return &d
}

var clockPattern = regexp.MustCompile(`^(?:([01][0-9]|2[0-3]):([0-5][0-9])(?::([0-5][0-9]))?|24:00)$`)

// clockTime reads a time of day, as seconds since midnight.
func clockTime(r *body.Reader) quantity.Duration {
	text, ok := r.Text(0, 64)
	if !ok {
		return quantity.Duration{}
	}
	parts := clockPattern.FindStringSubmatch(text)
	if parts == nil {
		r.Fault(fault.ValueNotListed, "%s is no time of day; it is written as 06:30, or 06:30:15, up to 24:00.", body.Shown(text))
		return quantity.Duration{}
	}
	if parts[1] == "" {
		return quantity.Seconds(calendar.SecondsOfDay)
	}
	seconds := 0
	for _, p := range parts[1:] {
		n, _ := strconv.Atoi("0" + p) // the pattern lets digits through only
		seconds = 60*seconds + n
	}
	return quantity.Seconds(float64(seconds))
}
