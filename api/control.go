package api

import (
	"strconv"
	"strings"

	"recirc/api/body"
	"recirc/calc/calendar"
	"recirc/calc/control"
	"recirc/calc/fault"
	"recirc/calc/quantity"
	"recirc/service"
)

var controlObject = body.NewObject("Control",
	body.Required("type", func(r *body.Reader, c *service.Control) { c.Kind = control.Kind(oneOf(r, controlKinds)) }),
	body.Optional("windows", func(r *body.Reader, c *service.Control) {
		c.Windows = readList(r, controlWindowObject, 1, control.MaxWindows)
	}),
	body.Optional("aquastat", func(r *body.Reader, c *service.Control) { c.Aquastat = readNew(r, aquastatObject) }),
	body.Optional("sensor_node", func(r *body.Reader, c *service.Control) { c.Sensor = identifier(r) }),
	body.Optional("trigger", func(r *body.Reader, c *service.Control) { c.Trigger = readNew(r, demandTriggerObject) }),
	body.Optional("cycle", func(r *body.Reader, c *service.Control) { c.Cycle = readNew(r, controlCycleObject) }),
	body.Optional("least_run", func(r *body.Reader, c *service.Control) { c.LeastRun = durationPointer(r, delayRange) }),
	body.Optional("least_rest", func(r *body.Reader, c *service.Control) { c.LeastRest = durationPointer(r, delayRange) }),
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
	body.Required("kind", func(r *body.Reader, t *service.DemandTrigger) { t.Kind = oneOf(r, triggerKinds) }),
	body.Optional("lead_time", func(r *body.Reader, t *service.DemandTrigger) { t.Lead = durationPointer(r, delayRange) }),
	body.Optional("probability", func(r *body.Reader, t *service.DemandTrigger) { t.Probability = ratio(r, 1) }),
	body.Optional("longest_run", func(r *body.Reader, t *service.DemandTrigger) { t.LongestRun = durationPointer(r, longestRunRange) }),
	body.Optional("seed", func(r *body.Reader, t *service.DemandTrigger) {
		n, _ := r.Count(0, 1<<31-1)
		t.Seed = uint64(n)
	}),
)

var controlCycleObject = body.NewObject("ControlCycle",
	body.Required("on", func(r *body.Reader, c *control.Cycle) { c.On = duration(r, cycleRange) }),
	body.Required("off", func(r *body.Reader, c *control.Cycle) { c.Off = duration(r, cycleRange) }),
)

var (
	controlKinds    = texts(control.Kinds())
	dayTypes        = texts(calendar.DayTypes())
	triggerKinds    = service.TriggerKinds()
	longestRunRange = body.Within(1, 3600, "1 s to 1 h")
	cycleRange      = body.Above(0, calendar.SecondsOfDay, "above 0 to 24 h")
)

// readNew reads an object that may be left out.
func readNew[T any](r *body.Reader, object *body.Object[T]) *T {
	t := new(T)
	object.Read(r, t)
	return t
}

// texts makes names of the contract of a closed list of the core.
func texts[S ~string](list []S) []string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = string(s)
	}
	return out
}

// readList reads a list of objects.
func readList[T any](r *body.Reader, item *body.Object[T], least, most int) []T {
	all := []T{}
	r.List(least, most, func(int) {
		var t T
		item.Read(r, &t)
		all = append(all, t)
	})
	return all
}

func durationPointer(r *body.Reader, within body.Range) *quantity.Duration {
	d := duration(r, within)
	return &d
}

// clockTime reads a time of day as hh:mm or hh:mm:ss, and 24:00 as the day's end.
func clockTime(r *body.Reader) quantity.Duration {
	text, ok := r.Text(0, 1<<30)
	if !ok {
		return quantity.Duration{}
	}
	seconds, ok := parseClock(text)
	if !ok {
		r.Fault(fault.TimeMalformed, "A time of day is written as 06:30, or 06:30:15 with seconds; 24:00 is the end of the day.")
	}
	return quantity.Seconds(float64(seconds))
}

func parseClock(text string) (seconds int, ok bool) {
	if text == "24:00" {
		return calendar.SecondsOfDay, true
	}
	parts := strings.Split(text, ":")
	if len(parts) != 2 && len(parts) != 3 {
		return 0, false
	}
	for i, part := range parts {
		n, err := strconv.ParseUint(part, 10, 8) // which takes no sign, not even that of -0
		if len(part) != 2 || err != nil || n > []uint64{23, 59, 59}[i] {
			return 0, false
		}
		seconds += int(n) * []int{3600, 60, 1}[i]
	}
	return seconds, true
}

// clockPointer reads a time of day that may be left out.
func clockPointer(r *body.Reader) *quantity.Duration {
	t := clockTime(r)
	return &t
}

// writeClock is the time of day of a duration since midnight.
func writeClock(t quantity.Duration) string {
	s := int(t.Seconds() + 0.5)
	text := twoDigits(s/3600) + ":" + twoDigits(s/60%60)
	if s%60 != 0 {
		text += ":" + twoDigits(s%60)
	}
	return text
}

func twoDigits(n int) string {
	if n < 10 {
		return "0" + strconv.Itoa(n)
	}
	return strconv.Itoa(n)
}
