package year

import "recirc/calc/quantity"

// Lag says how a hot front passes a wall that takes heat. A part of the wall
// takes it at once and delays the front, the rest slowly and cools what follows.
type Lag struct {
	Ratio    float64 // of the volume at which the front comes to that of the pipe, 1 to 1 + Cp/Cw; zero: 1 + Cp/Cw, the whole wall at once
	Exchange float64 // between water and the slow part of the wall, W/(m.K)
}

// Tube is what a lag depends on.
type Tube struct {
	Bore, Outside    quantity.Length
	WallConductivity quantity.Conductivity // zero: one temperature across the wall
	WallHeatCapacity float64               // J/(m3.K)
	Film             float64               // water to wall, W/(m2.K)
	Length           quantity.Length       // of the way that is fitted
	Flow             quantity.Flow
	WaterHeat        float64              // J/(m3.K)
	Cold, Hot        quantity.Temperature // before and behind the front
	Usable           quantity.Temperature // between the two: where it is fitted
}
