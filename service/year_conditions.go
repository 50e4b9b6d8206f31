package service

import (
	"recirc/calc/quantity"
)

// YearConditions are temperatures over the year. What is nil or empty was not given.
type YearConditions struct {
	Mains   []quantity.Temperature // by month, none or 12
	Climate *Climate
	Air     []quantity.Temperature // by month, none or 12
	Season  *HeatingSeason
}

// Climate is the air of a place.
type Climate struct {
	Mean     quantity.Temperature
	Swing    quantity.TemperatureDifference
	Southern bool
}

// HeatingSeason is when heat lost indoors spares heating.
type HeatingSeason struct {
	Months []int // from 1
	Useful float64
}
