package service

import (
	"recirc/calc/calendar"
	"recirc/calc/fault"
	"recirc/calc/mains"
	"recirc/calc/network"
	"recirc/calc/quantity"
)

// monthly is what holds in one month.
type monthly struct {
	mains, air quantity.Temperature
	season     bool
}

// monthsOf finds the temperatures of the months.
func (n *Notes) monthsOf(c *YearConditions, s *network.System, faults *fault.List) (months [calendar.Months]monthly) {
	cold := n.mainsOf(c, s, faults)
	for i := range months {
		months[i].mains, months[i].air = cold[i], defaultAir
		if c.Air != nil {
			months[i].air = c.Air[i]
		}
	}
	if c.Season == nil {
		return months
	}
	for i, m := range c.Season.Months {
		if months[m-1].season {
			faults.Add(listPointer("/conditions/heating_season/months", i, ""), fault.ListedTwice, "Month %d is listed twice.", m)
		}
		months[m-1].season = true
	}
	return months
}

// mainsOf is the mains water by month: as given, by the climate, or of the system.
func (n *Notes) mainsOf(c *YearConditions, s *network.System, faults *fault.List) (cold [calendar.Months]quantity.Temperature) {
	switch {
	case c.Mains != nil && c.Climate != nil:
		faults.Add("/conditions/climate", fault.ConditionsContradict, "Give mains_temperatures or climate, not both.")
	case c.Mains != nil:
		copy(cold[:], c.Mains)
	case c.Climate != nil:
		found, err := mains.Climate{Mean: c.Climate.Mean, Swing: c.Climate.Swing, Southern: c.Climate.Southern}.Months()
		if err != nil {
			faults.Add("/conditions/climate", fault.OutOfRange, "No mains temperature follows from this climate: %s.", reasonOf(err))
		}
		n.use(mains.Source)
		cold = found
	default:
		all := n.mainsTemperature(s)
		for i := range cold {
			cold[i] = all
		}
	}
	return cold
}
