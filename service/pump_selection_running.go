package service

import (
	"recirc/calc/fault"
	"recirc/calc/pump"
	"recirc/calc/quantity"
)

const (
	yearHours = 8760.0
	mostHours = 8784.0 // of a leap year
	yearDays  = 365.0
)

// hours finds how long the pump runs in a year.
func (s *pumpSelection) hours(faults *fault.List) {
	r := &s.req.Running
	if s.checkRunning(faults); !faults.Empty() {
		return
	}
	perDay := 24.0
	if r.PerDay != nil {
		perDay = r.PerDay.Seconds() / 3600
	}
	switch {
	case r.Hours != nil:
		s.a.Hours = *r.Hours
	case r.Control == RunsContinuously:
		s.a.Hours = yearHours
	case r.Control == RunsByTimer:
		s.a.Hours = yearDays * perDay
	case r.Control == RunsByAquastat:
		s.a.Hours = yearDays * perDay * *r.Share
	case r.Control == RunsOnDemand:
		each := s.req.Duty.Time
		if r.PerStart != nil {
			each = *r.PerStart
		}
		s.a.Hours = yearDays * *r.Starts * each.Seconds() / 3600
	default:
		s.a.Hours = yearHours
		s.a.assume(Assumption{Code: "default_hours", Detail: "No running time is given; the pump is taken to run all year.", Value: "8760 h", Pointers: []string{""}, Source: "common_practice"})
	}
	if s.a.Hours > mostHours {
		faults.Add("/running", fault.RunningIncomplete, "The starts together take %.4g hours a year, and a year has 8784.", s.a.Hours)
	}
}

// checkRunning refuses a control that lacks what it needs, or comes with what it
// would not look at.
func (s *pumpSelection) checkRunning(faults *fault.List) {
	r := &s.req.Running
	perDay, share, starts, perStart := r.PerDay != nil, r.Share != nil, r.Starts != nil, r.PerStart != nil
	say := func(wrong bool, what string) {
		if wrong {
			faults.Add("/running", fault.RunningIncomplete, "%s.", what)
		}
	}
	say(r.Hours != nil && r.Control != "", "Give hours_per_year or a control, not both")
	say(r.Control == RunsByTimer && !perDay, "A timer needs time_per_day")
	say(r.Control == RunsByAquastat && !share, "An aquastat needs running_share")
	say(r.Control == RunsOnDemand && !starts, "A pump on demand needs starts_per_day")
	say(r.Control == RunsOnDemand && !perStart && s.req.Duty.Time == quantity.Duration{}, "A pump on demand needs time_per_start, or a duty that fills a pipe in a time")
	say(perDay && r.Control != RunsByTimer && r.Control != RunsByAquastat, "Only a timer or an aquastat takes time_per_day")
	say(share && r.Control != RunsByAquastat, "Only an aquastat takes running_share")
	say((starts || perStart) && r.Control != RunsOnDemand, "Only a pump on demand takes starts_per_day and time_per_start")
}

// standardAir is the pressure of the air at the level of the sea.
var standardAir = quantity.Pascals(101_325)

// findSuction finds the suction head that stands before the pump, or why it is
// not known.
func (s *pumpSelection) findSuction() {
	given := s.req.Conditions.Suction
	if given == nil {
		s.noNPSH = "No suction is given, so that the net positive suction head is not known."
		return
	}
	air := given.Air
	if air == (quantity.Pressure{}) {
		air = standardAir
		s.a.assume(Assumption{Code: "default_air_pressure", Detail: "No air pressure is given; taken as at the level of the sea.", Value: "101.325 kPa", Pointers: []string{"/conditions/suction"}, Source: "common_practice"})
	}
	available, err := pump.NPSHAvailable(pump.Suction{
		Pressure: quantity.Pascals(given.Pressure.Pascals() + air.Pascals()), Above: given.Above, Loss: given.HeadLoss, Temperature: s.water,
	})
	if err != nil {
		s.noNPSH = "The suction head cannot be found: " + reasonOf(err) + "."
		return
	}
	s.npsh = &available
	s.a.use(pump.PowerSource)
}
