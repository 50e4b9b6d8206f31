package service

import (
	"recirc/calc/quantity"
)

// DrawPlan is who draws when. What is zero or empty was not given.
type DrawPlan struct {
	Weekday, Weekend PatternDay // the weekend's own, where it differs
	Shares           []DrawShare
	Events           []DrawEvent
	Factors          []float64 // by month, none or 12
	Usable           quantity.Temperature
	LongestWait      quantity.Duration
}

// PatternDay is a published pattern on days of a type.
type PatternDay struct {
	Pattern string
	Daily   quantity.Volume
	Begins  *quantity.Duration // since midnight
}

// DrawShare is the share of one fixture in a pattern.
type DrawShare struct {
	Fixture string
	Share   float64
}

// DrawEvent is one draw of every day, or of every day of a type.
type DrawEvent struct {
	Fixture string
	At      quantity.Duration // since midnight
	Volume  quantity.Volume
	Flow    quantity.Flow
	Days    string // weekday, weekend; empty: both
	Water   DrawnWater
}

// DrawnWater is what is drawn.
type DrawnWater string

// What may be drawn; empty counts as hot.
const (
	HotWater  DrawnWater = "hot"
	HotAsItIs DrawnWater = "hot_as_it_comes"
	ColdWater DrawnWater = "cold"
)

// DrawnWaters lists what may be drawn.
func DrawnWaters() []DrawnWater { return []DrawnWater{HotWater, HotAsItIs, ColdWater} }
